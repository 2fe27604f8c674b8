"""The whole way: what a build reckons, what it counts, and on which day."""

from __future__ import annotations

import shutil
from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest

from catalog_builder.build import build, calculate
from catalog_builder.mistake import MistakeError
from catalog_builder.publish.studio_calculation import quiet
from tests.publish.demo import DAY, bytes_of, lay_out, lay_out_known, reworded
from tests.publish.page import pages_in, read_page, text_of

PANEL, CAPS = "net-loft-panel", "two-waxcaps"


@pytest.fixture
def project(tmp_path: Path) -> Path:
    """Two of the demo's products in a folder of their own, not yet published."""
    return lay_out_known(tmp_path / "studio", PANEL, CAPS)


def test_build_counts_what_it_made(project: Path) -> None:
    """A build counts products, variants, prices and pages as they can be counted in its output."""
    published = build(project, DAY, 1, quiet)
    output = project / "site_output"
    variants = len(list((output / "bench" / "cards").glob("*.html")))
    assert published.products == len(list((output / "catalogue" / "products").glob("*.html"))) == 2
    assert (published.variants, published.prices) == (variants, 4 * variants)
    assert published.pages == len(pages_in(output))
    assert (published.photos, published.carried_over) == (2, ())


def test_build_tells_how_far_it_is(tmp_path: Path) -> None:
    """Each stage is told from its first step to its last, and never goes back."""
    project = lay_out(tmp_path / "studio", PANEL, CAPS)
    told: dict[str, list[tuple[int, int]]] = {}
    build(project, DAY, 1, lambda what, done, total: told.setdefault(what, []).append((done, total)))
    written = told.pop("Writing pages")
    assert written == sorted(written)
    assert len(written) > 10
    assert written[-1][0] == written[-1][1]
    assert len({total for _, total in written}) == 1
    assert told == {
        "Measuring and drawing": [(1, 2), (2, 2)],
        "Pricing": [(1, 2), (2, 2)],
        "Making photos ready": [(1, 2), (2, 2)],
        "Drawing prices over time": [(1, 2), (2, 2)],
    }


def test_prices_are_those_of_the_day(project: Path) -> None:
    """A material's price holds from its own day on: the day before, its old price is reckoned with."""
    with (project / "content" / "material_prices.csv").open("a", encoding="utf-8") as file:
        file.write("solder-60-40,2026-11-20,990.00,a leap\n")
    before, after = (calculate(project, date(2026, 11, day), quiet).calculations for day in (19, 20))
    assert len(before) == len(after)
    assert all(old.cost.total < new.cost.total for old, new in zip(before, after, strict=True))
    for old, new in zip(before, after, strict=True):
        others = [[line for line in one.cost.lines if line.group != "solder"] for one in (old, new)]
        assert others[0] == others[1]


@pytest.mark.parametrize(
    ("day", "next_market"),
    [
        (date(2026, 12, 5), "Withyslip Quay Saturday Market"),
        (date(2026, 12, 6), "Long Night Fair"),
        (date(2026, 12, 20), "Long Night Fair"),
        (date(2026, 12, 21), "Candlemas Makers' Day"),
        (date(2027, 2, 7), None),
    ],
)
def test_front_page_shows_the_next_market(project: Path, day: date, next_market: str | None) -> None:
    """The front page shows the first market that is not over on the build's day, to its last day."""
    build(project, day, 1, quiet)
    page = read_page(project / "site_output" / "catalogue" / "index.html")
    assert [text_of(name) for name in page.select(".meeting-name")] == ([next_market] if next_market else [])


def test_all_mistakes_are_told_at_once(tmp_path: Path) -> None:
    """Mistakes in three files come in one list, by file and line; nothing is written."""
    project = lay_out(tmp_path / "studio", PANEL, CAPS)
    content = project / "content"
    reworded(content / "studio.toml", ('currency = "GBP"', 'currency = "Pounds"'))
    reworded(content / "products" / PANEL / "product.md", ("added: 2", "added: the "))
    with (content / "material_prices.csv").open("a", encoding="utf-8") as file:
        file.write("solder-60-40,2026-11-20,a lot,\n")
    with pytest.raises(MistakeError) as told:
        build(project, DAY, 1, quiet)
    assert [mistake.place.path for mistake in told.value.mistakes] == [
        "content/material_prices.csv",
        f"content/products/{PANEL}/product.md",
        "content/studio.toml",
    ]
    assert all(mistake.place.line for mistake in told.value.mistakes)
    assert not (project / "site_output").exists()


