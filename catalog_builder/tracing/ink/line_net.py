"""The net of pen lines on a sheet; numbers, arrows and smudges that stand free are left out and counted."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from catalog_builder.mistake import MistakeError, Place
from catalog_builder.tracing.arrays import Labels, Mask, Points, grown

# What stands free and is smaller is a number, an arrow or a smudge.
LEAST_EXTENT_MM = 13.0
# Far more than a hand draws: noise, print and photographs end in a message.
MOST_MARKS, MOST_INK = 8_000, 0.35
_MANY_PIXELS = 700_000
# Of what is left out, a speck is not worth counting; a closed shape with so much room inside may be a piece.
_SPECK_MM2 = 0.4
_ROOM_MM2 = 30.0
# So much of the sheet is kept about the net: the fold may lie a little beyond it.
_MARGIN_MM = 12.0


@dataclass(frozen=True, slots=True)
class FreeMark:
    """A mark that is left out: the middle of its box and its size in mm; ``room_mm2`` is what it encloses."""

    at: tuple[float, float]
    size: tuple[float, float]
    room_mm2: float

    @property
    def may_be_piece(self) -> bool:
        """Whether it is a closed shape as large and as round as a small piece, such as no digit is."""
        return self.room_mm2 > _ROOM_MM2 and self.room_mm2 > 0.45 * self.size[0] * self.size[1]


@dataclass(frozen=True, slots=True)
class LineNet:
    """Where the net is, how wide the pen is, and what was left out.

    ``rows`` and ``columns`` cut the part of the sheet out that has the net in it; ``mask`` is of that part, and places
    are counted from its corner.
    """

    mask: Mask
    rows: slice
    columns: slice
    pen_mm: float
    left_out: tuple[FreeMark, ...]


def net_of(ink: Mask, px_per_mm: float, place: Place) -> LineNet:
    """Part the net from the marks that stand free.

    Raises:
        MistakeError: there is no net.
    """
    from scipy.ndimage import find_objects, label

    inked = _inked_box(ink)
    part = ink[inked]
    labels, count = label(part, np.ones((3, 3)))
    if count > MOST_MARKS:
        raise _no_drawing(place, f"there are {count} separate marks on the sheet")
    boxes = find_objects(labels)
    areas = np.bincount(labels[part], minlength=count + 1)
    keep = np.zeros(count + 1, dtype=bool)
    left_out = []
    for index, (rows, columns) in enumerate(boxes, start=1):
        size = (columns.stop - columns.start) / px_per_mm, (rows.stop - rows.start) / px_per_mm
        keep[index] = max(size) > LEAST_EXTENT_MM
        if not keep[index] and areas[index] > _SPECK_MM2 * px_per_mm**2:
            middle = (columns.start + columns.stop) / 2 / px_per_mm, (rows.start + rows.stop) / 2 / px_per_mm
            has_room = size[0] * size[1] > _ROOM_MM2
            room = _room(labels[rows, columns] == index) / px_per_mm**2 if has_room else 0.0
            left_out.append(FreeMark(middle, size, room))
    if not keep.any():
        raise MistakeError.at(
            place,
            wrong="no line is longer than a number or an arrow",
            expected=f"lines of more than {LEAST_EXTENT_MM:g} mm that enclose the pieces",
            mend="check the scale that you gave, and that this is a drawing whose lines are darker than the paper",
        )
    chosen = [box for index, box in enumerate(boxes, start=1) if keep[index]]
    rows, columns = (_around([box[axis] for box in chosen], inked[axis], ink.shape[axis], px_per_mm) for axis in (0, 1))
    whole = np.zeros(ink.shape, dtype=bool)
    whole[inked] = keep[labels]
    mask = whole[rows, columns].copy()
    corner = (columns.start - inked[1].start) / px_per_mm, (rows.start - inked[0].start) / px_per_mm
    marks = tuple(replace(mark, at=(mark.at[0] - corner[0], mark.at[1] - corner[1])) for mark in left_out)
    return LineNet(mask, rows, columns, _pen_width(mask, px_per_mm), marks)


def _no_drawing(place: Place, wrong: str) -> MistakeError:
    expected = "a drawing by hand: few dark lines on light paper"
    mend = "check that this is the right picture, and sharp; take it again in even light"
    return MistakeError.at(place, wrong=wrong, expected=expected, mend=mend)


def hold_ink(net: LineNet, place: Place) -> None:
    """Refuse a net that covers more of the sheet than lines do.

    Raises:
        MistakeError: it does.
    """
    if net.mask.mean() > MOST_INK:
        raise _no_drawing(place, f"{100 * net.mask.mean():.0f} % of the sheet is dark")


def _inked_box(ink: Mask) -> tuple[slice, slice]:
    """Give the rows and columns from the first to the last with ink."""
    sides = (np.flatnonzero(ink.any(axis=axis)) for axis in (1, 0))
    rows, columns = (slice(int(side[0]), int(side[-1]) + 1) if len(side) else slice(0, 1) for side in sides)
    return rows, columns


def _around(parts: Sequence[slice], inked: slice, most: int, px_per_mm: float) -> slice:
    """Give the span of parts, counted from the beginning of ``inked``, with the margin that is kept about them."""
    margin = round(_MARGIN_MM * px_per_mm)
    first, last = min(part.start for part in parts), max(part.stop for part in parts)
    return slice(max(0, inked.start + first - margin), min(most, inked.start + last + margin))


def _room(shape: Mask) -> float:
    """Give how many pixels a shape encloses, as part of its box."""
    from scipy.ndimage import binary_fill_holes

    return float((binary_fill_holes(shape) & ~shape).sum())


def _pen_width(mask: Mask, px_per_mm: float) -> float:
    """Give the width of most lines: twice the distance of their middle from the nearest free pixel."""
    depth = distances(mask)
    height, width = mask.shape
    ridge = np.ones(len(depth.rows), dtype=bool)
    whole = np.zeros((height + 2, width + 2), dtype=np.float32)
    whole[depth.rows + 1, depth.columns + 1] = depth.values
    for down in (-1, 0, 1):
        for across in (-1, 0, 1):
            ridge &= depth.values >= whole[depth.rows + 1 + down, depth.columns + 1 + across]
    middle = depth.values[ridge & (depth.values > 0.15 * px_per_mm)]
    # A distance is to the middle of the nearest free pixel; the middle of an even width lies between two pixels.
    return float(2 * np.median(middle) - 0.5) / px_per_mm if len(middle) else 1.0


@dataclass(frozen=True, slots=True)
class InkDistances:
    """For each pixel of ink its row, its column and its distance to the nearest free pixel, and which that is."""

    rows: Labels
    columns: Labels
    values: Points
    nearest_rows: Labels
    nearest_columns: Labels


def distances(ink: Mask, sources: Mask | None = None) -> InkDistances:
    """Measure each pixel of ink from the nearest pixel of ``sources``, by default those that are free.

    A tree of the pixels along the border takes a tenth of the memory of a whole distance transform.
    """
    from scipy.ndimage import distance_transform_edt
    from scipy.spatial import cKDTree

    free = ~ink if sources is None else sources
    if ink.sum() > _MANY_PIXELS:  # much of it lies far from any border, where a tree is slow
        rows, columns = (part.astype(np.int32) for part in np.nonzero(ink))
        whole, (near_rows, near_columns) = distance_transform_edt(~free, return_indices=True)
        return InkDistances(rows, columns, whole[ink], near_rows[ink], near_columns[ink])
    border = grown(ink) & free
    at = np.argwhere(border).astype(np.int32)
    rows, columns = (part.astype(np.int32) for part in np.nonzero(ink))
    tree = cKDTree(at, balanced_tree=False, compact_nodes=False)
    values, which = tree.query(np.stack([rows, columns], axis=1))
    return InkDistances(rows, columns, values, at[which, 0], at[which, 1])
