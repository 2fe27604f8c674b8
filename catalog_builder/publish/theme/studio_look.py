"""A theme in the studio's own colours and letters: the table ``[look]`` of ``studio.toml``.

What the studio names must be readable; what follows from it (softer words, lines, the letters of buttons) is chosen so
that it is.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from catalog_builder.mistake import MistakeError, Mistakes
from catalog_builder.publish.theme.contrast import READABLE, contrast, least_contrast, mixed, readable
from catalog_builder.publish.theme.loading import LETTERS, StudioStyle, Theme
from catalog_builder.publish.theme.theme_chain import DARK, LIGHT, SchemeColours, ThemeColours
from catalog_builder.records.reading.file import bytes_of, is_there
from catalog_builder.records.reading.source import Source
from catalog_builder.records.reading.toml import key_line
from catalog_builder.records.studio_tables.look_table import FAMILIES, Look

MOST_LETTERS_BYTES = 300_000
_WHITE, _BLACK = "#ffffff", "#000000"
# How much lighter than the paper a sunlit wall and a pane are, on light paper and on dark.
_TONES_OF_LIGHT, _TONES_OF_DARK = (0.6, 0.4), (0.1, 0.04)


@dataclass(frozen=True, slots=True)
class _Scheme:
    """A colour scheme: the keys of ``[look]`` for it, what the studio gives, and what the theme has."""

    name: str
    prefix: str
    given: dict[str, str]
    theme: SchemeColours

    @property
    def tones(self) -> tuple[str, str, str]:
        """The paper, a sunlit part of it, and a pane: the theme's, or made of the studio's paper."""
        paper = self.given.get("paper")
        if paper is None:
            return self.theme.wall, self.theme.sun, self.theme.pane
        sun, pane = _TONES_OF_LIGHT if contrast(paper, _BLACK) > contrast(paper, _WHITE) else _TONES_OF_DARK
        return paper, mixed(paper, _WHITE, sun), mixed(paper, _WHITE, pane)

    @property
    def behind(self) -> tuple[str, ...]:
        """All that words stand on; a pane also as the darkest or the brightest glass tints it."""
        pane = self.tones[2]
        return (*self.tones, *(mixed(pane, pole, self.theme.tint) for pole in (_BLACK, _WHITE)))

    def check(self, source: Source, mistakes: Mistakes) -> None:
        """Refuse given colours that cannot be read."""
        for name in ("ink", "accent"):
            colour = self.given.get(name)
            if colour is None or least_contrast(colour, self.behind) >= READABLE:
                continue
            worst = min(self.behind, key=lambda paper: contrast(colour, paper))
            key = self.prefix + name
            better = readable(colour, self.behind)
            fits = least_contrast(better, self.behind) >= READABLE
            mistakes.add(
                source.place(key_line(source.text, ("look", key))),
                wrong=f"look.{key}: {colour} is hard to read: its contrast with {worst}, "
                f"which stands behind it, is {contrast(colour, worst):.2f} to 1",
                expected=f"a contrast of {READABLE} to 1 or more (WCAG 2.2, 1.4.3)",
                mend=f"the nearest colour that will do is {better}; or change look.{self.prefix}paper"
                if fits
                else f"change look.{self.prefix}paper: no {name} can be read on it",
                marked=colour,
            )

    def properties(self) -> dict[str, str]:
        """Give the custom properties that differ from the theme's own."""
        properties: dict[str, str] = {}
        paper, ink = self.tones[0], readable(self.given.get("ink", self.theme.ink), self.behind)
        if "paper" in self.given:
            properties |= dict(zip(("wall", "sun", "pane"), self.tones, strict=True)) | {"focus": ink}
        if "paper" in self.given or "ink" in self.given:
            soft = readable(mixed(ink, paper, 0.25), self.behind)
            properties |= {"ink": ink, "soft": soft, "lead": mixed(ink, paper, 0.2), "line": mixed(ink, paper, 0.75)}
        accent = readable(self.given.get("accent", self.theme.accent), self.behind)
        if "accent" in self.given or accent != self.theme.accent:
            on_accent = _WHITE if contrast(accent, _WHITE) >= READABLE else _BLACK
            properties |= {"copper": accent, "on-copper": on_accent}
        return properties


