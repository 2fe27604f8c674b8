"""Marks that a record sets in a drawing, in place of drawn ones."""

from __future__ import annotations

from decimal import Decimal
from typing import Annotated, Any

from pydantic import BeforeValidator, Field

from catalog_builder.records.reading.values import Line, Name, Record, as_written, refusal


def _grain(value: Any) -> float | None:
    if value == "along":
        return None
    if isinstance(value, int | Decimal) and not isinstance(value, bool) and -360 <= value <= 360:
        return float(value)
    raise refusal(
        f"{as_written(value)} is not a grain",
        "`along`, or an angle in degrees from -360 to 360",
        "write along, or a number",
    )


def _coordinate(value: Any) -> float:
    if isinstance(value, int | Decimal) and not isinstance(value, bool) and -1_000_000 <= value <= 1_000_000:
        return float(value)
    raise refusal(f"{as_written(value)} is not a coordinate", "a plain number, such as 35.5", "write it without a unit")


Coordinate = Annotated[float, BeforeValidator(_coordinate)]
Point = tuple[Coordinate, Coordinate]
Grain = Annotated[float | None, BeforeValidator(_grain)]


class PieceMark(Record):
    """Keys of one piece, which is named by a point inside it."""

    at: Point = Field(description="a point inside the piece: x and y in the drawing, in mm if it has a physical size")
    number: Line | None = Field(None, description="its number")
    glass: Line | None = Field(None, description="its glass word")
    grain: Grain = Field(None, description="its grain in degrees")


class WireMark(Record):
    """A wire that a record draws."""

    points: tuple[Point, ...] = Field(min_length=2, description="the points that it runs through")
    material: Name | None = Field(
        None,
        description="a wire of materials.csv, in place of the studio's, or a strip that strengthens the seams under it",
    )


class JoinMark(Record):
    """A line along which parts are joined on."""

    line: tuple[Coordinate, Coordinate, Coordinate, Coordinate] = Field(description="from point to point: x, y, x, y")
    part: Name | None = Field(None, description="the part that is joined on there; left out: every part")


class Marks(Record):
    """Marks set by the record, in the drawing's own coordinates: mm where it has a physical size."""

    fold: tuple[Coordinate, Coordinate, Coordinate, Coordinate] | None = Field(
        None, description="the fold line from one point to another, in place of a drawn one: x, y, x, y"
    )
    rings: tuple[Point, ...] = Field((), description="the places of hanging rings, in place of drawn ones")
    open: tuple[Point, ...] = Field((), description="points in fields that have no glass")
    wires: tuple[WireMark, ...] = Field((), description="soldered-on wires")
    pieces: tuple[PieceMark, ...] = Field((), description="numbers, glass words and grain of pieces")
    joins: tuple[JoinMark, ...] = Field((), description="lines along which parts are joined on at an angle")