def test_sold_product_stays_in_the_catalogue_and_leaves_the_stall(project: Path) -> None:
    """A product that is sold is shown as sold in the catalogue, and is not on the stall's price sheet."""
    record = project / "content" / "products" / PANEL / "product.md"
    reworded(record, ("\nseries:", "\navailability: sold\nseries:"))
    build(project, DAY, 1, quiet)
    output = project / "site_output"
    page = read_page(output / "catalogue" / "products" / f"{PANEL}.html")
    sheet = read_page(output / "stall" / "price_sheet.html")
    assert "Sold" in text_of(page.select(".offer-price")[0])
    assert [text_of(head) for head in sheet.select("h3")] == ["Two waxcaps"]


def test_other_currency_language_and_units_reach_every_page(project: Path) -> None:
    """A studio in yen and inches prints whole yen and tenths of an inch, in catalogue and stall alike."""
    studio = project / "content" / "studio.toml"
    reworded(
        studio, ('currency = "GBP"', 'currency = "JPY"'), ('units = "metric"', 'units = "imperial"'), ("en-GB", "en-US")
    )
    build(project, DAY, 1, quiet)
    (calculated, *_) = calculate(project, DAY, quiet).calculations
    page = read_page(project / "site_output" / "catalogue" / "products" / f"{calculated.product.slug}.html")
    row = page.select("table.choices tbody tr")[0]
    width, height = (
        f"{side / 25.4:.1f}".removesuffix(".0")
        for side in (calculated.suspension.width_mm, calculated.suspension.height_mm)
    )
    assert calculated.prices["online"].printed == calculated.prices["online"].printed.to_integral_value()
    assert text_of(row.select(".is-price")[0]) == f"¥{calculated.prices['online'].printed:,.0f}"
    assert text_of(row.select(".is-glass_size")[0]) == f"{width} in wide, {height} in high"
    assert "oz" in text_of(row.select(".is-weight")[0])
    sheet = (project / "site_output" / "stall" / "price_sheet.html").read_text(encoding="utf-8")
    assert "£" not in sheet
    assert "¥" in sheet


@pytest.mark.parametrize(
    ("lines", "note", "share"),
    [
        ("", "No VAT is charged on these prices.", "1"),
        ("tax_percent = 20\n", "Prices include VAT.", "1.2"),
        ('tax_percent = 20\ntax = "added"\n', "VAT is added to these prices.", "1.2"),
    ],
    ids=["none", "included", "added"],
)
def test_tax_is_told_where_it_is_charged(project: Path, lines: str, note: str, share: str) -> None:
    """The price sheet says how tax stands to its prices, and what a buyer pays is the price before tax and the tax."""
    shown = 'shown_on = "stall"\n'
    reworded(project / "content" / "studio.toml", (shown, shown + lines))
    build(project, DAY, 1, quiet)
    assert note in text_of(read_page(project / "site_output" / "stall" / "price_sheet.html"))
    for one in calculate(project, DAY, quiet).calculations:
        price = one.prices["stall"]
        assert abs(price.paid - price.before_tax * Decimal(share)) <= Decimal("0.005")
        assert price.printed == (price.before_tax if "added" in lines else price.paid)


def test_own_theme_is_used_before_the_one_that_comes_along(project: Path) -> None:
    """A theme in the project's own folder is used; without it, the one that comes with the program gives the same."""
    build(project, DAY, 1, quiet)
    catalogue = project / "site_output" / "catalogue"
    own = bytes_of(catalogue)
    labels = project / "themes" / "daylight" / "labels" / "en.toml"
    reworded(labels, ('about = "The maker"', 'about = "Who makes it"'))
    build(project, DAY, 1, quiet)
    assert b"Who makes it" in (catalogue / "index.html").read_bytes()
    shutil.rmtree(project / "themes")
    build(project, DAY, 1, quiet)
    assert bytes_of(catalogue) == own


@pytest.mark.parametrize(
    ("old", "new", "wrong"),
    [
        ('theme = "daylight"', 'theme = "moonlight"', "studio.theme: there is no theme 'moonlight'"),
        ('language = "en-GB"', 'language = "cy-GB"', "studio.language: the theme 'daylight' has no words for 'cy-GB'"),
    ],
)
def test_theme_or_language_that_is_not_there_is_told(project: Path, old: str, new: str, wrong: str) -> None:
    """A theme that does not exist, and a language it has no words for, are told as mistakes of the studio's record."""
    reworded(project / "content" / "studio.toml", (old, new))
    with pytest.raises(MistakeError) as told:
        build(project, DAY, 1, quiet)
    assert [(one.place.path, one.wrong) for one in told.value.mistakes] == [("content/studio.toml", wrong)]
