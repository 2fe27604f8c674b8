"""Writing marks, glass and hardware into a product's record; the rest stays as the maker wrote it, comments too."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path
from typing import Annotated, Any

from pydantic import AfterValidator, Field

from catalog_builder.cache.atomic_file import replace_file
from catalog_builder.cache.store import key_of
from catalog_builder.mistake import MistakeError, Place
from catalog_builder.records.drawing.marks import Coordinate, Marks, PieceMark, Point, WireMark
from catalog_builder.records.hardware_kind import HardwareKind
from catalog_builder.records.keeping.header_keeping import with_values
from catalog_builder.records.keeping.safe_writing import writing
from catalog_builder.records.product import Product, ProductKeys, product_of
from catalog_builder.records.reading.file import bytes_of
from catalog_builder.records.reading.header import Header, read_header
from catalog_builder.records.reading.source import MOST_BYTES, Source, read
from catalog_builder.records.reading.validation import validate
from catalog_builder.records.reading.values import Name, Record


def _printable(word: str) -> str:
    if not word.isprintable():
        raise ValueError("the word holds a control character")
    return word


# More marks than a drawing may hold, and longer words than anybody reads.
MOST_MARKS = 5_000
Word = Annotated[str, Field(min_length=1, max_length=100), AfterValidator(_printable)]


class AskedMarks(Record):
    """The marks that a drawing's record is to have; joins do not change."""

    fold: tuple[Coordinate, Coordinate, Coordinate, Coordinate] | None = None
    rings: tuple[Point, ...] = Field((), max_length=MOST_MARKS)
    open: tuple[Point, ...] = Field((), max_length=MOST_MARKS)
    wires: tuple[WireMark, ...] = Field((), max_length=MOST_MARKS)
    pieces: tuple[PieceMark, ...] = Field((), max_length=MOST_MARKS)


class AskedRecord(Record):
    """What a record is to have: the material of each glass word in each choice, and the marks of each drawing.

    The main drawing's name is empty. ``seen`` is the digest of the record as whoever asks has seen it. ``by`` is the
    kind of hardware that the product shall hang by; None leaves it as it is.
    """

    product: Name
    seen: Annotated[str, Field(max_length=200)]
    glass: dict[Name, Annotated[dict[Word, Name], Field(min_length=1, max_length=MOST_MARKS)]]
    marks: Annotated[dict[str, AskedMarks], Field(max_length=13)]
    by: HardwareKind | None = None

    def applied(self, values: Mapping[str, Any]) -> dict[str, Any]:
        """Give a header's values with what is asked in place of what they hold.

        Raises:
            KeyError: the header has no such choice of glass or no such part.
        """
        new = dict(values)
        choices = new["glass"]
        new["glass"] = {
            **choices,
            **{name: {**choices[name], "pieces": dict(pieces)} for name, pieces in self.glass.items()},
        }
        for part, asked in self.marks.items():
            if part:
                new["parts"] = {**new["parts"], part: _marked(new["parts"][part], asked)}
            else:
                new = _marked(new, asked)
        return new if self.by is None else _hung(new, self.by)


def _hung(values: Mapping[str, Any], by: HardwareKind) -> dict[str, Any]:
    """Give values that hang by a kind of hardware; the material of another kind does not stay."""
    old = values.get("hang") or {}
    if old.get("by", HardwareKind.RING) == by:
        return dict(values)
    hang = {**{key: value for key, value in old.items() if key != "material"}, "by": str(by)}
    if hang == {"by": HardwareKind.RING}:
        return {key: value for key, value in values.items() if key != "hang"}
    return {**values, "hang": hang}


def _marked(values: Mapping[str, Any], asked: AskedMarks) -> dict[str, Any]:
    """Give values with the asked marks under ``marks``; without that key where no mark is left."""
    old = values.get("marks") or {}
    new = {key: value for key, value in old.items() if key not in AskedMarks.model_fields} | plain_marks(asked)
    marks = {key: new[key] for key in (*(key for key in old if key in new), *new)}
    if marks:
        return {**values, "marks": marks}
    return {key: value for key, value in values.items() if key != "marks"}


