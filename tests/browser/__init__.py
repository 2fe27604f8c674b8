"""The published pages in a real browser: as they look, as they are worked, and as they print."""
