"""The benchmark's studio: in order as a maker's own would be, the same each time, and whole at every size."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest
import shapely
from PIL import Image

from catalog_builder.build import calculate
from catalog_builder.pattern.pieces import Fitting, read_pieces
from catalog_builder.pattern.svg.drawing import read_drawing
from catalog_builder.publish.studio_calculation import quiet
from catalog_builder.records.content import read_content
from catalog_builder.records.reading.source import Source
from tests.benchmark.photos import take
from tests.benchmark.studio import DAY, DESIGNS, lay_out, record, slug, title
from tests.benchmark.words import KINDS

PRODUCTS = 12


def texts(root: Path) -> dict[str, bytes]:
    """Every file of a studio by its path."""
    return {path.relative_to(root).as_posix(): path.read_bytes() for path in root.rglob("*") if path.is_file()}


def test_studio_is_in_order(tmp_path: Path) -> None:
    """Two of each kind can be priced in every channel, and the bench has nothing to say against their drawings."""
    lay_out(tmp_path, PRODUCTS)
    calculated = calculate(tmp_path, DAY, quiet)
    assert len(calculated.listings) == PRODUCTS
    assert all(all(price.printed > 0 for price in one.prices.values()) for one in calculated.calculations)
    assert {one.product.keys.series for one in calculated.calculations} == set(calculated.content.studio.series)
    assert not calculated.findings


def test_studio_is_the_same_each_time(tmp_path: Path) -> None:
    """A studio laid out twice is the same to the byte, and a larger one begins with the same products."""
    for name, products in (("first", PRODUCTS), ("again", PRODUCTS), ("larger", 2 * PRODUCTS)):
        lay_out(tmp_path / name, products)
    first = texts(tmp_path / "first")
    assert texts(tmp_path / "again") == first
    assert first.items() <= texts(tmp_path / "larger").items()


def test_no_two_products_are_alike() -> None:
    """Ten thousand products have as many titles, folder names and drawings."""
    assert len({title(index) for index in range(10_000)}) == 10_000
    assert len({slug(index) for index in range(10_000)}) == 10_000
    drawings = {record(index).partition("```svg")[2] for index in range(0, 10_000, 50)}
    assert len(drawings) == 200


@pytest.mark.parametrize("kind", list(DESIGNS))
def test_drawing_has_as_many_pieces_as_a_small_window(kind: str) -> None:
    """A piece for a window has from 6 to 40 pieces of glass, every one of them of some size."""
    at = list(KINDS).index(kind)
    for index in range(at, at + 10 * len(KINDS), len(KINDS)):
        drawing = record(index).partition("```svg\n")[2].partition("```")[0]
        pattern = read_pieces(read_drawing(Source("drawing.svg", drawing)), 1.0, Fitting(0.01, 0.3, 0.8), None)
        areas = shapely.area([piece.face for piece in pattern.pieces])
        assert 6 <= len(areas) <= 40
        assert areas.min() > 60


def test_prices_go_back_two_years(tmp_path: Path) -> None:
    """Every glass has prices of several dates, the first about two years old, the last in force."""
    lay_out(tmp_path, 1)
    materials = read_content(tmp_path, DAY).materials
    rows = (tmp_path / "content" / "material_prices.csv").read_text(encoding="utf-8").splitlines()[1:]
    glasses = [one.material for one in materials.of_kind("glass")]
    assert len(glasses) == 16
    for glass in glasses:
        days = [date.fromisoformat(row.split(",")[1]) for row in rows if row.startswith(f"{glass},")]
        assert len(days) >= 3
        assert days[0] < date(2024, 12, 31)
        assert max(days) <= DAY


def test_photo_is_what_a_phone_takes(tmp_path: Path) -> None:
    """A phone's photo of 12 megapixels has 3 to 6 MB: one that weighs much less would be read too fast."""
    take(tmp_path / "photo.jpg", 0)
    with Image.open(tmp_path / "photo.jpg") as photo:
        assert photo.size == (4000, 3000)
        assert photo.format == "JPEG"
    assert 3e6 < (tmp_path / "photo.jpg").stat().st_size < 6e6
