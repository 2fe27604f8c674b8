"""The relief of glass that is bought ready: the facets of a bevel, the light on a dome. mm, y downwards."""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache

import numpy as np
import shapely
from shapely import Polygon

from catalog_builder.publish.pictures.svg_text import digits, path_of_area
from catalog_builder.records.material import Material

# Light falls from the upper left, as on the rest of the picture.
_LIGHT = np.array([-0.6, -0.8])
# An outline with more straight sides than this is round: its bevel is one ring.
_MOST_SIDES, _STRAIGHTER_MM = 12, 0.3


@lru_cache(maxsize=128)
def relief(face: Polygon, material: Material) -> str:
    """Give the marks that lie on a piece's own colour; nothing for flat glass."""
    if material.section == "bevelled":
        return "".join(_facets(face, float(material.bevel_mm or 0)))
    if material.section == "domed":
        return _dome(face)
    return ""


def _facets(face: Polygon, wide: float) -> Iterator[str]:
    """Shade each facet by how far it is turned to the light, and draw the line where the bevel begins."""
    inner = face.buffer(-wide, join_style="mitre")
    ring = face.difference(inner)
    outline = shapely.simplify(shapely.orient_polygons(face, exterior_cw=False).exterior, _STRAIGHTER_MM)
    corners = shapely.get_coordinates(outline)[:-1]
    if len(corners) > _MOST_SIDES:
        yield _filled(ring, "#ffffff", 0.22)
    else:
        along = np.roll(corners, -1, axis=0) - corners
        along /= np.hypot(along[:, 0], along[:, 1])[:, None]
        inward = np.column_stack([-along[:, 1], along[:, 0]])
        # Where the facets on both sides of a corner meet at the bevel's inner line.
        before = np.roll(inward, 1, axis=0)
        meets = corners + wide * (inward + before) / (1 + (inward * before).sum(axis=1))[:, None]
        for number, turned in enumerate((inward @ -_LIGHT).tolist()):
            after = (number + 1) % len(corners)
            facet = Polygon([corners[number], corners[after], meets[after], meets[number]]).buffer(0)
            colour, opacity = ("#ffffff", 0.15 + 0.5 * turned) if turned > 0 else ("#0d1420", 0.05 - 0.2 * turned)
            yield _filled(facet.intersection(ring), colour, opacity)
    if not inner.is_empty:
        yield f'<path d="{path_of_area(inner)}" fill="none" stroke="#ffffff" stroke-width="0.35" opacity="0.7"/>'


def _dome(face: Polygon) -> str:
    """Draw the darker foot and the light spot of a dome."""
    circle = shapely.maximum_inscribed_circle(face, 0.2)
    radius = float(circle.length)
    x, y = circle.coords[0]
    foot = face.difference(face.buffer(-0.22 * radius))
    spot = shapely.Point(x - 0.34 * radius, y - 0.38 * radius).buffer(0.26 * radius)
    edge = shapely.Point(x + 0.30 * radius, y + 0.36 * radius).buffer(0.5 * radius).difference(
        shapely.Point(x + 0.16 * radius, y + 0.20 * radius).buffer(0.56 * radius)
    )  # fmt: skip
    return (
        _filled(foot, "#0d1420", 0.20)
        + _filled(edge.intersection(face), "#ffffff", 0.28)
        + _filled(spot.intersection(face), "#ffffff", 0.62)
    )


def _filled(area: shapely.Geometry, colour: str, opacity: float) -> str:
    paths = "".join(path_of_area(part) for part in shapely.get_parts(area) if part.geom_type == "Polygon")
    return f'<path d="{paths}" fill="{colour}" opacity="{digits(opacity)}"/>' if paths else ""
