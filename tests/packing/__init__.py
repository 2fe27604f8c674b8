"""Packing: the box for a piece, and what carries it."""
