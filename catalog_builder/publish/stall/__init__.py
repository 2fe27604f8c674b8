"""For the stall: the price sheet, tags and slips with cautions. They see listings and nothing else."""
