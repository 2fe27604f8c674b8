"""The printed price sheets: what can be read at arm's length, what stays together, and what shops are handed."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from dataclasses import replace
from decimal import Decimal
from pathlib import Path

import pypdfium2.raw as pdfium
import pytest

from catalog_builder.pricing.calculation import VariantCalculation, listing_of
from catalog_builder.publish.bench.customers.trade_sheet import TRADE_SHEET, write_trade_sheet
from catalog_builder.publish.output.folder import Folder
from catalog_builder.publish.sheets.price_sheet import PriceSheetContent, price_sheet
from catalog_builder.publish.theme.loading import read_theme
from catalog_builder.records.content import Content
from tests import studio
from tests.publish.buyers import pounds
from tests.publish.demo import Demo, bytes_of, outputs_of
from tests.publish.printed import MM, Printed, pages_of
from tests.publish.sheet import Line, found, pdf_lines, pdf_text

SPECK = '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9" width="9" height="9"><path d="M0 0h9v9z"/></svg>'
ARM_MM = 600
# NUREG-0700 on the lettering of labels (Rev. 3, 11.4.1.5-1): at least 15 minutes of arc, 20 preferred; on text (Rev. 2,
# 1.3.1-4): at least 16, 20 to 22 preferred (S2, excerpts). For printed price sheets common practice, no source.
LEAST_MINUTES, ADVISED_MINUTES = 16, 20


def sheets(demo: Demo) -> dict[str, Path]:
    """The stall's price sheet, and that for shops."""
    return {"stall": demo.output / "stall" / "price_sheet.pdf", "shops": demo.output / "bench" / TRADE_SHEET}


def minutes(height_mm: float) -> float:
    """The angle that a height is seen under at arm's length, in minutes of arc."""
    return math.degrees(math.atan(height_mm / ARM_MM)) * 60


def heights(page: Printed, letters: str) -> list[float]:
    """The heights in mm of some letters on a page, above its foot."""
    textpage = page.page.get_textpage()
    text = textpage.get_text_range()
    boxes = [textpage.get_charbox(index) for index, letter in enumerate(text) if letter in letters]
    return [(top - low) * MM for _, low, _, top in boxes if low * MM > 28]


@pytest.mark.parametrize("name", ["stall", "shops"])
def test_letters_are_large_enough_for_arms_length(demo: Demo, name: str) -> None:
    """Seen from 600 mm, every capital over the foot is 16 minutes of arc high or more, figures of prices 20 or more."""
    for page in pages_of(sheets(demo)[name].read_bytes()):
        capitals = heights(page, "BCDEFGHLMNPRST")
        assert minutes(min(capitals)) >= LEAST_MINUTES
        # The pound sign stands in prices alone, and their figures with it are no lower.
        assert minutes(min(heights(page, "£"))) >= ADVISED_MINUTES


@pytest.mark.parametrize("name", ["stall", "shops"])
def test_letters_are_embedded_and_the_margin_is_clear(demo: Demo, name: str) -> None:
    """All letters are in the file; nothing is printed within 10 mm of the edge, where home printers cannot reach."""
    for page in pages_of(sheets(demo)[name].read_bytes()):
        words = page.page.get_objects(filter=[pdfium.FPDF_PAGEOBJ_TEXT])
        assert {pdfium.FPDFFont_GetIsEmbedded(pdfium.FPDFTextObj_GetFont(one.raw)) for one in words} == {1}
        edge = page.ink.copy()
        edge[100:-100, 100:-100] = False
        assert not edge.any()


def columns_of(page: Printed) -> list[list[str]]:
    """The lines of a page's two columns, from the top, between head and foot."""
    textpage = page.page.get_textpage()
    middle = page.width / 2
    sides = []
    for left, right in ((0.0, middle), (middle, page.width)):
        text = textpage.get_text_bounded(left=left / MM, right=right / MM, bottom=28 / MM, top=(page.height - 14) / MM)
        sides.append([" ".join(line.split()) for line in text.splitlines() if line.strip()])
    return sides


def misplaced(pages: Sequence[Printed], headings: Sequence[str], prices: dict[str, int]) -> list[str]:
    """What is not as it should be: headings last in a column, and products whose prices are not all in one column."""
    faults, seen = [], dict.fromkeys(prices, 0)
    for page in pages:
        for lines in columns_of(page):
            if lines and lines[-1] in headings:
                faults.append(f"{lines[-1]} is last in its column")
            title = ""
            counts: dict[str, int] = {}
            for line in lines:
                title = line if line in prices else title
                # What stands below a reduced price ends with the earlier one and a stop.
                if re.search(r"[£€].*\d$", line):
                    counts[title] = counts.get(title, 0) + 1
            faults.extend(f"{one} is split" for one, count in counts.items() if one and count != prices[one])
            faults.extend(f"a price under no title: {lines}" for one in counts if not one)
            seen.update({one: seen[one] + 1 for one in counts if one})
    faults.extend(f"{one} stands {count} times" for one, count in seen.items() if count != 1)
    return faults


