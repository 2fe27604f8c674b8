"""The preview picture of a shared link: pictures of the pieces and a name, on one card."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from io import BytesIO
from pathlib import Path

from PIL import Image, ImageDraw, ImageFont, ImageOps

from catalog_builder.publish.pictures.glass.glass_paint import channels

# What the Open Graph protocol's readers show whole: 1.91 to 1, at twice the size of a preview (common practice, no
# source).
SIZE = (1200, 630)
MOST_PICTURES = 4
_RAIL = 12  # the lead line that everything hangs from
_LEAD = 8  # the lead line between panes
_LEFT = 570  # where the pictures begin
_EDGE = 60
_ROOM = _LEFT - _EDGE - 44
_LARGEST, _SMALLEST, _LINES = 84, 44, 5
_STUDIO_SIZE, _STUDIO_LINES = 32, 3
_NOWHERE = "\U0010fffe"  # a code point that no letter will ever have

# Unicode's general categories of pictographs, controls, private use and what is not assigned.
_NO_LETTERS = ("So", "Cf", "Co", "Cn")

Font = ImageFont.FreeTypeFont


@dataclass(frozen=True, slots=True, kw_only=True)
class CardLook:
    """How a theme sets its cards: files of letters, each with those that stand in for it, and #rrggbb colours."""

    name_letters: tuple[Path, ...]
    studio_letters: tuple[Path, ...]
    wall: str
    lead: str
    ink: str
    soft: str


@dataclass(frozen=True, slots=True)
class Pane:
    """A picture as JPEG, and the point of it, from 0 to 1 across and down, that a crop keeps in view."""

    jpeg: bytes
    focus: tuple[float, float]


def make_card(panes: Sequence[Pane], name: str, studio: str, look: CardLook) -> bytes:
    """Make a JPEG of ``SIZE``: words at the left, up to four pictures at the right.

    Where no font has the name's letters, the pictures fill the card: a row of empty boxes names nothing.
    """
    card = Image.new("RGB", SIZE, _paint(look.wall))
    draw = ImageDraw.Draw(card)
    letters = _letters(look.name_letters, name)
    left = 0 if letters is None else _LEFT
    draw.rectangle((left, 0, SIZE[0], SIZE[1]), _paint(look.lead))
    for pane, box in zip(panes, _boxes(left, min(len(panes), MOST_PICTURES)), strict=False):
        with Image.open(BytesIO(pane.jpeg)) as image:
            size = (box[2] - box[0], box[3] - box[1])
            fitted = ImageOps.fit(image.convert("RGB"), size, Image.Resampling.LANCZOS, centering=pane.focus)
        card.paste(fitted, box[:2])
    draw.rectangle((0, 0, SIZE[0], _RAIL - 1), _paint(look.lead))
    if letters is not None:
        _write(draw, letters, name, studio, look)
    data = BytesIO()
    card.save(data, "JPEG", quality=86, optimize=True)
    return data.getvalue()


def _write(draw: ImageDraw.ImageDraw, letters: Path, name: str, studio: str, look: CardLook) -> None:
    font, lines = _fitted(letters, _printable(name))
    height = round(font.size * 1.06)
    top = SIZE[1] - _EDGE - height * len(lines)
    for index, line in enumerate(lines):
        draw.text((_EDGE, top + index * height), line, _paint(look.ink), font, anchor="la")
    small = _letters(look.studio_letters, studio)
    if small is not None:
        font = _font(small, _STUDIO_SIZE)
        for index, line in enumerate(_cut(_wrapped(font, _printable(studio)), font, _STUDIO_LINES)):
            draw.text((_EDGE, _RAIL + 44 + index * 40), line, _paint(look.soft), font, anchor="la")


def _boxes(left: int, count: int) -> Iterator[tuple[int, int, int, int]]:
    """Give the panes' places: one, two side by side, one tall and two small, or four."""
    x, y, right, bottom = left + (_LEAD if left else 0), _RAIL, SIZE[0], SIZE[1]
    middle, half = (x + right) // 2, (y + bottom) // 2
    lead = _LEAD // 2
    if count == 1:
        yield x, y, right, bottom
    elif count in (2, 3):
        yield x, y, middle - lead, bottom
    else:
        yield x, y, middle - lead, half - lead
        yield x, half + lead, middle - lead, bottom
    if count == 2:
        yield middle + lead, y, right, bottom
    elif count > 2:
        yield middle + lead, y, right, half - lead
        yield middle + lead, half + lead, right, bottom


def _fitted(letters: Path, text: str) -> tuple[Font, list[str]]:
    """Give the largest size at which a text fits, and its lines; at the smallest its end is cut off."""
    for size in range(_LARGEST, _SMALLEST - 1, -4):
        font = _font(letters, size)
        lines = _wrapped(font, text)
        most = min(_LINES, 400 // round(size * 1.06))
        if len(lines) <= most and all(font.getlength(line) <= _ROOM for line in lines):
            return font, lines
    font = _font(letters, _SMALLEST)
    return font, _cut(_wrapped(font, text), font, _LINES)


def _wrapped(font: Font, text: str) -> list[str]:
    lines: list[str] = []
    for word in text.split():
        if lines and font.getlength(f"{lines[-1]} {word}") <= _ROOM:
            lines[-1] = f"{lines[-1]} {word}"
        else:
            lines.append(word)
    return lines


def _cut(lines: Sequence[str], font: Font, most: int) -> list[str]:
    shortened = list(lines[:most])
    if len(lines) > most:
        shortened[-1] += " …"
    for index, line in enumerate(shortened):
        while font.getlength(line) > _ROOM:
            line = line.removesuffix("…").rstrip()[:-1].rstrip() + "…"  # noqa: PLW2901 - it grows shorter
        shortened[index] = line
    return shortened


def _letters(files: Sequence[Path], text: str) -> Path | None:
    """Give the first file of letters that has all of a text's, or none."""
    printable = _printable(text)
    # Letters that join, stack or run from right to left would need a typesetter of their own.
    if not printable or any(
        unicodedata.bidirectional(letter) in ("R", "AL", "AN") or unicodedata.combining(letter) for letter in printable
    ):
        return None
    return next((file for file in files if _has_all(file, printable)), None)


def _has_all(file: Path, text: str) -> bool:
    font = _font(file, _SMALLEST)
    missing = bytes(font.getmask(_NOWHERE))
    return all(bytes(font.getmask(letter)) not in (missing, b"") for letter in set(text) if not letter.isspace())


def _printable(text: str) -> str:
    """Give a text in composed letters, without pictographs and signs that have no shape of their own."""
    composed = unicodedata.normalize("NFC", text)
    kept = (
        letter
        for letter in composed
        if unicodedata.category(letter) not in ("So", "Cf", "Co", "Cn") and letter != "\ufe0f"
    )
    return " ".join("".join(kept).split())


@lru_cache(maxsize=64)
def _font(file: Path, size: int) -> Font:
    # The plain layout is the same on every machine; the other one depends on a library of the system.
    return ImageFont.truetype(BytesIO(file.read_bytes()), size, layout_engine=ImageFont.Layout.BASIC)


def _paint(colour: str) -> tuple[int, int, int]:
    red, green, blue = channels(colour)
    return red, green, blue
