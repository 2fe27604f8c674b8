"""What is drawn on a flat sheet: the net of pen lines, its gaps, its fold and its fields."""
