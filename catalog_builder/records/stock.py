"""What is on hand: ``content/stock.csv``. Private, and it may be missing."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal

from pydantic import Field

from catalog_builder.mistake import Mistake, MistakeError, listed, nearest, quoted
from catalog_builder.records.material import UNITS, Material, canonical
from catalog_builder.records.reading.source import Source
from catalog_builder.records.reading.table import plain, read_table
from catalog_builder.records.reading.validation import admit
from catalog_builder.records.reading.values import Amount, Line, Name, Record

MOST_ROWS = 5_000


class StockRow(Record):
    """A row of ``stock.csv``: a material and how much of it is there."""

    material: Name = Field(description="a name from materials.csv")
    amount: Amount = Field(description="how much is there: packs, or as `unit` says; of glass, how many such pieces")
    unit: Line | None = Field(None, description="the unit of `amount`: m, g, each, sheet ...; without it, whole packs")
    width_mm: Amount | None = Field(None, gt=0, le=10_000, description="of offcuts of glass: their width as a sheet's")
    height_mm: Amount | None = Field(
        None, gt=0, le=10_000, description="of offcuts of glass: their height as a sheet's"
    )
    note: Line | None = Field(None, description="where it lies; private")


@dataclass(frozen=True, slots=True)
class Offcut:
    """A rectangle of glass in mm; its grain runs as on a sheet that is as wide and as high."""

    width_mm: Decimal
    height_mm: Decimal


@dataclass(frozen=True, slots=True)
class Stock:
    """What is there of each material, in the unit that it is counted in, offcuts left out; and the offcuts."""

    amounts: Mapping[str, Decimal]
    offcuts: Mapping[str, tuple[Offcut, ...]]

    def of(self, name: str) -> Decimal:
        """Give what is there of a material."""
        return self.amounts.get(name, Decimal(0))


EMPTY = Stock({}, {})


def read_stock(source: Source, materials: Mapping[str, Material]) -> Stock:
    """Read the table.

    Raises:
        MistakeError: with every row that is wrong.
    """
    table = read_table(source, set(StockRow.model_fields), {"material", "amount"})
    if len(table.rows) > MOST_ROWS:
        wrong, mend = f"the table has {len(table.rows)} rows", "put rows of one material together"
        raise MistakeError([Mistake(place=source.place(), wrong=wrong, expected=f"up to {MOST_ROWS}", mend=mend)])
    mistakes: list[Mistake] = []
    amounts: dict[str, Decimal] = {}
    offcuts: dict[str, list[Offcut]] = {}
    kinds = dict.fromkeys(("amount", "width_mm", "height_mm"), "number")
    for row in table.rows:
        try:
            stock = admit(StockRow, plain(table, row, kinds), source, lambda _, line=row.line: line)  # type: ignore[misc]
            material = _material(stock, source, row.line, materials)
        except MistakeError as fault:
            mistakes.extend(fault.mistakes)
            continue
        name = stock.material
        if stock.width_mm and stock.height_mm:
            offcuts.setdefault(name, []).extend([Offcut(stock.width_mm, stock.height_mm)] * int(stock.amount))
        else:
            each = material.pack_amount if stock.unit is None else _in(stock.unit, material)
            amounts[name] = amounts.get(name, Decimal(0)) + stock.amount * each
    if mistakes:
        raise MistakeError(mistakes)
    smallest_first = {
        name: tuple(sorted(found, key=lambda one: (one.width_mm * one.height_mm, one.width_mm)))
        for name, found in offcuts.items()
    }
    return Stock(amounts, smallest_first)


def _in(unit: str, material: Material) -> Decimal:
    """Give how much one unit is, in the unit that the material is counted in."""
    if unit == "sheet" and material.kind == "glass":
        return (material.sheet_width_mm or Decimal(0)) * (material.sheet_height_mm or Decimal(0)) / 10_000
    return canonical(unit)[1]


def _material(stock: StockRow, source: Source, line: int, materials: Mapping[str, Material]) -> Material:
    """Find the material of a row, and hold the row to what can be counted of it."""

    def refuse(wrong: str, expected: str, mend: str, marked: str | None = None) -> MistakeError:
        return MistakeError(
            [Mistake(place=source.place(line), wrong=wrong, expected=expected, mend=mend, marked=marked)]
        )

    name, material = stock.material, materials.get(stock.material)
    if material is None:
        guess = nearest(name, materials)
        mend = f"did you mean {guess!r}?" if guess else "correct the name, or add it to materials.csv"
        raise refuse(f"the material {quoted(name)} is not in materials.csv", f"one of: {listed(materials)}", mend, name)
    if (stock.width_mm is None) != (stock.height_mm is None):
        raise refuse("an offcut has one side only", "width_mm and height_mm, or neither", "measure the other side")
    if stock.width_mm is not None:
        if material.kind != "glass":
            raise refuse(f"{name} is no glass, but has a width and a height", "offcuts of glass alone", "take them out")
        if stock.unit is not None or stock.amount % 1 or stock.amount > 200:
            expected = "a whole number of offcuts up to 200, and no unit"
            raise refuse("offcuts are counted in pieces", expected, "write how many pieces of this size there are")
        return material
    fits = [unit for unit in UNITS if canonical(unit)[0] == material.unit]
    if material.kind == "glass" and material.sheet_width_mm and material.sheet_height_mm:
        fits.append("sheet")
    if stock.unit is not None and stock.unit not in fits:
        wrong = f"{name} cannot be counted in {quoted(stock.unit)}"
        raise refuse(wrong, f"one of: {', '.join(fits)}", "write one of these units, or none for packs", stock.unit)
    return material
