"""What a build puts into ``site_output/``: read back, compared and searched."""
