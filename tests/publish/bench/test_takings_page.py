"""The page on what sold says what the sales file holds."""

from __future__ import annotations

import csv
from decimal import Decimal
from io import StringIO

from catalog_builder.planning.takings import takings_of
from tests.publish.demo import Demo
from tests.publish.page import read_page, text_of
from tests.publish.plotted import plots_of


def sales(demo: Demo) -> list[dict[str, str]]:
    """The rows of the demo's sales."""
    rows = csv.DictReader(StringIO((demo.project / "content" / "sales.csv").read_text(encoding="utf-8")))
    # What was sold by post is on no market's page.
    return [row for row in rows if row["market"]]


def test_takings_are_what_the_rows_add_up_to(demo: Demo) -> None:
    """Each market's takings are the sum of its rows, by the standard library alone."""
    page = read_page(demo.output / "bench" / "takings.html")
    rows = page.select('[aria-labelledby="by-market"] tbody tr')
    wanted: dict[str, Decimal] = {}
    for sale in sales(demo):
        amount = int(sale["count"]) * Decimal(sale["price"])
        wanted[sale["market"]] = wanted.get(sale["market"], Decimal(0)) + amount
    assert [text_of(row.select("td")[1]) for row in rows] == [f"£{amount:,.2f}" for amount in wanted.values()]


def test_every_piece_sold_is_on_the_page(demo: Demo) -> None:
    """The counts of the list of variants add up to those of the file, and none is lost."""
    page = read_page(demo.output / "bench" / "takings.html")
    rows = page.select('[aria-labelledby="more"] tbody tr:not(.group)')
    sold = sum(int(text_of(row.select("td")[2])) for row in rows)
    assert sold == sum(int(sale["count"]) for sale in sales(demo))
    shares = [int(text_of(row.select("td")[3]).removesuffix("%")) for row in rows]
    assert shares == sorted(shares, reverse=True)
    assert shares[0] == 100
    assert shares[-1] == 0


def test_pictures_show_each_market_and_design(demo: Demo) -> None:
    """Two bars for each market and two for each design, but none where nothing sold."""
    found = takings_of(demo.calculated.content.studio, demo.calculated.content.market_book, demo.calculations)
    money, counts = plots_of((demo.output / "bench" / "takings.html").read_bytes())
    assert len(money.lines("series-0")) == len(money.lines("series-1")) == len(found.markets)
    titles = {one.calculation.product.keys.title for one in found.variants}
    with_sales = {one.calculation.product.keys.title for one in found.variants if one.sold}
    assert len(counts.lines("series-0")) == len(titles)
    assert len(counts.lines("series-1")) == len(with_sales) < len(titles)
    assert titles <= set(counts.texts)
