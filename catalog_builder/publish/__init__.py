"""Values become files: one module for each audience."""
