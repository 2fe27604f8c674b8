"""Pieces that are bought ready, such as bevels: which they are, and whether size and edge are as they should be."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

import numpy as np
import shapely

from catalog_builder.mistake import Finding
from catalog_builder.pattern.pieces import Pattern
from catalog_builder.phrase import quantity
from catalog_builder.records.materials import Materials
from catalog_builder.records.product import Product

# A drawn line is this wide, and hand-made pieces differ by as much. Common practice, no source.
_NEAR_MM = 1.0

# Foil does not hold on a thinner edge, which chips when the foil is pressed down. Common practice, no source.
_LEAST_EDGE_MM = 1.0


def ready_made_words(product: Product, materials: Materials) -> frozenset[str]:
    """Give the glass words whose pieces are bought ready in every choice of glass."""
    words: dict[str, list[bool]] = {}
    for choice in product.keys.glass.values():
        for word, name in choice.pieces.items():
            words.setdefault(word, []).append(materials.rows[name].ready_made)
    return frozenset(word for word, ready in words.items() if all(ready))


def size_findings(title: str, product: Product, pattern: Pattern, materials: Materials) -> Iterator[Finding]:
    """Find pieces bought ready that are drawn larger or smaller than they are; ``title`` names the drawing."""
    for choice in product.keys.glass.values():
        for word, name in choice.pieces.items():
            material = materials.rows[name]
            if not material.ready_made or not material.sheet_width_mm or not material.sheet_height_mm:
                continue
            width, height = float(material.sheet_width_mm), float(material.sheet_height_mm)
            bought = min(width, height), max(width, height)
            for piece in pattern.pieces:
                if piece.glass != word:
                    continue
                drawn = drawn_mm(piece.face, bought)
                if _misses_mm(bought, drawn) > _NEAR_MM:
                    sides = ("drawn_short", "drawn_long", "short", "long")
                    lengths = dict(zip(sides, (*drawn, *bought), strict=True))
                    yield Finding.of(
                        "G09",
                        product.source.place(product.line("glass")),
                        "findings_drawing.ready_made_size",
                        title=title,
                        number=piece.number,
                        material=material.title,
                        **{side: quantity(length, "mm", 1) for side, length in lengths.items()},
                    )


def edge_findings(product: Product, materials: Materials) -> Iterator[Finding]:
    """Find glass whose edge is too thin for any foil, as that of a bevel may be."""
    for name in sorted({name for choice in product.keys.glass.values() for name in choice.pieces.values()}):
        material = materials.rows[name]
        if material.foiled_mm < _LEAST_EDGE_MM:
            yield Finding.of(
                "G13",
                product.source.place(product.line("glass")),
                "findings_drawing.thin_edge",
                title=product.keys.title,
                material=material.title,
                edge=quantity(material.foiled_mm, "mm", 1),
                least=quantity(_LEAST_EDGE_MM, "mm", 1),
            )


def drawn_mm(face: shapely.Polygon, bought: tuple[float, float]) -> tuple[float, float]:
    """Give the shorter and longer side of a piece as it is drawn, in mm: along its sides, or across its points.

    Sellers state the one or the other; the one nearer to ``bought`` is meant.
    """
    return min((_sides_mm(face), _points_mm(face)), key=partial(_misses_mm, bought))


def _sides_mm(face: shapely.Polygon) -> tuple[float, float]:
    """Give the sides of the smallest box round a piece, the shorter one first."""
    corners = shapely.get_coordinates(shapely.oriented_envelope(face))
    first, second = (float(shapely.Point(corners[at]).distance(shapely.Point(corners[at + 1]))) for at in (0, 1))
    return min(first, second), max(first, second)


def _points_mm(face: shapely.Polygon) -> tuple[float, float]:
    """Give how wide and how long a piece is across its points, as diamonds are sold, the shorter one first."""
    points = shapely.get_coordinates(face.convex_hull)
    runs = points[:, None] - points[None, :]
    longest = runs[np.unravel_index(np.argmax(np.hypot(runs[..., 0], runs[..., 1])), runs.shape[:2])]
    length = float(np.hypot(*longest))
    across = points @ np.array([-longest[1], longest[0]]) / length
    width = float(np.ptp(across))
    return min(width, length), max(width, length)


def _misses_mm(bought: tuple[float, float], drawn: tuple[float, float]) -> float:
    return max(abs(side - other) for side, other in zip(drawn, bought, strict=True))
