"""The fold of a half drawing: the line through the line ends that stop there, or the crease that runs along it.

Here the drawn half always lies on the left of the fold; the sheet is turned so before.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import combinations
from typing import Any, Literal, TypeAlias

import numpy as np
from numpy.typing import NDArray

from catalog_builder.tracing.arrays import Grey, Mask, Points

FoldSource: TypeAlias = Literal["crease", "ends", "drawn line", "one end"]
# How far left of the outermost line an end may lie and still be at the fold: the sheet may be turned a little.
_BAND_MM = 8.0
_MOST_SLOPE = 0.05
# An end counts for a fold by how near it is; one so far off does not.
_NEAR_MM = 1.2
_OVER_MM = 1.5
# Without a crease, the fold runs through the farthest of the ends: this quantile of them.
_FARTHEST = 0.95
# A tip stands out from its neighbourhood by so much.
_TIP_MM = 0.8
# A line is drawn along the fold where the outermost ink runs along it for so long.
DRAWN_ALONG_MM = 6.0


@dataclass(frozen=True, slots=True)
class FoldLine:
    """A fold at ``x = at + slope y``, in pixels, and where it is from.

    ``spread_mm`` is how far the line ends scatter about it; ``tips`` are the ends that stop at it, shape (n, 2).
    """

    at: float
    slope: float
    source: FoldSource
    spread_mm: float
    tips: Points

    def x(self, y: NDArray[Any] | float) -> Points:
        """Give the place of the fold at heights ``y``."""
        return np.asarray(self.at + self.slope * y)


@dataclass(frozen=True, slots=True)
class _Silhouette:
    """The outermost ink of each row with ink near the fold: its place and the middle of the pen's line there."""

    rows: NDArray[Any]
    reach: Points
    tips: Points


def find_fold(values: Grey, net: Mask, px_per_mm: float, pen_mm: float) -> FoldLine | None:
    """Find the fold on the right of a net; None where no line stops at one."""
    outline = _silhouette(net, px_per_mm, pen_mm)
    lines = _candidates(outline.tips, px_per_mm)
    if not lines:
        return None
    at, slope = max(lines, key=lambda line: _score(line, outline, px_per_mm))
    at, slope, tips = _through_tips(at, slope, outline, px_per_mm)
    off = outline.tips[tips][:, 0] - at - slope * outline.tips[tips][:, 1]
    spread = float(np.sqrt(np.mean(off**2))) / px_per_mm if len(off) > 1 else 1.0
    ends = outline.tips[tips]
    crease = _crease(values, net, (at, slope), px_per_mm)
    if crease is not None:
        return FoldLine(crease[0], crease[1], "crease", min(spread, 0.2), ends)
    along = np.abs(outline.reach - at - slope * outline.rows) < 0.5 * px_per_mm
    if along.sum() > max(DRAWN_ALONG_MM * px_per_mm, 0.3 * len(along)):
        return FoldLine(at, slope, "drawn line", min(spread, 0.2), ends)
    if len(off) > 1:
        # A hand stops short of a fold more often than it runs over it.
        at += float(np.quantile(off, _FARTHEST))
    return FoldLine(at, slope, "ends" if len(ends) > 1 else "one end", spread, ends)


def _silhouette(net: Mask, px_per_mm: float, pen_mm: float) -> _Silhouette:
    width = net.shape[1]
    has = net.any(axis=1)
    reach = np.where(has, width - net[:, ::-1].argmax(axis=1), 0).astype(float)
    reach -= pen_mm * px_per_mm / 2
    floor = reach.max() - _BAND_MM * px_per_mm
    shown = np.where(has, np.maximum(reach, floor), floor)
    peaks = _peaks(np.concatenate([[floor], shown, [floor]]), _TIP_MM * px_per_mm)
    tips = np.array([(shown[peak - 1], peak - 0.5) for peak in peaks]).reshape(-1, 2)
    near = has & (reach > floor)
    return _Silhouette(np.flatnonzero(near) + 0.5, reach[near], tips)


