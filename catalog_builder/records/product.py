"""A product's record: ``content/products/<name>/product.md``."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path
from typing import Any, Literal

from pydantic import Field

from catalog_builder.mistake import MistakeError, Mistakes, Place, quoted
from catalog_builder.records.drawing.drawings import RequiredDrawing, read_drawings
from catalog_builder.records.drawing.marks import Grain, Marks
from catalog_builder.records.drawing.part_keys import PartKeys, check_parts
from catalog_builder.records.drawing.shown_pattern import ShownPattern
from catalog_builder.records.hardware_kind import HardwareKind
from catalog_builder.records.product_size import Sizes, check_size_titles, size_title
from catalog_builder.records.reading.header import KeyPath, nearest_line, read_header
from catalog_builder.records.reading.prose import check_prose
from catalog_builder.records.reading.source import Source, file_beside, place_in, read
from catalog_builder.records.reading.validation import validate
from catalog_builder.records.reading.values import (
    MOST_NAME,
    Amount,
    Day,
    Length,
    Line,
    Name,
    Record,
    stands_in_addresses,
)
from catalog_builder.records.record_photo import ProductPhoto, check_shown
from catalog_builder.records.selling.channel import Choice, GroupPrice
from catalog_builder.records.studio_tables.caution import Added

# Each is measured, priced and shown; no buyer chooses among more.
MOST_VARIANTS = 2_000


Down = Literal["bottom", "back", "front"]
Availability = Literal["made to order", "in stock", "one only", "sold"]


class GlassChoice(Record):
    """A choice of glass: the material of each glass word in the drawing."""

    title: Line | None = Field(None, description="what a buyer reads; may be left out where there is one choice")
    pieces: dict[str, Name] = Field(min_length=1, description="glass words of the drawing: materials")


class Hang(Record):
    """How a product hangs or stands."""

    by: HardwareKind = Field(HardwareKind.RING, description="one of: " + ", ".join(HardwareKind))
    length: Length | None = Field(None, description="of cord, chain or a stake's rod, the whole of it, such as 300 mm")
    material: Name | None = Field(
        None,
        description="hardware of that kind, by its name in materials.csv, else the lightest that holds; of a loop or "
        "stake its wire, else the studio's; of a stand its feet",
    )
    outdoors: bool = Field(False, description="true: it is meant to be outdoors, in the wind")
    feet: int | None = Field(
        None, ge=1, le=8, description="of a stand: how many feet; else 2 under a flat piece, 3 or 4 under a deep one"
    )
    down: Down = Field(
        "bottom", description="of a stand: the side of the main drawing that lies on the ground: bottom, back or front"
    )
    tealight: bool = Field(False, description="true: it stands and is made to have a tealight burn in it")
    in_soil: Length | None = Field(None, description="of a stake: how much of its rod goes into the soil, else a third")
    soldered: Length | None = Field(None, description="of a stake: how much of its rod is soldered, else 30 mm")


class FrameKeys(Record):
    """What goes round a panel's rim in place of its bead."""

    material: Name = Field(description="a came or moulding of materials.csv")
    sizes: Literal["outside", "glass"] = Field(
        "outside", description="what `sizes` and `width` measure: the outside of the frame, or the glass in it"
    )


