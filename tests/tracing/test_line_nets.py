"""What is drawn: the pen's width, marks that stand free, thinned lines, gaps, the fold, fields."""

from __future__ import annotations

import numpy as np
import pytest

from catalog_builder.mistake import MistakeError, Place
from catalog_builder.tracing.ink.darkness import darkness_of
from catalog_builder.tracing.ink.field_map import fields_of
from catalog_builder.tracing.ink.fold_line import find_fold
from catalog_builder.tracing.ink.gaps import Gap, close_gaps
from catalog_builder.tracing.ink.line_net import LineNet, hold_ink, net_of
from catalog_builder.tracing.ink.thinning import line_ends, thinned
from tests.tracing.paper_sheets import PX_PER_MM, Line, rectangle, ring, sheet

HERE = Place(path="sheet.png")


def net(lines: list[Line], pen_mm: float = 1.2) -> LineNet:
    """The net of some lines on a sheet."""
    dark = darkness_of(sheet(lines, pen_mm=pen_mm), PX_PER_MM, HERE)
    return net_of(dark.ink, PX_PER_MM, HERE)


def shifted(found: LineNet, x: float, y: float) -> tuple[float, float]:
    """A place of the sheet as places of the net's part are counted."""
    return x - found.columns.start / PX_PER_MM, y - found.rows.start / PX_PER_MM


@pytest.mark.parametrize("pen_mm", [0.7, 1.2, 2.5])
def test_the_pen_is_as_wide_as_its_line(pen_mm: float) -> None:
    """The width of most lines is that of the pen."""
    assert net([rectangle(20, 20, 80, 90)], pen_mm).pen_mm == pytest.approx(pen_mm, abs=0.2)


def test_an_empty_sheet_is_refused() -> None:
    """A sheet without ink has nothing to trace."""
    with pytest.raises(MistakeError, match="no lines were found on the sheet"):
        net([])


def test_a_number_in_a_field_is_left_out() -> None:
    """Marks up to 13 mm that stand free are no lines; a closed one as round as a piece may be one."""
    found = net([rectangle(20, 20, 80, 90), [(50, 50), (50, 58)], ring((65, 70), 5)])
    assert len(found.left_out) == 2
    assert [mark.may_be_piece for mark in found.left_out] == [False, True]


def test_a_sheet_of_numbers_alone_is_refused() -> None:
    """Without a line longer than a number, the scale is probably wrong."""
    with pytest.raises(MistakeError, match="no line is longer than a number"):
        net([[(50, 50), (50, 56)]])


def test_a_thinned_bar_is_one_pixel_wide_and_has_two_ends() -> None:
    """A bar becomes its middle line; a ring has no end."""
    bar = np.zeros((40, 200), dtype=bool)
    bar[15:26, 20:180] = True
    thin = thinned(bar)
    assert thin.sum(axis=0).max() == 1
    assert np.argwhere(thin)[:, 0].min() == np.argwhere(thin)[:, 0].max() == 20
    assert len(line_ends(thin, 8, 60)) == 2
    y, x = np.mgrid[:120, :120]
    distance = np.hypot(y - 60, x - 60)
    assert line_ends(thinned((distance > 40) & (distance < 48)), 6, 60) == []


def test_the_burrs_of_a_round_line_end_do_not_hide_it() -> None:
    """A thinned line that forks at its end still has that one end."""
    thin = np.zeros((60, 100), dtype=bool)
    thin[30, 10:80] = True
    for step in range(1, 6):
        thin[30 - step, 79 + step] = thin[30 + step, 79 + step] = True
    ends = line_ends(thin, 8, 40)
    assert [end.path[0] for end in ends] == [(30, 10), (30, 79)]
    assert all(end.stop == "length" for end in ends)


