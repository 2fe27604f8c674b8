"""Which price is published: the book's word goes first, and only the maker's word changes it."""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal
from itertools import combinations
from pathlib import Path

import pytest

from catalog_builder.build import calculate
from catalog_builder.pricing.price_moves import rows_to_write
from catalog_builder.publish.studio_calculation import quiet
from tests.book import PANE, book_file, book_of, by_hand, dearer, moved, on_day, record, rewritten
from tests.studio import DAY, project
from tests.studio import record as pane

DAILY = timedelta(days=1)


def one_product(root: Path, keys: str = "", band: str = "") -> Path:
    """A studio with one product, some keys in its record, and a band for the book."""
    tables = {"book": f'keep_within_percent = "{band}"'} if band else None
    return project(root, {"pane": pane(keys=keys)}, tables)


def codes(root: Path, day: date = DAY) -> dict[str, str]:
    """What a day's build finds about the book, by code."""
    findings = calculate(root, day, quiet).worded_findings
    return {finding.code: finding.text for finding in findings if finding.code.startswith("B")}


# The order of precedence


def test_without_a_book_the_policy_is_published(tmp_path: Path) -> None:
    """Where nothing was recorded, every channel has the policy's price, and all of them would be written."""
    variant = on_day(one_product(tmp_path))
    assert {name: standing.published for name, standing in variant.standings.items()} == {
        name: standing.policy for name, standing in variant.standings.items()
    }
    assert all(standing.to_write and not standing.moved for standing in variant.standings.values())
    assert moved(tmp_path) == ()


def test_the_book_goes_first_and_the_policy_fills_its_gaps(tmp_path: Path) -> None:
    """A price in the book is what buyers see; a channel that the book has not keeps the policy's."""
    by_hand(one_product(tmp_path), f"2031-01-01,{PANE},online,99.50")
    variant = on_day(tmp_path)
    assert variant.prices["online"].printed == variant.offer.online_price == Decimal("99.50")
    assert variant.standings["online"].policy.printed != Decimal("99.50")
    assert variant.prices["stall"] == variant.standings["stall"].policy
    assert variant.offer.stall_price == variant.prices["stall"].printed


def test_dearer_material_moves_no_published_price(tmp_path: Path) -> None:
    """After a rise the book's prices stand until the maker says so; then the new ones do, and nothing is left over."""
    one_product(tmp_path)
    assert record(tmp_path) == 3
    before = on_day(tmp_path).prices
    dearer(tmp_path, "reed", "18.00", DAY + DAILY)
    after = on_day(tmp_path, DAY + DAILY)
    assert after.prices == before
    assert {price.channel for price in moved(tmp_path, DAY + DAILY)} == set(before)
    assert codes(tmp_path, DAY + DAILY)["B01"].startswith("today's costs would move 3 prices of the book")
    assert record(tmp_path, DAY + DAILY) == 3
    assert on_day(tmp_path, DAY + DAILY).prices == {name: price.policy for name, price in after.standings.items()}
    assert moved(tmp_path, DAY + DAILY) == ()
    assert codes(tmp_path, DAY + DAILY) == {}


TRADE_FOLLOWED = {
    "channels.stall": 'title = "Stall"\nshown_on = "stall"\ntimes_trade = 2',
    "channels.galleries": 'title = "Galleries"\nshown_on = "shops"\nmarkup_percent = 20',
}


def test_a_channel_follows_the_trade_price_in_force(tmp_path: Path) -> None:
    """Twice the trade price is twice what shops are asked, by the book or by the policy."""
    project(tmp_path, {"pane": pane()}, TRADE_FOLLOWED)
    before = on_day(tmp_path).prices
    assert before["stall"].printed == 2 * before["galleries"].printed
    by_hand(tmp_path, f"2031-01-01,{PANE},galleries,31.00")
    assert on_day(tmp_path).offer.stall_price == 62


def test_recording_a_new_trade_price_moves_what_follows_it_at_once(tmp_path: Path) -> None:
    """Recorded together, both prices agree: nothing is left to record a second time."""
    project(tmp_path, {"pane": pane()}, TRADE_FOLLOWED)
    record(tmp_path)
    with book_file(tmp_path).open("a", encoding="utf-8") as file:
        file.write(f"{DAY},{PANE},galleries,31.00,,,,,\n{DAY},{PANE},stall,62.00,,,,,\n")
    assert {move.channel for move in moved(tmp_path)} == {"galleries", "stall"}
    record(tmp_path)
    after = on_day(tmp_path).prices
    assert after["stall"].printed == 2 * after["galleries"].printed
    assert moved(tmp_path) == ()