def _peaks(heights: Points, least: float) -> list[int]:
    """Give the middles of the peaks that stand out by ``least`` from the lower of the saddles beside them."""
    changes = np.flatnonzero(np.diff(heights)) + 1
    starts = np.concatenate([[0], changes])
    values = heights[starts]
    ends = np.concatenate([changes, [len(heights)]])
    peaks = []
    for index in np.flatnonzero((values[1:-1] > values[:-2]) & (values[1:-1] > values[2:])) + 1:
        saddles = []
        for side in (values[:index][::-1], values[index + 1 :]):
            higher = np.flatnonzero(side > values[index])
            saddles.append(side[: higher[0] if len(higher) else len(side)].min())
        if values[index] - max(saddles) >= least:
            peaks.append(int(starts[index] + ends[index] - 1) // 2)
    return peaks


def _candidates(tips: Points, px_per_mm: float) -> list[tuple[float, float]]:
    lines = [(float(x), 0.0) for x, _ in tips]
    for (x, y), (u, v) in combinations(tips.tolist(), 2):
        if abs(v - y) > 12 * px_per_mm and abs(u - x) < _MOST_SLOPE * abs(v - y):
            slope = (u - x) / (v - y)
            lines.append((x - slope * y, slope))
    return lines


def _score(line: tuple[float, float], outline: _Silhouette, px_per_mm: float) -> float:
    """Say how well a line stands for the fold: many ends near it, ink along it, none beyond it, and upright."""
    at, slope = line
    off = (outline.tips[:, 0] - at - slope * outline.tips[:, 1]) / px_per_mm
    support = np.maximum(0.0, 1 - (off / _NEAR_MM) ** 2).sum()
    beside = (outline.reach - at - slope * outline.rows) / px_per_mm
    along = (np.abs(beside) < 0.5).sum() / px_per_mm / 10
    beyond = (beside > _OVER_MM).sum() / px_per_mm / 4
    return float(support + along - beyond - 20 * abs(slope))


def _through_tips(at: float, slope: float, outline: _Silhouette, px_per_mm: float) -> tuple[float, float, Mask]:
    """Fit a line to the ends near it, far ones counting less; it leans towards the upright."""
    x, y = outline.tips.T
    beside = np.abs(outline.reach - at - slope * outline.rows) < 0.5 * px_per_mm
    if beside.sum() > 3 * DRAWN_ALONG_MM * px_per_mm:  # a line drawn along it is surer than any end
        slope, at = (float(value) for value in np.polyfit(outline.rows[beside], outline.reach[beside], 1))
        return at, slope, np.abs(x - at - slope * y) < 2 * px_per_mm
    for _ in range(6):
        off = (x - at - slope * y) / px_per_mm
        weights = np.maximum(0.0, 1 - (off / 2.0) ** 2) ** 2
        if weights.sum() <= 0:
            break
        middle = float((weights * y).sum() / weights.sum())
        across = float((weights * x).sum() / weights.sum())
        # As if known beforehand: upright to within a hundredth, where the ends lie within half a millimetre.
        beforehand = (0.5 * px_per_mm / 0.01) ** 2
        slope = float(
            (weights * (y - middle) * (x - across)).sum() / ((weights * (y - middle) ** 2).sum() + beforehand)
        )
        at = across - slope * middle
    return at, slope, np.abs(x - at - slope * y) < 2.5 * px_per_mm


def _crease(values: Grey, net: Mask, line: tuple[float, float], px_per_mm: float) -> tuple[float, float] | None:
    """Find a thin, faint, straight dark line within 2.5 mm of the fold through the ends; None where there is none."""
    from scipy.ndimage import binary_dilation, gaussian_filter1d, uniform_filter1d

    height, width = values.shape
    at, slope = line
    reach, bands = round(4.0 * px_per_mm), 60
    y = np.arange(height)
    columns = np.round(at + slope * (y + 0.5)).astype(int)[:, None] + np.arange(-reach, reach + 1)[None]
    columns = np.clip(columns, 0, width - 1)
    strip = np.minimum(values[y[:, None], columns], 40).astype(float)
    clear = ~binary_dilation(net[y[:, None], columns], iterations=max(1, round(0.6 * px_per_mm)))
    limits = np.linspace(0, height, bands + 1).astype(int)
    sums = np.add.reduceat(strip * clear, limits[:-1], axis=0)
    counts = np.add.reduceat(clear.astype(float), limits[:-1], axis=0)
    profile = sums / np.maximum(counts, 1)
    profile -= uniform_filter1d(profile, int(2 * px_per_mm) | 1, axis=1)
    profile = gaussian_filter1d(profile, 0.12 * px_per_mm, axis=1) * (counts > 0.4 * counts.max())
    profile = np.clip(profile, -6, 6)
    lean = (limits[:-1] + limits[1:]) / 2 - height / 2
    inner = slice(round(1.5 * px_per_mm), -round(1.5 * px_per_mm))
    best = (0.0, 0.0, 0, 1.0)
    for turn in np.linspace(-0.02, 0.02, 81):
        shifted = [np.roll(row, -round(turn * up)) for row, up in zip(profile, lean, strict=True)]
        total = np.abs(np.sum(shifted, axis=0))[inner]
        where = int(total.argmax())
        if total[where] > best[0]:
            best = (float(total[where]), float(turn), where, float(np.median(total)))
    strength, turn, where, usual = best
    if strength < 0.8 * bands or strength < 4 * usual:
        return None
    offset = where + round(1.5 * px_per_mm) - reach
    exact = _centred(profile, lean, (offset + reach, turn), px_per_mm)
    if exact is None:
        return None
    shift, turn = exact[0] - reach, exact[1]
    middle = height / 2
    total_slope = slope + turn
    # The strip's middle column has its own middle half a pixel on.
    return at + slope * middle + shift - total_slope * middle, total_slope


def _centred(profile: Points, lean: Points, line: tuple[float, float], px_per_mm: float) -> tuple[float, float] | None:
    """Sharpen a crease: the centre of its profile in each band, and the line through those."""
    across, up = [], []
    for row, height in zip(profile, lean, strict=True):
        middle = line[0] + line[1] * height
        span = np.arange(max(0, int(middle - 0.5 * px_per_mm)), min(len(row), int(middle + 0.5 * px_per_mm) + 2))
        weights = np.maximum(row[span] * (np.sign(row[span].sum()) or 1.0), 0) if len(span) else np.empty(0)
        if weights.sum() > 1.5:
            across.append(float((weights * span).sum() / weights.sum()))
            up.append(height)
    if len(across) < 12:
        return None
    x, y = np.array(across), np.array(up)
    slope, at = line[1], line[0]
    for _ in range(4):
        off = np.abs(x - at - slope * y)
        good = off < max(1.2, 2 * float(np.median(off)))
        slope, at = (float(value) for value in np.polyfit(y[good], x[good], 1))
    return at, slope
