"""Photos and scans of drawn sheets, by kinds and seeds."""