def test_a_held_trade_price_holds_what_follows_it(tmp_path: Path) -> None:
    """While the record holds the trade price, a channel that follows it has nothing new to write."""
    project(tmp_path, {"pane": pane(keys="hold_until: 2031-12-31")}, TRADE_FOLLOWED)
    by_hand(tmp_path, f"2031-01-01,{PANE},galleries,31.00", f"2031-01-01,{PANE},stall,62.00")
    assert [move.channel for move in moved(tmp_path)] == ["galleries"]


def test_recording_again_writes_nothing(tmp_path: Path) -> None:
    """Where nothing moved since, the maker's word adds no row."""
    one_product(tmp_path)
    assert [record(tmp_path), record(tmp_path), record(tmp_path, DAY + DAILY)] == [3, 0, 0]


@pytest.mark.parametrize(
    ("day", "price"),
    [
        ("2031-02-28", None),
        ("2031-03-01", "41.00"),
        ("2031-04-14", "41.00"),
        ("2031-04-15", "43.50"),
        ("2031-08-31", "43.50"),
        ("2031-09-01", "47.00"),
        ("2040-01-01", "47.00"),
    ],
)
def test_a_build_as_of_a_day_has_that_days_prices(tmp_path: Path, day: str, price: str | None) -> None:
    """A price is in force from its own day until the next one's; before the first, the policy's is."""
    rows = (f"2031-09-01,{PANE},online,47.00", f"2031-03-01,{PANE},online,41.00", f"2031-04-15,{PANE},online,43.50")
    by_hand(one_product(tmp_path), *rows)
    variant = on_day(tmp_path, date.fromisoformat(day))
    expected = variant.standings["online"].policy.printed if price is None else Decimal(price)
    assert variant.offer.online_price == expected
    assert ("B02" in codes(tmp_path, date.fromisoformat(day))) == (day < "2031-09-01")


def test_an_earlier_build_has_the_prices_that_were_published_then(tmp_path: Path) -> None:
    """After two rises and two words of the maker's, a build as of each day prints what that day's build printed."""
    one_product(tmp_path)
    days = [DAY, DAY + 10 * DAILY, DAY + 20 * DAILY]
    printed = []
    for day, price in zip(days, ("12.00", "15.00", "19.00"), strict=True):
        dearer(tmp_path, "slate", price, day)
        record(tmp_path, day)
        printed.append(on_day(tmp_path, day).offer)
    assert [on_day(tmp_path, day).offer for day in days] == printed
    assert [on_day(tmp_path, day + 9 * DAILY).offer for day in days] == printed
    assert len({offer.online_price for offer in printed}) == 3


def test_of_two_words_on_a_day_the_last_stands(tmp_path: Path) -> None:
    """Recorded twice on a day, the second price stands, and its causes are those since the second cost."""
    one_product(tmp_path)
    record(tmp_path)
    rewritten(tmp_path, 'hourly_rate = "30"', 'hourly_rate = "60"')
    assert record(tmp_path) == 3
    assert len(book_of(tmp_path).rows) == 6
    dearer(tmp_path, "reed", "24.00", DAY + DAILY)
    for move in moved(tmp_path, DAY + DAILY):
        assert {(cause.kind, cause.key) for cause in move.causes} <= {("price", "reed"), ("rounding", "")}


@pytest.mark.parametrize(("cell", "price"), [("24.5", "24.50"), ("24", "24.00"), ("24.505", "24.51")])
def test_a_price_by_hand_gets_its_currencys_digits(tmp_path: Path, cell: str, price: str) -> None:
    """A price that was written with fewer or more digits is published with those of the currency."""
    by_hand(one_product(tmp_path), f"2031-01-01,{PANE},online,{cell}")
    assert str(on_day(tmp_path).offer.online_price) == price


def test_a_price_by_hand_says_not_why(tmp_path: Path) -> None:
    """Of a price that was written by hand no cost is known, so that its change has one cause: it is not recorded."""
    one_product(tmp_path)
    record(tmp_path)
    with (tmp_path / "content" / "price_book.csv").open("a", encoding="utf-8") as file:
        file.write(f"{DAY},{PANE},online,20.00,,,,,\n")
    (move,) = moved(tmp_path)
    assert [(cause.kind, cause.amount) for cause in move.causes] == [("unknown", move.by)]


# The band


