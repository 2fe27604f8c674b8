"""The command ``quote``: priced as the catalogue is, handed over without a cost, and told where it is wrong."""

from __future__ import annotations

import re
from decimal import Decimal
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from catalog_builder.build import read
from catalog_builder.cache.store import Store
from catalog_builder.cli import main
from catalog_builder.commands.quote import PricedQuote, price_quote
from catalog_builder.offer import Listing
from catalog_builder.pricing.calculation import VariantCalculation
from catalog_builder.records.content import read_content
from tests import studio
from tests.publish.demo import DAY, ROOT
from tests.publish.page import read_page, text_of
from tests.publish.sheet import pdf_text

HEAD = 'buyer = "The ferryman"\ndated = 2031-05-01\nuntil = 2031-06-01\n'
OWN = """
[[items]]
title = "Two reeds"
drawing = "reeds.svg"
finish = "bright"
pieces = { left = "reed", right = "slate" }
"""


def lay_quote(project: Path, items: str, head: str = HEAD) -> Path:
    """Write a quote named `ferry` into a project, and a drawing beside it."""
    folder = project / "content" / "quotes"
    folder.mkdir(exist_ok=True)
    (folder / "ferry.toml").write_text(head + items, encoding="utf-8")
    drawing = f'<svg xmlns="http://www.w3.org/2000/svg" {studio.BOX}>{studio.PANE}{studio.PANE_RING}</svg>'
    (folder / "reeds.svg").write_text(drawing, encoding="utf-8")
    return project


@pytest.fixture
def project(tmp_path: Path) -> Path:
    """A studio with one product."""
    return studio.project(tmp_path, {"pane": studio.record()})


def run(project: Path, name: str = "ferry", day: str = "2031-05-20") -> Result:
    """Run the command."""
    return CliRunner().invoke(main, ["quote", name, "--folder", str(project), "--day", day])


def priced(project: Path, items: str, head: str = HEAD) -> PricedQuote:
    """A quote, priced."""
    content, theme = read(lay_quote(project, items, head), studio.DAY)
    return price_quote(content, theme, content.quotes[0], Store(project / "nowhere"))


def listed(project: Path) -> VariantCalculation:
    """The first variant of the catalogue."""
    return studio.calculations(read_content(project, studio.DAY))[0]


def test_a_listed_variant_has_the_catalogues_price(project: Path) -> None:
    """What is asked for as it stands in the record costs what the catalogue asks."""
    quote = priced(project, '[[items]]\nproduct = "pane"\ncount = 3\n')
    variant = listed(project)
    (item,) = quote.sheet.items
    assert item.asked == variant.offer.online
    assert quote.bill.due.total == 3 * variant.offer.online.printed


def test_by_hand_alone_a_piece_carries_its_set_up(project: Path) -> None:
    """One made by itself carries all 10 minutes of the batch, not a fifth: 8 min x 1.2 x 30 an hour is 4.80 more cost.

    With 50 % markup and no price points that is 7.20 more.
    """
    quote = priced(project, '[[items]]\nproduct = "pane"\n[items.pieces]\nleft = "reed"\n')
    variant = listed(project)
    (made,) = quote.calculations
    assert made.cost.total - variant.cost.total == pytest.approx(Decimal("4.80"), abs=Decimal("1e-9"))
    more = quote.sheet.items[0].asked.printed - variant.offer.online.printed
    assert abs(more - Decimal("7.20")) <= Decimal("0.01")


def test_a_drawing_of_its_own_costs_what_the_same_product_does(project: Path) -> None:
    """The same lines, glass and batch have the same cost, mass and price, be they a product's or the buyer's."""
    quote = priced(project, OWN + "batch = 5\n")
    variant = listed(project)
    (made,) = quote.calculations
    assert (made.cost.total, made.suspension.mass_g) == (variant.cost.total, variant.suspension.mass_g)
    assert made.prices == variant.prices


def test_another_width_is_measured_anew(project: Path) -> None:
    """Twice as wide is four times the glass, and the record's own sizes stay as they are."""
    quote = priced(project, '[[items]]\nproduct = "pane"\nwidth = "200 mm"\n')
    variant = listed(project)
    (made,) = quote.calculations
    # The foil gap is taken off each seam, whatever the size.
    assert made.measures.dm2 == pytest.approx(4 * variant.measures.dm2, rel=Decimal("0.02"))
    assert made.offer.width_mm == pytest.approx(2 * variant.offer.width_mm, rel=0.02)


def test_prices_are_those_of_the_quotes_day(tmp_path: Path) -> None:
    """Solder that is dearer from the next day on changes nothing; a quote of that day has it."""
    root = studio.project(tmp_path, {"pane": studio.record()}, prices="solder,2031-05-02,120.00\n")
    before = priced(root, OWN).bill.due.total
    after = priced(root, OWN, HEAD.replace("2031-05-01", "2031-05-02")).bill.due.total
    assert after > before
    assert priced(root, OWN).bill.due.total == before


