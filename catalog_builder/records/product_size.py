"""A size that a product is offered in: its finished width alone, or with a title of its own."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from pydantic import Field, TypeAdapter, model_validator

from catalog_builder.mistake import Mistakes, quoted
from catalog_builder.records.reading.header import KeyPath, nearest_line
from catalog_builder.records.reading.source import Source
from catalog_builder.records.reading.values import Length, Line, Name, Record

_LENGTH: TypeAdapter[float] = TypeAdapter(Length)


class SizeKeys(Record):
    """A size with a title of its own; a plain length in the record has none."""

    width: Length = Field(description="the finished width of the glass of the main drawing")
    title: Line | None = Field(None, description="what a buyer reads, such as Groß; else its name")

    @model_validator(mode="before")
    @classmethod
    def _of_width(cls, value: Any) -> Any:
        """Take a plain length for the width of a size without a title of its own."""
        if isinstance(value, Mapping | SizeKeys):
            return value
        return {"width": _LENGTH.validate_python(value)}


Sizes = dict[Name, SizeKeys]


def size_title(name: str, sizes: Mapping[str, SizeKeys]) -> str:
    """Give a size as a buyer reads it: its title, or the words of its name; empty where there is only one."""
    title = sizes[name].title if name in sizes else None
    return title or name.replace("-", " ").replace("_", " ").capitalize()


def check_size_titles(
    sizes: Mapping[str, SizeKeys], source: Source, lines: Mapping[KeyPath, int], mistakes: Mistakes
) -> None:
    """Refuse two sizes of a product with one title."""
    first: dict[str, str] = {}
    for name in sizes:
        title = size_title(name, sizes)
        other = first.setdefault(title.casefold(), name)
        if other != name:
            mistakes.add(
                source.place(nearest_line(("sizes", name, "title"), lines.get)),
                wrong=f"sizes.{name}: the title {quoted(title)} is that of the size {other!r} too",
                expected="a title of its own for each size of a product",
                mend="change one of the two titles",
                marked=title,
            )
