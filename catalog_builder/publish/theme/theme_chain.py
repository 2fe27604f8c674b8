"""Where a theme is, and the themes that it builds on."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from pathlib import Path
from typing import NamedTuple

from pydantic import Field

from catalog_builder.mistake import Mistake, MistakeError, suggestion
from catalog_builder.publish.theme.theme_limits import hold_folder
from catalog_builder.records.reading.source import Source, read
from catalog_builder.records.reading.toml import key_line, read_toml
from catalog_builder.records.reading.validation import validate
from catalog_builder.records.reading.values import Colour, Line, Name, Percent, Record

_PACKAGED = Path(__file__).resolve().parents[2] / "_themes"
_REPOSITORY = Path(__file__).resolve().parents[3] / "themes"


class SchemeColours(NamedTuple):
    """The colours of words and of what stands behind them, in one scheme; ``tint`` is the share of glass in a pane."""

    wall: str
    sun: str
    pane: str
    ink: str
    accent: str
    tint: float


# Of a theme that names no colours nothing is known but that it can be read.
LIGHT = SchemeColours("#ffffff", "#ffffff", "#ffffff", "#000000", "#000000", 0)
DARK = SchemeColours("#000000", "#000000", "#000000", "#ffffff", "#ffffff", 0)


class ThemeColours(Record):
    """``[colours]``: what a phone paints around the catalogue, and what a studio's own colours must agree with."""

    wall_by_day: Colour = Field(description="behind the catalogue by day")
    wall_by_night: Colour = Field(description="behind the catalogue by night")
    sun_by_day: Colour | None = Field(None, description="the lightest that words stand on by day")
    sun_by_night: Colour | None = Field(None, description="the same by night")
    pane_by_day: Colour | None = Field(None, description="boxes of words by day")
    pane_by_night: Colour | None = Field(None, description="the same by night")
    ink_by_day: Colour = Field(LIGHT.ink, description="words by day")
    ink_by_night: Colour = Field(DARK.ink, description="words by night")
    accent_by_day: Colour = Field(LIGHT.accent, description="links and buttons by day")
    accent_by_night: Colour = Field(DARK.accent, description="links and buttons by night")
    tint_percent: Percent = Field(Decimal(0), description="how much of a piece's glass is mixed into a box of words")

    @property
    def day(self) -> SchemeColours:
        """The colours by day."""
        sun, pane = self.sun_by_day or self.wall_by_day, self.pane_by_day or self.wall_by_day
        return SchemeColours(self.wall_by_day, sun, pane, self.ink_by_day, self.accent_by_day, self._tint)

    @property
    def night(self) -> SchemeColours:
        """The colours by night."""
        sun, pane = self.sun_by_night or self.wall_by_night, self.pane_by_night or self.wall_by_night
        return SchemeColours(self.wall_by_night, sun, pane, self.ink_by_night, self.accent_by_night, self._tint)

    @property
    def _tint(self) -> float:
        return float(self.tint_percent) / 100


class CardKeys(Record):
    """``[card]``: how the cards are set that stand beside links where they are passed on."""

    name_letters: Line = Field(description="the file of the letters of a name, such as stall/fonts/plain.ttf")
    studio_letters: Line = Field(description="the file of the letters of the studio's name")
    wall: Colour = Field(description="behind the words")
    lead: Colour = Field(description="the lines between panes")
    ink: Colour = Field(description="a name")
    soft: Colour = Field(description="the studio's name")


class ThemeKeys(Record):
    """All of a theme's ``theme.toml``."""

    title: Line = Field(description="the theme's name, as people read it")
    description: Line = Field(description="a sentence or two on how it looks")
    builds_on: Name | None = Field(None, description="the theme that lends every file and word this one lacks")
    inlined_styles: tuple[Line, ...] | None = Field(
        None, description="styles of assets/ that stand in the page for lost visitors itself"
    )
    colours: ThemeColours | None = Field(None, description="a table `[colours]`")
    card: CardKeys | None = Field(None, description="a table `[card]`")
    licence: dict[Name, Line] = Field({}, description="a line for each thing that came with a licence")


