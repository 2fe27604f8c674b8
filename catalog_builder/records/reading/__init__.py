"""How files are read: their limits, text, tables, headers and checked values."""
