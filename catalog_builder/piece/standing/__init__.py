"""How a piece stands: its footprint, its feet, how far it can tip; and rods and clips that hold it from below."""