class ProductKeys(Record):
    """The header of ``product.md``."""

    title: Line = Field(description="the product's name, as a buyer reads it")
    summary: Line = Field(description="one sentence for lists and link previews")
    series: Name = Field(description="a series of studio.toml")
    added: Day = Field(description="the day the design was first offered")
    formerly: tuple[Name, ...] = Field(
        (),
        max_length=20,
        description="names that its folder had before; their pages lead on to it, and tables may still use them",
    )
    sizes: Sizes = Field(
        {},
        description="sizes offered, each with the finished width of the glass of the main drawing, or of the frame "
        "round it; one with a title of its own as `{width: 175 mm, title: Groß}`",
    )
    width: Length | None = Field(None, description="the finished width, where the drawing has no size of its own")
    finishes: tuple[Name, ...] = Field(min_length=1, description="finishes of studio.toml that are offered")
    glass: dict[Name, GlassChoice] = Field(min_length=1, description="choices of glass")
    grain: Grain = Field(
        None,
        description="for pieces without their own: `along` their length (so by default), or degrees anticlockwise",
    )
    hold_until: Day | None = Field(None, description="its prices in the price book are held up to this day")
    same_price_for: tuple[Choice, ...] | None = Field(
        None, description="what does not change its price, in place of what channels say: [glass], [finish], both or []"
    )
    group_price: GroupPrice | None = Field(
        None, description="what variants of one price ask for, in place of what channels say: dearest or usual"
    )
    market_price: Amount | None = Field(
        None,
        gt=0,
        description="what pieces like it go for at markets, in its first size; private: the bench ranks designs by "
        "what an hour would earn at it",
    )
    batch: int | None = Field(None, ge=1, le=1000, description="how many are made together")
    availability: Availability = Field(
        "made to order",
        description="made to order; in stock: only what lies ready; one only: the record offers a single variant; sold",
    )
    lead_days: int | None = Field(None, ge=1, le=1000, description="in place of the studio's `lead_days`")
    solder_drops_g: Amount = Field(Decimal(0), description="decorative solder, in grams at the drawn size")
    solder: Name | None = Field(None, description="a solder of materials.csv, in place of the studio's")
    foil: Name | None = Field(None, description="a foil of materials.csv, in place of the studio's")
    frame: FrameKeys | None = Field(None, description="the frame round its rim")
    hang: Hang = Field(Hang.model_validate({}), description="how it hangs or stands")
    cautions: Added = Field((), description="cautions of its own, up to 8, each a text; they come after the others")
    pattern: Line | None = Field(None, description="an SVG file beside the record, in place of a block of svg")
    marks: Marks = Field(Marks.model_validate({}), description="marks, in place of those in the drawing")
    parts: dict[Name, PartKeys] = Field(
        {}, max_length=12, description="flat parts that are joined on at an angle, each with a drawing of its own"
    )
    photos: tuple[ProductPhoto, ...] = Field(
        (), max_length=40, description="photos; the first one of the variant that is offered first leads"
    )
    show_pattern: ShownPattern | None = Field(
        None, description="how much of its pattern the public sees, in place of the studio's `show_pattern`"
    )

    @property
    def first_width_mm(self) -> float | None:
        """The width by which the drawing is scaled where it has no size of its own; None where no key gives one."""
        return self.width or next((size.width for size in self.sizes.values()), None)

    def size_title(self, size: str) -> str:
        """Give a size as a buyer reads it; empty where there is only one."""
        return size_title(size, self.sizes)


@dataclass(frozen=True, slots=True)
class Product:
    """A product: its keys, the description in Markdown, the drawing's text, and the lines of all keys.

    ``parts`` holds the drawing of each part that is joined on, by its name; ``source`` is the header's text alone.
    """

    slug: str
    keys: ProductKeys
    description: str
    drawing: Source
    parts: Mapping[str, Source]
    source: Source
    folder: Path
    lines: Mapping[KeyPath, int]

    def line(self, *path: str | int) -> int | None:
        """Give the line of a key in the record, or of the nearest key above it."""
        return nearest_line(path, self.lines.get)

    def code(self, size: str, finish: str, choice: str) -> str:
        """Give the code of a variant; what the record gives no choice of is left out."""
        several = len(self.keys.glass) > 1
        return "--".join(word for word in (self.slug, size, finish, choice if several else "") if word)

    def shown_pattern(self, usual: ShownPattern) -> ShownPattern:
        """Give how much of its pattern the public sees; ``usual`` is what the studio shows where a record is silent."""
        return self.keys.show_pattern or usual

    def shown_in(self, photo: int) -> tuple[str, ...]:
        """Give the codes of the variants that a photo shows: all sizes look alike where it names none."""
        keys, shows = self.keys, self.keys.photos[photo].shows
        finish, glass = shows.finish or keys.finishes[0], shows.glass or next(iter(keys.glass))
        sizes = (shows.size,) if shows.size is not None else (*keys.sizes,) or ("",)
        return tuple(self.code(size, finish, glass) for size in sizes)

    def place_of(self, row: int | None, part: str = "") -> Place:
        """Give the place of a mark: a line of a part's drawing, or, counted below zero, of the record that sets it."""
        return place_in(self.source, self.parts[part] if part else self.drawing, row)


