"""The papers of a market day: all that is brought stands on them, on paper as on the page."""

from __future__ import annotations

import csv
import re
from collections import Counter
from dataclasses import replace
from decimal import Decimal
from io import StringIO
from pathlib import Path

import pytest

from catalog_builder.build import calculate
from catalog_builder.planning.market_preparation import MarketDay, market_days
from catalog_builder.publish.bench.market_papers import address_of, asked_on, sheet_of, write_market_papers
from catalog_builder.publish.output.folder import Folder
from catalog_builder.publish.sheets.price_sheet import PriceSheetContent
from catalog_builder.publish.studio_calculation import StudioCalculation, quiet
from catalog_builder.publish.theme.loading import Theme
from tests.publish.bench.writing import bench_folder, writer_of
from tests.publish.demo import DAY, Demo, lay_out_known, reworded
from tests.publish.page import read_page, text_of
from tests.publish.printed import Printed, pages_of

MARKET = "quay-december"
HEADS = ("Packing list", "Tally", "Float")


@pytest.fixture(scope="module")
def day(demo: Demo) -> MarketDay:
    """The demo's next market."""
    (found,) = (one for one in days_of(demo.calculated) if one.market.key == MARKET)
    return found


def days_of(calculated: StudioCalculation) -> tuple[MarketDay, ...]:
    """The markets to come."""
    content = calculated.content
    return market_days(content.price_records, content.market_book.lists, calculated.calculations)


def priced(calculated: StudioCalculation, theme: Theme | None = None) -> PriceSheetContent:
    """The stall's price sheet, without its drawings."""
    studio = calculated.content.studio
    return PriceSheetContent(
        studio=studio.studio,
        all_series=studio.series,
        listings=calculated.listings,
        drawn=dict.fromkeys((listing.slug for listing in calculated.listings), "<svg/>"),
        prices={one.offer.sku: one.offer.stall for one in calculated.calculations},
        title="",
        terms="",
        day=calculated.content.day,
        theme=theme or calculated.theme,
    )


def write_papers(calculated: StudioCalculation, folder: Folder) -> None:
    """Write the papers of every market to come."""
    content, days = calculated.content, days_of(calculated)
    asked = {
        day.market.key: asked_on(day.priced, content.price_records, calculated.calculations, content.sets)
        for day in days
    }
    papers = write_market_papers(days, asked, priced(calculated), writer_of(content), folder)
    assert list(papers)


def listed(demo: Demo) -> list[dict[str, str]]:
    """The rows of the demo's packing list, as the file has them."""
    path = demo.project / "content" / "markets" / f"{MARKET}.csv"
    return list(csv.DictReader(StringIO(path.read_text(encoding="utf-8"))))


def printed(demo: Demo) -> list[Printed]:
    """The pages of the PDF."""
    return pages_of((demo.output / "bench" / "markets" / MARKET / "papers.pdf").read_bytes())


def squares(page: Printed) -> int:
    """How many squares of 4.6 mm are drawn on a page to be ticked."""
    boxes = [stroke.box for stroke in page.strokes]
    return sum(abs(right - left - 4.6) < 0.1 and abs(low - top - 4.6) < 0.1 for left, top, right, low in boxes)


def parts(demo: Demo) -> dict[str, list[Printed]]:
    """The pages of each part, by its heading."""
    found: dict[str, list[Printed]] = {}
    heading = ""
    for page in printed(demo):
        top = page.text(0, 26)
        heading = next((head for head in HEADS if head in top), heading)
        found.setdefault(heading, []).append(page)
    return found


def test_packing_list_holds_all_that_is_on_the_list(demo: Demo, day: MarketDay) -> None:
    """Every row of the file stands in its box with its count and a square, on the page as on paper."""
    rows = listed(demo)
    assert day.count == sum(int(row["count"]) for row in rows)
    page = read_page(demo.output / "bench" / "markets" / MARKET / "papers.html")
    table = page.select('[aria-labelledby="packing"] tbody')
    assert [len(body.select("tr:not(.group)")) for body in table] == list(Counter(row["box"] for row in rows).values())
    counts = [text_of(cell) for body in table for cell in body.select("tr:not(.group) .strong")]
    assert counts == [row["count"] for row in rows]
    pages = parts(demo)["Packing list"]
    words = " ".join(" ".join(page.text().split()) for page in pages)
    for one in day.carried:
        assert f"{one.calculation.product.keys.title} {one.calculation.offer.words} {one.count}" in words
    assert sum(squares(page) for page in pages) == len(rows)


def test_weights_and_worth_add_up(demo: Demo, day: MarketDay) -> None:
    """The boxes weigh and are worth what all of it is, and that is what stands at the head."""
    by_sku = {one.offer.sku: one.offer for one in demo.calculations}
    grams = sum(by_sku[one.calculation.offer.sku].mass_g * one.count for one in day.carried)
    worth = sum((by_sku[one.calculation.offer.sku].stall_price * one.count for one in day.carried), Decimal(0))
    sheet = sheet_of(day, writer_of(demo.calculated.content))
    assert sheet.summary == f"{day.count} pieces, {grams / 1000:.1f} kg, £{worth:,.2f} at the stall's prices"
    assert sum(one.mass_g for rows in day.boxes.values() for one in rows) == pytest.approx(day.mass_g)
    for box, rows in zip(sheet.boxes, day.boxes.values(), strict=True):
        prices = [by_sku[one.calculation.offer.sku].stall_price * one.count for one in rows]
        assert f"£{sum(prices, Decimal(0)):,.2f} at the stall's prices" in box.summary


