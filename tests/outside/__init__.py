"""Checks against published sources and against general libraries that compute the same by another road.

Each check names its source and how well that was read:

S   the value itself was read, at the place named;
S2  it was read in a secondary copy that quotes the source;
M   it is from memory, the source was not read;
C   it was worked out from the formula, so it checks the arithmetic and not the source.
"""
