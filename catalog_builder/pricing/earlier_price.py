"""The earlier price beside a reduced one: the lowest of the 30 days before the reduction began.

Source: Directive 98/6/EC, Article 6a, as amended by Directive (EU) 2019/2161, and the Commission's guidance on it, OJ C
526, 29.12.2021, p. 130 (2021/C 526/02); the paragraphs' wording from memory:

- general rule, Article 6a(2), guidance 2.2: the lowest price in those 30 days, an earlier reduction's price among them;
- new arrivals, Article 6a(4), guidance 4.2: of what was sold for less than 30 days, the lowest of the days it was sold;
- progressive reductions, Article 6a(5), guidance 4.3: where one reduction follows the other without a day between and
  goes lower each time, the lowest of the 30 days before the first of them.

Member States may provide for the last two, or not. Court of Justice, C-330/23, 26 September 2024: a percentage, and a
word that praises a price, count from that price too.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import ROUND_FLOOR, Decimal

from catalog_builder.records.selling.reductions import Reduction
from catalog_builder.units import rounded

DAYS = 30
_ONE_DAY = timedelta(days=1)


@dataclass(frozen=True, slots=True)
class ReducedAmount:
    """What is printed while a reduction holds, and the earlier price beside it.

    ``days`` says of how many of the 30 days a price is known; they are the days before the first of progressive
    reductions.
    """

    reduction: Reduction
    printed: Decimal
    earlier: Decimal
    days: int


def reduced_amounts(
    recorded: Callable[[date], Decimal | None], reductions: Sequence[Reduction], digits: int
) -> list[ReducedAmount | None]:
    """Give what each reduction of a variant in a channel prints, in the order of their days, which do not overlap.

    ``recorded`` gives the price of the book on a day, None where it has none; ``digits`` are those of the currency.
    None stands for a reduction whose earlier price is not known.
    """
    amounts: list[ReducedAmount | None] = []
    for reduction in reductions:
        before = amounts[-1] if amounts else None
        amounts.append(_progressive(before, reduction, digits) or _general(recorded, amounts, reduction, digits))
    return amounts


def _progressive(before: ReducedAmount | None, reduction: Reduction, digits: int) -> ReducedAmount | None:
    if before is None or before.reduction.last_day + _ONE_DAY != reduction.first_day:
        return None
    printed = _printed(reduction, before.earlier, digits)
    if printed >= before.printed:
        return None
    return ReducedAmount(reduction, printed, before.earlier, before.days)


def _general(
    recorded: Callable[[date], Decimal | None],
    amounts: Sequence[ReducedAmount | None],
    reduction: Reduction,
    digits: int,
) -> ReducedAmount | None:
    days = [reduction.first_day - _ONE_DAY * ago for ago in range(1, DAYS + 1)]
    prices = [price for day in days if (price := _in_force(recorded, amounts, day)) is not None]
    known = [*prices, reduction.earlier] if reduction.earlier is not None and len(prices) < DAYS else prices
    if not known:
        return None
    earlier = rounded(min(known), digits)
    return ReducedAmount(
        reduction, _printed(reduction, earlier, digits), earlier, DAYS if len(known) > len(prices) else len(prices)
    )


def _in_force(
    recorded: Callable[[date], Decimal | None], amounts: Sequence[ReducedAmount | None], day: date
) -> Decimal | None:
    """Give the price that a buyer was asked for on a day: a reduction's, or the book's."""
    reduced = (amount.printed for amount in amounts if amount is not None and amount.reduction.holds_on(day))
    price = next(reduced, None)
    return recorded(day) if price is None else price


def _printed(reduction: Reduction, earlier: Decimal, digits: int) -> Decimal:
    """Give the reduced price; a percentage is rounded down, so that no less than it promises is taken off."""
    if reduction.percent is None:
        return rounded(earlier if reduction.price is None else reduction.price, digits)
    return (earlier * (1 - reduction.percent / 100)).quantize(Decimal(1).scaleb(-digits), rounding=ROUND_FLOOR)
