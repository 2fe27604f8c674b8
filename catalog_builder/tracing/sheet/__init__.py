"""A picture becomes a flat sheet of known scale."""
