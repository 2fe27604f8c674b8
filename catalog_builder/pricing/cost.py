"""Cost: materials at the prices in force on a day, bench time and overheads. Private.

Amounts are Decimal and kept unrounded; they are rounded only where they are shown.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from catalog_builder.making.labour import StepTime
from catalog_builder.making.quantities import Use
from catalog_builder.mistake import Mistake, MistakeError, Place
from catalog_builder.phrase import Unit
from catalog_builder.records.content import Content


@dataclass(frozen=True, slots=True)
class CostLine:
    """A line of a cost card: what, how much of it, at what price for each unit, and the row that says so.

    ``key`` names it in the price book: a material, ``step:NAME``, or ``overheads``.
    """

    group: str
    name: str
    quantity: Decimal
    unit: Unit
    unit_price: Decimal
    pack: str
    source: str
    basis: str
    key: str = ""

    @property
    def amount(self) -> Decimal:
        """Quantity times unit price, unrounded."""
        return self.quantity * self.unit_price


@dataclass(frozen=True, slots=True)
class Cost:
    """What one item costs, line by line."""

    lines: tuple[CostLine, ...]
    minutes: Decimal
    waiting: Decimal

    @property
    def total(self) -> Decimal:
        """The sum of all lines, unrounded."""
        return sum((line.amount for line in self.lines), Decimal(0))

    def of(self, *groups: str) -> Decimal:
        """The sum of the lines of some groups."""
        return sum((line.amount for line in self.lines if line.group in groups), Decimal(0))


def read_cost(content: Content, uses: Sequence[Use], times: Sequence[StepTime]) -> Cost:
    """Put prices to quantities and minutes.

    Raises:
        MistakeError: a material has no price on the build's day.
    """
    bench = content.studio.bench
    lines: list[CostLine] = []
    mistakes: list[Mistake] = []
    for use in uses:
        price = content.materials.price(use.material.material, content.day)
        if price is None:
            mistakes.append(_unpriced(content, use))
            continue
        material = use.material
        pack = f"{price.price:f} for {material.pack_size:g} {material.pack_unit}"
        unit_price = price.price / material.pack_amount
        lines.append(
            CostLine(
                use.group,
                material.title,
                use.quantity,
                material.unit,
                unit_price,
                pack,
                price.row,
                use.basis,
                material.material,
            )
        )
    if mistakes:
        raise MistakeError(mistakes)
    rate = bench.hourly_rate / 60
    where = f"{content.studio_source.path} [bench]"
    lines.extend(
        CostLine(
            "labour",
            time.title,
            time.minutes,
            "min",
            rate,
            f"{bench.hourly_rate:f} an hour",
            where,
            time.basis,
            f"step:{time.name}",
        )
        for time in times
        if time.minutes
    )
    minutes = sum((time.minutes for time in times), Decimal(0))
    if bench.overheads_a_year:
        basis = f"{bench.overheads_a_year:f} a year over {bench.bench_hours_a_year:g} bench hours"
        hourly = f"{bench.overhead_an_hour:.2f} an hour"
        lines.append(
            CostLine(
                "overhead", "Overheads", minutes, "min", bench.overhead_an_hour / 60, hourly, where, basis, "overheads"
            )
        )
    return Cost(tuple(lines), minutes, sum((time.waiting for time in times), Decimal(0)))


def _unpriced(content: Content, use: Use) -> Mistake:
    name = use.material.material
    later = content.materials.prices.get(name, ())
    known = f"its first price is from {later[0].day}" if later else "it has no row at all"
    return Mistake(
        place=Place(path="content/material_prices.csv"),
        wrong=f"{name} has no price in force on {content.day} ({known})",
        expected="a row for it with a date on or before that day",
        mend=f"add a row: {name}, a date, the price of a pack",
    )
