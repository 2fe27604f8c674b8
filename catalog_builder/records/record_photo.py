"""Photos beside a record: which file, what it shows, and of a product which variant."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from decimal import Decimal
from typing import Annotated, Any

from pydantic import BeforeValidator, Field

from catalog_builder.mistake import Mistakes, listed, quoted, suggestion
from catalog_builder.records.reading.header import KeyPath, nearest_line
from catalog_builder.records.reading.source import Source
from catalog_builder.records.reading.values import Line, Name, Record, as_written, refusal


def _share(value: Any) -> float:
    if isinstance(value, int | Decimal) and not isinstance(value, bool) and 0 <= value <= 1:
        return float(value)
    raise refusal(f"{as_written(value)} is not a place in the picture", "a number from 0 to 1", "0.5 is the middle")


class Photo(Record):
    """A photo beside the record."""

    file: Line = Field(description="the file's name")
    alt: Line | None = Field(None, description="what the picture shows, for those who cannot see it")
    focus: tuple[Annotated[float, BeforeValidator(_share)], Annotated[float, BeforeValidator(_share)]] = Field(
        (0.5, 0.5), description="what must stay in view when it is cropped: across and down, from 0 to 1"
    )


class Shows(Record):
    """The variant that a photo shows, by the record's own names."""

    size: Name | None = Field(None, description="one of `sizes`; left out: it could be any")
    finish: Name | None = Field(None, description="one of `finishes`; left out: the first")
    glass: Name | None = Field(None, description="one of `glass`; left out: the first")


class ProductPhoto(Photo):
    """A photo of a product."""

    shows: Shows = Field(
        Shows.model_validate({}), description="the variant that it shows; else the first finish and glass"
    )


def check_shown(
    photos: Sequence[ProductPhoto],
    known: Mapping[str, Collection[str]],
    source: Source,
    lines: Mapping[KeyPath, int],
    mistakes: Mistakes,
) -> None:
    """Refuse a photo that shows a size, finish or glass that the record does not have."""
    for index, photo in enumerate(photos):
        for what, names in known.items():
            name = getattr(photo.shows, what)
            if name is not None and name not in names:
                path: KeyPath = ("photos", index, "shows", what)
                mistakes.add(
                    source.place(nearest_line(path, lines.get)),
                    wrong=f"the photo shows the {what} {quoted(name)}, which the record does not have",
                    expected=f"one of: {listed(names)}" if names else f"no {what}: there is one only",
                    mend=suggestion(name, names, "correct it"),
                    marked=name,
                )