@pytest.mark.parametrize(
    ("price", "moves"),
    # The policy's price is 18.47; 5 % of the book's is a band about the book's price.
    [("17.58", True), ("17.60", False), ("18.47", False), ("19.44", False), ("19.45", True)],
)
def test_a_price_stands_within_the_band(tmp_path: Path, price: str, moves: bool) -> None:
    """While the policy's price is within the band of the book's, the book's stands and nothing is to be written."""
    by_hand(one_product(tmp_path, band="5"), f"2031-01-01,{PANE},online,{price}")
    standing = on_day(tmp_path).standings["online"]
    assert str(standing.policy.printed) == "18.47"
    assert str(standing.published.printed) == price
    assert (standing.moved, standing.to_write) == (moves, moves)


@pytest.mark.parametrize(("band", "moves"), [("4.99", True), ("5", False)])
def test_the_band_includes_its_edge(tmp_path: Path, band: str, moves: bool) -> None:
    """A price that is off by the band exactly stands: 21 against 20 of the book is 5 %."""
    by_hand(one_product(tmp_path, band=band), f"2031-01-01,{PANE},online,20.00")
    rewritten(tmp_path, 'shown_on = "catalogue"\n', 'shown_on = "catalogue"\nprice_points = [{ step = 21 }]\n')
    standing = on_day(tmp_path).standings["online"]
    assert str(standing.policy.printed) == "21.00"
    assert standing.moved == moves


# A hold


@pytest.mark.parametrize(
    ("days", "held", "ending"),
    [
        (-15, True, None),
        (-14, True, "ends in 14 days"),
        (-1, True, "ends tomorrow"),
        (0, True, "ends today"),
        (1, False, None),
    ],
)
def test_a_hold_lasts_to_its_day(tmp_path: Path, days: int, held: bool, ending: str | None) -> None:
    """Up to the day of its record and on it a price is held; the day after, it is written like any other."""
    until = DAY + 30 * DAILY
    one_product(tmp_path, keys=f"hold_until: {until}")
    record(tmp_path)
    dearer(tmp_path, "reed", "18.00", DAY + DAILY)
    day = until + days * DAILY
    published = on_day(tmp_path, day)
    assert published.prices["online"] == on_day(tmp_path).prices["online"]
    assert {move.held for move in moved(tmp_path, day)} == {held}
    findings = codes(tmp_path, day)
    assert ("B01" in findings) == (not held)
    assert ("B05" in findings) == held
    assert (findings.get("B06") is None) if ending is None else findings["B06"].endswith(ending)
    calculated = calculate(tmp_path, day, quiet)
    rows = rows_to_write(calculated.content.studio, day, calculated.calculations, None)
    assert len(rows) == (0 if held else 3)


@pytest.mark.parametrize(("price", "asks"), [("18.00", "€2.98 more"), ("6.00", "€2.98 less")])
def test_what_holding_costs_is_told(tmp_path: Path, price: str, asks: str) -> None:
    """A held price tells by how much it is off: of all its channels, the most that today's costs ask for."""
    one_product(tmp_path, keys="hold_until: 2031-12-31")
    record(tmp_path)
    dearer(tmp_path, "reed", price, DAY + DAILY)
    (most,) = {move.by for move in moved(tmp_path, DAY + DAILY) if move.channel == "online"}
    assert f"€{abs(most)} {asks.split()[1]}" == asks
    finding = codes(tmp_path, DAY + DAILY)["B05"]
    assert finding == f"Pane: held until 31 December 2031; today's costs ask for up to {asks} an item"


def test_a_held_product_that_is_new_is_written(tmp_path: Path) -> None:
    """There is nothing to hold where the book has no price: the first one is written."""
    one_product(tmp_path, keys="hold_until: 2031-12-31")
    assert record(tmp_path) == 3


def test_variants_that_are_gone_are_told_and_kept(tmp_path: Path) -> None:
    """A variant that is not offered any more keeps its rows, and is named once."""
    one_product(tmp_path)
    record(tmp_path)
    by_hand(tmp_path, "2030-01-01,moth--black,online,20.00", f"2031-01-01,{PANE},online,18.47")
    assert codes(tmp_path)["B03"] == "1 variant of the book is not offered any more: moth--black"
    assert len(book_of(tmp_path).rows) == 2


def test_a_folder_that_was_renamed_is_told_with_what_lost_its_price(tmp_path: Path) -> None:
    """The old code and the new one are both named: the new one follows today's costs."""
    one_product(tmp_path)
    by_hand(tmp_path, "2031-01-01,old-pane--bright,online,20.00")
    findings = [f.text for f in calculate(tmp_path, DAY, quiet).worded_findings if f.code == "B03"]
    assert findings == [
        "1 variant of the book is not offered any more: old-pane--bright",
        f"1 variant that is offered is not in the book, and follows today's costs: {PANE}",
    ]


