"""What buyers can look for: bands of prices and sizes, colours in plain words, and what each product answers to."""

from __future__ import annotations

import json
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from matplotlib.colors import CSS4_COLORS, XKCD_COLORS

from catalog_builder.publish.catalogue.price_band import MOST, PriceBand, bands
from catalog_builder.publish.pictures.glass.colour_word import WORDS, colour_word, oklch
from tests.publish.demo import Demo, build_in, lay_out_known, reworded
from tests.publish.page import read_page, said, text_of

# What people call a colour, by its last word, and the word of ours for it.
CALLED = {
    **{word: word for word in WORDS},
    "gray": "grey",
    "violet": "purple",
    **dict.fromkeys(("teal", "aqua", "cyan"), "turquoise"),
}


@pytest.mark.parametrize(
    ("colour", "lightness", "chroma", "hue"),
    [
        # Web platform tests, css/css-color/oklch-011.html and oklch-006.html, by CSS Color 4 (read).
        ("#008000", 0.51975, 0.17686, 142.495),
        ("#52db9c", 0.80, 0.15, 160.0),
        # CSS Color 4, the primaries of sRGB (from memory).
        ("#ff0000", 0.62796, 0.25768, 29.234),
        ("#0000ff", 0.45201, 0.31321, 264.052),
        ("#ffffff", 1.0, 0.0, None),
        ("#000000", 0.0, 0.0, None),
    ],
)
def test_oklch_is_that_of_css(colour: str, lightness: float, chroma: float, hue: float | None) -> None:
    """A colour of glass has the lightness, chroma and hue that CSS gives it."""
    found = oklch(colour)
    assert found[0] == pytest.approx(lightness, abs=0.002)
    assert found[1] == pytest.approx(chroma, abs=0.002)
    assert hue is None or found[2] == pytest.approx(hue, abs=0.5)


@pytest.mark.parametrize(("colours", "least"), [(XKCD_COLORS, 0.85), (CSS4_COLORS, 0.75)], ids=["survey", "css"])
def test_words_are_those_that_people_use(colours: dict[str, str], least: float) -> None:
    """Colours fall under the plain words that people give them.

    Sources: the xkcd colour survey of 2010 (222,500 takers, in the public domain), and the names of CSS Color 4,
    both as matplotlib carries them. A name counts by its last word: "dark sea green" is a green. The rooms were
    drawn with the survey at hand, and without the names of CSS.
    """
    named = {}
    for name, colour in colours.items():
        last = max((word for word in CALLED if name.removeprefix("xkcd:").endswith(word)), key=len, default=None)
        if last:
            named[name] = (CALLED[last], colour_word(colour.lower()))
    right = [name for name, (called, ours) in named.items() if called == ours]
    assert len(named) > 50
    assert len(right) / len(named) > least, sorted(set(named.items()) - {(name, named[name]) for name in right})
    assert {ours for _, ours in named.values()} == set(WORDS)


def test_every_word_has_a_label(demo: Demo) -> None:
    """The theme has words for each of the twelve colours, and no two are alike."""
    labels = demo.calculated.theme.labels["colours"]
    assert set(labels) == set(WORDS)
    assert len(set(labels.values())) == len(WORDS) == 12


@pytest.mark.parametrize(
    ("values", "names"),
    [
        ([], []),
        ([30], []),
        ([30, 30, 30], []),
        ([10, 20], ["-16", "16-"]),
        ([10, 20, 30, 40, 50, 60, 70, 80], ["-30", "30-50", "50-70", "70-"]),
        ([1, 1, 1, 1, 1, 1, 1, 1000], ["-600", "600-"]),
        ([0.5, 1.5, 2.5, 3.5], ["-1.5", "1.5-2.5", "2.5-"]),
        ([1000, 21000, 41000, 61000], ["-20000", "20000-40000", "40000-60000", "60000-"]),
    ],
)
def test_bands_part_at_round_numbers(values: list[float], names: list[str]) -> None:
    """Prices are parted at round numbers into a few bands, and not at all where there is nothing to part."""
    assert [band.name for band in bands([Decimal(str(value)) for value in values])] == names


def test_a_number_on_the_border_is_in_both_bands() -> None:
    """Both ends belong to a band, as a reader of "30 to 50" and "50 and over" expects."""
    low, middle, high = (
        PriceBand(*edges) for edges in ((None, Decimal(30)), (Decimal(30), Decimal(50)), (Decimal(50), None))
    )
    values = ("29.99", "30", "30.01", "50", "50.01")
    found = [[band.holds(Decimal(value)) for band in (low, middle, high)] for value in values]
    assert found == [
        [True, False, False],
        [True, True, False],
        [False, True, False],
        [False, True, True],
        [False, False, True],
    ]


