"""The page on pay for an hour says what was reckoned, and puts the best paid first."""

from __future__ import annotations

from decimal import ROUND_HALF_UP, Decimal
from itertools import chain, pairwise
from pathlib import Path

import pytest
from bs4 import Tag

from catalog_builder.build import calculate
from catalog_builder.pricing.calculation import VariantCalculation
from catalog_builder.publish.bench.earnings import an_hour, design_pays, ranked, write_earnings
from catalog_builder.publish.studio_calculation import quiet
from catalog_builder.records.content import Content, read_content
from tests import book, studio
from tests.publish.bench.writing import bench_folder, plots_in, writer_of
from tests.publish.demo import Demo
from tests.publish.page import read_page, said, text_of
from tests.publish.plotted import plots_of, strays

CHANNELS = ("trade", "online", "stall", "sale_or_return")


def rounded(amount: Decimal, digits: int = 2) -> Decimal:
    """Round half up, by the standard library alone."""
    return amount.quantize(Decimal(1).scaleb(-digits), rounding=ROUND_HALF_UP)


def pounds(amount: Decimal) -> str:
    """Write an amount as the demo's readers do."""
    return f"£{rounded(amount):,.2f}".replace("£-", "-£")


def ranking(demo: Demo, channel: str) -> list[tuple[str, list[str]]]:
    """The rows of a channel's ranking: where each leads, and the words of its cells."""
    page = read_page(demo.output / "bench" / "earnings.html")
    (table,) = page.select(f'[aria-labelledby="in-{channel}"] table')
    rows = table.select("tbody tr:not(.group)")
    return [(said(row.select("a")[0], "href"), [text_of(cell) for cell in row.select("th, td")]) for row in rows]


def written(root: Path, content: Content, calculations: list[VariantCalculation]) -> bytes:
    """The page as it is written for a studio."""
    folder = bench_folder(root / "site_output")
    write_earnings(calculations, writer_of(content), plots_in(root), folder)
    return (folder.making / "earnings.html").read_bytes()


@pytest.mark.parametrize("channel", CHANNELS)
def test_ranking_holds_the_reckoned_figures(demo: Demo, channel: str) -> None:
    """A channel's ranking gives each variant once, with the price, what it leaves, minutes and pay as reckoned."""
    wanted = {
        f"cards/{one.offer.sku}.html": [
            one.product.keys.title,
            one.offer.words,
            pounds(one.prices[channel].printed),
            pounds(one.earnings[channel].left_after_fees),
            f"{rounded(one.earnings[channel].margin * 100, 0)}%",
            f"{rounded(one.cost.minutes, 1):f}".removesuffix(".0"),
            pounds(one.earnings[channel].an_hour),
        ]
        for one in demo.calculations
    }
    rows = ranking(demo, channel)
    assert len(rows) == len(wanted)
    assert {href: cells[1:] for href, cells in rows} == wanted


@pytest.mark.parametrize("channel", CHANNELS)
def test_best_paid_stands_first(demo: Demo, channel: str) -> None:
    """Places count from one, and no variant earns more an hour than the one above it."""
    rows = ranking(demo, channel)
    assert [int(cells[0]) for _, cells in rows] == list(range(1, len(rows) + 1))
    hours = [Decimal(cells[-1].replace("£", "")) for _, cells in rows]
    assert all(above >= below for above, below in pairwise(hours))
    assert len(set(hours)) > 10


def test_equal_pay_ranks_by_title_and_code(demo: Demo) -> None:
    """Variants whose pay reads alike stand in the order of their titles and codes, however they came in."""
    order = ranked(demo.calculations, "trade", 2)
    keys = [(-an_hour(one, "trade", 2), one.product.keys.title.casefold(), one.offer.sku) for one in order]
    assert keys == sorted(keys)
    assert len({key[0] for key in keys}) < len(keys)
    assert ranked(demo.calculations[::-1], "trade", 2) == order


def test_pay_for_an_hour_is_what_labour_and_profit_leave(demo: Demo) -> None:
    """An hour earns the price before tax, less fees and all but labour, over the minutes: reckoned by another road."""
    for one in demo.calculations:
        for earning in one.earnings.values():
            beside = sum((line.amount for line in one.cost.lines if line.group != "labour"), Decimal(0))
            again = (earning.left_after_fees - beside) / one.cost.minutes * 60
            assert abs(again - earning.an_hour) < Decimal("1e-15")