def test_a_change_of_currency_is_told(tmp_path: Path) -> None:
    """A recorded price says in which currency: in another one its number is published unchanged, and told."""
    one_product(tmp_path)
    record(tmp_path)
    before = on_day(tmp_path).offer.online_price
    rewritten(tmp_path, 'currency = "EUR"', 'currency = "USD"')
    assert on_day(tmp_path).offer.online_price == before
    text = f"prices of the book were recorded in EUR, and are published unchanged in USD: {PANE} is one of them"
    assert codes(tmp_path)["B07"] == text
    with book_file(tmp_path).open("a", encoding="utf-8") as file:
        file.writelines(f"{DAY},{PANE},{name},20.00,,,,,\n" for name in ("online", "stall", "trade"))
    assert "B07" not in codes(tmp_path)


def test_a_hold_without_a_price_to_hold_is_told(tmp_path: Path) -> None:
    """Without a book nothing holds the prices: they follow today's costs, which is said until they are recorded."""
    one_product(tmp_path, keys="hold_until: 2031-12-31")
    text = "Pane: held until 31 December 2031, but 3 of its prices are not in the price book, and follow today's costs"
    assert codes(tmp_path)["B09"] == text
    assert "B09" not in codes(tmp_path, date(2032, 1, 1))
    record(tmp_path)
    assert "B09" not in codes(tmp_path)


@pytest.mark.parametrize("cell", ["0.004", "0.0001"])
def test_a_price_under_the_least_coin_is_no_zero(tmp_path: Path, cell: str) -> None:
    """What rounds to nothing is published as the currency's least amount."""
    by_hand(one_product(tmp_path), f"2031-01-01,{PANE},online,{cell}")
    assert str(on_day(tmp_path).offer.online_price) == "0.01"


# A rise over many variants

GLASSES = [f"sheet-{number:02d}" for number in range(33)]


def many_variants(root: Path) -> Path:
    """One product in every pair of 33 glasses and two finishes: 1,056 variants."""
    sheet = {"kind": "glass", "pack_size": "1", "pack_unit": "dm2", "thickness_mm": "3", "colour": "#446655"}
    choices = "".join(
        f"  {left}-{right}:\n    title: {left} and {right}\n    pieces: {{left: {left}, right: {right}}}\n"
        for left, right in combinations(GLASSES, 2)
    )
    text = pane().replace("  plain:\n    pieces: {left: reed, right: slate}\n", choices)
    text = text.replace("finishes: [bright]", "finishes: [bright, dull]")
    return project(root, {"pane": text}, {"finishes.dull": 'title = "Dull"'}, dict.fromkeys(GLASSES, sheet))


def test_a_rise_moves_the_variants_that_use_the_material_and_no_other(tmp_path: Path) -> None:
    """Of over 1,000 variants a dearer glass moves exactly those that hold it, in every channel, by its price alone."""
    many_variants(tmp_path)
    assert record(tmp_path) == 3 * 1056
    dearer(tmp_path, "sheet-07", "18.00", DAY + DAILY)
    calculated = calculate(tmp_path, DAY + DAILY, quiet)
    holding = {each.offer.sku for each in calculated.calculations if "sheet-07" in each.choice}
    assert len(calculated.calculations) == 1056
    assert len(holding) == 2 * 32
    moved_prices = {(each.calculation.offer.sku, each.channel) for each in calculated.moved}
    assert moved_prices == {(sku, channel) for sku in holding for channel in ("online", "stall", "trade")}
    assert len(calculated.moved) == len(moved_prices)
    for each in calculated.moved:
        assert [(cause.kind, cause.key) for cause in each.causes if cause.kind != "rounding"] == [("price", "sheet-07")]
        assert sum(cause.amount for cause in each.causes) == each.by > 0
    assert record(tmp_path, DAY + DAILY) == 3 * len(holding)
    assert moved(tmp_path, DAY + DAILY) == ()


def test_a_dearer_hour_moves_every_variant(tmp_path: Path) -> None:
    """The hourly rate stands in every cost, so that all of over 1,000 variants move by it."""
    many_variants(tmp_path)
    record(tmp_path)
    rewritten(tmp_path, 'hourly_rate = "30"', 'hourly_rate = "36"')
    moves = moved(tmp_path)
    assert len(moves) == 3 * 1056
    assert all(move.causes[0].kind == "rate" for move in moves)
