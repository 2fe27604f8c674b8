"""A product's record: ``content/products/<name>/product.md``."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path
from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field

from catalog_builder.mistake import Mistake, MistakeError, listed, nearest
from catalog_builder.records.border import admit
from catalog_builder.records.header import KeyPath, read_header
from catalog_builder.records.materials import Materials
from catalog_builder.records.source import Source, beside, read
from catalog_builder.records.studio import Studio
from catalog_builder.records.values import Amount, Day, Length, Line, Name, Record, refusal, told


def _grain(value: Any) -> float | None:
    if value == "along":
        return None
    if isinstance(value, int | Decimal) and not isinstance(value, bool) and -360 <= value <= 360:
        return float(value)
    raise refusal(
        f"{told(value)} is not a grain",
        "`along`, or an angle in degrees from -360 to 360",
        "write along, or a number",
    )


def _coordinate(value: Any) -> float:
    if isinstance(value, int | Decimal) and not isinstance(value, bool) and abs(value) <= 1_000_000:
        return float(value)
    raise refusal(f"{told(value)} is not a coordinate", "a plain number, such as 35.5", "write it without a unit")


def _share(value: Any) -> float:
    if isinstance(value, int | Decimal) and not isinstance(value, bool) and 0 <= value <= 1:
        return float(value)
    raise refusal(f"{told(value)} is not a place in the picture", "a number from 0 to 1", "0.5 is the middle")


Coordinate = Annotated[float, BeforeValidator(_coordinate)]
Point = tuple[Coordinate, Coordinate]


class GlassChoice(Record):
    """A choice of glass: which material each glass word of the drawing stands for."""

    title: Line | None = Field(None, description="what a buyer reads; may be left out where there is one choice")
    pieces: dict[str, Name] = Field(min_length=1, description="glass words of the drawing: materials")


class Hang(Record):
    """How a product hangs."""

    by: Literal["ring", "hook", "cord", "chain"] = Field("ring", description="ring, hook, cord or chain")
    length: Length | None = Field(None, description="of cord or chain, the whole of it, such as 300 mm")
    material: Name | None = Field(
        None, description="a hook, cord or chain of materials.csv; else the lightest that holds"
    )


class Photo(Record):
    """A photo beside the record."""

    file: Line = Field(description="the file's name")
    alt: Line | None = Field(None, description="what the picture shows, for those who cannot see it")
    focus: tuple[Annotated[float, BeforeValidator(_share)], Annotated[float, BeforeValidator(_share)]] = Field(
        (0.5, 0.5), description="what must stay in view when it is cropped: across and down, from 0 to 1"
    )


class PieceMark(Record):
    """What a record says of one piece, by a point inside it."""

    at: Point = Field(description="a point inside the piece: x and y in the drawing, in mm if it has a physical size")
    number: Line | None = Field(None, description="its number")
    glass: Line | None = Field(None, description="its glass word")
    grain: Annotated[float | None, BeforeValidator(_grain)] = Field(None, description="its grain in degrees")


class WireMark(Record):
    """A wire that a record draws."""

    points: tuple[Point, ...] = Field(min_length=2, description="the points that it runs through")
    material: Name | None = Field(None, description="a wire of materials.csv, in place of the studio's")


class Marks(Record):
    """Marks set by the record, in the drawing's own coordinates: mm where it has a physical size."""

    fold: tuple[Coordinate, Coordinate, Coordinate, Coordinate] | None = Field(
        None, description="the fold line from one point to another: x, y, x, y"
    )
    rings: tuple[Point, ...] = Field((), description="the places of hanging rings")
    open: tuple[Point, ...] = Field((), description="points in fields that have no glass")
    wires: tuple[WireMark, ...] = Field((), description="soldered-on wires")
    pieces: tuple[PieceMark, ...] = Field((), description="numbers, glass words and grain of pieces")