def with_studio_look(theme: Theme, look: Look, project: Path, source: Source) -> Theme:
    """Give a theme with the studio's colours and letters; ``source`` is the file that names them.

    Raises:
        MistakeError: a colour cannot be read on its paper, or the letters are no file that a browser can show.
    """
    schemes = _schemes(look, theme.about.colours)
    mistakes = Mistakes()
    for scheme in schemes:
        scheme.check(source, mistakes)
    letters = mistakes.attempt(_letters, look, project, source)
    mistakes.raise_if_any()
    rules = [_rule(scheme) for scheme in schemes if scheme.properties()]
    if look.typeface:
        rules.append(_typeface_rule(look.typeface))
    if not rules:
        return theme
    by_day, by_night = (scheme.properties() for scheme in schemes)
    about = theme.about
    if about.colours is not None:
        walls = {"wall_by_day": by_day.get("wall"), "wall_by_night": by_night.get("wall")}
        changed = {key: wall for key, wall in walls.items() if wall}
        about = about.model_copy(update={"colours": about.colours.model_copy(update=changed)})
    if about.card is not None:
        changed = {name: by_day[name] for name in ("wall", "ink", "soft", "lead") if name in by_day}
        about = about.model_copy(update={"card": about.card.model_copy(update=changed)})
    style = "\n/* The studio's own look. */\n" + "".join(rules)
    return theme.styled(StudioStyle(style.encode(), letters), about)


def _schemes(look: Look, colours: ThemeColours | None) -> tuple[_Scheme, _Scheme]:
    given = {
        prefix: {name: value for name in ("accent", "ink", "paper") if (value := getattr(look, prefix + name))}
        for prefix in ("", "dark_")
    }
    day = _Scheme("light", "", given[""], colours.day if colours else LIGHT)
    night = _Scheme("dark", "dark_", given["dark_"], colours.night if colours else DARK)
    if look.accent and "accent" not in night.given:
        night.given["accent"] = readable(look.accent, night.behind)
    return day, night


def _rule(scheme: _Scheme) -> str:
    properties = " ".join(f"--{name}: {value};" for name, value in sorted(scheme.properties().items()))
    return f"@media screen and (prefers-color-scheme: {scheme.name}) {{ :root {{ {properties} }} }}\n"


def _typeface_rule(typeface: str) -> str:
    if typeface in FAMILIES:
        return f":root {{ --letters: {typeface}; }}\n"
    # Letters that come late are left for the next page: their widths are not known, and words would jump.
    return (
        f'@font-face {{ font-family: "Studio"; src: url("{LETTERS}") format("woff2"); font-weight: 100 900; '
        f"font-display: optional; }}\n"
        f':root {{ --letters: "Studio", system-ui, sans-serif; }}\n'
    )


def _letters(look: Look, project: Path, source: Source) -> bytes | None:
    """Read the file of letters.

    Its head is that of the WOFF File Format 2.0 (W3C Recommendation), 4.1: the signature, a flavour, the file's own
    length, the number of tables, and at 16 the size of all tables unpacked.
    """
    if look.typeface is None or look.typeface in FAMILIES:
        return None
    if not is_there(project / "content" / look.typeface):
        wrong = f"look.typeface: there is no file content/{look.typeface}"
        raise _refused(source, look.typeface, wrong, "a file beside studio.toml", "put it there, or correct its name")
    data = bytes_of(project, project / "content" / look.typeface, 20 * MOST_LETTERS_BYTES)
    if len(data) > MOST_LETTERS_BYTES:
        wrong = f"content/{look.typeface} has {len(data) / 1000:.0f} kB, which each visitor would have to fetch"
        mend = "cut it down to the letters of your language, or take another"
        raise _refused(source, look.typeface, wrong, f"letters of at most {MOST_LETTERS_BYTES // 1000} kB", mend)
    head = data[:48]
    whole = (
        len(head) == 48
        and head[:4] == b"wOF2"
        and head[4:8] != b"ttcf"
        and int.from_bytes(head[8:12], "big") == len(data)
        and int.from_bytes(head[12:14], "big") > 0
        and int.from_bytes(head[16:20], "big") < 20 * MOST_LETTERS_BYTES
    )
    if not whole:
        wrong = f"content/{look.typeface} is not one whole typeface in the format WOFF 2"
        mend = "take the .woff2 file of one style from the typeface's maker again"
        raise _refused(source, look.typeface, wrong, "a file of letters as browsers load it", mend)
    return data


def _refused(source: Source, name: str, wrong: str, expected: str, mend: str) -> MistakeError:
    place = source.place(key_line(source.text, ("look", "typeface")))
    return MistakeError.at(place, wrong=wrong, expected=expected, mend=mend, marked=name)