def test_the_tip_of_an_acute_corner_is_no_end() -> None:
    """Two thinned lines that meet in an acute corner go on through it."""
    thin = np.zeros((60, 60), dtype=bool)
    thin[10, 30] = True
    for step in range(1, 40):
        thin[10 + step, 30 - step // 4 - 1] = thin[10 + step, 30 + step // 4 + 1] = True
    assert len(line_ends(thin, 3, 100)) == 2


@pytest.mark.parametrize("gap_mm", [0.6, 1.2, 2.0])
def test_a_small_gap_is_closed_and_told_with_its_place(gap_mm: float) -> None:
    """A line that stops short of the next one parts two fields all the same."""
    found = net([rectangle(20, 20, 80, 90), [(20, 55), (80 - 1.2 - gap_mm, 55)]])
    closed, gaps = close_gaps(found, PX_PER_MM, None)
    assert fields_of(found.mask, PX_PER_MM, None).count == 1
    assert fields_of(closed, PX_PER_MM, None).count == 2
    assert len(gaps) == 1
    assert gaps[0].closed
    assert gaps[0].wide_mm == pytest.approx(gap_mm, abs=0.25)
    assert gaps[0].at == pytest.approx(shifted(found, 80 - 1.2 - gap_mm, 55), abs=1.0)


def test_a_wide_gap_stays_open_and_is_told() -> None:
    """Where a gap is too wide to close, two fields are one, and the place is known."""
    found = net([rectangle(20, 20, 80, 90), [(20, 55), (73, 55)]])
    closed, gaps = close_gaps(found, PX_PER_MM, None)
    assert fields_of(closed, PX_PER_MM, None).count == 1
    (gap,) = gaps
    assert not gap.closed
    assert gap.wide_mm == pytest.approx(5.8, abs=0.3)


def test_two_ends_that_miss_each_other_are_one_gap() -> None:
    """A gap in the middle of a line is told once."""
    found = net([rectangle(20, 20, 80, 90), [(20, 55), (48, 55)], [(51, 55), (80, 55)]])
    closed, gaps = close_gaps(found, PX_PER_MM, None)
    assert fields_of(closed, PX_PER_MM, None).count == 2
    assert len(gaps) == 1
    assert gaps[0] == Gap(gaps[0].at, gaps[0].wide_mm, closed=True)


def test_a_line_that_parts_nothing_makes_no_field() -> None:
    """A spur inside a field has that field on both sides."""
    assert fields_of(net([rectangle(20, 20, 80, 90), [(20, 55), (50, 55)]]).mask, PX_PER_MM, None).count == 1


HALF: list[Line] = [[(80, 20), (30, 40), (30, 80), (80, 100)], [(30, 60), (80, 60)]]


def test_the_fold_runs_through_the_ends_that_stop_at_it() -> None:
    """Three lines end at x = 80 of the sheet: there the fold is, upright, and cuts two fields out."""
    dark = darkness_of(sheet(HALF), PX_PER_MM, HERE)
    found = net(HALF)
    values = dark.values[found.rows, found.columns]
    fold = find_fold(values, found.mask, PX_PER_MM, found.pen_mm)
    assert fold is not None
    assert fold.source == "ends"
    middle = found.mask.shape[0] / 2
    assert float(fold.x(middle)) / PX_PER_MM == pytest.approx(shifted(found, 80, 0)[0], abs=0.15)
    assert abs(fold.slope) < 0.002
    closed, gaps = close_gaps(found, PX_PER_MM, fold)
    assert gaps == ()
    assert fields_of(closed, PX_PER_MM, fold).count == 2


def test_two_lines_that_meet_in_a_corner_short_of_the_fold_reach_it() -> None:
    """A corner 1.5 mm short of the fold has no loose end, and parts the fields all the same."""
    lines: list[Line] = [[(80, 20), (30, 40), (30, 80), (80, 100)], [(30, 55), (78.5, 60), (30, 65)]]
    found = net(lines)
    values = darkness_of(sheet(lines), PX_PER_MM, HERE).values[found.rows, found.columns]
    fold = find_fold(values, found.mask, PX_PER_MM, found.pen_mm)
    closed, _ = close_gaps(found, PX_PER_MM, fold)
    assert fields_of(closed, PX_PER_MM, fold).count == 3


def test_a_sheet_of_noise_is_refused() -> None:
    """Thousands of specks are no drawing, and are not gone through one by one."""
    noise = np.random.default_rng(4).random((1200, 1000)) < 0.02
    with pytest.raises(MistakeError, match="separate marks on the sheet"):
        net_of(noise, PX_PER_MM, HERE)


def test_a_dark_sheet_is_refused() -> None:
    """Lines cover little of a sheet; a photograph of something else does not."""
    blots = np.zeros((1200, 1000), dtype=bool)
    blots[100:1100, 100:900] = True
    with pytest.raises(MistakeError, match="of the sheet is dark"):
        hold_ink(net_of(blots, PX_PER_MM, HERE), HERE)