@pytest.mark.parametrize("name", ["stall", "shops"])
def test_the_demos_products_stay_whole(demo: Demo, name: str) -> None:
    """No series's name is last in a column or on a page, and no product runs from one column to the next."""
    pages = pages_of(sheets(demo)[name].read_bytes())
    lines = read_lines(demo, sheets(demo)[name])
    prices = {one.title: sum(line.title == one.title for line in lines) for one in demo.calculated.listings}
    headings = [one.title for one in demo.calculated.content.studio.series.values()]
    assert len(pages) == 2
    assert misplaced(pages, headings, prices) == []


@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize("many", [3, 7, 8, 9, 10, 11, 12, 13, 14])
def test_headings_keep_to_their_products(tmp_path: Path, many: int, paper: str) -> None:
    """However many products fill a column, a heading that would be last in it goes over to the next."""
    tables = {
        "studio": studio.TABLES["studio"] + f'paper = "{paper}"\n',
        **{f"series.c{n}": f'title = "Heading {n}"\nsummary = "One."' for n in range(many)},
    }
    content = studio.content(tmp_path, tables=tables)
    (one,) = studio.calculations(content)
    priced = priced_of(tmp_path, content, one, many)
    prices = {f"Pane {n}": 1 for n in range(many)}
    headings = [f"Heading {n}" for n in range(many)]
    assert misplaced(pages_of(price_sheet(priced).pdf()), headings, prices) == []


def priced_of(root: Path, content: Content, one: VariantCalculation, many: int) -> PriceSheetContent:
    """A sheet of so many panes, each in a series of its own."""
    listing = listing_of(content.studio, content.materials.rows, one.product, [one])
    listings = tuple(replace(listing, slug=f"p{n}", title=f"Pane {n}", series=f"c{n}") for n in range(many))
    keys = content.studio.studio
    prices = {one.offer.sku: one.offer.stall}
    theme = read_theme(root, keys.theme, keys.language)
    return PriceSheetContent(
        studio=keys,
        all_series=content.studio.series,
        listings=listings,
        drawn={each.slug: SPECK for each in listings},
        prices=prices,
        title="",
        terms="",
        day=content.day,
        theme=theme,
    )


def read_lines(demo: Demo, path: Path) -> list[Line]:
    """The lines of a sheet of the demo."""
    titles = [listing.title for listing in demo.calculated.listings]
    headings = [one.title for one in demo.calculated.content.studio.series.values()]
    return pdf_lines(path, titles, headings)


def test_shops_are_handed_trade_prices_and_terms(demo: Demo) -> None:
    """The sheet for shops gives each variant its trade price, says whom it is for, and holds the studio's terms."""
    path = sheets(demo)["shops"]
    lines = read_lines(demo, path)
    read = {one.offer.sku: found(lines, one) for one in demo.calculations}
    assert read == {one.offer.sku: [pounds(one.prices["trade"].printed)] for one in demo.calculations}
    text = " ".join(pdf_text(path).split())
    assert "Trade prices for shops" in text
    terms = demo.calculated.content.studio.channels["trade"].terms
    assert terms
    assert terms in text
    assert "Trade prices" not in pdf_text(sheets(demo)["stall"])


def test_the_sheet_for_shops_holds_nothing_else_of_the_makers(demo: Demo) -> None:
    """No cost, floor price or earning, and no other channel's price, can be read on the sheet for shops."""
    private: set[Decimal] = set()
    for one in demo.calculations:
        private |= {round(one.cost.total, 2)}
        for earning in one.earnings.values():
            private |= {round(amount, 2) for amount in (earning.floor, earning.left_after_fees, earning.profit)}
    prices = {one.prices["trade"].printed for one in demo.calculations}
    read = {Decimal(amount) for amount in re.findall(r"£(\d+(?:\.\d\d)?)(?!\d)", pdf_text(sheets(demo)["shops"]))}
    assert read == prices
    assert not read & (private - prices)


def test_trade_prices_lie_with_the_bench_alone(demo: Demo) -> None:
    """No file of the catalogue or the stall is named for trade or shops, and none says so in its text."""
    public = [name for name in outputs_of(demo.project) if not name.startswith("bench/")]
    assert [name for name in public if re.search("trade|shop|discount", name)] == []
    assert "Trade prices" not in "".join(
        data.decode("utf-8", "ignore") for name, data in outputs_of(demo.project).items() if name in public
    )


def test_without_a_channel_for_shops_there_is_no_sheet(tmp_path: Path) -> None:
    """A studio that shows no channel to shops gets no sheet of trade prices, and no link to one."""
    content = studio.content(tmp_path)
    folder = Folder(tmp_path, "bench")
    folder.open()
    priced = priced_of(tmp_path, content, studio.calculations(content)[0], 1)
    assert not write_trade_sheet(content.studio, (), priced, folder)
    assert bytes_of(folder.making) == {}
