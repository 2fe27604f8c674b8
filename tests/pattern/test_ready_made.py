"""Pieces bought ready: their sizes as a seller states them, along sides or across points, and edges too thin."""

from pathlib import Path

import pytest
from shapely import Polygon, affinity, box

from catalog_builder.pattern.ready_made import drawn_mm, edge_findings
from tests.studio import Cells, content, record

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


BEVEL: Cells = {
    "kind": "glass",
    "pack_size": "1",
    "pack_unit": "each",
    "thickness_mm": "5",
    "section": "bevelled",
    "bevel_mm": "12",
    "sheet_width_mm": "50",
    "sheet_height_mm": "60",
    "colour": "#e6f0f0",
}


@pytest.mark.parametrize(("edge_mm", "codes"), [("0.4", ["G13"]), ("0.99", ["G13"]), ("1", []), ("3", [])])
def test_an_edge_too_thin_for_foil(tmp_path: Path, edge_mm: str, codes: list[str]) -> None:
    """A bevel ground to less than 1 mm is told, at the line of the record that names its glass."""
    bevel = {**BEVEL, "edge_mm": edge_mm}
    studio = content(tmp_path, record(glass="{left: bevel, right: slate}"), materials={"bevel": bevel})
    found = list(edge_findings(studio.products[0], studio.materials))
    assert [each.code for each in found] == codes
    assert all(str(each.place) == "content/products/pane/product.md:7" for each in found)
