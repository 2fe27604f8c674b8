"""What a variant costs, and what it is sold for."""
