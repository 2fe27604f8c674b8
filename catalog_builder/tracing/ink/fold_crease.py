"""The crease of a folded sheet: a thin, faint, straight line, darker than the paper on both its sides, or lighter.

Paper broken along a fold mostly shows a dark line with a paler, wider one beside it: the dark one is the fold.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from catalog_builder.tracing.arrays import Grey, Mask, Points

# How far from the supposed fold it is looked for, and the strip that is looked at.
_NEAR_MM, _STRIP_MM = 2.5, 4.0
_BANDS = 60
# What is darker is no crease: a number, or the pen's line.
_DARKEST = 60
# A crease is thinner than this: the paper so far to its left and right is that which it is held against.
_BESIDE_MM = 0.6
_CLEAR_OF_INK_MM = 0.6
_SMOOTH_MM = 0.1
# A crease stands out by so much, in the root of grey levels, and so many times more than chance does.
_STANDS_OUT, _TIMES_CHANCE = 0.8, 4.0
# A light line is the fold only where it stands out much more than any dark one.
_LIGHTER = 1.2


@dataclass(frozen=True, slots=True)
class _Strip:
    """Ridges along a supposed fold: for each band how much each column stands out, and how high the band lies.

    Shapes (bands, columns) and (bands,), the height counted from the middle row. ``begin`` is how far right of the
    supposed fold the middle of the first column lies.
    """

    ridge: Points
    height: Points
    begin: float


@dataclass(frozen=True, slots=True)
class _Line:
    """A line across the strip at ``column + turn height``, and how much it stands out, summed over all bands."""

    column: float
    turn: float
    strength: float


def find_crease(values: Grey, net: Mask, line: tuple[float, float], px_per_mm: float) -> tuple[float, float] | None:
    """Find the crease within 2.5 mm of a line ``x = at + slope y``, as such a line; None where there is none."""
    strip = _strip(values, net, line, px_per_mm)
    dark = _strongest(strip.ridge, strip, px_per_mm)
    light = _strongest(-strip.ridge, strip, px_per_mm)
    if light is not None and (dark is None or light.strength > _LIGHTER * dark.strength):
        best, ridge = light, -strip.ridge
    elif dark is not None:
        best, ridge = dark, strip.ridge
    else:
        return None
    exact = _centred(ridge, strip.height, best, px_per_mm)
    if exact is None:
        return None
    at, slope = line
    middle = values.shape[0] / 2
    total_slope = slope + exact.turn
    return at + slope * middle + exact.column + strip.begin - total_slope * middle, total_slope


def _strip(values: Grey, net: Mask, line: tuple[float, float], px_per_mm: float) -> _Strip:
    from scipy.ndimage import binary_dilation, gaussian_filter1d

    height, width = values.shape
    at, slope = line
    reach = round(_STRIP_MM * px_per_mm)
    y = np.arange(height)
    fold = at + slope * (y + 0.5)
    middle = np.round(fold).astype(int)
    columns = np.clip(middle[:, None] + np.arange(-reach, reach + 1)[None], 0, width - 1)
    part = np.minimum(values[y[:, None], columns], _DARKEST).astype(float)
    clear = ~binary_dilation(net[y[:, None], columns], iterations=max(1, round(_CLEAR_OF_INK_MM * px_per_mm)))
    limits = np.linspace(0, height, _BANDS + 1).astype(int)
    sums = np.add.reduceat(part * clear, limits[:-1], axis=0)
    counts = np.add.reduceat(clear.astype(float), limits[:-1], axis=0)
    profile = gaussian_filter1d(sums / np.maximum(counts, 1), _SMOOTH_MM * px_per_mm, axis=1)
    beside = max(1, round(_BESIDE_MM * px_per_mm))
    ridge = profile - (np.roll(profile, beside, axis=1) + np.roll(profile, -beside, axis=1)) / 2
    seen = counts > 0.4 * counts.max()
    ridge *= seen & np.roll(seen, beside, axis=1) & np.roll(seen, -beside, axis=1)
    begin = float((middle + 0.5 - fold).mean()) - reach
    return _Strip(ridge, (limits[:-1] + limits[1:]) / 2 - height / 2, begin)


def _strongest(ridge: Points, strip: _Strip, px_per_mm: float) -> _Line | None:
    """Give the line along which a ridge stands out most, if it is one: all bands count, one alone little."""
    root = np.sign(ridge) * np.sqrt(np.abs(ridge))
    edge = round((_STRIP_MM - _NEAR_MM) * px_per_mm)
    best, usual = _Line(0.0, 0.0, 0.0), 1.0
    for turn in np.linspace(-0.02, 0.02, 81):
        shifted = [np.roll(row, -round(turn * up)) for row, up in zip(root, strip.height, strict=True)]
        total = np.sum(shifted, axis=0)[edge:-edge]
        column = int(total.argmax())
        if total[column] > best.strength:
            best = _Line(float(column + edge), float(turn), float(total[column]))
            usual = float(np.median(np.abs(total)))
    return best if best.strength > max(_STANDS_OUT * _BANDS, _TIMES_CHANCE * usual) else None


def _centred(ridge: Points, height: Points, line: _Line, px_per_mm: float) -> _Line | None:
    """Sharpen a crease: the centre of its ridge in each band, and the line through those."""
    reach = 0.3 * px_per_mm
    across, up = [], []
    for row, band in zip(ridge, height, strict=True):
        middle = line.column + line.turn * band
        span = np.arange(max(0, int(middle - reach)), min(len(row), int(middle + reach) + 2))
        if len(span) == 0:
            continue
        peak = int(span[row[span].argmax()])
        span = np.arange(max(0, int(peak - reach)), min(len(row), int(peak + reach) + 1))
        # The upper half of the ridge: its feet are drawn aside by what lies beside it.
        weights = np.maximum(row[span] - 0.5 * row[peak], 0)
        if row[peak] > 0.3:
            across.append(float((weights * span).sum() / weights.sum()))
            up.append(band)
    if len(across) < _BANDS // 5:
        return None
    x, y = np.array(across), np.array(up)
    turn, column = line.turn, line.column
    for _ in range(4):
        off = np.abs(x - column - turn * y)
        good = off <= max(1.2, 2 * float(np.median(off)))
        turn, column = (float(value) for value in np.polyfit(y[good], x[good], 1))
    return _Line(column, turn, line.strength)
