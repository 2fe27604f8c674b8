"""Fields that the traced lines do not close: a check of the line work against the map of fields that it came from."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np
import shapely
from numpy.typing import NDArray

from catalog_builder.tracing.arrays import Points
from catalog_builder.tracing.curves.affine import along_curves
from catalog_builder.tracing.ink.traced_field import TracedField
from catalog_builder.tracing.trace_finding import TraceFinding

# Ink lies on both sides of a border, and where many lines come together much of it: areas agree only roughly.
_SHARE_OFF, _OFF_MM2 = 0.2, 8.0
# A piece that no field has its middle in, and that is larger, was made by lines that cross.
_SLIVER_MM2 = 2.0
_ON_FOLD_MM = 0.01
_AGAIN = "draw its lines again, further apart, or mend the SVG"


def lost_fields(
    work: Sequence[Sequence[Points]], fold: tuple[Points, Points] | None, fields: Sequence[TracedField]
) -> Iterator[TraceFinding]:
    """Tell the fields that are no piece of the line work, or not one of that size, and the pieces that are no field."""
    pieces = _pieces(work, fold)
    middles = shapely.points([field.at for field in fields])
    taken = set()
    for field, middle in zip(fields, middles, strict=True):
        own = np.flatnonzero(shapely.contains(pieces, middle))
        if len(own) != 1 or int(own[0]) in taken:
            text = f"the traced lines do not close field {field.number}; {_AGAIN}"
            yield TraceFinding("field", _rounded(field.at), text, doubt=True)
            continue
        taken.add(int(own[0]))
        area = float(shapely.area(pieces[own[0]]))
        if abs(area - field.area_mm2) > _SHARE_OFF * field.area_mm2 + _OFF_MM2:
            text = (
                f"field {field.number} has {field.area_mm2:.0f} mm2 on paper, but the traced lines enclose"
                f" {area:.0f} mm2; {_AGAIN}"
            )
            yield TraceFinding("field", _rounded(field.at), text, doubt=True)
    for index, piece in enumerate(pieces):
        if index not in taken and piece.area > _SLIVER_MM2:
            inside = piece.representative_point()
            text = f"the traced lines enclose {piece.area:.0f} mm2 that are no field on paper; {_AGAIN}"
            yield TraceFinding("field", _rounded((inside.x, inside.y)), text, doubt=True)


def _pieces(work: Sequence[Sequence[Points]], fold: tuple[Points, Points] | None) -> NDArray[np.object_]:
    """Give the polygons that the lines enclose, the fold among the lines."""
    lines = [along_curves(line).reshape(-1, 2) for line in work]
    if fold is not None:
        lines.append(_fold_run(lines, fold))
    net = shapely.union_all([shapely.LineString(line) for line in lines])
    return np.asarray(shapely.get_parts(shapely.polygonize([net])))


def _fold_run(lines: Sequence[Points], fold: tuple[Points, Points]) -> Points:
    """Give the fold as a line through the very ends that lie on it."""
    begin, end = fold
    way = (end - begin) / np.hypot(*(end - begin))
    ends = np.array([line[place] for line in lines for place in (0, -1)])
    aside = np.abs((ends - begin) @ np.array([-way[1], way[0]]))
    on_fold = ends[aside < _ON_FOLD_MM]
    return np.vstack([begin, on_fold[np.argsort((on_fold - begin) @ way)], end])


def _rounded(at: tuple[float, float]) -> tuple[float, float]:
    return round(at[0], 1), round(at[1], 1)
