"""Sizes of pieces bought ready, as a seller states them: of a box along its sides, of a diamond across its points."""

import pytest
from shapely import Polygon, affinity, box

from catalog_builder.pattern.ready_made import drawn_mm

DIAMOND = Polygon([(19, 0), (38, 38), (19, 76), (0, 38)])


@pytest.mark.parametrize("turn", [0, 20, 90])
@pytest.mark.parametrize(("face", "size"), [(DIAMOND, (38, 76)), (box(0, 0, 40, 75), (40, 75))])
def test_a_piece_measures_what_it_is_sold_as(face: Polygon, size: tuple[float, float], turn: float) -> None:
    """Whichever way it lies in the drawing."""
    assert drawn_mm(affinity.rotate(face, turn), size) == pytest.approx(size)


def test_a_smaller_diamond_is_smaller() -> None:
    """By nine tenths: 34.2 by 68.4 mm, 7.6 mm short of what is bought."""
    drawn = drawn_mm(affinity.scale(DIAMOND, 0.9, 0.9), (38, 76))
    assert drawn == pytest.approx((34.2, 68.4))
