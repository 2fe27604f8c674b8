"""A pair or a set: ``content/sets/<name>/set.md``, several variants of products sold together at one price."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from functools import partial
from pathlib import Path

from pydantic import Field

from catalog_builder.mistake import MistakeError, Mistakes, Place, listed, quoted, suggestion
from catalog_builder.records.product import Product, by_any_name
from catalog_builder.records.reading.file import folders_in, is_there
from catalog_builder.records.reading.header import KeyPath, nearest_line, read_header
from catalog_builder.records.reading.prose import check_prose
from catalog_builder.records.reading.source import Source, file_beside, read
from catalog_builder.records.reading.validation import validate
from catalog_builder.records.reading.values import MOST_NAME, Day, Line, Name, Percent, Record, stands_in_addresses
from catalog_builder.records.record_photo import Photo
from catalog_builder.records.studio_tables.caution import Added
from catalog_builder.records.variant import Variant, VariantKeys, read_variant

MOST_SETS = 500
MOST_MEMBERS = 24


class MemberKeys(VariantKeys):
    """A piece of a set: a variant, and how many of it."""

    count: int = Field(1, ge=1, le=24, description="how many of it")


class SetKeys(Record):
    """The header of ``set.md``."""

    title: Line = Field(description="the set's name, as a buyer reads it")
    summary: Line = Field(description="one sentence for lists and link previews")
    series: Name = Field(description="a series of studio.toml")
    added: Day = Field(description="the day the set was first offered")
    made_of: tuple[MemberKeys, ...] = Field(
        min_length=1, max_length=MOST_MEMBERS, description="the variants in it, two pieces or more in all"
    )
    less_percent: Percent = Field(Decimal(0), description="so much less than the pieces cost singly")
    cautions: Added = Field((), description="cautions of its own, up to 8; they come after those of its pieces")
    photos: tuple[Photo, ...] = Field((), max_length=40, description="photos of the set, the first one leads")


@dataclass(frozen=True, slots=True)
class ProductSet:
    """A set: its keys, its variants with their counts, the description in Markdown, and the lines of all keys."""

    slug: str
    keys: SetKeys
    members: tuple[tuple[Variant, int], ...]
    description: str
    source: Source
    folder: Path
    lines: Mapping[KeyPath, int]

    def line(self, *path: str | int) -> int | None:
        """Give the line of a key in the record, or of the nearest key above it."""
        return nearest_line(path, self.lines.get)


def read_sets(project: Path, all_series: Collection[str], products: Sequence[Product]) -> tuple[ProductSet, ...]:
    """Read every set of a project, in the order of their names; there may be none.

    Raises:
        MistakeError: with everything that is wrong in them, also names of variants that no record has.
    """
    folder = project / "content" / "sets"
    folders = folders_in(project, folder) if is_there(folder) else []
    if len(folders) > MOST_SETS:
        place, expected = Place(path="content/sets"), f"up to {MOST_SETS}"
        wrong, mend = f"there are {len(folders)} sets", "take out those that are no longer sold"
        raise MistakeError.at(place, wrong=wrong, expected=expected, mend=mend)
    by_name, mistakes = by_any_name(products), Mistakes()
    sets = [each for path in folders if (each := mistakes.attempt(_read_set, project, path, by_name)) is not None]
    titles = {product.keys.title.casefold() for product in products}
    for each in sets:
        _check_names(each, all_series, by_name, titles, mistakes)
        titles.add(each.keys.title.casefold())
    mistakes.raise_if_any()
    return tuple(sets)


def _read_set(project: Path, folder: Path, products: Mapping[str, Product]) -> ProductSet:
    source = read(project, folder / "set.md")
    if not stands_in_addresses(folder.name) or len(folder.name) > MOST_NAME:
        raise MistakeError.at(
            source.place(),
            wrong=f"the folder's name {quoted(folder.name)} cannot be used in addresses",
            expected=f"lower-case letters a to z, digits and single hyphens, {MOST_NAME} characters at most",
            mend="rename the folder, such as `two-scallops`",
        )
    header = read_header(source)
    keys = validate(SetKeys, header.values, source, header.lines.get)
    mistakes, members = Mistakes(), dict[Variant, int]()
    for index, row in enumerate(keys.made_of):
        with mistakes.collect():
            variant = read_variant(row, products, source, partial(_line, header.lines, index))
            members[variant] = members.get(variant, 0) + row.count
    with mistakes.collect():
        check_prose(header.body, header.body.text)
    for index, photo in enumerate(keys.photos):
        line = header.lines.get(("photos", index, "file"))
        mistakes.attempt(file_beside, source, folder, photo.file, line, "the photo")
    if sum(row.count for row in keys.made_of) < 2:
        mistakes.add(
            source.place(header.lines.get(("made_of",))),
            wrong="the set has one piece only",
            expected="two pieces or more",
            mend="add another piece, or a count",
        )
    mistakes.raise_if_any()
    return ProductSet(folder.name, keys, tuple(members.items()), header.body.text, header.text, folder, header.lines)


def _line(lines: Mapping[KeyPath, int], index: int, key: str) -> int | None:
    paths: tuple[KeyPath, ...] = (("made_of", index, key), ("made_of", index), ("made_of",))
    return next((lines[path] for path in paths if path in lines), None)


def _check_names(
    each: ProductSet,
    all_series: Collection[str],
    products: Mapping[str, Product],
    titles: Collection[str],
    mistakes: Mistakes,
) -> None:
    """Refuse a set whose name or title another has, and a series that studio.toml does not have."""
    keys = each.keys
    if each.slug in products:
        mistakes.add(
            each.source.place(),
            wrong=f"the set and a product are both called {quoted(each.slug)}"
            if each.slug == products[each.slug].slug
            else f"the set is called {quoted(each.slug)}, as the product {products[each.slug].slug!r} was formerly",
            expected="a folder's name that no product has: they share their addresses",
            mend="rename the set's folder",
        )
    if keys.title.casefold() in titles:
        mistakes.add(
            each.source.place(each.line("title")),
            wrong=f"the title {quoted(keys.title)} is taken",
            expected="a title of its own for each product and set",
            mend="change one of the two titles",
            marked=keys.title,
        )
    if keys.series not in all_series:
        mistakes.add(
            each.source.place(each.line("series")),
            wrong=f"the series {quoted(keys.series)} is not in studio.toml",
            expected=f"one of: {listed(all_series)}",
            mend=suggestion(keys.series, all_series, "correct it, or add the series"),
            marked=keys.series,
        )
