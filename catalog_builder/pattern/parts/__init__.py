"""Flat parts joined at an angle: their joins, and where each stands in space."""
