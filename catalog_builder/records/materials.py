"""Materials and what they cost: ``content/materials.csv`` and ``content/material_prices.csv``."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from pydantic import Field

from catalog_builder.mistake import MistakeError, Mistakes, Place, listed, suggestion
from catalog_builder.records.alloy import ELEMENT_DENSITY, alloy_parts
from catalog_builder.records.material import COUNTED_IN, FRAME_KINDS, NEEDED, UNITS, Material, canonical
from catalog_builder.records.reading.entries import validated_rows
from catalog_builder.records.reading.source import Source
from catalog_builder.records.reading.table import read_table
from catalog_builder.records.reading.validation import MOST_MISTAKES
from catalog_builder.records.reading.values import Amount, Day, Line, Name, Record


@dataclass(frozen=True, slots=True)
class MaterialPrice:
    """What a pack costs from ``day`` on, and the row of that price."""

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
_YES = dict.fromkeys(("has_grain", "either_face", "bends"), "yes")


def read_materials(rows: Source, prices: Source) -> Materials:
    """Read both tables.

    Raises:
        MistakeError: with every row that is wrong.
    """
    mistakes = Mistakes()
    materials: dict[str, Material] = {}
    lines: dict[str, int] = {}
    needed = {"material", "title", "kind", "pack_size", "pack_unit"}
    table = read_table(rows, set(Material.model_fields), needed, MOST_MATERIALS)
    for entry in validated_rows(table, Material, {**_NUMBERS, **_YES}, mistakes):
        name, place = entry.keys.material, rows.place(entry.line)
        with mistakes.collect():
            _check_cells(entry.keys, place)
            if name in materials:
                raise MistakeError.at(
                    place,
                    wrong=f"the material {name!r} stands twice (first on line {lines[name]})",
                    expected="one row for each material",
                    mend="rename one of them or take it out; a new price is a new row in material_prices.csv",
                    marked=name,
                )
            materials[name], lines[name] = entry.keys, entry.line
    # A material whose own row is wrong is known by name all the same, so that its prices are not wrong too.
    names = {row.cells.get("material", "") for row in table.rows}
    by_material = mistakes.attempt(_read_prices, prices, names) or {}
    mistakes.raise_if_any()
    return Materials(materials, by_material)


def _read_prices(source: Source, names: set[str]) -> dict[str, tuple[MaterialPrice, ...]]:
    table = read_table(source, set(PriceRow.model_fields), {"material", "date", "price"})
    mistakes = Mistakes()
    prices: dict[tuple[str, date], MaterialPrice] = {}
    for entry in validated_rows(table, PriceRow, {"price": "number", "date": "date"}, mistakes):
        row, place = entry.keys, source.place(entry.line)
        first = prices.get((row.material, row.date))
        if row.material not in names:
            otherwise = "add the material to materials.csv first"
            mistakes.add(
                place,
                wrong=f"the material {row.material!r} is not in materials.csv",
                expected="a name from the column `material` of content/materials.csv",
                # Each search for the nearest name takes time, and nobody reads more of them.
                mend=suggestion(row.material, names, otherwise) if len(mistakes) < MOST_MISTAKES else otherwise,
                marked=row.material,
            )
        elif first is not None:
            mistakes.add(
                place,
                wrong=f"{row.material} has two prices from {row.date} (the other: {first.row})",
                expected="one price for a material and a day",
                mend="keep the right row and take the other out",
                marked=row.date.isoformat(),
            )
        else:
            price = MaterialPrice(row.material, row.date, row.price, f"{source.path}:{entry.line}")
            prices[row.material, row.date] = price
    mistakes.raise_if_any()
    by_material: dict[str, list[MaterialPrice]] = {}
    for material, day in sorted(prices):
        by_material.setdefault(material, []).append(prices[material, day])
    return {name: tuple(rows) for name, rows in by_material.items()}


def _check_cells(material: Material, place: Place) -> None:
    """Refuse cells that are missing or contradict each other.

    Raises:
        MistakeError: with all that is wrong; units are compared only if all cells are there and all units are known.
    """
    mistakes = Mistakes()
    for columns in NEEDED[material.kind]:
        if all(getattr(material, column) is None for column in columns):
            mistakes.add(
                place,
                wrong=f"{material.kind} {material.material!r} has no {' or '.join(columns)}",
                expected=f"a value in the column {' or '.join(columns)}",
                mend="fill the cell in; the supplier's page or a measurement gives it",
            )
    for column, unit in (("pack_unit", material.pack_unit), ("use_unit", material.use_unit)):
        if unit is not None and unit not in UNITS:
            mistakes.add(
                place,
                wrong=f"{column}: the unit {unit!r} is not known",
                expected=f"one of: {', '.join(UNITS)}",
                mend="write one of these units",
                marked=unit,
            )
    mistakes.raise_if_any()
    _check_units(material, place, mistakes)
    if material.alloy is not None:
        try:
            alloy_parts(material.alloy)
        except ValueError:
            mistakes.add(
                place,
                wrong=f"the alloy {material.alloy!r} cannot be read",
                expected=f"elements with parts by mass, such as Sn60Pb40; known: {', '.join(ELEMENT_DENSITY)}",
                mend="write it so, or give density_g_cm3 in its place",
                marked=material.alloy,
            )
    if material.colour is not None and not re.fullmatch(r"#[0-9a-fA-F]{6}", material.colour):
        mistakes.add(
            place,
            wrong=f"the colour {material.colour!r} cannot be read",
            expected="a # and six digits 0 to 9 or a to f, such as #3f8f86",
            mend="write the colour so",
            marked=material.colour,
        )
    mistakes.raise_if_any()


def _check_units(material: Material, place: Place, mistakes: Mistakes) -> None:
    _check_ready_made(material, place, mistakes)
    _check_slot(material, place, mistakes)
    by_sheet = material.kind == "glass" and material.pack_unit == "sheet"
    bought_in = canonical(material.pack_unit)[0]
    if by_sheet and (material.sheet_width_mm is None or material.sheet_height_mm is None):
        mistakes.add(
            place,
            wrong=f"glass {material.material!r} is bought by the sheet, but its sheet has no size",
            expected="values in sheet_width_mm and sheet_height_mm",
            mend="measure a sheet and fill both cells in",
        )
    counted_in = COUNTED_IN.get(material.kind)
    if counted_in and not by_sheet and not material.ready_made and bought_in != counted_in:
        mistakes.add(
            place,
            wrong=f"a pack of {material.kind} cannot be measured in {material.pack_unit!r}",
            expected="one of: " + ", ".join(_units_for(counted_in)),
            mend="give the pack's size in one of these units",
            marked=material.pack_unit,
        )
    if material.use_unit is not None and canonical(material.use_unit)[0] != bought_in:
        mistakes.add(
            place,
            wrong=f"{material.material!r} is bought by {material.pack_unit} but used by {material.use_unit}",
            expected="one of: " + ", ".join(_units_for(bought_in)),
            mend="change use_unit or pack_unit, so that both measure alike",
            marked=material.use_unit,
        )


def _check_ready_made(material: Material, place: Place, mistakes: Mistakes) -> None:
    """Check the columns of a section: for glass bought by the piece alone, and together as they belong."""
    given = [name for name in ("edge_mm", "bevel_mm") if getattr(material, name) is not None]
    if material.section != "flat":
        given.insert(0, "section")
    if given and not material.ready_made:
        mistakes.add(
            place,
            wrong=f"{material.material!r} is not glass bought by the piece, but has a value for {listed(given)}",
            expected="these columns for glass with the pack_unit `each` or `pair` alone",
            mend="empty the cells, or correct kind and pack_unit",
        )
        return
    needed = {"flat": (), "bevelled": ("edge_mm", "bevel_mm"), "domed": ("edge_mm",)}[material.section]
    lacking = [name for name in needed if getattr(material, name) is None]
    needless = [name for name in given if name not in ("section", *needed)]
    if lacking:
        mistakes.add(
            place,
            wrong=f"the {material.section} glass {material.material!r} has no {' and no '.join(lacking)}",
            expected=f"a value in {listed(lacking)}",
            mend="measure a piece and fill the cell in",
        )
    if needless:
        mistakes.add(
            place,
            wrong=f"the {material.section} glass {material.material!r} has a value for {listed(needless)}",
            expected=f"{listed(needed)} and no more" if needed else "empty cells there",
            mend="empty the cells, or correct the section",
        )
    if material.edge_mm is not None and material.thickness_mm is not None and material.edge_mm > material.thickness_mm:
        mistakes.add(
            place,
            wrong=f"the edge of {material.material!r} is thicker ({material.edge_mm} mm) than the piece "
            f"({material.thickness_mm} mm)",
            expected="edge_mm up to thickness_mm, which is where it is thickest",
            mend="measure both again",
        )


def _check_slot(material: Material, place: Place, mistakes: Mistakes) -> None:
    """Refuse came and moulding whose slot is as large as it is itself, or that covers nothing of the glass."""
    if material.kind not in FRAME_KINDS or material.rebate_mm is None or material.slot_mm is None:
        return
    for inner, outer in (("rebate_mm", "width_mm"), ("slot_mm", "thickness_mm"), ("play_mm", "rebate_mm")):
        small, large = getattr(material, inner), getattr(material, outer)
        if large is not None and small >= large:
            mistakes.add(
                place,
                wrong=f"the {inner} of the {material.kind} {material.material!r} is {small} mm, its {outer} {large} mm",
                expected=f"{inner} under {outer}",
                mend="measure both again; `catalog-builder guide frames` shows what they measure",
            )


def _units_for(counted_in: str) -> list[str]:
    """Give the units that measure the same; glass is bought by the sheet as well."""
    return [unit for unit in UNITS if canonical(unit)[0] == counted_in] + (["sheet"] if counted_in == "dm2" else [])
