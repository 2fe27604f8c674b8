"""What tracing has to tell of a sheet: gaps, islands, double lines, marks left out, an unsure sheet or fold."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

import numpy as np

from catalog_builder.tracing.arrays import Labels, Mask, Points
from catalog_builder.tracing.curves.pen_middle import STEP_MM, PenLine
from catalog_builder.tracing.ink.field_map import OUTSIDE, FieldMap
from catalog_builder.tracing.ink.fold_line import FoldLine
from catalog_builder.tracing.ink.gaps import Gap
from catalog_builder.tracing.ink.line_net import LineNet
from catalog_builder.tracing.sheet.flat_sheet import FlatSheet
from catalog_builder.tracing.trace_finding import TraceFinding

# A line that is so much wider than the pen, for so long, was drawn twice.
_TWICE_WIDE, _TWICE_LONG_MM = 1.6, 8.0
# A mark that stands free and is so long may be a line of the pattern that meets no other.
_LONG_MARK_MM = 40.0
_FOLD_SPREAD_MM = 0.6
# A gap so wide, between two lines that lead on to each other, is more likely a line's end in the open.
_LIKELY_GAP_MM = 8.0
# The ink of an acute corner reaches so many pens beyond the border in it.
_TIP = 2.5

Place = Callable[[Points], Points]


def doubts_about_sheet(sheet: FlatSheet, fold: FoldLine | None, half: bool) -> Iterator[TraceFinding]:
    """Tell what is unsure of the sheet and of the fold."""
    if sheet.is_doubtful:
        text = f"one edge of the sheet is seen only in part ({100 * sheet.seen:.0f} %): measure one piece on paper"
        yield TraceFinding("sheet", None, text, doubt=True)
    if half and fold is not None and (fold.source == "one end" or fold.spread_mm > _FOLD_SPREAD_MM):
        ends = (
            "only one line ends at it" if fold.source == "one end" else f"the ends scatter by {fold.spread_mm:.1f} mm"
        )
        text = f"the fold is unsure, as no crease is seen and {ends}: fold the sheet sharply, or measure the width"
        yield TraceFinding("fold", None, text, doubt=True)


def gap_findings(
    gaps: Sequence[Gap], free: Mask, fields: FieldMap, net: LineNet, px_per_mm: float, place: Place
) -> Iterator[TraceFinding]:
    """Tell the gaps; ends of marks that stand free, shape (height, width), are not among them.

    An end beside the border of two fields is the tip of an acute corner, and no line's end.
    """
    reach = round(_TIP * net.pen_mm * px_per_mm)
    for gap in gaps:
        column, row = (int(part * px_per_mm) for part in gap.at)
        if not gap.closed and free[min(row, free.shape[0] - 1), min(column, free.shape[1] - 1)]:
            continue
        at = _at(place, gap.at)
        if gap.closed:
            yield TraceFinding("gap closed", at, f"a gap of {gap.wide_mm:.1f} mm was closed", doubt=False)
        elif gap.wide_mm is not None and gap.wide_mm <= _LIKELY_GAP_MM:
            text = (
                f"a line ends {gap.wide_mm:.1f} mm short of the next one, too wide to close: two fields run into one"
                " there; lead it on with the pen"
            )
            yield TraceFinding("gap open", at, text, doubt=True)
        elif not _parts_fields(fields.labels, row, column, reach):
            text = "a line ends in the open and parts nothing; lead it on, or mark it as a wire in the drawing"
            yield TraceFinding("open end", at, text, doubt=True)


def _parts_fields(labels: Labels, row: int, column: int, reach: int) -> bool:
    """Say whether two fields meet within ``reach`` pixels of a place."""
    around = labels[max(0, row - reach) : row + reach + 1, max(0, column - reach) : column + reach + 1]
    return bool(around.size) and int(around.min()) != int(around.max())


def net_findings(
    net: LineNet, closed: Mask, fields: FieldMap, px_per_mm: float, place: Place
) -> tuple[list[TraceFinding], Mask]:
    """Report lines that touch no other, and give the places of those that separate no fields."""
    from scipy.ndimage import find_objects, label

    parts, count = label(closed, np.ones((3, 3)))
    findings: list[TraceFinding] = []
    free = np.zeros(count + 1, dtype=bool)
    inside = _parting(parts, fields.labels, count)
    for index, (rows, columns) in enumerate(find_objects(parts), start=1):
        size = max(rows.stop - rows.start, columns.stop - columns.start) / px_per_mm
        at = _at(place, ((columns.start + columns.stop) / 2 / px_per_mm, (rows.start + rows.stop) / 2 / px_per_mm))
        around = int(fields.labels[max(0, rows.start - 2), columns.start + int(closed[rows.start, columns].argmax())])
        if not inside[index]:
            free[index] = True
            long = size > _LONG_MARK_MM
            text = f"a mark of {size:.0f} mm stands free, parts nothing and was left out"
            findings.append(TraceFinding("left out", at, text, doubt=long))
        elif around > OUTSIDE:
            text = (
                f"a closed shape of {size:.0f} mm stands free inside a field: a piece cannot be cut out round another"
            )
            findings.append(TraceFinding("island", at, text, doubt=False))
    for mark in net.left_out:
        if mark.may_be_piece:
            text = (
                f"a closed shape of {max(mark.size):.0f} mm stands free and was left out like a number; if it is a"
                " piece, join it to the net by a line"
            )
            findings.append(TraceFinding("island", _at(place, mark.at), text, doubt=True))
    return findings, free[parts]


def _parting(parts: Labels, labels: Labels, count: int) -> Mask:
    """Say for each part of the net whether two fields meet in it."""
    parting = np.zeros(count + 1, dtype=bool)
    for first, second, part in (
        (labels[1:], labels[:-1], parts[1:]),
        (labels[:, 1:], labels[:, :-1], parts[:, 1:]),
    ):
        border = (first != second) & (first > 0) & (second > 0)
        parting[part[border]] = True
    parting[0] = False
    return parting


def double_lines(lines: Sequence[PenLine], usual_mm: float, place: Place) -> Iterator[TraceFinding]:
    """Tell the lines that are much wider than the pen for a long stretch."""
    for line in lines:
        wide = line.wide > _TWICE_WIDE * usual_mm
        steps = np.diff(np.concatenate([[0], wide.astype(int), [0]]))
        for begin, end in zip(np.flatnonzero(steps == 1), np.flatnonzero(steps == -1), strict=True):
            # Near junctions other lines widen the ink.
            inner = begin > 4 and end < len(wide) - 4
            if inner and (end - begin) * STEP_MM > _TWICE_LONG_MM:
                x, y = line.points[(begin + end) // 2].tolist()
                text = f"a line seems to be drawn twice over {(end - begin) * STEP_MM:.0f} mm: the middle was taken"
                yield TraceFinding("double line", _at(place, (x, y)), text, doubt=False)


def drawings_apart(fields: FieldMap) -> Iterator[TraceFinding]:
    """Tell that what is drawn falls into parts that no line joins."""
    from scipy.ndimage import label

    _, count = label(fields.labels > OUTSIDE)
    if count > 1:
        text = (
            f"{count} drawings stand apart on the sheet, and the SVG holds them all: part them there, or cover the rest"
        )
        yield TraceFinding("apart", None, text, doubt=False)


def narrow_rooms(fields: FieldMap, pen_mm: float, px_per_mm: float, place: Place) -> Iterator[TraceFinding]:
    """Tell fields so narrow and long that they lie between the two strokes of a line drawn twice."""
    from scipy.ndimage import binary_erosion, find_objects

    for number, box in enumerate(find_objects(np.maximum(fields.labels, 0)), start=1):
        if number <= OUTSIDE or box is None:
            continue
        shape = fields.labels[box] == number
        border = float((shape & ~binary_erosion(shape)).sum())
        wide = 2 * float(shape.sum()) / max(border, 1) / px_per_mm
        if wide < 1.8 * pen_mm + 0.8 and border / px_per_mm > 12 * wide:
            rows, columns = box
            y, x = (float(part) for part in np.argwhere(shape)[int(shape.sum()) // 2])
            at = _at(place, ((columns.start + x) / px_per_mm, (rows.start + y) / px_per_mm))
            text = f"a field only {wide:.1f} mm wide from line to line: a line drawn twice?"
            yield TraceFinding("double line", at, text, doubt=True)


def _at(place: Place, at: tuple[float, float]) -> tuple[float, float]:
    x, y = place(np.array(at)).tolist()
    return round(x, 1), round(y, 1)
