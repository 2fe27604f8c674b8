"""Cost: materials at the prices in force on a day, bench time and overheads. Private.

Amounts are Decimal and kept unrounded; they are rounded only where they are shown.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from catalog_builder.making.labour import StepTime
from catalog_builder.making.quantities import Use, amount_of
from catalog_builder.mistake import Mistake, MistakeError, Place
from catalog_builder.phrase import Money, Number, Phrase, Unit, phrase
from catalog_builder.records.materials import MaterialPrice, Materials
from catalog_builder.records.studio import Bench

_BENCH_TABLE = "content/studio.toml [bench]"


@dataclass(frozen=True, slots=True)
class CostLine:
    """A line of a cost card: ``amount`` is ``quantity`` in ``unit`` at ``unit_price``.

    ``pack`` is the price as it was paid, for a pack or an hour; ``source`` the row that gives it; ``basis`` how the
    quantity was calculated. ``key`` names the line in the price book: a material, ``step:NAME``, or ``overheads``.
    """

    group: str
    name: Phrase | str
    quantity: Decimal
    unit: Unit
    unit_price: Decimal
    pack: Phrase
    source: str
    basis: Phrase
    key: str

    def key_parts(self) -> list[object]:
        """What the line is known by in keys: its words follow from these, the studio's settings and the piece.

        All rows of materials, with their titles and packs, are in the key of the piece.
        """
        return [self.group, self.key, self.quantity, self.unit_price, self.source]

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

    def at(self, unit_prices: Mapping[str, Decimal]) -> Decimal:
        """Give the total at other prices of materials, by their names; all else is paid as it is today."""
        return sum((line.quantity * unit_prices.get(line.key, line.unit_price) for line in self.lines), Decimal(0))

    @property
    def total(self) -> Decimal:
        """The sum of all lines, unrounded."""
        return sum((line.amount for line in self.lines), Decimal(0))

    def of(self, *groups: str) -> Decimal:
        """The sum of the lines of some groups."""
        return sum((line.amount for line in self.lines if line.group in groups), Decimal(0))


def read_cost(materials: Materials, bench: Bench, day: date, uses: Sequence[Use], times: Sequence[StepTime]) -> Cost:
    """Put the prices in force on a day to quantities and minutes.

    Raises:
        MistakeError: a material has no price on that day.
    """
    prices = [materials.price(use.material.material, day) for use in uses]
    lines = [_material_line(use, price) for use, price in zip(uses, prices, strict=True) if price is not None]
    if len(lines) < len(uses):
        unpriced = (use for use, price in zip(uses, prices, strict=True) if price is None)
        raise MistakeError(_unpriced(materials, day, use.material.material) for use in unpriced)
    minutes = sum((time.minutes for time in times), Decimal(0))
    waiting = sum((time.waiting for time in times), Decimal(0))
    return Cost((*lines, *_labour_lines(bench, times), *_overhead_lines(bench, minutes)), minutes, waiting)


def _material_line(use: Use, price: MaterialPrice) -> CostLine:
    material = use.material
    return CostLine(
        use.group,
        material.title,
        use.quantity,
        material.unit,
        price.price / material.pack_amount,
        phrase(
            "basis.pack",
            price=Money(price.price),
            amount=amount_of(material, material.pack_size, material.pack_unit),
        ),
        price.row,
        use.basis,
        material.material,
    )


def _labour_lines(bench: Bench, times: Sequence[StepTime]) -> Iterator[CostLine]:
    an_hour = phrase("basis.an_hour", amount=Money(bench.hourly_rate))
    for time in times:
        if time.minutes:
            yield CostLine(
                "labour",
                time.title,
                time.minutes,
                "min",
                bench.hourly_rate / 60,
                an_hour,
                _BENCH_TABLE,
                time.basis,
                f"step:{time.name}",
            )


def _overhead_lines(bench: Bench, minutes: Decimal) -> Iterator[CostLine]:
    """Overheads of a year are spread over its bench hours: common practice of small workshops, no source."""
    if bench.overheads_a_year:
        yield CostLine(
            "overhead",
            phrase("basis.overheads"),
            minutes,
            "min",
            bench.overhead_an_hour / 60,
            phrase("basis.an_hour", amount=Money(bench.overhead_an_hour)),
            _BENCH_TABLE,
            phrase(
                "basis.overheads_a_year",
                amount=Money(bench.overheads_a_year),
                hours=Number(bench.bench_hours_a_year, 1),
            ),
            "overheads",
        )


def _unpriced(materials: Materials, day: date, name: str) -> Mistake:
    later = materials.prices.get(name, ())
    known = f"its first price is from {later[0].day}" if later else "it has no row at all"
    return Mistake(
        place=Place(path="content/material_prices.csv"),
        wrong=f"{name} has no price in force on {day} ({known})",
        expected="a row for it with a date on or before that day",
        mend=f"add a row: {name}, a date, the price of a pack",
    )