def test_tally_has_a_square_for_each_piece(demo: Demo, day: MarketDay) -> None:
    """As many squares to tick as pieces are brought, beside the stall's price; a variant in two boxes stands once."""
    page = read_page(demo.output / "bench" / "markets" / MARKET / "papers.html")
    (table,) = page.select('[aria-labelledby="tally"] table')
    rows = [row for row in table.select("tr") if row.select("td.strong")]
    prices = {
        f"{one.product.keys.title} {one.offer.words}": (count, f"£{one.offer.stall_price:.2f}")
        for one, count in day.counts.values()
    }
    read = {text_of(row.select("th")[0]): (len(row.select(".tick")), text_of(row.select("td")[0])) for row in rows}
    assert read == prices
    assert sum(squares(page) for page in parts(demo)["Tally"]) == day.count


def test_float_is_counted_out(demo: Demo, day: MarketDay) -> None:
    """The demo's float is 4 x 10, 8 x 5, 10 x 2, 20 x 1 and 10 x 0.50: 40 + 40 + 20 + 20 + 5 = 125."""
    assert day.float_amount == Decimal("125.00")
    words = " ".join(page.text() for page in parts(demo)["Float"])
    for amount in ("£40.00", "£20.00", "£5.00", "£125.00"):
        assert amount in words


def test_paper_is_the_studios(demo: Demo, tmp_path: Path) -> None:
    """A4 by ISO 216 or Letter by ANSI/ASME Y14.1, and no ink within 10 mm of the edge, where home printers stop."""
    content = demo.calculated.content
    for paper, size in (("A4", (210.0, 297.0)), ("Letter", (215.9, 279.4))):
        keys = content.studio.studio.model_copy(update={"paper": paper})
        folder = bench_folder(tmp_path / paper)
        changed = replace(content, studio=content.studio.model_copy(update={"studio": keys}))
        write_papers(replace(demo.calculated, content=changed), folder)
        for page in pages_of((folder.making / "markets" / MARKET / "papers.pdf").read_bytes()):
            assert (page.width, page.height) == pytest.approx(size, abs=0.1)
            edge = page.ink.copy()
            edge[100:-100, 100:-100] = False
            assert not edge.any()


def test_papers_are_black_on_white(demo: Demo) -> None:
    """Nothing on the papers needs colour: what is drawn is as grey as it is red, green and blue."""
    for page in printed(demo):
        dots = page.page.render(scale=2).to_numpy()[:, :, :3].astype(int)
        assert int(abs(dots - dots.mean(axis=2, keepdims=True)).max()) <= 2


def test_fonts_travel_in_the_papers(demo: Demo) -> None:
    """Every font is embedded, so that the papers print the same everywhere."""
    data = (demo.output / "bench" / "markets" / MARKET / "papers.pdf").read_bytes()
    fonts = re.findall(rb"/Type\s*/FontDescriptor", data)
    assert b"Ysabeau" in data
    assert len(re.findall(rb"/FontFile[23]? \d+ 0 R", data)) == len(fonts) > 0


def test_past_markets_and_those_without_a_list_have_no_papers(demo: Demo) -> None:
    """Only what is still to be packed for is printed; a market after a reduction's end has a price sheet of its own."""
    papers = {path.parent.name for path in (demo.output / "bench" / "markets").glob("*/papers.pdf")}
    assert papers == {MARKET}
    later = demo.output / "bench" / "markets" / "2027-02-06"
    assert [path.name for path in later.iterdir()] == ["price_sheet.pdf"]


def test_longest_row_of_squares_stays_on_the_sheet(tmp_path: Path) -> None:
    """Five hundred of a variant, the most a list may have, wrap inside their column over as many pages as it takes."""
    project = lay_out_known(tmp_path / "studio", "two-waxcaps")
    folder = project / "content" / "markets"
    folder.mkdir()
    (folder / f"{MARKET}.csv").write_text("product,finish,glass,count\ntwo-waxcaps,black,plum,500\n", encoding="utf-8")
    calculated = calculate(project, DAY, quiet)
    made = bench_folder(project / "site_output")
    write_papers(calculated, made)
    (one,) = (day for day in days_of(calculated) if day.carried)
    pages = pages_of((made.making / f"{address_of(one)}.pdf").read_bytes())
    assert sum(squares(page) for page in pages) == 500 + 1
    boxes = [stroke.box for page in pages for stroke in page.strokes]
    assert max(right for _, _, right, _ in boxes) <= 210 - 10


def test_a_market_without_a_float_says_so(tmp_path: Path) -> None:
    """Where no float is set the sheet says so, and still has room for what was taken."""
    project = lay_out_known(tmp_path / "studio", "two-waxcaps")
    text = (project / "content" / "studio.toml").read_text(encoding="utf-8")
    begin = text.index("change = [")
    reworded(project / "content" / "studio.toml", (text[begin : text.index("\n]\n", begin) + 3], ""))
    folder = project / "content" / "markets"
    folder.mkdir()
    (folder / f"{MARKET}.csv").write_text("product,finish,glass,count\ntwo-waxcaps,black,plum,1\n", encoding="utf-8")
    calculated = calculate(project, DAY, quiet)
    made = bench_folder(project / "site_output")
    write_papers(calculated, made)
    words = text_of(read_page((made.making / "markets" / MARKET / "papers.html").read_bytes()))
    assert "No float is set for this market." in words
    assert "Takings by the tally" in words