class ProductKeys(Record):
    """The header of ``product.md``."""

    title: Line = Field(description="the product's name, as a buyer reads it")
    summary: Line = Field(description="one sentence for lists and link previews")
    collection: Name = Field(description="a collection of studio.toml")
    added: Day = Field(description="the day the design was first offered")
    sizes: dict[Name, Length] = Field({}, description="sizes offered, each with the finished width of the glass")
    width: Length | None = Field(None, description="the finished width, where the drawing has no size of its own")
    finishes: tuple[Name, ...] = Field(min_length=1, description="finishes of studio.toml that are offered")
    glass: dict[Name, GlassChoice] = Field(min_length=1, description="choices of glass")
    grain: Annotated[float | None, BeforeValidator(_grain)] = Field(
        None,
        description="for pieces without their own: `along` their length (so by default), or degrees anticlockwise",
    )
    batch: int | None = Field(None, ge=1, le=1000, description="how many are made together")
    availability: Literal["made to order", "in stock", "one only", "sold"] = Field(
        "made to order", description="made to order, in stock, one only, sold"
    )
    solder_drops_g: Amount = Field(Decimal(0), description="decorative solder, in grams at the drawn size")
    solder: Name | None = Field(None, description="a solder of materials.csv, in place of the studio's")
    foil: Name | None = Field(None, description="a foil of materials.csv, in place of the studio's")
    hang: Hang = Field(Hang.model_validate({}), description="how it hangs")
    pattern: Line | None = Field(None, description="an SVG file beside the record, in place of a block of svg")
    marks: Marks = Field(Marks.model_validate({}), description="marks, in place of those in the drawing")
    photos: tuple[Photo, ...] = Field((), max_length=40, description="photos, the first one leads")


@dataclass(frozen=True, slots=True)
class Product:
    """A product: its keys, the description in Markdown, the drawing's text and where everything stands."""

    slug: str
    keys: ProductKeys
    description: str
    drawing: Source
    source: Source
    folder: Path
    lines: Mapping[KeyPath, int]

    def line(self, *path: str | int) -> int | None:
        """Give the line of a key in the record, or of the nearest key above it."""
        while path:
            if path in self.lines:
                return self.lines[path]
            path = path[:-1]
        return self.lines.get((), None)


def read_product(project: Path, folder: Path) -> Product:
    """Read a product's folder.

    Raises:
        MistakeError: with everything that is wrong in the record itself.
    """
    source = read(project, folder / "product.md")
    if not re.fullmatch(r"[a-z0-9]+(-[a-z0-9]+)*", folder.name):
        raise MistakeError(
            [
                Mistake(
                    place=source.place(),
                    wrong=f"the folder's name {folder.name!r} cannot be used in addresses",
                    expected="lower-case letters a to z, digits and single hyphens",
                    mend="rename the folder, such as `sea-holly`",
                )
            ]
        )
    header = read_header(source)
    mistakes: list[Mistake] = []
    keys = drawing = None
    description = ""
    try:
        keys = admit(ProductKeys, header.values, source, header.lines.get)
    except MistakeError as fault:
        mistakes.extend(fault.mistakes)
    try:
        description, drawing = _parted(header.body, header.values.get("pattern"), project, folder, header.lines)
    except MistakeError as fault:
        mistakes.extend(fault.mistakes)
    for index, photo in enumerate(keys.photos if keys else ()):
        try:
            beside(source, folder, photo.file, header.lines.get(("photos", index, "file")), "the photo")
        except MistakeError as fault:
            mistakes.extend(fault.mistakes)
    if mistakes or keys is None or drawing is None:
        raise MistakeError(mistakes)
    return Product(folder.name, keys, description, drawing, source, folder, header.lines)


