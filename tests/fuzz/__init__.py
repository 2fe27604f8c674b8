"""Readers under bytes that nobody meant: a search led by coverage, run by hand, and what it found."""
