"""A sheet of paper and all that is drawn on it."""