def groups(page: bytes, channel: str) -> list[tuple[str, int]]:
    """The headings inside a channel's ranking, each with the count of its rows."""
    bodies: list[Tag] = list(read_page(page).select(f'[aria-labelledby="in-{channel}"] tbody'))
    return [(text_of(body.select("tr.group")[0]), len(body.select("tr:not(.group)"))) for body in bodies]


def test_variant_under_the_rate_stands_apart(tmp_path: Path) -> None:
    """A price that pays less than the studio's rate stands under a heading that says so; the rate itself does not."""
    tables = {"channels.trade": 'title = "Shops"\nshown_on = "private"\nmarkup_percent = 0'}
    root = studio.project(tmp_path, {"pane": studio.record()}, tables)
    found = read_content(book.by_hand(root, f"{studio.DAY},{book.PANE},stall,10.00"), studio.DAY)
    page = written(root, found, studio.calculations(found))
    assert groups(page, "stall") == [("Under your rate of €30.00 an hour", 1)]
    assert groups(page, "trade") == [("At your rate of €30.00 an hour, or over it", 1)]


def test_designs_stand_in_the_order_of_their_middle_variant(demo: Demo) -> None:
    """The table of designs gives lowest, middle and highest of each channel, the best paid on the own site first."""
    page = read_page(demo.output / "bench" / "earnings.html")
    rows = page.select('[aria-labelledby="by-design"] tbody tr')
    read = {
        text_of(row.select("th")[0]): [" ".join(cell.stripped_strings) for cell in row.select("td")] for row in rows
    }
    wanted: dict[str, list[list[Decimal]]] = {}
    for one in demo.calculations:
        each = wanted.setdefault(one.product.keys.title, [[] for _ in CHANNELS])
        for amounts, channel in zip(each, CHANNELS, strict=True):
            amounts.append(rounded(one.earnings[channel].an_hour))
    assert set(read) == set(wanted)
    middles = []
    for title, cells in read.items():
        for amounts, cell in zip(wanted[title], cells, strict=True):
            low, middle, high = min(amounts), sorted(amounts)[(len(amounts) - 1) // 2], max(amounts)
            spread = f" {pounds(low)} to {pounds(high)}" if low < high else ""
            assert cell == pounds(middle) + spread, title
        middles.append(Decimal(cells[CHANNELS.index("online")].split()[0][1:]))
    assert middles == sorted(middles, reverse=True)


def test_plot_is_true_to_the_figures(demo: Demo) -> None:
    """Marks, ends of lines and the rate's line lie on one even scale, with a lane for each design and channel."""
    (plot,) = plots_of((demo.output / "bench" / "earnings.html").read_bytes())
    pays = design_pays(demo.calculated.content.studio, demo.calculations)
    amounts, places = [], []
    for number, channel in enumerate(CHANNELS):
        marks = plot.marks(f"series-{number}")
        assert len(marks) == len(pays)
        assert [y for _, y in marks] == sorted(y for _, y in marks)
        amounts += [float(each[channel].middle) for each in pays.values()]
        places += [x for x, _ in marks]
    rate = plot.lines("rate")
    assert len(rate) == len(pays)
    amounts += [float(demo.calculated.content.studio.bench.hourly_rate)] * len(rate)
    places += [line[0][0] for line in rate]
    assert strays(amounts, places) < 0.02
    lanes = [y for _, y in chain.from_iterable(plot.marks(f"series-{number}") for number in range(len(CHANNELS)))]
    assert len(set(lanes)) == len(lanes)


def test_plot_is_told_in_words(demo: Demo) -> None:
    """The plot is an image with a title and a description that names the rate; every design's name is in it."""
    (plot,) = plots_of((demo.output / "bench" / "earnings.html").read_bytes())
    assert plot.root.get("role") == "img"
    assert plot.title == "Pay for an hour, by design and channel"
    assert "£19.00" in plot.words
    assert {listing.title for listing in demo.calculated.listings} <= set(plot.texts)
    assert "your rate, £19.00" in plot.texts


def test_plot_holds_nothing_of_its_program(demo: Demo) -> None:
    """No style that would reach beyond the plot, no colour of its own, no font of its own, no date."""
    page = (demo.output / "bench" / "earnings.html").read_text(encoding="utf-8")
    for word in ("<style", "#0", "font-family", "matplotlib", "Matplotlib", "metadata", "<!--"):
        assert word not in page, word


def test_signs_of_a_title_are_drawn_as_they_are(tmp_path: Path) -> None:
    """A title with signs of markup or of formulas, and letters of far scripts, stands in the plot as it is written."""
    title = "A_{b} $5 & <3> 鶴"
    text = studio.record().replace("title: Pane", f"title: '{title}'")
    found = studio.content(tmp_path, text)
    (plot,) = plots_of(written(tmp_path, found, studio.calculations(found)))
    assert title in plot.texts


def test_same_bytes_again(tmp_path: Path, demo: Demo) -> None:
    """Written twice in one run, the page is the same, byte for byte."""
    again = written(tmp_path, demo.calculated.content, list(demo.calculations))
    assert again == (demo.output / "bench" / "earnings.html").read_bytes()


def test_index_leads_to_the_page(demo: Demo) -> None:
    """The bench's first page leads to the pages on pay and on history, to what moved, and to the lists."""
    bench = demo.output / "bench"
    links = {said(link, "href") for link in read_page(bench / "index.html").select('nav[aria-labelledby="papers"] a')}
    assert {"earnings.html", "history.html", "repricing.html", "cost_lines.csv", "cost_lines.xlsx"} <= links
    assert [link for link in links if not (bench / link).is_file()] == []


def test_nothing_of_it_is_public(demo: Demo) -> None:
    """No file of the catalogue or the stall bears the name or the words of these papers."""
    words = (b"an hour at the bench", b"earnings", b"cost_lines", b"Costs and prices over time")
    for audience in ("catalogue", "stall"):
        files = [path for path in (demo.output / audience).rglob("*") if path.is_file()]
        assert len(files) > 2
        assert [path.name for path in files if any(word in path.read_bytes() for word in words)] == []


def test_a_project_with_one_variant_has_a_plot(tmp_path: Path) -> None:
    """One design with one variant, whose lowest and highest are one, is drawn with a mark in every channel."""
    root = studio.project(tmp_path, {"pane": studio.record()})
    calculated = calculate(root, studio.DAY, quiet)
    (plot,) = plots_of(written(root, calculated.content, list(calculated.calculations)))
    assert [len(plot.marks(f"series-{number}")) for number in range(3)] == [1, 1, 1]


def market_rows(page: bytes) -> list[list[str]]:
    """The words of the cells of the table at the market's price."""
    return [
        [text_of(cell) for cell in row.select("th, td")]
        for row in read_page(page).select('[aria-labelledby="at-market"] tbody tr:not(.group)')
    ]


def test_market_price_by_hand(tmp_path: Path) -> None:
    """At 20.00 of which the stall takes a tenth: what is left, the minutes it pays for, and the pay for an hour."""
    tables = {
        "bench": 'hourly_rate = "30"\nbench_hours_a_year = 800\noverheads_a_year = "4800"\nbatch = 5',
        "channels.stall": 'title = "Stall"\nshown_on = "stall"\nmarkup_percent = 50\nfee_percent = 10',
    }
    keys = "sizes: {large: 100mm, small: 80mm}\nmarket_price: 20"
    found = studio.content(tmp_path, studio.record(keys=keys), tables)
    variants = studio.calculations(found)
    cost = variants[0].cost
    materials = cost.total - cost.of("labour", "overhead")
    allowed = (18 - materials) / 36 * 60
    hour = (18 - materials - cost.minutes / 60 * 6) / cost.minutes * 60
    (row,) = market_rows(written(tmp_path, found, variants))
    euros = [f"€{rounded(amount)}" for amount in (Decimal(20), variants[0].prices["stall"].printed, Decimal(18), hour)]
    minutes = [f"{rounded(amount, 1):f}".removesuffix(".0") for amount in (cost.minutes, allowed)]
    assert row == ["1", "Pane", "Large, Bright", *euros[:3], *minutes, euros[3]]


def test_designs_rank_by_what_the_market_pays(demo: Demo) -> None:
    """Each design whose record names the market's price stands once, the best paid first, in two groups by the rate."""
    page = (demo.output / "bench" / "earnings.html").read_bytes()
    rows = market_rows(page)
    named = {listed.keys.title for listed in demo.calculated.content.products if listed.keys.market_price is not None}
    assert {row[1] for row in rows} == named
    assert len(rows) == len(named) > 4
    hours = [Decimal(row[-1].removeprefix("£")) for row in rows]
    assert hours == sorted(hours, reverse=True)
    bodies = read_page(page).select('[aria-labelledby="at-market"] tbody')
    counts = [len(body.select("tr:not(.group)")) for body in bodies]
    assert counts == [sum(hour >= 19 for hour in hours), sum(hour < 19 for hour in hours)]
    assert all(counts)


def test_without_market_prices_there_is_no_such_table(tmp_path: Path) -> None:
    """A studio that names none has no empty table."""
    found = studio.content(tmp_path)
    assert b"at-market" not in written(tmp_path, found, studio.calculations(found))