def read_chain(project: Path, name: str, studio: Source) -> tuple[Path, ...]:
    """Find a theme and those it builds on: their folders, the theme's own first.

    A theme in the project's own ``themes/`` goes before one of its name that comes with the program.
    ``studio`` is the file that names the theme.

    Raises:
        MistakeError: one of them is not there or holds what a theme may not, its ``theme.toml`` is wrong, or they build
            on each other in a ring.
    """
    roots = (project / "themes", _PACKAGED, _REPOSITORY)
    folders: list[Path] = []
    naming_file = studio
    path: tuple[str, ...] = ("studio", "theme")
    key = "studio.theme"
    next_name: str | None = name
    while next_name is not None:
        root = next((root for root in roots if (root / next_name / "theme.toml").is_file()), None)
        if root is None:
            raise MistakeError(
                [_unknown(naming_file, path, f"{key}: there is no theme {next_name!r}", next_name, roots)]
            )
        folder = root / next_name
        if folder in folders:
            raise MistakeError([_ring(naming_file, path, [*(folder.name for folder in folders), next_name])])
        hold_folder(root, folder)
        folders.append(folder)
        naming_file, path, key = read(_shown_from(folder, project), folder / "theme.toml"), ("builds_on",), "builds_on"
        next_name = _keys(naming_file).builds_on
    return tuple(folders)


def lent_keys(folders: tuple[Path, ...]) -> ThemeKeys:
    """Give what a theme says of itself, and for what it leaves out what the nearest one below it says.

    ``folders`` are as ``read_chain`` gives them.

    Raises:
        MistakeError: a file that one of them names is not there.
    """
    sources = [read(folder.parent.parent, folder / "theme.toml") for folder in folders]
    own, *others = (_keys(source) for source in sources)
    missing = [
        _missing(source, path, name)
        for place, (source, keys) in enumerate(zip(sources, (own, *others), strict=True))
        for path, name in _named(keys)
        if not any((folder / name).is_file() for folder in folders[place:])
    ]
    if missing:
        raise MistakeError(missing)
    unset = [name for name in ("inlined_styles", "colours", "card") if getattr(own, name) is None]
    defaults = {
        name: next((value for keys in others if (value := getattr(keys, name)) is not None), None) for name in unset
    }
    return own.model_copy(update=defaults)


def _named(keys: ThemeKeys) -> Iterator[tuple[tuple[str, ...], str]]:
    for name in keys.inlined_styles or ():
        yield ("inlined_styles",), f"assets/{name}"
    if keys.card:
        yield ("card", "name_letters"), keys.card.name_letters
        yield ("card", "studio_letters"), keys.card.studio_letters


def _missing(source: Source, path: tuple[str, ...], name: str) -> Mistake:
    return Mistake(
        place=source.place(key_line(source.text, path)),
        wrong=f"{'.'.join(path)}: there is no file {name}",
        expected="a file of the theme or of one that it builds on",
        mend="put the file there, or correct its name",
        marked=name.removeprefix("assets/") if path == ("inlined_styles",) else name,
    )


def _shown_from(folder: Path, project: Path) -> Path:
    return project if folder.is_relative_to(project) else folder.parent.parent


def _keys(source: Source) -> ThemeKeys:
    return validate(ThemeKeys, read_toml(source), source, lambda path: key_line(source.text, path))


def _unknown(naming_file: Source, path: tuple[str, ...], wrong: str, name: str, roots: tuple[Path, ...]) -> Mistake:
    known = sorted({path.parent.name for root in roots for path in root.glob("*/theme.toml")})
    return Mistake(
        place=naming_file.place(key_line(naming_file.text, path)),
        wrong=wrong,
        expected=f"one of: {', '.join(known)}",
        mend=suggestion(name, known, "correct the name, or put the theme's folder into themes/"),
        marked=name,
    )


def _ring(naming_file: Source, path: tuple[str, ...], names: list[str]) -> Mistake:
    return Mistake(
        place=naming_file.place(key_line(naming_file.text, path)),
        wrong=f"themes build on each other in a ring: {', '.join(names)}",
        expected="a theme that builds on another, which in the end builds on none",
        mend="take builds_on out of one of them",
        marked=names[-1],
    )
