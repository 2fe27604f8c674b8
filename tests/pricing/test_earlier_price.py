"""The lowest price of the 30 days before a reduction: the directive's cases, and what holds for every book.

Cases after the Commission's guidance 2021/C 526/02 on Article 6a of Directive 98/6/EC, and judgment C-330/23; the
amounts are from memory of how their examples are built, or our own.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import date, timedelta
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalog_builder.mistake import Place
from catalog_builder.pricing.earlier_price import DAYS, ReducedAmount, reduced_amounts
from catalog_builder.records.selling.reductions import Reduction
from catalog_builder.records.variant import Variant

FIRST = date(2031, 1, 1)
PANE = Variant("pane", "", "bright", "plain")


def on(number: int) -> date:
    """The day of a number; day 100 is 100 days after the first."""
    return FIRST + timedelta(number)


def reduction(
    first: int, last: int, percent: str | None = None, price: str | None = None, earlier: str | None = None
) -> Reduction:
    """A reduction from one day to another."""
    less, asked, before = (None if amount is None else Decimal(amount) for amount in (percent, price, earlier))
    return Reduction(
        PANE, "stall", on(first), on(last), "sale", less, asked, before, False, "", Place(path="reductions.csv")
    )


def recorded(prices: Mapping[int, str]) -> Callable[[date], Decimal | None]:
    """A price book: prices by the numbers of the days from which they are in force."""

    def price(day: date) -> Decimal | None:
        rows = [first for first in prices if on(first) <= day]
        return Decimal(prices[max(rows)]) if rows else None

    return price


def told(prices: Mapping[int, str], *reductions: Reduction) -> list[tuple[str, str] | None]:
    """The earlier and the reduced price of each reduction."""
    amounts = reduced_amounts(recorded(prices), reductions, 2)
    return [None if amount is None else (str(amount.earlier), str(amount.printed)) for amount in amounts]


@pytest.mark.parametrize(
    ("prices", "reductions", "expected"),
    [
        pytest.param({0: "100"}, [reduction(100, 110, percent="20")], [("100.00", "80.00")], id="one price before"),
        # Guidance 2.2: the lowest of the 30 days counts, not the last price before the reduction.
        pytest.param(
            {0: "100", 80: "80", 90: "110"}, [reduction(100, 110, price="75")], [("80.00", "75.00")], id="lowest counts"
        ),
        # A price that ended before the 30 days does not count; one that was in force on their first day does.
        pytest.param(
            {0: "60", 69: "100"}, [reduction(100, 110, percent="10")], [("100.00", "90.00")], id="31 days ago is over"
        ),
        pytest.param(
            {0: "60", 71: "100"}, [reduction(100, 110, percent="10")], [("60.00", "54.00")], id="30 days ago counts"
        ),
        # What the book says from the first day of the reduction on is not before it.
        pytest.param(
            {0: "100", 100: "50"}, [reduction(100, 110, percent="10")], [("100.00", "90.00")], id="before it began"
        ),
        # Guidance 2.2: two campaigns within 30 days: the first one's price is the lowest before the second.
        pytest.param(
            {0: "100"},
            [reduction(100, 105, percent="50"), reduction(116, 120, percent="20")],
            [("100.00", "50.00"), ("50.00", "40.00")],
            id="an earlier reduction counts",
        ),
        pytest.param(
            {0: "100"},
            [reduction(100, 105, percent="50"), reduction(136, 140, percent="20")],
            [("100.00", "50.00"), ("100.00", "80.00")],
            id="one that is over for 30 days does not",
        ),
        # Guidance 4.3, Article 6a(5): 10 %, then 20 %, then 50 % without a day between, all from the first price.
        pytest.param(
            {0: "100"},
            [
                reduction(100, 106, percent="10"),
                reduction(107, 113, percent="20"),
                reduction(114, 120, percent="50"),
            ],
            [("100.00", "90.00"), ("100.00", "80.00"), ("100.00", "50.00")],
            id="progressive",
        ),
        pytest.param(
            {0: "100"},
            [reduction(100, 106, percent="10"), reduction(108, 113, percent="20")],
            [("100.00", "90.00"), ("90.00", "72.00")],
            id="not progressive with a day between",
        ),
        pytest.param(
            {0: "100"},
            [reduction(100, 106, percent="50"), reduction(107, 113, percent="20")],
            [("100.00", "50.00"), ("50.00", "40.00")],
            id="not progressive where less is taken off",
        ),
        # Guidance 4.2, Article 6a(4): on the market for ten days: the lowest of these ten.
        pytest.param(
            {90: "100", 95: "90"}, [reduction(100, 110, percent="10")], [("90.00", "81.00")], id="new arrival"
        ),
        pytest.param({100: "100"}, [reduction(100, 110, percent="10")], [None], id="never sold before"),
        pytest.param(
            {}, [reduction(100, 110, percent="10", earlier="60")], [("60.00", "54.00")], id="the maker's own word"
        ),
        pytest.param(
            {95: "50"}, [reduction(100, 110, percent="10", earlier="60")], [("50.00", "45.00")], id="the book is lower"
        ),
        pytest.param(
            {0: "70"}, [reduction(100, 110, percent="10", earlier="60")], [("70.00", "63.00")], id="the book has it all"
        ),
        # A percentage is rounded down: 33 % of 9.99 leaves 6.6933.
        pytest.param({0: "9.99"}, [reduction(100, 110, percent="33")], [("9.99", "6.69")], id="rounded down"),
    ],
)
def test_cases(prices: dict[int, str], reductions: list[Reduction], expected: list[tuple[str, str] | None]) -> None:
    """Each case of the rule, with the earlier price and the reduced one."""
    assert told(prices, *reductions) == expected


def test_a_percentage_counts_from_the_lowest_price() -> None:
    """C-330/23, bananas: asked 1.29, before it 1.69, the lowest of 30 days 1.29: 23 % off 1.69 would be no reduction.

    Amounts as in the judgment, from memory. Here 23 % come off 1.29: 0.9933, rounded down.
    """
    assert told({0: "1.29", 95: "1.69"}, reduction(100, 106, percent="23")) == [("1.29", "0.99")]


def test_it_says_of_how_many_days_a_price_is_known() -> None:
    """Thirty where the book or the maker knows them all, and no more."""
    rows = (reduction(100, 101, percent="10"),)
    (ten,), (all_days,) = (reduced_amounts(recorded({first: "9"}), rows, 2) for first in (90, 0))
    assert ten is not None
    assert all_days is not None
    assert (ten.days, all_days.days) == (10, DAYS)


# Six reductions by 60 % of 20 still leave a price over nothing, so that each can be lower than the one before.
AMOUNT = st.decimals(20, 500, places=2)
SPELL = st.tuples(st.integers(0, 12), st.integers(0, 40), st.integers(1, 60))


@given(st.dictionaries(st.integers(0, 200), AMOUNT, max_size=8), st.lists(SPELL, min_size=1, max_size=6))
def test_no_price_in_force_in_those_days_is_lower(
    prices: dict[int, Decimal], spells: list[tuple[int, int, int]]
) -> None:
    """By another road: a list of every day's price is kept, and none of the 30 days before is under the earlier price.

    Of progressive reductions the 30 days are those before the first of them.
    """
    rows, day = list[Reduction](), 20
    for gap, length, percent in spells:
        rows.append(reduction(day + gap, day + gap + length, percent=str(percent)))
        day += gap + length + 1
    amounts = reduced_amounts(recorded({first: str(price) for first, price in prices.items()}), rows, 2)
    asked = {
        number: recorded({first: str(price) for first, price in prices.items()})(on(number)) for number in range(day)
    }
    began, before = dict[int, int](), -1
    last: ReducedAmount | None = None
    for row, amount in zip(rows, amounts, strict=True):
        first, end = (row.first_day - FIRST).days, (row.last_day - FIRST).days
        if amount is None:
            last = None
            continue
        follows = last is not None and before + 1 == first and amount.printed < last.printed
        start = began[before] if follows and last is not None and amount.earlier == last.earlier else first
        window = [price for number in range(max(start - DAYS, 0), start) if (price := asked[number]) is not None]
        assert window
        assert amount.earlier <= min(window)
        assert amount.earlier == min(window)
        assert amount.printed < amount.earlier
        began[end] = start
        asked.update(dict.fromkeys(range(first, end + 1), amount.printed))
        before, last = end, amount
