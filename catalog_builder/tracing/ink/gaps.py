"""Gaps between a line's end and the line ahead of it: small ones are closed, wide ones are named."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from PIL import Image, ImageDraw

from catalog_builder.tracing.arrays import Mask, Points, length
from catalog_builder.tracing.ink.fold_line import FoldLine
from catalog_builder.tracing.ink.line_net import LineNet
from catalog_builder.tracing.ink.thinning import LineEnd, line_ends, thinned

# A gap so wide is closed; one that is wider is named where something is ahead within the second length.
CLOSED_MM = 2.6
AHEAD_MM = 15.0
# A stub shorter than this is of a digit on a line: only a hairline gap ahead of it is closed.
_LINE_MM = 9.0
_STUB_MM = 0.4
# A gap so small is the pen lifted, and not worth a word.
_SAID_MM = 0.3
_FOLLOWED_MM = 12.0
_TO_FOLD_MM = 3.5
# More ends than a hand leaves loose are not looked at: the picture shows no drawing, and each takes time.
MOST_ENDS = 400


@dataclass(frozen=True, slots=True)
class Gap:
    """A gap at a place in mm, how wide it is (None: nothing ahead), and whether it was closed."""

    at: tuple[float, float]
    wide_mm: float | None
    closed: bool


@dataclass(frozen=True, slots=True)
class _Loose:
    """A loose end in pixels of the net: its tip, the direction it points in, and how long its line is known to be."""

    at: Points
    towards: Points
    long_mm: float


def close_gaps(net: LineNet, px_per_mm: float, fold: FoldLine | None) -> tuple[Mask, tuple[Gap, ...]]:
    """Draw the missing bits of line into the net; lines that stop at the fold are led over it."""
    canvas = Image.fromarray(net.mask.astype(np.uint8))
    pen = ImageDraw.Draw(canvas)
    wide = max(1, round(0.9 * net.pen_mm * px_per_mm))
    ends = _loose_ends(net, px_per_mm)[:MOST_ENDS]
    gaps = []
    if fold is not None:
        ends = _led_to_fold(pen, ends, fold, px_per_mm, net.pen_mm)
    for end in ends:
        gap, target = _ahead(end, net, px_per_mm)
        if target is not None:
            pen.line([tuple(end.at.tolist()), tuple(target.tolist())], fill=1, width=wide)
        if gap is not None:
            gaps.append(gap)
    return np.asarray(canvas) > 0, _once(gaps)


def _loose_ends(net: LineNet, px_per_mm: float) -> list[_Loose]:
    """Find loose ends at half size: thinning takes a quarter of the time, and an end need not be exact."""
    rows, columns = net.mask.shape[0] // 2 * 2, net.mask.shape[1] // 2 * 2
    even = net.mask[:rows, :columns]
    small = even[::2, ::2] & even[1::2, ::2] & even[::2, 1::2] & even[1::2, 1::2]
    scale = px_per_mm / 2
    burr = round((0.9 * net.pen_mm + 0.3) * scale)
    ends = line_ends(thinned(small), burr, round(_FOLLOWED_MM * scale))
    loose = [_loose(end, net.pen_mm, scale) for end in ends]
    return [end for end in loose if end is not None]


def _loose(end: LineEnd, pen_mm: float, scale: float) -> _Loose | None:
    path = np.array(end.path, dtype=float)[:, ::-1] + 0.5
    tip = path[min(len(path) - 1, int(0.3 * pen_mm * scale))]
    inner = path[min(len(path) - 1, int((0.3 * pen_mm + 4.5) * scale))]
    far = length(tip - inner)
    if far < 1:
        return None
    long = np.inf if end.stop == "length" else len(path) / scale
    return _Loose(2 * path[0], (tip - inner) / far, long)


def _led_to_fold(
    pen: ImageDraw.ImageDraw, ends: Sequence[_Loose], fold: FoldLine, px_per_mm: float, pen_mm: float
) -> list[_Loose]:
    """Lead the ends that stop near the fold over it; gives the others."""
    wide, reach = max(1, round(0.9 * pen_mm * px_per_mm)), (_TO_FOLD_MM + pen_mm) * px_per_mm
    others, led = [], []
    for end in ends:
        short = float(fold.x(end.at[1])) - end.at[0]
        if short >= reach:
            others.append(end)
        elif short > -2 * px_per_mm and end.towards[0] > 0.15:
            far = min((short + px_per_mm) / end.towards[0], 6 * px_per_mm)
            pen.line([tuple(end.at.tolist()), tuple((end.at + far * end.towards).tolist())], fill=1, width=wide)
            led.append(end.at)
    for tip in fold.tips:
        # Two lines that meet in a corner short of the fold have no loose end.
        if not any(length(at - tip) < 2.5 * px_per_mm for at in led):
            beyond = float(fold.x(tip[1])) + px_per_mm
            if beyond > tip[0]:
                pen.line([tuple(tip.tolist()), (beyond, float(tip[1]))], fill=1, width=wide)
    return others


def _ahead(end: _Loose, net: LineNet, px_per_mm: float) -> tuple[Gap | None, Points | None]:
    """Look for ink ahead of a loose end, and give the gap with the place to draw to."""
    height, width = net.mask.shape
    most = CLOSED_MM if end.long_mm > _LINE_MM else _STUB_MM
    best: tuple[float, float, Points] | None = None
    steps = np.arange(0.0, (AHEAD_MM + net.pen_mm) * px_per_mm, 0.7)
    for angle in np.radians(np.arange(-40, 41, 5)):
        cos, sin = np.cos(angle), np.sin(angle)
        towards = np.array([end.towards[0] * cos - end.towards[1] * sin, end.towards[0] * sin + end.towards[1] * cos])
        places = end.at + steps[:, None] * towards
        inside = (places >= 0).all(axis=1) & (places < [width, height]).all(axis=1)
        cells = places[inside].astype(int)
        ink = net.mask[cells[:, 1], cells[:, 0]]
        leaves = int(ink.argmin()) if len(ink) and not ink.all() else -1
        if leaves < 0 or steps[leaves] > (1.1 * net.pen_mm + 0.3) * px_per_mm or not ink[leaves:].any():
            continue
        meets = leaves + int(ink[leaves:].argmax())
        gap = float(steps[meets] - steps[leaves]) / px_per_mm
        cost = gap * (1 + abs(float(angle)) / 0.6) + 0.3 * abs(float(angle))
        if best is None or cost < best[0]:
            best = cost, gap, end.at + towards * (steps[meets] + 0.3 * net.pen_mm * px_per_mm)
    at = float(end.at[0] / px_per_mm), float(end.at[1] / px_per_mm)
    if best is None:
        return (Gap(at, None, closed=False) if end.long_mm > _LINE_MM else None), None
    _, gap, target = best
    if gap <= most:
        return (Gap(at, gap, closed=True) if gap > _SAID_MM else None), target
    return (Gap(at, gap, closed=False) if end.long_mm > _LINE_MM else None), None


def _once(gaps: Sequence[Gap]) -> tuple[Gap, ...]:
    """Name a gap once where both lines end in it."""
    kept: list[Gap] = []
    for gap in sorted(gaps, key=lambda each: (not each.closed, each.at[1], each.at[0])):
        near = (np.hypot(gap.at[0] - other.at[0], gap.at[1] - other.at[1]) for other in kept)
        if not any(distance < (gap.wide_mm or 0) + 2.5 for distance in near):
            kept.append(gap)
    return tuple(kept)
