"""A static generator for a copper-foil stained-glass maker's catalogue and price list."""

__version__ = "0.1.0"