def test_every_number_is_in_a_band(demo: Demo) -> None:
    """No price of the demo is outside all bands, no band is empty, and one on a border is in both."""
    prices = [offer.online_price for listing in demo.calculated.listings for offer in listing.offers]
    found = bands(prices)
    assert 2 <= len(found) <= MOST
    assert all(any(band.holds(price) for band in found) for price in prices)
    assert all(any(band.holds(price) for price in prices) for band in found)
    low, high = PriceBand(None, Decimal(30)), PriceBand(Decimal(30), None)
    assert low.holds(Decimal(30))
    assert high.holds(Decimal(30))
    assert not low.holds(Decimal("30.01"))


def data_of(demo: Demo) -> list[dict[str, Any]]:
    """Read what the page's script is given."""
    page = read_page(demo.output / "catalogue" / "find.html")
    (script,) = page.select("#finder-data")
    found = json.loads(script.string or "")
    assert isinstance(found, list)
    return found


def test_page_lists_every_product_newest_first(demo: Demo) -> None:
    """The page holds a card for each product, the newest first, and data for each card."""
    page = read_page(demo.output / "catalogue" / "find.html")
    newest = sorted(demo.calculated.listings, key=lambda one: (-one.added.toordinal(), one.slug))
    hrefs = [said(link, "href") for link in page.select("#pieces .card h2 a")]
    assert hrefs == [f"products/{one.slug}.html" for one in newest]
    assert [one["href"] for one in data_of(demo)] == hrefs


def test_data_holds_each_variants_own_price_size_and_finish(demo: Demo) -> None:
    """A product answers to a price, a size and a finish at once only where one variant has them together."""
    data = {one["href"]: one for one in data_of(demo)}
    for listing in demo.calculated.listings:
        variants = data[f"products/{listing.slug}.html"]["variants"]
        for offer in listing.offers:
            side = Decimal(round(max(offer.width_mm, offer.height_mm)))
            fitting = [
                one
                for one in variants
                if one["finish"] == [offer.finish]
                and one["series"] == [listing.series]
                and any(_holds(name, offer.online_price) for name in one["price"])
                and any(_holds(name, side) for name in one["size"])
                and one["colour"] == list(dict.fromkeys(colour_word(colour) for colour in offer.glass_colours))
            ]
            assert fitting, offer.sku
        assert len(variants) <= len(listing.offers)


def _holds(name: str, value: Decimal) -> bool:
    low, high = name.split("-")
    return (not low or Decimal(low) <= value) and (not high or value <= Decimal(high))


def test_every_value_of_the_data_can_be_chosen(demo: Demo) -> None:
    """Each way to choose stands in the page with words, and something answers to it."""
    page = read_page(demo.output / "catalogue" / "find.html")
    values: dict[str, set[str]] = {}
    for one in data_of(demo):
        for variant in one["variants"]:
            for name, found in variant.items():
                values.setdefault(name, set()).update(found)
    offered: dict[str, set[str]] = {}
    for field in page.select("#finder input[type=checkbox]"):
        offered.setdefault(said(field, "name"), set()).add(said(field, "value"))
        assert len(text_of(field.parent or field)) > 2
    assert offered == values
    assert set(offered) == {"series", "colour", "size", "price", "finish", "availability"}


def test_colours_have_a_swatch_and_a_word(demo: Demo) -> None:
    """Each colour that can be chosen shows a glass of the studio that has that colour, and its word."""
    page = read_page(demo.output / "catalogue" / "find.html")
    sheets = {(one.colour or "").lower() for one in demo.calculated.content.materials.rows.values()}
    fields = page.select('#finder input[name="colour"]')
    assert len(fields) >= 8
    for field in fields:
        (swatch,) = (field.parent or field).select(".swatch")
        colour = said(swatch, "style").removeprefix("--swatch: ")
        assert colour in sheets
        assert colour_word(colour) == said(field, "value")


def test_sizes_and_prices_are_the_readers_own(tmp_path: Path) -> None:
    """A studio that sells in yen and inches has bands in whole yen and in inches."""
    project = lay_out_known(tmp_path / "studio", "net-loft-panel", "two-waxcaps", "quay-lantern", "noon-sun")
    reworded(
        project / "content" / "studio.toml",
        ('currency = "GBP"', 'currency = "JPY"'),
        ('units = "metric"', 'units = "imperial"'),
        ('language = "en-GB"', 'language = "en-US"'),
    )
    page = read_page(build_in(project).output / "catalogue" / "find.html")
    words = {name: [text_of(one) for one in page.select(f".facet-{name} label")] for name in ("price", "size")}
    assert len(words["price"]) > 1
    assert all("¥" in one and "." not in one for one in words["price"])
    assert len(words["size"]) > 1
    assert all(" in" in one and "mm" not in one for one in words["size"])


def test_one_product_needs_no_choice(tmp_path: Path) -> None:
    """A studio with one product in one series is offered no series to choose from."""
    project = lay_out_known(tmp_path / "studio", "two-waxcaps")
    page = read_page(build_in(project).output / "catalogue" / "find.html")
    assert len(page.select("#pieces .card")) == 1
    assert page.select(".facet-series") == []
    assert page.select(".facet-size") == []
