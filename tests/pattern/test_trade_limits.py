"""Limits of the trade that decide what is refused or pointed out, each tried on both of its sides.

All of them are common practice, no source.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
import shapely

from catalog_builder.mistake import MistakeError
from catalog_builder.pattern.manufacturability import _neck
from catalog_builder.pattern.parts.hinge import read_hinges
from catalog_builder.pattern.parts.join import Join, read_join
from catalog_builder.pattern.seams import read_edges
from catalog_builder.pattern.sizes import read_sizes
from tests.parts import block, join, parted
from tests.studio import content, makings, record

RING = '<circle data-mark="ring" cx="20" cy="-5" r="1"/>'


@pytest.mark.parametrize(("seam_mm", "folds"), [(25.0, False), (29.0, False), (31.0, True)])
def test_a_short_straight_seam_is_no_hinge(seam_mm: float, folds: bool) -> None:
    """A straight seam right across folds from 30 mm on; a shorter one holds too little to matter."""
    halves = [shapely.box(0, 0, 40, seam_mm), shapely.box(40, 0, 80, seam_mm)]
    assert bool(read_hinges(read_edges(list(shapely.coverage_clean(halves))), 2)) == folds


@pytest.mark.parametrize(("side", "parts"), [(5.5, False), (7.0, True)])
def test_a_neck_joins_two_parts_that_are_large_enough_to_break_off(side: float, parts: bool) -> None:
    """Under 4 mm wide between a square of 20 mm and one of 7 mm glass breaks; a knob of 5.5 mm is no second part."""
    knobbed = shapely.union_all(
        [
            shapely.box(0, 0, 20, 20),
            shapely.box(19, 8.5, 31, 11.5),
            shapely.box(30, 10 - side / 2, 30 + side, 10 + side / 2),
        ]
    )
    assert (_neck(knobbed, 4.0) is not None) == parts


def beside(height: float, gap: float) -> str:
    """Two panes beside each other that a wire over their upper rims holds."""
    right = 20 + gap
    return (
        f'<rect width="20" height="{height}" data-glass="left"/>'
        f'<rect x="{right}" width="20" height="{height}" data-glass="right"/>'
        f'<path data-mark="wire" d="M10,0 L10,-5 L{right + 10},-5 L{right + 10},0"/>{RING}'
    )


@pytest.mark.parametrize(
    ("height", "gap", "noted"), [(40.0, 1.5, True), (40.0, 2.5, False), (10.0, 1.5, False), (18.0, 1.5, True)]
)
def test_outlines_that_run_beside_each_other_are_pointed_out(
    tmp_path: Path, height: float, gap: float, noted: bool
) -> None:
    """Two edges nearer than 2 mm over 16 mm and more look like a seam that was missed; a short stretch does not."""
    box = 'width="60mm" height="60mm" viewBox="0 -10 60 60"'
    studio = content(tmp_path, record(beside(height, gap), box))
    (sized,) = read_sizes(studio.products[0], studio.studio.making, studio.materials)
    assert ("G05" in {finding.code for finding in sized.findings}) == noted


@pytest.mark.parametrize(("off_mm", "held"), [(0.0, True), (1.2, True), (2.5, False)])
def test_a_wire_holds_what_it_comes_near(tmp_path: Path, off_mm: float, held: bool) -> None:
    """A wire that ends 1.5 mm or less from a piece is soldered to it; farther off it leaves the piece loose."""
    drawing = (
        '<rect width="20" height="40" data-glass="left"/><rect x="30" width="20" height="40" data-glass="right"/>'
        f'<path data-mark="wire" d="M10,0 L10,-5 L40,-5 L40,{-off_mm}"/>{RING}'
    )
    box = 'width="60mm" height="60mm" viewBox="0 -10 60 60"'
    text = record(drawing, box)
    if held:
        assert makings(content(tmp_path, text))[0].pieces == 2
    else:
        with pytest.raises(MistakeError, match="no edge with the rest"):
            makings(content(tmp_path, text))


@pytest.mark.parametrize(
    ("main_mm", "own_mm", "fits"),
    [
        # Long joins may differ by 2 %, short ones by half a millimetre, whichever is more.
        (60.0, 61.1, True),
        (60.0, 61.5, False),
        (60.0, 58.9, True),
        (12.0, 12.45, True),
        (12.0, 12.6, False),
    ],
)
def test_joins_that_are_to_be_one_are_about_as_long(tmp_path: Path, main_mm: float, own_mm: float, fits: bool) -> None:
    """A part's edge fits a line that is as long, within what a saw and a grinder leave."""
    fin = (
        f'<rect width="20" height="{own_mm}" data-glass="left"/>'
        f'<line data-mark="join" x1="0" y1="0" x2="0" y2="{own_mm}"/>'
    )
    box = f'width="20mm" height="{own_mm}mm" viewBox="0 0 20 {own_mm}"'
    text = parted(join(100, 0, 100, main_mm), {"fin": "set_at: [90]"}, blocks=block("fin", fin, box))
    if fits:
        assert len(makings(content(tmp_path, text))[0].flats) == 2
    else:
        with pytest.raises(MistakeError, match="mm long"):
            makings(content(tmp_path, text))


@pytest.mark.parametrize(("rise_mm", "first"), [(0.3, (0.0, 0.3)), (1.0, (100.0, 0.0)), (3.0, (100.0, 0.0))])
def test_a_join_counts_from_its_upper_end(rise_mm: float, first: tuple[float, float]) -> None:
    """Over 100 mm a join that rises by half a millimetre or more has an upper end; a level one counts from the left."""
    line = read_join(np.array([(100.0, 0.0), (0.0, rise_mm)]), None, 1, 0.3)
    assert isinstance(line, Join)
    assert tuple(line.points[0]) == pytest.approx(first)
