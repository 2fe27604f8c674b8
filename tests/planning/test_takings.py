"""Takings: a market calculated by hand, and what sold ranked."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path

import pytest

from catalog_builder.planning.takings import MarketTakings, Takings, market_findings, takings_of
from catalog_builder.records.content import Content, read_content
from tests import studio
from tests.english import english

STALL = (
    'title = "Stall"\nshown_on = "stall"\nmarkup_percent = 50\nfee_percent = "2.5"\nfee_each = "0.10"\nday_fee = 30\n'
)
MARKET = '[[markets]]\nname = "Ferry fair"\nplace = "The ramp"\ndate = 2031-05-03\nhours = "noon"\ncode = "ferry"\n'


def laid(root: Path, sales: str, packed: str = "", stall: str = STALL, market: str = "") -> Content:
    """A studio with a pane in two finishes and a market, what sold there and what was packed for it."""
    tables = {"channels.stall": stall, "finishes.matt": 'title = "Matt"'}
    text = studio.record().replace("finishes: [bright]", "finishes: [bright, matt]")
    project = studio.project(root, {"pane": text}, tables)
    path = project / "content" / "studio.toml"
    path.write_text(f"{path.read_text(encoding='utf-8')}\n{MARKET}{market}", encoding="utf-8")
    (project / "content" / "sales.csv").write_text(f"market,product,finish,count,price\n{sales}", encoding="utf-8")
    if packed:
        (project / "content" / "markets").mkdir()
        (project / "content" / "markets" / "ferry.csv").write_text(f"product,finish,count\n{packed}", encoding="utf-8")
    return read_content(project, studio.DAY)


def takings(content: Content) -> Takings:
    """What all markets brought in."""
    return takings_of(content.studio, content.market_book, studio.calculations(content))


def findings(content: Content) -> list[tuple[str, str]]:
    """The findings about sales, in English."""
    unlisted = market_findings(content.studio.markets, content.market_book)
    return [(finding.code, english(finding.text)) for finding in unlisted]


def only_market(content: Content) -> MarketTakings:
    """The one market with sales."""
    (market,) = takings(content).markets
    return market


def test_a_market_by_hand(tmp_path: Path) -> None:
    """Three panes at 40 and one at 36, with 2.5 % and 0.10 a sale and a pitch of 28, leave 123.70.

    Takings 3 x 40 + 36 = 156; fees 156 x 0.025 + 4 x 0.10 = 4.30; 156 - 4.30 - 28 = 123.70.
    """
    content = laid(tmp_path, "ferry,pane,bright,3,40\nferry,pane,bright,1,36\n", market="pitch_fee = 28\n")
    market = only_market(content)
    assert (market.sold, market.takings, market.fees, market.pitch) == (4, Decimal(156), Decimal("4.30"), Decimal(28))
    assert market.left == Decimal("123.70")


def test_pay_for_an_hour_by_hand(tmp_path: Path) -> None:
    """Cut takes 10 / 5 + 2 x 2 = 6 minutes and 20 % allowance: 7.2 a pane, 0.48 h for four; eight hours at the stall.

    There are no overheads, so that what is spent is the materials of four panes.
    """
    content = laid(tmp_path, "ferry,pane,bright,4,40\n", market="pitch_fee = 28\nstall_hours = 8\n")
    market = only_market(content)
    calculated = studio.calculations(content)[0]
    materials = sum((line.amount for line in calculated.cost.lines if line.group != "labour"), Decimal(0))
    assert market.bench_minutes == Decimal("28.8")
    assert market.spent == pytest.approx(4 * materials)
    left = 160 - Decimal("4.00") - Decimal("0.40") - 28
    assert market.bench_hour == pytest.approx((left - 4 * materials) / Decimal("0.48"))
    assert market.whole_hour == pytest.approx((left - 4 * materials) / Decimal("8.48"))


def test_money_is_decimal_to_the_minor_unit(tmp_path: Path) -> None:
    """A tenth has no exact binary form: 3 x 0.10 and 0.20 are 0.50 to the last digit, and counts are whole."""
    content = laid(tmp_path, "ferry,pane,bright,3,0.10\nferry,pane,bright,1,0.20\n", "pane,bright,4\n")
    market = only_market(content)
    assert str(market.takings) == "0.50"
    amounts = (market.takings, market.tax, market.fees, market.pitch, market.spent, market.bench_minutes)
    assert {type(amount) for amount in amounts} == {Decimal}
    assert (type(market.sold), market.sold, type(market.brought), market.brought) == (int, 4, int, 4)
    (variant,) = takings(content).variants
    assert (str(variant.takings), type(variant.sold)) == ("0.50", int)


def test_tax_is_not_the_makers(tmp_path: Path) -> None:
    """At 20 % a price of 60 holds 10 of tax, or is paid as 72 where tax is added; fees go by what is paid."""
    for tax, paid in (("included", 60), ("added", 72)):
        stall = f'{STALL}tax_percent = 20\ntax = "{tax}"\n'
        market = only_market(laid(tmp_path / tax, "ferry,pane,bright,1,60\n", stall=stall))
        assert (market.takings, market.tax) == (Decimal(paid), Decimal(paid) / 6)
        assert market.fees == paid * Decimal("0.025") + Decimal("0.10")


def test_a_pitch_without_a_fee_of_its_own_bears_the_channels(tmp_path: Path) -> None:
    """A fair of two days costs the channel's fee of a day twice; stall hours that are not told give no pay by them."""
    market = only_market(laid(tmp_path, "ferry,pane,bright,1,40\n", market="until = 2031-05-04\n"))
    assert market.pitch == 60
    assert market.whole_hour is None


def test_what_sold_out_comes_first(tmp_path: Path) -> None:
    """One of two sold is half, two of two are all of them; each row of the sales counts once, whatever its price."""
    content = laid(
        tmp_path, "ferry,pane,bright,1,40\nferry,pane,matt,1,40\nferry,pane,matt,1,38\n", "pane,bright,2\npane,matt,2\n"
    )
    variants = takings(content).variants
    assert [(variant.calculation.finish, variant.brought, variant.sold, variant.share) for variant in variants] == [
        ("matt", 2, 2, Decimal(1)),
        ("bright", 2, 1, Decimal("0.5")),
    ]
    assert [variant.takings for variant in variants] == [78, 40]
    assert findings(content) == []


def test_more_sold_than_brought_is_told(tmp_path: Path) -> None:
    """Three sold of two on the list, and one that was on no list: both are told, and nothing of them is lost."""
    content = laid(tmp_path, "ferry,pane,bright,3,40\nferry,pane,matt,1,38\n", "pane,bright,2\n")
    assert findings(content) == [
        ("M01", "ferry: 3 × pane bright plain sold, but its list has 2"),
        ("M01", "ferry: 1 × pane matt plain sold, but its list has 0"),
    ]
    sold = takings(content)
    assert sum(variant.sold for variant in sold.variants) == 4
    assert {variant.share for variant in sold.variants} == {Decimal(1)}
