"""How often the edges of a drawing meet, counted before they are cut at every crossing: each crossing takes memory."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely
from shapely import Polygon

from catalog_builder.pattern.svg.curve import Points

# As many as a thousand long lines across each other make. The edges of a pattern meet at their ends alone.
MOST_MEETINGS = 1_000_000
# Meetings of an edge that is no fault: itself, the two beside it, and the same ones of a second outline.
NEIGHBOURS = 12
FEW_EDGES = 1_000
MOST_PAIRS = 20_000
# Edges are looked up in blocks, so that no block's answer fills the memory.
_AT_ONCE = 2_000_000


def is_crowded(runs: Sequence[Points]) -> bool:
    """Say whether the boxes of the edges of runs (each of shape (n, 2)) meet more often than a pattern's could."""
    edges = [np.stack([run[:-1], run[1:]], axis=1) for run in runs if len(run) > 1]
    count = sum(map(len, edges))
    if count <= FEW_EDGES:
        return False
    shapes = shapely.linestrings(np.concatenate(edges))
    tree = shapely.STRtree(shapes)
    meetings = 0
    step = max(1, _AT_ONCE // count)
    for begin in range(0, count, step):
        meetings += tree.query(shapes[begin : begin + step]).shape[1]
        if meetings > MOST_MEETINGS + NEIGHBOURS * count:
            return True
    return False


def overlapping_pairs(polygons: Sequence[Polygon]) -> list[tuple[int, int]] | None:
    """Give the pairs of polygons that share more than their borders, each pair once; None where there are too many."""
    shapes = np.array(polygons, dtype=object)
    tree = shapely.STRtree(shapes)
    pairs: list[tuple[int, int]] = []
    step = max(1, _AT_ONCE // len(shapes))
    for begin in range(0, len(shapes), step):
        first, second = tree.query(shapes[begin : begin + step], predicate="intersects")
        once = first + begin < second
        first, second = first[once] + begin, second[once]
        over = ~shapely.touches(shapes[first], shapes[second])
        pairs.extend(zip(first[over].tolist(), second[over].tolist(), strict=True))
        if len(pairs) > MOST_PAIRS:
            return None
    return sorted(pairs)
