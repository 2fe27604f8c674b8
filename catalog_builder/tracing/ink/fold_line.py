"""The fold of a half drawing: the line through the line ends that stop there, or the sheet's middle if it is near them.

The crease that runs along it, where one is seen, goes before both (``fold_crease``).

Here the drawn half always lies on the left of the fold; the sheet is turned so before.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import combinations
from typing import Any, Literal, TypeAlias

import numpy as np
from numpy.typing import NDArray

from catalog_builder.tracing.arrays import Grey, Mask, Points
from catalog_builder.tracing.ink.fold_crease import find_crease

FoldSource: TypeAlias = Literal["crease", "ends", "drawn line", "one end", "sheet's middle"]
# How far left of the outermost line an end may lie and still be at the fold: the sheet may be turned a little.
_BAND_MM = 8.0
_MOST_SLOPE = 0.05
# An end counts for a fold by how near it is; one so far off does not.
_NEAR_MM = 1.2
_OVER_MM = 1.5
# Without a crease, the fold runs through the farthest of the ends: this quantile of them.
_FARTHEST = 0.95
# A sheet folded edge to edge is folded in its middle; how sure that is, and how near the ends must lie to it, in mm.
_MIDDLE_SURE, _MIDDLE_NEAR = 0.35, 2.0
# The farthest of many ends is so sure at best; a single end says so little.
_ENDS_SURE, _ONE_END_SURE = 0.1, 1.0
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


def find_fold(
    values: Grey, net: Mask, px_per_mm: float, pen_mm: float, sheet_middle: tuple[float, float] | None = None
) -> FoldLine | None:
    """Find the fold on the right of a net; None where no line stops at one.

    ``sheet_middle`` is where the middle of the sheet lies, in pixels of the net, if the sheet is known.
    """
    outline = _silhouette(net, px_per_mm, pen_mm)
    lines = _candidates(outline.tips, px_per_mm)
    if not lines:
        return None
    at, slope = max(lines, key=lambda line: _score(line, outline, px_per_mm))
    at, slope, tips = _through_tips(at, slope, outline, px_per_mm)
    off = outline.tips[tips][:, 0] - at - slope * outline.tips[tips][:, 1]
    spread = float(np.sqrt(np.mean(off**2))) / px_per_mm if len(off) > 1 else 1.0
    ends = outline.tips[tips]
    crease = find_crease(values, net, (at, slope), px_per_mm)
    if crease is not None:
        return FoldLine(crease[0], crease[1], "crease", min(spread, 0.2), ends)
    along = np.abs(outline.reach - at - slope * outline.rows) < 0.5 * px_per_mm
    if along.sum() > max(DRAWN_ALONG_MM * px_per_mm, 0.3 * len(along)):
        return FoldLine(at, slope, "drawn line", min(spread, 0.2), ends)
    if len(off) > 1:
        # A hand stops short of a fold more often than it runs over it.
        at += float(np.quantile(off, _FARTHEST))
    fold = FoldLine(at, slope, "ends" if len(ends) > 1 else "one end", spread, ends)
    return fold if sheet_middle is None else _towards_middle(fold, sheet_middle, px_per_mm)


def _towards_middle(fold: FoldLine, sheet_middle: tuple[float, float], px_per_mm: float) -> FoldLine:
    """Take the sheet's middle and the ends for two measurements of the fold, each as sure as it is."""
    x, y = sheet_middle
    away = (x - float(fold.x(y))) / px_per_mm
    if abs(away) > _MIDDLE_NEAR:
        return fold
    off = (fold.tips[:, 0] - fold.x(fold.tips[:, 1])) / px_per_mm
    sure = _ENDS_SURE + float(np.ptp(off)) / len(off) if len(off) > 1 else _ONE_END_SURE
    share = sure**2 / (sure**2 + _MIDDLE_SURE**2)
    left = sure * _MIDDLE_SURE / float(np.hypot(sure, _MIDDLE_SURE))
    return replace(fold, at=fold.at + share * away * px_per_mm, source="sheet's middle", spread_mm=left)


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
