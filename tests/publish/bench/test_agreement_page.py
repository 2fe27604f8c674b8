"""Prices side by side: the page says what is published, and the demo's channels agree."""

from __future__ import annotations

from collections import Counter
from decimal import Decimal

from catalog_builder.publish.bench.costs.price_notes import price_notes
from tests.publish.demo import Demo
from tests.publish.page import read_page, text_of
from tests.publish.printed import pages_of


def rows(demo: Demo, table: str) -> list[list[str]]:
    """The rows of a table of the page, by the heading that names it."""
    page = read_page(demo.output / "bench" / "agreement.html")
    return [
        [text_of(cell) for cell in row.select("th, td")] for row in page.select(f'[aria-labelledby="{table}"] tbody tr')
    ]


def test_the_demo_asks_one_price_everywhere(demo: Demo) -> None:
    """Page, tag and stockist ask the same of each variant, a shop that buys pays half, and nothing is told of it."""
    for variant in demo.calculations:
        # But for what is reduced for some days.
        printed = {name: standing.published.printed for name, standing in variant.standings.items()}
        assert printed["online"] == printed["stall"] == printed["sale_or_return"] == 2 * printed["trade"]
        assert all(earning.profit >= 0 for earning in variant.earnings.values())
    assert [each.code for each in demo.calculated.findings if each.code.startswith("C")] == []


def test_the_demo_hangs_few_prices_on_three_pages(demo: Demo) -> None:
    """Every price is one of its list, each size has one, and both price sheets fit three pages."""
    assert len({variant.offer.stall_price for variant in demo.calculations}) <= 12
    lasting = [variant for variant in demo.calculations if not variant.reduced]
    assert len(lasting) == len(demo.calculations) - 1
    assert {variant.offer.stall_price for variant in lasting} <= set(
        demo.calculated.content.studio.channels["online"].prices
    )
    sizes: dict[tuple[str, str], set[Decimal]] = {}
    for variant in lasting:
        sizes.setdefault((variant.product.slug, variant.size), set()).add(variant.offer.stall_price)
    assert {len(prices) for prices in sizes.values()} == {1}
    for path in ("stall/price_sheet.pdf", "bench/trade_price_sheet.pdf"):
        assert len(pages_of((demo.output / path).read_bytes())) <= 3


def test_prices_that_hang_are_counted_on_the_page(demo: Demo) -> None:
    """For each channel the number of different prices, and each of them with its variants, by counting alone."""
    for channel, (title, count, prices) in zip(
        demo.calculated.content.studio.channels, rows(demo, "hung"), strict=True
    ):
        counts = Counter(variant.prices[channel].printed for variant in demo.calculations)
        assert title == demo.calculated.content.studio.channels[channel].title
        assert int(count) == len(counts)
        written = ", ".join(f"£{price:,.2f}\u00a0×\u00a0{counts[price]}" for price in sorted(counts))
        assert prices.replace("\u00a0", " ") == written.replace("\u00a0", " ")


def test_ratios_and_what_shops_are_left_are_on_the_page(demo: Demo) -> None:
    """A shop that buys pays half of the catalogue's price and is left the other; a stockist keeps its share."""
    found = {title: (ratio, left) for title, _, ratio, left in rows(demo, "rules")}
    assert found == {
        "Own site": ("100%", ""),
        "Market stall": ("100%", ""),
        "Shops, trade terms": ("50%", "50%"),
        "Sale or return": ("100%", "40%"),
    }


def test_who_carries_whom_is_on_the_page(demo: Demo) -> None:
    """Each size with several variants has a row, which names the one that costs the most, and all of them."""
    sizes: dict[tuple[str, str], list[str]] = {}
    for variant in sorted(demo.calculations, key=lambda each: each.cost.total):
        sizes.setdefault((variant.product.keys.title, variant.offer.size), []).append(variant.offer.words)
    wanted = {key: (str(len(words)), words[-1]) for key, words in sizes.items() if len(words) > 1}
    found = {(row[0], row[1]): (row[4], row[5]) for row in rows(demo, "groups")}
    assert found == wanted


def test_a_cost_card_says_who_carries_it(demo: Demo) -> None:
    """The card of a variant that is carried names the one that sets its price, and what it would be by itself."""
    carried = next(each for each in demo.variants("harbour-light") if each.offer.sku.endswith("black--night"))
    page = text_of(read_page(demo.output / "bench" / "cards" / f"{carried.offer.sku}.html").select("main")[0])
    assert "4 variants of this size have one price. Copper patina, Clear night sets it" in page
    assert "by itself this one would be £135.00" in page
    words = {each.offer.sku: each.offer.words for each in demo.calculations}
    notes = [demo.calculated.phrasing.say(note) for note in price_notes(carried, words, demo.calculated.content.studio)]
    assert all(note in page for note in notes)
    assert len(notes) == 5