def _parted(body: Source, named: Any, project: Path, folder: Path, lines: Mapping[KeyPath, int]) -> tuple[str, Source]:
    """Part the body into the description and the drawing, which may also be a file that the record names."""
    blocks = list(re.finditer(r"^```svg[ \t]*\n(.*?)^```[ \t]*$", body.text, re.MULTILINE | re.DOTALL))
    expected = "one pattern: a block that opens with ```svg and closes with ```, or a file named by `pattern:`"
    if isinstance(named, str):
        line = lines.get(("pattern",))
        record = read(project, folder / "product.md")
        if blocks:
            raise MistakeError(
                [
                    Mistake(
                        place=record.place(line),
                        wrong="the record holds a pattern and names one as well",
                        expected=expected,
                        mend="take out the block or the key",
                        marked=named,
                    )
                ]
            )
        return body.text.strip(), read(project, beside(record, folder, named, line, "the pattern"))
    if len(blocks) != 1:
        line = body.first_line + body.text.count("\n", 0, blocks[1].start()) if blocks else None
        raise MistakeError(
            [
                Mistake(
                    place=body.place(line),
                    wrong=f"the record holds {len(blocks)} patterns" if blocks else "the record holds no pattern",
                    expected=expected,
                    mend="keep one of them" if blocks else "add the drawing; a block must be closed by a line of ```",
                )
            ]
        )
    block = blocks[0]
    description = body.text[: block.start()] + body.text[block.end() :]
    first = body.first_line + body.text.count("\n", 0, block.start(1))
    return description.strip(), Source(body.path, block[1], first)


def check_names(product: Product, studio: Studio, materials: Materials) -> list[Mistake]:
    """Find what a record names that is not there: collection, finishes, glass and other materials."""
    keys = product.keys
    mistakes = []

    def check(word: str, known: set[str], what: str, where: str, *path: str | int) -> None:
        if word not in known:
            guess = nearest(word, known)
            mistakes.append(
                Mistake(
                    place=product.source.place(product.line(*path)),
                    wrong=f"{what} {word!r} is not in {where}",
                    expected=f"one of: {listed(known)}",
                    mend=f"did you mean {guess!r}?" if guess else f"correct the name, or add it to {where}",
                    marked=word,
                )
            )

    def names(kind: str) -> set[str]:
        return {material.material for material in materials.of_kind(kind)}

    check(keys.collection, set(studio.collections), "the collection", "studio.toml", "collection")
    for index, finish in enumerate(keys.finishes):
        check(finish, set(studio.finishes), "the finish", "studio.toml", "finishes", index)
    for choice, glass in keys.glass.items():
        for word, material in glass.pieces.items():
            check(material, names("glass"), "the glass", "materials.csv", "glass", choice, "pieces", word)
    for kind, name in (("solder", keys.solder), ("foil", keys.foil)):
        if name is not None:
            check(name, names(kind), f"the {kind}", "materials.csv", kind)
    if keys.hang.material is not None:
        there = names(keys.hang.by)
        check(keys.hang.material, there, f"the {keys.hang.by}", "materials.csv", "hang", "material")
    mistakes.extend(_contradictions(product))
    return mistakes


def _contradictions(product: Product) -> list[Mistake]:
    keys = product.keys
    mistakes: list[Mistake] = []
    if len(keys.glass) > 1:
        mistakes.extend(
            Mistake(
                place=product.source.place(product.line("glass", name)),
                wrong=f"the glass choice {name!r} has no title",
                expected="a title for each choice where there are several",
                mend="add `title:` with the words a buyer reads",
                marked=name,
            )
            for name, choice in keys.glass.items()
            if choice.title is None
        )
    if keys.hang.by in ("cord", "chain") and keys.hang.length is None:
        mistakes.append(
            Mistake(
                place=product.source.place(product.line("hang")),
                wrong=f"it hangs by a {keys.hang.by} that has no length",
                expected="`length:` with a unit, such as 300 mm",
                mend="add the whole length",
            )
        )
    if len(set(keys.finishes)) < len(keys.finishes):
        mistakes.append(
            Mistake(
                place=product.source.place(product.line("finishes")),
                wrong="a finish stands twice",
                expected="each finish once",
                mend="take one out",
            )
        )
    return mistakes