def by_any_name(products: Iterable[Product]) -> dict[str, Product]:
    """Give products by the names of their folders, and by those that these had before."""
    listed = tuple(products)
    former = {name: product for product in listed for name in product.keys.formerly}
    return former | {product.slug: product for product in listed}


def check_folder_name(name: str, place: Place) -> None:
    """Check the name of a product's folder, which stands in addresses and in names of files.

    Raises:
        MistakeError: it has other signs than addresses may have, or is too long.
    """
    if not stands_in_addresses(name):
        raise MistakeError.at(
            place,
            wrong=f"the folder's name {quoted(name)} cannot be used in addresses",
            expected="lower-case letters a to z, digits and single hyphens",
            mend="rename the folder, such as `sea-holly`",
        )
    if len(name) > MOST_NAME:
        raise MistakeError.at(
            place,
            wrong=f"the folder's name has {len(name)} characters",
            expected=f"at most {MOST_NAME} characters",
            mend="rename the folder",
        )


def read_product(project: Path, folder: Path) -> Product:
    """Read a product's folder.

    Raises:
        MistakeError: with everything that is wrong in the record itself.
    """
    return product_of(project, folder, read(project, folder / "product.md"))


def product_of(project: Path, folder: Path, source: Source) -> Product:
    """Make a product of the text of its record, which may differ from the one in its folder.

    Raises:
        MistakeError: with everything that is wrong in the record itself.
    """
    check_folder_name(folder.name, source.place())
    header = read_header(source)
    mistakes = Mistakes()
    keys = mistakes.attempt(validate, ProductKeys, header.values, source, header.lines.get)
    if keys is not None:
        _check_variants(keys, source, header.lines, mistakes)
        known = {"size": keys.sizes, "finish": keys.finishes, "glass": keys.glass}
        check_shown(keys.photos, known, source, header.lines, mistakes)
        check_size_titles(keys.sizes, source, header.lines, mistakes)
        check_parts(keys.parts, source, header.lines, mistakes)
    description, drawings = "", dict[str, Source]()
    with mistakes.collect():
        required = [*_required_drawings(keys, header.values, header.lines)]
        description, drawings = read_drawings(source, header.body, required, project, folder)
        check_prose(header.body, description)
    for index, photo in enumerate(keys.photos if keys else ()):
        line = header.lines.get(("photos", index, "file"))
        mistakes.attempt(file_beside, source, folder, photo.file, line, "the photo")
    if mistakes or keys is None:
        raise MistakeError(mistakes)
    main = drawings.pop("")
    return Product(folder.name, keys, description, main, drawings, header.text, folder, header.lines)


def _check_variants(keys: ProductKeys, source: Source, lines: Mapping[KeyPath, int], mistakes: Mistakes) -> None:
    count = max(1, len(keys.sizes)) * len(keys.finishes) * len(keys.glass)
    if count > MOST_VARIANTS:
        mistakes.add(
            source.place(lines.get(("sizes",), 1)),
            wrong=f"sizes, finishes and choices of glass make {count} variants",
            expected=f"up to {MOST_VARIANTS} variants of a product",
            mend="part the product up into several records, or offer fewer",
        )
    if keys.availability == "one only" and count > 1:
        mistakes.add(
            source.place(lines.get(("availability",), 1)),
            wrong=f"there is one only, but the record offers {count} variants: which one is it?",
            expected="a single size, finish and choice of glass where there is one piece only",
            mend="leave in the record only the size, finish and glass of the piece that there is",
            marked="one only",
        )


def _required_drawings(
    keys: ProductKeys | None, values: Mapping[str, Any], lines: Mapping[KeyPath, int]
) -> Iterator[RequiredDrawing]:
    """Give the drawings that a record must have; from its values as written if its keys have mistakes."""
    main = keys.pattern if keys is not None else values.get("pattern")
    yield RequiredDrawing("", main if isinstance(main, str) else None, lines.get(("pattern",)))
    parts = values.get("parts")
    for name, part in parts.items() if isinstance(parts, Mapping) else ():
        file = part.get("pattern") if isinstance(part, Mapping) else None
        line = lines.get(("parts", name, "pattern"), lines.get(("parts", name)))
        yield RequiredDrawing(str(name), file if isinstance(file, str) else None, line)
