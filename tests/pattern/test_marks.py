"""The pictures of the marks are drawings themselves, and read as what they show."""

from __future__ import annotations

from pathlib import Path

import pytest

from catalog_builder.pattern.pieces import Fitting, Pattern, read_pieces
from catalog_builder.pattern.svg.drawing import read_drawing
from catalog_builder.pattern.svg.mark import KINDS
from catalog_builder.records.reading.source import Source

PICTURES = Path(__file__).parents[2] / ".pictures" / "marks"


def pictured(name: str) -> Pattern:
    """Read a picture of the reference as a pattern."""
    text = (PICTURES / f"{name}.svg").read_text(encoding="utf-8")
    return read_pieces(read_drawing(Source(f"{name}.svg", text)), 1.0, Fitting(0.01, 0.3, 0.8), None)


def test_every_mark_has_a_picture() -> None:
    """The reference shows a picture for each mark, and for nothing else."""
    assert {path.stem for path in PICTURES.glob("*.svg")} == KINDS


@pytest.mark.parametrize(
    ("name", "pieces", "wires", "rings"),
    [
        ("outline", 2, 0, 0),
        ("line", 4, 0, 0),
        ("fold", 2, 0, 0),
        ("label", 2, 0, 0),
        ("grain", 1, 0, 0),
        ("ring", 2, 0, 1),
        ("wire", 2, 2, 0),
        ("open", 4, 0, 0),
        ("join", 2, 0, 0),
        ("none", 1, 0, 0),
    ],
)
def test_a_picture_reads_as_what_it_shows(name: str, pieces: int, wires: int, rings: int) -> None:
    """A picture of the reference, read by the program, holds the pieces, wires and rings that it shows."""
    pattern = pictured(name)
    assert (len(pattern.pieces), len(pattern.wires), len(pattern.rings)) == (pieces, wires, rings)


def test_a_label_gives_number_and_glass_word() -> None:
    """The label's text is the piece's number, its attribute the glass word."""
    assert [(piece.number, piece.glass) for piece in pictured("label").pieces] == [("1", "shell"), ("2", "band")]


def test_a_grain_arrow_gives_its_direction() -> None:
    """An arrow up and to the right by 22 and 19 is a grain of 40.8 degrees."""
    assert pictured("grain").pieces[0].grain == pytest.approx(40.815, abs=0.01)
