"""Materials and what they cost: ``content/materials.csv`` and ``content/material_prices.csv``."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from pydantic import Field

from catalog_builder.mistake import Mistake, MistakeError, nearest
from catalog_builder.records.material import (
    COUNTED_IN,
    ELEMENT_DENSITY,
    NEEDED,
    UNITS,
    Material,
    alloy_parts,
    canonical,
)
from catalog_builder.records.reading.header import KeyPath
from catalog_builder.records.reading.source import Source
from catalog_builder.records.reading.table import Row, Table, plain, read_table
from catalog_builder.records.reading.validation import MOST_TOLD, admit
from catalog_builder.records.reading.values import Amount, Day, Line, Name, Record


@dataclass(frozen=True, slots=True)
class MaterialPrice:
    """What a pack cost from ``day`` on, and the row that says so."""

    material: str
    day: date
    price: Decimal
    row: str


class PriceRow(Record):
    """A row of ``material_prices.csv``: what a pack costs from a day on."""

    material: Name = Field(description="a name from materials.csv")
    date: Day = Field(description="the first day of this price")
    price: Amount = Field(description="of one pack, in the studio's currency, without recoverable tax")
    note: Line | None = Field(None, description="why it changed; private")


@dataclass(frozen=True, slots=True)
class Materials:
    """Every material by name, and its prices in order of their days."""

    rows: Mapping[str, Material]
    prices: Mapping[str, tuple[MaterialPrice, ...]]
    places: Mapping[str, int]

    def of_kind(self, kind: str) -> tuple[Material, ...]:
        """Give the materials of a kind in order of their names."""
        return tuple(self.rows[name] for name in sorted(self.rows) if self.rows[name].kind == kind)

    def price(self, name: str, day: date) -> MaterialPrice | None:
        """Give the price in force on a day: the last row not after it. None where there is no such row."""
        before = [price for price in self.prices.get(name, ()) if price.day <= day]
        return before[-1] if before else None


# Far more than any maker keeps.
MOST_MATERIALS = 2_000

_NUMBERS = {
    name: "number"
    for name in Material.model_fields
    if name.endswith(("_mm", "_g", "_cm3", "_percent", "_size", "_amount", "_awg"))
}


def read_materials(rows: Source, prices: Source) -> Materials:
    """Read both tables.

    Raises:
        MistakeError: with every row that is wrong.
    """
    mistakes: list[Mistake] = []
    materials: dict[str, Material] = {}
    places: dict[str, int] = {}
    known = set(Material.model_fields)
    table = read_table(rows, known, {"material", "title", "kind", "pack_size", "pack_unit"}, MOST_MATERIALS)
    for row in table.rows:
        try:
            values = plain(table, row, {**_NUMBERS, "has_grain": "yes"})
            material = admit(Material, values, rows, _at(row))
            _refuse_gaps(material, rows, row)
            if material.material in materials:
                raise _doubled(rows, row, material.material, places[material.material])
            materials[material.material], places[material.material] = material, row.line
        except MistakeError as fault:
            mistakes.extend(fault.mistakes)
    # A material whose own row is at fault is known by name all the same: one mistake, told once.
    names = {row.cells.get("material", "") for row in table.rows}
    try:
        dated = _read_prices(prices, names)
    except MistakeError as fault:
        mistakes.extend(fault.mistakes)
        dated = {}
    if mistakes:
        raise MistakeError(mistakes)
    return Materials(materials, dated, places)


def _at(row: Row) -> Callable[[KeyPath], int]:
    return lambda _: row.line


def _read_prices(source: Source, names: set[str]) -> dict[str, tuple[MaterialPrice, ...]]:
    table: Table = read_table(source, set(PriceRow.model_fields), {"material", "date", "price"})
    mistakes: list[Mistake] = []
    found: dict[tuple[str, date], MaterialPrice] = {}
    for row in table.rows:
        try:
            price = admit(PriceRow, plain(table, row, {"price": "number", "date": "date"}), source, _at(row))
        except MistakeError as fault:
            mistakes.extend(fault.mistakes)
            continue
        place = source.place(row.line)
        if price.material not in names:
            guess = nearest(price.material, names) if len(mistakes) < MOST_TOLD else None
            mend = f"did you mean {guess!r}?" if guess else "add the material to materials.csv first"
            mistakes.append(
                Mistake(
                    place=place,
                    wrong=f"the material {price.material!r} is not in materials.csv",
                    expected="a name from the column `material` of content/materials.csv",
                    mend=mend,
                    marked=price.material,
                )
            )
        elif (price.material, price.date) in found:
            first = found[price.material, price.date].row
            mistakes.append(
                Mistake(
                    place=place,
                    wrong=f"{price.material} has two prices from {price.date} (the other: {first})",
                    expected="one price for a material and a day",
                    mend="keep the right row and take the other out",
                    marked=price.date.isoformat(),
                )
            )
        else:
            row_name = f"{source.path}:{row.line}"
            found[price.material, price.date] = MaterialPrice(price.material, price.date, price.price, row_name)
    if mistakes:
        raise MistakeError(mistakes)
    grouped: dict[str, list[MaterialPrice]] = {}
    for key in sorted(found):
        grouped.setdefault(key[0], []).append(found[key])
    return {name: tuple(prices) for name, prices in grouped.items()}


def _refuse_gaps(material: Material, source: Source, row: Row) -> None:
    place = source.place(row.line)
    mistakes = [
        Mistake(
            place=place,
            wrong=f"{material.kind} {material.material!r} has no {' or '.join(choice)}",
            expected=f"a value in the column {' or '.join(choice)}",
            mend="fill the cell in; the supplier's page or a measurement gives it",
        )
        for choice in NEEDED[material.kind]
        if all(getattr(material, column) is None for column in choice)
    ]
    for column, unit in (("pack_unit", material.pack_unit), ("use_unit", material.use_unit)):
        if unit is not None and unit not in UNITS:
            mistakes.append(
                Mistake(
                    place=place,
                    wrong=f"{column}: the unit {unit!r} is not known",
                    expected=f"one of: {', '.join(UNITS)}",
                    mend="write one of these units",
                    marked=unit,
                )
            )
    if not mistakes:
        mistakes.extend(_refuse_units(material, source, row))
    if mistakes:
        raise MistakeError(mistakes)


def _refuse_units(material: Material, source: Source, row: Row) -> list[Mistake]:
    place = source.place(row.line)
    mistakes = []
    by_sheet = material.kind == "glass" and material.pack_unit == "sheet"
    bought_by = canonical(material.pack_unit)[0]
    if by_sheet and (material.sheet_width_mm is None or material.sheet_height_mm is None):
        mistakes.append(
            Mistake(
                place=place,
                wrong=f"glass {material.material!r} is bought by the sheet, but its sheet has no size",
                expected="values in sheet_width_mm and sheet_height_mm",
                mend="measure a sheet and fill both cells in",
            )
        )
    counted = COUNTED_IN.get(material.kind)
    if counted and not by_sheet and bought_by != counted:
        mistakes.append(
            Mistake(
                place=place,
                wrong=f"a pack of {material.kind} cannot be measured in {material.pack_unit!r}",
                expected="one of: " + ", ".join(_measured_as(counted)),
                mend="give the pack's size in one of these units",
                marked=material.pack_unit,
            )
        )
    if material.use_unit is not None and canonical(material.use_unit)[0] != bought_by:
        mistakes.append(
            Mistake(
                place=place,
                wrong=f"{material.material!r} is bought by {material.pack_unit} but used by {material.use_unit}",
                expected="one of: " + ", ".join(_measured_as(bought_by)),
                mend="change use_unit or pack_unit, so that both measure alike",
                marked=material.use_unit,
            )
        )
    if material.alloy is not None:
        try:
            alloy_parts(material.alloy)
        except ValueError:
            mistakes.append(
                Mistake(
                    place=place,
                    wrong=f"the alloy {material.alloy!r} cannot be read",
                    expected=f"elements with parts by mass, such as Sn60Pb40; known: {', '.join(ELEMENT_DENSITY)}",
                    mend="write it so, or give density_g_cm3 in its place",
                    marked=material.alloy,
                )
            )
    if material.colour is not None and not re.fullmatch(r"#[0-9a-fA-F]{6}", material.colour):
        mistakes.append(
            Mistake(
                place=place,
                wrong=f"the colour {material.colour!r} cannot be read",
                expected="a # and six digits 0 to 9 or a to f, such as #3f8f86",
                mend="write the colour so",
                marked=material.colour,
            )
        )
    return mistakes


def _measured_as(counted: str) -> list[str]:
    """Give the units that measure the same; glass is bought by the sheet as well."""
    return [unit for unit in UNITS if canonical(unit)[0] == counted] + (["sheet"] if counted == "dm2" else [])


def _doubled(source: Source, row: Row, name: str, first: int) -> MistakeError:
    return MistakeError(
        [
            Mistake(
                place=source.place(row.line),
                wrong=f"the material {name!r} stands twice (first on line {first})",
                expected="one row for each material",
                mend="rename one of them or take it out; a new price is a new row in material_prices.csv",
                marked=name,
            )
        ]
    )
