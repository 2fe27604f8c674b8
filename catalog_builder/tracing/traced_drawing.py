"""From a photo or scan of a drawing to line work true to scale, stage by stage."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np

from catalog_builder.mistake import MistakeError, Place
from catalog_builder.tracing.arrays import Points
from catalog_builder.tracing.curves.affine import along_curves, placed, quarter_turned, scaled, shifted, turned
from catalog_builder.tracing.curves.border_chains import BorderChain, border_chains
from catalog_builder.tracing.curves.line_svg import line_svg
from catalog_builder.tracing.curves.line_work import FoldNodes, line_work
from catalog_builder.tracing.curves.pen_middle import PenLine, ink_at, pen_lines
from catalog_builder.tracing.cut_lines import cut_lines
from catalog_builder.tracing.doubts import (
    double_lines,
    doubts_about_sheet,
    drawings_apart,
    gap_findings,
    narrow_rooms,
    net_findings,
)
from catalog_builder.tracing.eye_picture import eye_picture
from catalog_builder.tracing.ink.darkness import Darkness, darkness_of
from catalog_builder.tracing.ink.field_map import FieldMap, fields_of
from catalog_builder.tracing.ink.fold_line import DRAWN_ALONG_MM, FoldLine, find_fold
from catalog_builder.tracing.ink.gaps import Gap, close_gaps
from catalog_builder.tracing.ink.line_net import LineNet, hold_ink, net_of
from catalog_builder.tracing.ink.traced_field import TracedField, traced_fields
from catalog_builder.tracing.lost_fields import lost_fields
from catalog_builder.tracing.sheet.flat_sheet import FlatSheet, flatten
from catalog_builder.tracing.sheet.sheet_picture import SheetPicture, read_sheet_picture
from catalog_builder.tracing.trace_finding import TraceFinding
from catalog_builder.tracing.trace_options import HALVES, TraceOptions
from catalog_builder.tracing.trace_scale import TraceScale, scale_of
from catalog_builder.tracing.unmet_blots import unmet_blots

# Room about the drawing on its page.
MARGIN_MM = 5.0
# More than anybody cuts for one piece; squares printed as dark as ink come to thousands, and take minutes.
MOST_FIELDS = 500
# A line is drawn along a border on the fold where so much of it has ink.
_INKED = 0.6
# Quarter turns that bring the drawn half to the left of the fold.
_TURNS = {"left": 0, "top": 1, "right": 2, "bottom": 3}


@dataclass(frozen=True, slots=True)
class TracedDrawing:
    """Line work as SVG and the picture for the eye as PNG; sizes in mm, of a half: unfolded.

    ``fields`` are those that are drawn, of a half: on that half alone. ``left_out`` counts marks that stand free.
    """

    svg: str
    picture: bytes
    scale: TraceScale
    width_mm: float
    height_mm: float
    fields: tuple[TracedField, ...]
    findings: tuple[TraceFinding, ...]
    pen_mm: float
    lines: int
    left_out: int


@dataclass(frozen=True, slots=True)
class _Sheet:
    """A flat sheet, its drawn half turned to the left of the fold by ``turns``, with its net and its fields."""

    flat: FlatSheet
    turns: int
    dark: Darkness
    net: LineNet
    fold: FoldLine | None
    gaps: tuple[Gap, ...]
    fields: FieldMap
    closed: np.ndarray[tuple[int, ...], np.dtype[np.bool_]]
    sides_px: tuple[int, int]

    @property
    def px_per_mm(self) -> float:
        """Pixels for each millimetre of the sheet."""
        return self.flat.px_per_mm

    @property
    def fold_x(self) -> float:
        """Where the fold stands once it is upright, in mm."""
        if self.fold is None:
            return 0.0
        return float(self.fold.x(np.array(self.net.mask.shape[0] / 2))) / self.px_per_mm

    @property
    def upright(self) -> Points:
        """The placing of mm of the turned sheet that makes the fold upright."""
        if self.fold is None:
            return np.eye(3)
        middle = np.array([self.fold_x, self.net.mask.shape[0] / 2 / self.px_per_mm])
        return np.asarray(shifted(middle) @ turned(float(np.arctan(self.fold.slope))) @ shifted(-middle))

    def ink(self, places: Points) -> Points:
        """Give how much of each place (..., 2) in mm is ink, once the fold is upright."""
        px = placed(np.asarray(np.linalg.inv(self.upright), dtype=np.float64), places) * self.px_per_mm
        return ink_at(self.dark.values, self.dark.level, px)

    @property
    def as_seen(self) -> Points:
        """The placing of mm of the turned sheet that turns them back as they are in the picture."""
        height, width = (side / self.px_per_mm for side in self.net.mask.shape)
        if self.turns % 2:
            width, height = height, width
        return quarter_turned(self.turns, width, height)


def drawing_of(path: Path, options: TraceOptions) -> TracedDrawing:
    """Trace a photo or scan of a drawing.

    Raises:
        MistakeError: the picture cannot be read, nothing gives its scale, the sheet is not found, or nothing is drawn.
    """
    picture = read_sheet_picture(path)
    sheet = _read_sheet(picture, flatten(picture, options), options)
    chains = border_chains(sheet.fields.labels)
    drawn = [chain for chain in chains if not chain.on_fold and not _is_speck(chain, sheet.px_per_mm)]
    if not drawn:
        raise _nothing_closed(picture.place)
    lines = pen_lines(drawn, sheet.dark.values, sheet.dark.level, sheet.px_per_mm, sheet.net.pen_mm)
    lines = [replace(line, points=placed(sheet.upright, line.points)) for line in lines]
    work = line_work(lines, _fold_nodes(chains, sheet), sheet.net.pen_mm, sheet.ink)
    return _finished(picture, sheet, options, lines, work)


def _read_sheet(picture: SheetPicture, flat: FlatSheet, options: TraceOptions) -> _Sheet:
    """Find the net, the fold and the fields of a flat sheet."""
    turns = _TURNS[options.half] if options.half else 0
    flat = replace(flat, pixels=np.ascontiguousarray(np.rot90(flat.pixels, turns)))
    dark = darkness_of(flat.pixels, flat.px_per_mm, picture.place)
    net = net_of(dark.ink, flat.px_per_mm, picture.place)
    hold_ink(net, picture.place)
    height, width = flat.pixels.shape[:2]
    flat = replace(flat, pixels=flat.pixels[net.rows, net.columns])
    dark = replace(dark, values=dark.values[net.rows, net.columns], ink=dark.ink[net.rows, net.columns])
    fold = None
    if options.half:
        middle = (
            (width / 2 - net.columns.start, height / 2 - net.rows.start)
            if flat.source in ("paper", "scanned paper")
            else None
        )
        fold = find_fold(dark.values, net.mask, flat.px_per_mm, net.pen_mm, middle)
    if options.half and fold is None:
        raise MistakeError.at(
            picture.place,
            wrong=f"no line stops at a fold on the {_opposite(options.half)} of the drawing",
            expected="half of a drawing, whose lines end at the fold",
            mend="name the half that is drawn, as the photo shows it: left, right, top or bottom",
        )
    closed, gaps = close_gaps(net, flat.px_per_mm, fold)
    fields = fields_of(closed, flat.px_per_mm, fold)
    if fields.count == 0:
        raise _nothing_closed(picture.place)
    if fields.count > MOST_FIELDS:
        raise MistakeError.at(
            picture.place,
            wrong=f"the lines enclose {fields.count} fields",
            expected=f"a drawing of no more than {MOST_FIELDS} pieces",
            mend="draw on plain paper, or on squares that are much lighter than the pen",
        )
    return _Sheet(flat, turns, dark, net, fold, gaps, fields, closed, (height, width))


def _opposite(half: str) -> str:
    return {"left": "right", "right": "left", "top": "bottom", "bottom": "top"}[half]


def _nothing_closed(place: Place) -> MistakeError:
    return MistakeError.at(
        place,
        wrong="the lines enclose no field",
        expected="lines that run on from one to the next, round every piece",
        mend="close the gaps with the pen; if only half is drawn, add --half and one of " + ", ".join(HALVES),
    )


def _is_speck(chain: BorderChain, px_per_mm: float) -> bool:
    return chain.closed and len(chain.points) < 8 * px_per_mm


def _fold_nodes(chains: Sequence[BorderChain], sheet: _Sheet) -> FoldNodes:
    """Give the junctions on the fold, and between which of them a line is drawn along it."""
    if sheet.fold is None:
        return FoldNodes()
    places: dict[int, Points] = {}
    drawn = []
    for chain in chains:
        if chain.on_fold and chain.begin is not None and chain.end is not None:
            ends = placed(sheet.upright, chain.points[[0, -1]] / sheet.px_per_mm)
            places[chain.begin], places[chain.end] = ends
            if _is_drawn_along(chain, sheet.fold, sheet):
                drawn.append((chain.begin, chain.end))
    return FoldNodes(sheet.fold_x, places, tuple(drawn))


def _is_drawn_along(chain: BorderChain, fold: FoldLine, sheet: _Sheet) -> bool:
    """Say whether there is ink beside most of a border on the fold."""
    if len(chain.points) < DRAWN_ALONG_MM * sheet.px_per_mm:
        return False
    rows = np.arange(int(chain.points[:, 1].min()), int(chain.points[:, 1].max()))
    columns = (fold.x(rows + 0.5) - 0.25 * sheet.net.pen_mm * sheet.px_per_mm).astype(int)
    ink = sheet.net.mask[rows, np.clip(columns, 0, sheet.net.mask.shape[1] - 1)]
    return bool(ink.mean() > _INKED)


def _finished(
    picture: SheetPicture, sheet: _Sheet, options: TraceOptions, lines: Sequence[PenLine], work: list[list[Points]]
) -> TracedDrawing:
    """Place the line work on its page, and collect the findings."""
    work = [[placed(sheet.as_seen, curve) for curve in line] for line in work]
    low, high = _box(work)
    scale = scale_of(sheet.flat, options, picture, float(high[0] - low[0]))
    to_page = shifted(MARGIN_MM - scale.times * low) @ scaled(scale.times)
    work = [[placed(to_page, curve) for curve in line] for line in work]
    low, high = _box(work)
    from_mm = to_page @ sheet.as_seen @ sheet.upright

    def place(points: Points) -> Points:
        return placed(from_mm, points)

    from_px = from_mm @ scaled(1 / sheet.px_per_mm)
    fold = _fold_ends(sheet, to_page @ sheet.as_seen, (low, high))
    free, standing_free = net_findings(sheet.net, sheet.closed, sheet.fields, sheet.px_per_mm, place)
    line_place = to_page @ sheet.as_seen
    fields = traced_fields(sheet.fields, sheet.px_per_mm, lambda points: placed(from_px, points), scale.times)
    findings = (
        *doubts_about_sheet(sheet.flat, sheet.fold, options.half is not None),
        *gap_findings(sheet.gaps, standing_free, sheet.fields, sheet.net, sheet.px_per_mm, place),
        *free,
        *double_lines(lines, sheet.net.pen_mm, lambda points: placed(line_place, points)),
        *([] if options.half else cut_lines(sheet.net, sheet.sides_px, sheet.px_per_mm, from_px)),
        *([] if options.half else drawings_apart(sheet.fields)),
        *narrow_rooms(sheet.fields, sheet.net.pen_mm, sheet.px_per_mm, place),
        *lost_fields(work, fold, fields),
        *unmet_blots(sheet.net.mask & ~standing_free, work, from_px, sheet.px_per_mm, sheet.net.pen_mm),
    )
    size = float(high[0] + MARGIN_MM), float(high[1] + MARGIN_MM)
    width, height = (float(side) for side in high - low)
    if options.half in ("left", "right"):
        width *= 2
    elif options.half:
        height *= 2
    return TracedDrawing(
        svg=line_svg(work, fold, size),
        picture=eye_picture(sheet.flat.pixels, from_px, work, fold, (fields, findings, size)),
        scale=scale,
        width_mm=width,
        height_mm=height,
        fields=fields,
        findings=findings,
        pen_mm=float(np.median(np.concatenate([line.wide for line in lines]))) * scale.times,
        lines=len(work),
        left_out=len(sheet.net.left_out) + sum(finding.kind == "left out" for finding in findings),
    )


def _box(work: Sequence[Sequence[Points]]) -> tuple[Points, Points]:
    """Give the corners of the box about curves, by points along them."""
    flat = along_curves([curve for line in work for curve in line], 32).reshape(-1, 2)
    return flat.min(axis=0), flat.max(axis=0)


def _fold_ends(sheet: _Sheet, to_page: Points, box: tuple[Points, Points]) -> tuple[Points, Points] | None:
    """Give the ends of the fold on the page, a little longer than the drawing."""
    if sheet.fold is None:
        return None
    ends = placed(to_page, np.array([[sheet.fold_x, 0.0], [sheet.fold_x, 1.0]]))
    axis = int(np.abs(ends[1] - ends[0]).argmax())
    begin, end = ends[0].copy(), ends[0].copy()
    begin[axis], end[axis] = box[0][axis] - MARGIN_MM / 2, box[1][axis] + MARGIN_MM / 2
    return np.round(begin, 3), np.round(end, 3)
