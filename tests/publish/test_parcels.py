"""What is said of parcels: the same on the product's page, on the cost card and in the price list, rounded up."""

from __future__ import annotations

import csv
import math
import re
from decimal import Decimal
from pathlib import Path

import pytest

from catalog_builder.build import build
from catalog_builder.publish.studio_calculation import quiet
from catalog_builder.publish.theme.wording import Wording
from tests import studio
from tests.publish.demo import Demo
from tests.publish.page import read_page, text_of


def price_list(output: Path) -> list[dict[str, str]]:
    """The rows of the bench's price list."""
    with (output / "bench" / "price_list.csv").open(encoding="utf-8-sig", newline="") as file:
        return list(csv.DictReader(file))


def test_product_pages_say_size_and_mass_of_every_parcel(demo: Demo) -> None:
    """Each variant's row gives its parcel in whole centimetres and tens of grams, never less than was reckoned."""
    seen = 0
    for listing in demo.calculated.listings:
        rows = read_page(demo.output / "catalogue/products" / f"{listing.slug}.html").select("table.choices tbody tr")
        for row, one in zip(rows, demo.variants(listing.slug), strict=True):
            assert one.packed is not None
            (said,) = [text_of(cell) for cell in row.select(".is-packed")]
            *sides, mass = (int(number) for number in re.findall(r"\d+", said))
            assert re.fullmatch(r"\d+ × \d+ × \d+ cm, \d+ g", said)
            assert sides == [math.ceil(side / 10) for side in one.packed.sides_mm]
            assert one.packed.mass_g <= mass < one.packed.mass_g + 10
            (postage,) = [text_of(cell) for cell in row.select(".is-postage")]
            assert one.packed.band is not None
            assert postage == f"{one.packed.band.carrier}, {one.packed.band.band}: £{one.packed.band.price:.2f}"
            seen += 1
    assert seen == len(demo.calculations)


def test_parcels_are_called_estimates(demo: Demo) -> None:
    """Under the table it says that parcels are estimates and that the carrier's measure counts."""
    page = text_of(read_page(demo.output / "catalogue/products/seahorse.html"))
    assert "Parcel sizes and weights are estimates, rounded up." in page


def test_bench_papers_say_box_and_band(demo: Demo) -> None:
    """The cost card names the box, the parcel and the band; the price list gives them in mm, g and money."""
    for row, one in zip(price_list(demo.output), demo.calculations, strict=True):
        packed = one.packed
        assert packed is not None
        assert packed.band is not None
        sides = tuple(float(row[f"packed_{side}_mm"]) for side in ("length", "width", "depth"))
        assert (row["box"], sides) == (packed.box.box, packed.sides_mm)
        assert float(row["packed_g"]) == pytest.approx(packed.mass_g, abs=0.05)
        assert Decimal(row["postage_price"]) == packed.band.price
        assert row["postage_band"] == f"{packed.band.carrier}, {packed.band.band}"
        card = text_of(read_page(demo.output / "bench/cards" / f"{one.offer.sku}.html"))
        assert f"Packed in {packed.box.title}: " in card
        assert f"£{packed.band.price:.2f} by {packed.band.carrier}, {packed.band.band}." in card


def test_demo_uses_several_boxes_and_bands(demo: Demo) -> None:
    """The demo's pieces need several boxes and more than one carrier, so that the checks above mean something."""
    packed = [one.packed for one in demo.calculations if one.packed is not None]
    assert len({one.box.box for one in packed}) >= 3
    assert len({one.band.carrier for one in packed if one.band is not None}) == 2


def test_the_names_of_boxes_stay_at_the_bench(demo: Demo) -> None:
    """What the maker keeps in store is on no public page: neither a box's name nor its title."""
    words = [word for box in demo.calculated.content.boxes for word in (box.box, box.title)]
    for path in (demo.output / "catalogue").rglob("*.html"):
        text = path.read_text(encoding="utf-8")
        assert [word for word in words if word in text] == [], path.name


# Exact by definition: 25.4 mm an inch, 28.349523125 g an ounce (NIST SP 811, Appendix B).
@pytest.mark.parametrize(
    ("units", "sides", "mass", "wanted"),
    [
        ("metric", (240.0, 180.0, 50.0), 420.0, "24 × 18 × 5 cm, 420 g"),
        ("metric", (240.1, 180.0, 50.5), 420.1, "25 × 18 × 6 cm, 430 g"),
        ("metric", (1200.0, 10.0, 4.0), 1234.0, "120 × 1 × 1 cm, 1,240 g"),
        ("imperial", (254.0, 177.8, 50.8), 283.49523125, "10 × 7 × 2 in, 10 oz"),
        ("imperial", (254.1, 190.5, 50.9), 283.6, "10.5 × 7.5 × 2.5 in, 11 oz"),
    ],
)
def test_parcels_are_rounded_up_in_the_readers_units(
    units: str, sides: tuple[float, float, float], mass: float, wanted: str
) -> None:
    """Centimetres and tens of grams, or half inches and ounces, are rounded up and what is even stays."""
    wording = Wording("GBP", "en-GB", units)
    said = f"{wording.parcel(sides)}, {wording.parcel_mass(mass)}"
    assert said.replace("\u00a0", " ") == wanted


def test_a_studio_without_boxes_says_nothing_of_parcels(tmp_path: Path) -> None:
    """Without boxes.csv there is no column, no note and no cell of parcels anywhere."""
    root = studio.project(tmp_path, {"pane": studio.record()})
    build(root, studio.DAY, 1, quiet)
    output = root / "site_output"
    page = read_page(output / "catalogue/products/pane.html")
    assert page.select(".is-packed, .is-postage") == []
    assert "Parcel" not in text_of(page)
    assert [name for name in price_list(output)[0] if "packed" in name or "postage" in name or name == "box"] == []
    (card,) = (output / "bench/cards").iterdir()
    assert "Packed" not in text_of(read_page(card))


def test_what_no_box_takes_is_handed_over(tmp_path: Path) -> None:
    """A piece too large for every box is said to be handed over, and its cells in the price list are empty."""
    root = studio.project(tmp_path, {"pane": studio.record()})
    (root / "content/boxes.csv").write_text(
        "box,title,inner_length_mm,inner_width_mm,inner_depth_mm,mass_g,holds_g,padding_mm\n"
        "tiny,Tiny box,80,80,40,60,500,10\n",
        encoding="utf-8",
    )
    made = build(root, studio.DAY, 1, quiet)
    assert [finding.code for finding in made.findings].count("S01") == 1
    output = root / "site_output"
    (said,) = read_page(output / "catalogue/products/pane.html").select("td.is-packed")
    assert text_of(said) == "Collection only"
    assert {row["packed_g"] for row in price_list(output)} == {""}
    (card,) = (output / "bench/cards").iterdir()
    assert "it goes by hand" in text_of(read_page(card))