def test_what_is_handed_over_says_all_and_holds_no_cost(project: Path) -> None:
    """For whom, until when, price, deposit, what is left, cautions; no cost, floor price or hour."""
    head = HEAD + 'deposit_percent = "12.5"\ncarriage = 7\ndelivery = "By the noon boat."\nready_by = 2031-07-01\n'
    quote = priced(project, OWN + "count = 2\n", head)
    result = run(project)
    assert result.exit_code == 0, result.output
    text = " ".join(pdf_text(project / "site_output" / "quotes" / "ferry" / "ferry.pdf").split())
    wording = quote.phrasing.wording
    bill = quote.bill
    assert bill.due.total == 2 * quote.sheet.items[0].asked.printed + 7
    for words in (
        "The ferryman",
        "Holds until 1 June 2031",
        "Two reeds",
        "100 mm wide, 60 mm high",
        "By the noon boat.",
        "12.5%",
    ):
        assert words in text, words
    for amount in (bill.due.total, bill.deposit.total, bill.balance.total, Decimal(7)):
        assert wording.money(amount) in text
    for caution in ("The solder contains lead.", "Hang it only by its ring", "Wash your hands", "They are estimates"):
        assert caution in text, caution
    assert "lapsed" not in text
    (made,) = quote.calculations
    private = (made.cost.total, made.earnings["online"].floor, made.earnings["online"].an_hour)
    for amount in private:
        assert wording.money(amount) not in text
        assert wording.money(amount) in result.output
    card = text_of(read_page(project / "site_output" / "quotes" / "ferry" / "private" / "cards" / "1.html"))
    assert wording.money(made.cost.total) in card


def test_the_sheet_is_made_without_anything_that_holds_a_cost(project: Path) -> None:
    """What the quote's sheet is handed are a listing and an offer, as the catalogue's pages get."""
    (item,) = priced(project, OWN).sheet.items
    assert isinstance(item.listing, Listing)
    assert not {"cost", "earnings", "standings"} & set(dir(item))


def test_a_quote_past_its_day_says_so(project: Path) -> None:
    """On its last day it holds; a day later both the paper and the command say that it lapsed, and what to do."""
    lay_quote(project, OWN)
    assert "Q01" not in run(project, day="2031-06-01").output
    result = run(project, day="2031-06-02")
    assert result.exit_code == 0
    assert "Q01 content/quotes/ferry.toml:3: the quote ferry held until 1 June 2031" in result.output
    assert "change dated and until" in result.output
    text = pdf_text(project / "site_output" / "quotes" / "ferry" / "ferry.pdf")
    assert "lapsed on 1 June 2031" in " ".join(text.split())


def test_a_card_for_each_item_and_none_that_is_left_over(project: Path) -> None:
    """Cards are numbered as the items are; an item that is taken out loses its card."""
    cards = project / "site_output" / "quotes" / "ferry" / "private" / "cards"
    lay_quote(project, OWN + OWN.replace("Two reeds", "Two more"))
    assert run(project).exit_code == 0
    assert sorted(path.name for path in cards.iterdir()) == ["1.html", "2.html"]
    lay_quote(project, OWN)
    assert run(project).exit_code == 0
    assert sorted(path.name for path in cards.iterdir()) == ["1.html"]


def test_the_demos_quote_is_one(tmp_path: Path) -> None:
    """The demo's own quote is priced; its two items and the delivery are what the buyer pays."""
    content, theme = read(ROOT, DAY)
    quote = price_quote(content, theme, content.quotes[0], Store(tmp_path))
    moon, leaves = (item.asked.printed for item in quote.sheet.items)
    assert quote.bill.due.total == moon + 2 * leaves + 18
    assert quote.bill.deposit.total == (quote.bill.due.total * 2 / 5).quantize(Decimal("0.01"))


def test_an_unknown_quote_names_the_nearest(project: Path) -> None:
    """A misspelled name ends with 1 and says which was meant."""
    lay_quote(project, OWN)
    result = run(project, "fery")
    assert result.exit_code == 1
    assert "there is no quote 'fery'" in result.output
    assert "did you mean 'ferry'?" in result.output


def test_a_drawing_that_cannot_be_made_is_told_by_its_line(project: Path) -> None:
    """A fault of the buyer's drawing is told as one of a product's is, and nothing is written."""
    lay_quote(project, OWN)
    path = project / "content" / "quotes" / "reeds.svg"
    path.write_text(path.read_text(encoding="utf-8").replace('data-glass="right"', 'data-glass="rigth"'), "utf-8")
    result = run(project)
    assert result.exit_code == 1
    assert re.search(r"content/quotes/ferry\.toml:\d+: .*rigth|content/quotes/reeds\.svg:\d+: .*rigth", result.output)
    assert not (project / "site_output" / "quotes").exists()
