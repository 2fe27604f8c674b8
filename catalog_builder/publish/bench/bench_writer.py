"""Writes the bench's pages and printed sheets in the studio's language. Private."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from catalog_builder.cache.store import key_of
from catalog_builder.phrase import Value, phrase
from catalog_builder.publish.output.folder import Folder
from catalog_builder.publish.sheets.typeset import TypesetSheet
from catalog_builder.publish.theme.loading import Theme
from catalog_builder.publish.theme.phrasing import Phrasing
from catalog_builder.publish.theme.wording import Wording
from catalog_builder.publish.views import StudioView
from catalog_builder.records.studio import Studio

STYLE = "assets/bench.css"


@dataclass(frozen=True, slots=True, kw_only=True)
class BenchWriter:
    """The studio's settings, the theme and the day of the build: all that is the same on every paper."""

    studio: Studio
    theme: Theme
    day: date

    @property
    def wording(self) -> Wording:
        """The studio's numbers, money and dates."""
        return Wording.of(self.studio.studio)

    @property
    def phrasing(self) -> Phrasing:
        """The studio's sentences."""
        return Phrasing.of(self.theme, self.studio.studio)

    def say(self, key: str, **values: Value) -> str:
        """Give a label by its table and key, with its {braces} filled in."""
        return self.phrasing.say(phrase(key, **values))

    def labels(self, table: str) -> Mapping[str, str]:
        """Give the labels of a table."""
        return self.theme.labels[table]

    def key(self, paper: str, *handed: object) -> str:
        """Give the key of a paper that is made with this writer of nothing but what is handed to it."""
        return key_of(paper, self.theme.key, self.studio, self.day, handed)

    def page(self, template: str, style_href: str = STYLE, **values: object) -> str:
        """Fill a page; ``style_href`` leads from it to its style sheet."""
        return self.theme.render(template, **self._shared(style_href), **values)

    def write_page(self, folder: Folder, name: str, template: str, **values: object) -> None:
        """Write a page; ``name`` is its path in the bench's folder."""
        style_href = "../" * name.count("/") + STYLE
        self.theme.write_page(folder, name, template, **self._shared(style_href), **values)

    def _shared(self, style_href: str) -> dict[str, object]:
        keys = self.studio.studio
        return {"studio": StudioView.of(keys), "language": keys.language, "style_href": style_href}

    def write_sheet(
        self, folder: Folder, name: str, template: str, values: Mapping[str, object], *, several: bool = False
    ) -> None:
        """Write a printed sheet, typeset again only where its template's values, the theme or the day changed.

        One of ``several`` parts of a paper is set in a process of its own.
        """
        self.sheet(template, values, several=several).write(folder, name)

    def sheet(self, template: str, values: Mapping[str, object], *, several: bool = False) -> TypesetSheet:
        """Give a printed sheet that is not set yet."""
        keys = self.studio.studio
        data = {
            **values,
            "studio": keys.name,
            "language": keys.language,
            "private": self.theme.labels["bench"]["private"],
        }
        return TypesetSheet(theme=self.theme, template=template, data=data, day=self.day, several=several)
