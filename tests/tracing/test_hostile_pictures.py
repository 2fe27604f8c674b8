"""Pictures that no phone makes: each ends in the drawing that it shows, or in words."""

from __future__ import annotations

import struct
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from PIL import Image

from catalog_builder.mistake import MistakeError
from catalog_builder.tracing.trace_options import read_trace_options
from catalog_builder.tracing.traced_drawing import MOST_FIELDS, drawing_of
from tests.tracing.paper_sheets import Line, rectangle, sheet

WINDOW: list[Line] = [rectangle(20, 20, 80, 100), [(20, 60), (80, 60)]]
GREY = Image.fromarray(sheet(WINDOW))
CLEAR = Image.fromarray(255 - np.asarray(GREY))
BLACK = Image.new("L", GREY.size, 0)
WHITE = Image.new("L", GREY.size, 255)


def fields(path: Path) -> int:
    """Trace a picture of ten pixels for each mm, and count its fields."""
    return len(drawing_of(path, read_trace_options(dpi=254)).fields)


def saved(picture: Image.Image, path: Path, **more: Any) -> Path:
    """Keep a picture in a file."""
    picture.save(path, **more)
    return path


Saver = Callable[[Path], Path]
SHOWN: dict[str, Saver] = {
    "sixteen bits": lambda folder: saved(
        Image.fromarray(np.asarray(GREY).astype(np.uint16) * 257), folder / "deep.png"
    ),
    "one bit": lambda folder: saved(GREY.convert("1"), folder / "bit.png"),
    "a palette": lambda folder: saved(GREY.quantize(16), folder / "palette.png"),
    "ink on nothing": lambda folder: saved(Image.merge("LA", (BLACK, CLEAR)), folder / "clear.png"),
    "ink on nothing, in colour": lambda folder: saved(
        Image.merge("RGBA", (BLACK, BLACK, BLACK, CLEAR)), folder / "clear.webp", lossless=True
    ),
    "inks of a press": lambda folder: saved(GREY.convert("RGB").convert("CMYK"), folder / "press.jpg"),
    "a film of pictures": lambda folder: saved(GREY, folder / "film.webp", save_all=True, append_images=[BLACK]),
    "a film in PNG": lambda folder: saved(GREY, folder / "film.png", save_all=True, append_images=[BLACK]),
    "a name of another kind": lambda folder: saved(GREY, folder / "named.jpg", format="PNG"),
}


@pytest.mark.parametrize("kind", SHOWN)
def test_a_drawing_is_seen_however_it_was_kept(kind: str, tmp_path: Path) -> None:
    """The window has two fields in every kind of file; of a film the first picture counts."""
    assert fields(SHOWN[kind](tmp_path)) == 2


def grid(step: int) -> Image.Image:
    """Black squares of five pixels' line on white, so many pixels wide."""
    squares = np.full((1700, 1700), 255, dtype=np.uint8)
    for wide in range(5):
        squares[40 + wide : 1660 : step] = 0
        squares[:, 40 + wide : 1660 : step] = 0
    squares[:40] = squares[:, :40] = 255
    return Image.fromarray(squares)


def cut(path: Path, share: float) -> Path:
    """Cut a file off."""
    data = path.read_bytes()
    path.write_bytes(data[: int(len(data) * share)])
    return path


def said_larger(path: Path) -> Path:
    """Let the head of a JPEG say 60000 by 60000 pixels (ITU-T T.81, B.2.2: height and width of the frame)."""
    data = bytearray(path.read_bytes())
    frame = data.index(b"\xff\xc0")
    data[frame + 5 : frame + 9] = struct.pack(">HH", 60_000, 60_000)
    path.write_bytes(bytes(data))
    return path


def noise(size: tuple[int, int]) -> Image.Image:
    """Grains without any drawing."""
    return Image.fromarray(np.random.default_rng(1).integers(0, 256, size, dtype=np.uint8))


REFUSED: dict[str, tuple[Saver, str]] = {
    "white": (lambda folder: saved(WHITE, folder / "a.png"), "no lines were found on the sheet"),
    "black": (lambda folder: saved(BLACK, folder / "a.png"), "% of the sheet is dark"),
    "all clear": (
        lambda folder: saved(Image.new("RGBA", GREY.size, (0, 0, 0, 0)), folder / "a.png"),
        "no lines were found on the sheet",
    ),
    "noise": (lambda folder: saved(noise((900, 700)), folder / "a.png"), "% of the sheet is dark"),
    "squares as dark as ink": (lambda folder: saved(grid(60), folder / "a.png"), "the lines enclose"),
    "a strip without end": (
        lambda folder: saved(Image.new("L", (300, 90_000), 255), folder / "a.png"),
        "no lines were found on the sheet",
    ),
    "another kind": (lambda folder: saved(GREY, folder / "a.gif"), "it is not a JPEG, PNG, WebP or HEIC picture"),
    "cut PNG": (lambda folder: cut(saved(GREY, folder / "a.png"), 0.5), "it is damaged or cut short"),
    "cut WebP": (
        lambda folder: cut(saved(GREY, folder / "a.webp"), 0.5),
        "it is not a JPEG, PNG, WebP or HEIC picture",
    ),
    "cut JPEG": (lambda folder: cut(saved(GREY, folder / "a.jpg"), 0.5), "it is damaged or cut short"),
    "a head that lies": (
        lambda folder: said_larger(saved(GREY, folder / "a.jpg")),
        "it has 60000 x 60000 pixels, more than 80 million",
    ),
}


@pytest.mark.parametrize("kind", REFUSED)
def test_what_shows_no_drawing_is_told(kind: str, tmp_path: Path) -> None:
    """The message names what is wrong, what was expected and how to mend it."""
    save, wrong = REFUSED[kind]
    with pytest.raises(MistakeError) as told:
        fields(save(tmp_path))
    (mistake,) = told.value.mistakes
    assert wrong in mistake.wrong
    assert mistake.expected
    assert mistake.mend


def test_a_drawing_of_many_pieces_is_traced(tmp_path: Path) -> None:
    """A lattice of 64 panes is a drawing, far below what is refused."""
    assert fields(saved(grid(200), tmp_path / "lattice.png")) == 64 < MOST_FIELDS
