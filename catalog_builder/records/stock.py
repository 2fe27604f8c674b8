"""What is on hand: ``content/stock.csv``. Private, and it may be missing."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal

from pydantic import Field

from catalog_builder.mistake import MistakeError, Mistakes, Place, listed, quoted, suggestion
from catalog_builder.records.material import UNITS, Material, canonical
from catalog_builder.records.reading.entries import validated_rows
from catalog_builder.records.reading.source import Source
from catalog_builder.records.reading.table import read_table
from catalog_builder.records.reading.values import Amount, Line, Name, Record

MOST_ROWS = 5_000
# Of one size, in one row.
MOST_OFFCUTS = 200


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
    """How much there is of each material, in the unit that it is counted in, without offcuts; and the offcuts."""

    amounts: Mapping[str, Decimal]
    offcuts: Mapping[str, tuple[Offcut, ...]]

    def of(self, name: str) -> Decimal:
        """Give how much there is of a material."""
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
        raise MistakeError.at(source.place(), wrong=wrong, expected=f"up to {MOST_ROWS}", mend=mend)
    mistakes = Mistakes()
    amounts: dict[str, Decimal] = {}
    offcuts: dict[str, list[Offcut]] = {}
    kinds = dict.fromkeys(("amount", "width_mm", "height_mm"), "number")
    for entry in validated_rows(table, StockRow, kinds, mistakes):
        row = entry.keys
        material = mistakes.attempt(_material, row, source.place(entry.line), materials)
        if material is None:
            continue
        if row.width_mm and row.height_mm:
            offcuts.setdefault(row.material, []).extend([Offcut(row.width_mm, row.height_mm)] * int(row.amount))
        else:
            each = material.pack_amount if row.unit is None else _in_counted_unit(row.unit, material)
            amounts[row.material] = amounts.get(row.material, Decimal(0)) + row.amount * each
    mistakes.raise_if_any()
    smallest_first = {
        name: tuple(sorted(pieces, key=lambda offcut: (offcut.width_mm * offcut.height_mm, offcut.width_mm)))
        for name, pieces in offcuts.items()
    }
    return Stock(amounts, smallest_first)


def _in_counted_unit(unit: str, material: Material) -> Decimal:
    """Give how much one unit is, in the unit that the material is counted in."""
    if unit == "sheet" and material.kind == "glass":
        return (material.sheet_width_mm or Decimal(0)) * (material.sheet_height_mm or Decimal(0)) / 10_000
    return canonical(unit)[1]


def _material(row: StockRow, place: Place, materials: Mapping[str, Material]) -> Material:
    """Find the material of a row, and check that the row counts it as it can be counted.

    Raises:
        MistakeError: there is no such material, or the row has a unit or sides that do not fit it.
    """
    name, material = row.material, materials.get(row.material)
    if material is None:
        raise MistakeError.at(
            place,
            wrong=f"the material {quoted(name)} is not in materials.csv",
            expected=f"one of: {listed(materials)}",
            mend=suggestion(name, materials, "correct the name, or add it to materials.csv"),
            marked=name,
        )
    if (row.width_mm is None) != (row.height_mm is None):
        wrong, expected = "an offcut has one side only", "width_mm and height_mm, or neither"
        raise MistakeError.at(place, wrong=wrong, expected=expected, mend="measure the other side")
    if row.width_mm is not None:
        if material.kind != "glass" or material.ready_made:
            wrong = f"{name} is no glass in sheets, but has a width and a height"
            raise MistakeError.at(place, wrong=wrong, expected="offcuts of sheets alone", mend="take them out")
        if row.unit is not None or row.amount % 1 or row.amount > MOST_OFFCUTS:
            raise MistakeError.at(
                place,
                wrong="offcuts are counted in pieces",
                expected=f"a whole number of offcuts up to {MOST_OFFCUTS}, and no unit",
                mend="write how many pieces of this size there are",
            )
        return material
    units = [unit for unit in UNITS if canonical(unit)[0] == material.unit]
    if material.kind == "glass" and not material.ready_made and material.sheet_width_mm and material.sheet_height_mm:
        units.append("sheet")
    if material.ready_made:
        units.remove("sheet")
    if row.unit is not None and row.unit not in units:
        raise MistakeError.at(
            place,
            wrong=f"{name} cannot be counted in {quoted(row.unit)}",
            expected=f"one of: {', '.join(units)}",
            mend="write one of these units, or none for packs",
            marked=row.unit,
        )
    return material
