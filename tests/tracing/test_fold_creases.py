"""The fold of a half: along its crease, and by the sheet's middle where no crease is seen."""

from __future__ import annotations

import numpy as np
import pytest

from catalog_builder.tracing.arrays import Grey, Mask
from catalog_builder.tracing.ink.fold_crease import find_crease
from catalog_builder.tracing.ink.fold_line import FoldLine, find_fold
from tests.tracing.paper_sheets import PX_PER_MM, sheet

# How dark the crease and its paler neighbour are, of 255, and how far they are off the supposed fold, in mm.
DEEP, PALE = 30.0, -12.0
SHAPE = (900, 500)
# Lines that stop 0.2, 1.0 and 1.8 mm short of x = 80 mm, and are drawn with a pen of 1.2 mm.
SHORT = [[(79.2, 20.0), (30.0, 40.0), (30.0, 80.0), (78.4, 100.0)], [(30.0, 60.0), (77.6, 60.0)]]


def folded(dark_mm: float | None, light_mm: float | None, lean: float = 0.003) -> Grey:
    """A strip of paper with a dark line 0.18 mm thin and a light one 0.3 mm thin, each so far right of 25 mm."""
    x = (np.arange(SHAPE[1]) + 0.5) / PX_PER_MM - 25.0
    y = (np.arange(SHAPE[0]) + 0.5) / PX_PER_MM - SHAPE[0] / 2 / PX_PER_MM
    off = x[None] - lean * y[:, None]
    grain = np.random.default_rng(3).normal(0, 3, SHAPE)
    values = 14 + grain
    if dark_mm is not None:
        values += DEEP * np.exp(-(((off - dark_mm) / 0.18) ** 2))
    if light_mm is not None:
        values += PALE * np.exp(-(((off - light_mm) / 0.3) ** 2))
    return np.clip(values, 0, 255).astype(np.uint8)


def bare() -> Mask:
    """A net without any ink there."""
    return np.zeros(SHAPE, dtype=bool)


@pytest.mark.parametrize("light_mm", [None, 1.0, 0.2])
@pytest.mark.parametrize("guess_mm", [-1.0, 0.4, 1.5])
def test_a_crease_is_its_thin_dark_line(light_mm: float | None, guess_mm: float) -> None:
    """A paler line 0.4 mm beside it, on either side, draws the fold aside by less than 0.05 mm."""
    crease = find_crease(folded(0.6, light_mm), bare(), ((25.0 + guess_mm) * PX_PER_MM, 0.0), PX_PER_MM)
    assert crease is not None
    at, slope = crease
    assert (at + slope * SHAPE[0] / 2) / PX_PER_MM == pytest.approx(25.6, abs=0.05)
    assert slope == pytest.approx(0.003, abs=0.0005)


def test_a_light_crease_is_taken_where_there_is_no_dark_one() -> None:
    """Paper that shines where it is broken."""
    crease = find_crease(folded(None, 0.6), bare(), (25.0 * PX_PER_MM, 0.0), PX_PER_MM)
    assert crease is not None
    assert (crease[0] + crease[1] * SHAPE[0] / 2) / PX_PER_MM == pytest.approx(25.6, abs=0.1)


def test_smooth_paper_has_no_crease() -> None:
    """Grain alone is no line."""
    assert find_crease(folded(None, None), bare(), (25.0 * PX_PER_MM, 0.0), PX_PER_MM) is None


def fold_with(middle_mm: float | None) -> FoldLine:
    """The fold of lines that stop short of it, on a sheet whose middle is known or not."""
    inked = sheet(SHORT) < 128
    at = None if middle_mm is None else (middle_mm * PX_PER_MM, 600.0)
    fold = find_fold(inked.astype(np.uint8) * 200, inked, PX_PER_MM, 1.2, at)
    assert fold is not None
    return fold


def test_the_sheets_middle_draws_a_fold_to_it_by_how_sure_the_ends_are() -> None:
    """Ends that scatter by 1.6 mm, the farthest at 79.2 mm, and a middle at 80: the fold lies between, nearer to 80."""
    by_ends, by_both = fold_with(None), fold_with(80.0)
    assert by_ends.source == "ends"
    assert float(by_ends.x(600.0)) / PX_PER_MM == pytest.approx(79.0, abs=0.5)
    assert by_both.source == "sheet's middle"
    assert float(by_both.x(600.0)) / PX_PER_MM == pytest.approx(79.8, abs=0.2)
    assert by_both.spread_mm < by_ends.spread_mm


def test_a_sheets_middle_far_from_the_ends_is_no_fold() -> None:
    """A sheet folded elsewhere than in its middle is folded where the lines end."""
    fold = fold_with(85.0)
    assert (fold.source, fold.at) == ("ends", fold_with(None).at)
