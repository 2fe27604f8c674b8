"""A page of the studio's own: ``content/pages/<name>.md``, such as an imprint, or ``content/terms.md``."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from pydantic import Field

from catalog_builder.mistake import MistakeError, Mistakes, Place, quoted
from catalog_builder.records.reading.file import files_in
from catalog_builder.records.reading.header import read_header
from catalog_builder.records.reading.prose import check_prose
from catalog_builder.records.reading.source import Source, read
from catalog_builder.records.reading.validation import validate
from catalog_builder.records.reading.values import MOST_NAME, Line, Record, stands_in_addresses

# Each is linked at the foot of every page.
MOST_PAGES = 12
# Texts with a place of their own in the catalogue.
OWN_PLACES = ("about", "care", "terms")


class OwnPageKeys(Record):
    """The header of a page of the studio's own."""

    title: Line = Field(description="the page's title, which its link at the foot of every page bears too")


@dataclass(frozen=True, slots=True)
class OwnPage:
    """A page by its name in addresses, its title, and its text in Markdown."""

    name: str
    title: str
    text: str


def read_own_pages(project: Path) -> tuple[OwnPage, ...]:
    """Read every page of ``content/pages/``, in the order of their names; there may be none.

    Raises:
        MistakeError: with every name that addresses cannot have, every page without a title of its own or a text.
    """
    paths = files_in(project, project / "content" / "pages", "")
    if len(paths) > MOST_PAGES:
        raise MistakeError.at(
            Place(path="content/pages"),
            wrong=f"there are {len(paths)} pages",
            expected=f"up to {MOST_PAGES}: each is linked at the foot of every page",
            mend="put several texts on one page",
        )
    mistakes = Mistakes()
    pages = [page for path in paths if (page := mistakes.attempt(_read_page, project, path)) is not None]
    _check_titles(pages, mistakes)
    mistakes.raise_if_any()
    return tuple(pages)


def check_text(source: Source, text: str) -> None:
    """Refuse a page without a text, and one that is too long for a reader.

    Raises:
        MistakeError: it is one of the two.
    """
    if not text.strip():
        raise MistakeError.at(
            source.place(),
            wrong="the page has no text",
            expected="a text in Markdown",
            mend="write the text, or take the file away",
        )
    check_prose(source, text)


def _read_page(project: Path, path: Path) -> OwnPage:
    place = Place(path=path.relative_to(project).as_posix())
    name = path.name.removesuffix(".md")
    if name == path.name or not stands_in_addresses(name) or len(name) > MOST_NAME:
        raise MistakeError.at(
            place,
            wrong=f"the name {quoted(path.name)} cannot be that of a page",
            expected="lower-case letters a to z, digits and single hyphens, and the ending .md",
            mend="rename the file, such as `imprint.md`",
        )
    if name in OWN_PLACES:
        raise MistakeError.at(
            place,
            wrong=f"{path.name} has a place of its own in the catalogue, so that there would be two such pages",
            expected=f"its text in content/{path.name}, without a header",
            mend=f"move it to content/{path.name} and take its header out, or give it another name",
        )
    source = read(project, path)
    header = read_header(source)
    keys = validate(OwnPageKeys, header.values, source, header.lines.get)
    check_text(header.body, header.body.text)
    return OwnPage(name, keys.title, header.body.text)


def _check_titles(pages: Sequence[OwnPage], mistakes: Mistakes) -> None:
    first: dict[str, OwnPage] = {}
    for page in pages:
        other = first.setdefault(page.title.casefold(), page)
        if other is not page:
            mistakes.add(
                Place(path=f"content/pages/{page.name}.md"),
                wrong=f"the title {quoted(page.title)} is taken by content/pages/{other.name}.md",
                expected="a title of its own for each page",
                mend="change one of the two titles",
            )