def plain_marks(marks: Marks | AskedMarks) -> dict[str, Any]:
    """Give marks as the plain values of a header, without what is not set."""
    values = {key: value for key, value in marks.model_dump(exclude_unset=True).items() if value}
    for piece in values.get("pieces", ()):
        # Along the piece is the one grain that is no number.
        if "grain" in piece and piece["grain"] is None:
            piece["grain"] = "along"
    plain: dict[str, Any] = _plain(values)
    return plain


def _plain(value: Any) -> Any:
    if isinstance(value, dict):
        return {key: _plain(part) for key, part in value.items() if part is not None}
    if isinstance(value, list | tuple):
        return [_plain(part) for part in value]
    if isinstance(value, float):
        return int(value) if value == int(value) else Decimal(str(round(value, 4)))
    return value


def record_digest(product: Product) -> str:
    """Give the digest of all that a record says: its header, description and drawings."""
    return key_of(product.source.text, product.description, product.drawing.text, list(product.parts.items()))


@dataclass(frozen=True, slots=True)
class AskedProduct:
    """A product as its record would be, with the bytes of the record as it is and as it would be."""

    product: Product
    old: bytes
    new: bytes

    def write(self) -> None:
        """Put the new record in place of the old one, whole or not at all.

        Raises:
            MistakeError: it cannot be written, or the record is not the old one any more; it is left as it was.
        """
        path = self.product.folder / "product.md"
        place = Place(path=self.product.source.path)
        with writing(place, "the record"):
            if path.read_bytes() != self.old:
                raise _changed(place)
            replace_file(path, self.new)


def asked_product(project: Path, product: Product, asked: AskedRecord) -> AskedProduct:
    """Give a product as its record would be with what is asked.

    Raises:
        MistakeError: the record on the disk is not the one that was seen, is reached by a link, or could not be read
            with what is asked.
    """
    path = product.folder / "product.md"
    source, old = _read(project, path)
    place = source.place()
    if record_digest(product_of(project, product.folder, source)) != asked.seen:
        raise _changed(place)
    header = read_header(source)
    try:
        values = asked.applied(header.values)
    except (KeyError, TypeError) as error:
        raise MistakeError.at(
            place,
            wrong=f"the record has no choice of glass or part {error}",
            expected="the choices and parts that the record has",
            mend="load the page again",
        ) from None
    new = _written(old, header, values, place)
    text = Source(source.path, _normal(new))
    asked_keys = validate(ProductKeys, values, source, header.lines.get)
    # Whatever is asked, nothing but marks, glass and hardware is different in the file, and these are what was asked.
    try:
        changed = product_of(project, product.folder, text)
    except MistakeError:
        raise _unusual(place) from None
    if changed.keys != asked_keys:
        raise _unusual(place)
    return AskedProduct(changed, old, new)


def _read(project: Path, path: Path) -> tuple[Source, bytes]:
    """Read a record and its bytes.

    Raises:
        MistakeError: it may not be read, or is reached by a link.
    """
    place = Place(path=path.relative_to(project).as_posix())
    if path.is_symlink() or path.parent.is_symlink():
        raise MistakeError.at(
            place,
            wrong="the record is a link to a file elsewhere",
            expected="a record that lies in its folder itself",
            mend="copy the file there in place of the link",
        )
    source, data = read(project, path), bytes_of(project, path, MOST_BYTES)
    if _normal(data) != source.text:
        raise _changed(place)
    return source, data


def _normal(data: bytes) -> str:
    return data.decode("utf-8-sig").replace("\r\n", "\n").replace("\r", "\n")


def _written(old: bytes, header: Header, values: Mapping[str, Any], place: Place) -> bytes:
    from ruamel.yaml.error import YAMLError

    try:
        return with_values(old, header, values)
    except (YAMLError, KeyError, TypeError, AttributeError):
        raise _unusual(place) from None


def _changed(place: Place) -> MistakeError:
    return MistakeError.at(
        place,
        wrong="the record was changed on the disk since this page was made",
        expected="the record as the page shows it",
        mend="copy your lines, then load the page again; nothing was written",
    )


def _unusual(place: Place) -> MistakeError:
    return MistakeError.at(
        place,
        wrong="the header is written in a way that the program does not change",
        expected="each key at the beginning of a line of its own",
        mend="copy the lines and put them into the header yourself; nothing was written",
    )
