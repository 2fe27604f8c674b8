"""A drawing whose pieces have no glass word: the marks that are printed are pasted as they are, and all is well."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from click.testing import CliRunner

from catalog_builder.cli import main
from tests.studio import BOX, DAY, PANE_RING, project, record

BARE = '<rect width="100" height="60"{0}/><line x1="50" y1="0" x2="50" y2="60"/>' + PANE_RING
TWO = (
    '<path d="M0 0 H50 V60 H0 Z" fill="#33465a" stroke="black"/>'
    '<path d="M50 0 H100 V60 H50 Z" fill="#406050" stroke="black"/>' + PANE_RING
)
VANE = """
```svg vane
<svg xmlns="http://www.w3.org/2000/svg" width="30mm" height="60mm" viewBox="0 0 30 60">
<path d="M0 0 H30 V30 H0 Z"/><path d="M0 30 H30 V60 H0 Z"/>
<line data-mark="join" x1="0" y1="0" x2="0" y2="60"/>
</svg>
```
"""
HALF = """<line data-mark="fold" x1="50" y1="0" x2="50" y2="60"/><path d="M50 0 L90 0 L90 60 L50 60"/>
<line x1="50" y1="0" x2="50" y2="40"/><line x1="50" y1="40" x2="90" y2="40"/>"""
JOINED = '<line data-mark="join" data-part="vane" x1="50" y1="0" x2="50" y2="60"/>'


def printed(folder: Path) -> tuple[int, str]:
    """What `check` ends with and prints as wrong."""
    result = CliRunner().invoke(main, ["check", "--folder", str(folder), "--day", DAY.isoformat()])
    return result.exit_code, result.stderr


def ready(text: str) -> tuple[str, str]:
    """The line that says where the marks go, and the marks."""
    block = re.search(r"^(Ready to paste .*)\n((?: *marks:\n)(?: +.*\n)+)", text, re.MULTILINE)
    assert block is not None, text
    return block[1], block[2]


def pasted(text: str, marks: str, words: list[str], after: str = "glass:\n") -> str:
    """A record with marks put into its header before a line, each blank filled with the next word."""
    for word in words:
        assert "glass: }" in marks
        marks = marks.replace("glass: }", f"glass: {word}}}", 1)
    assert "glass: }" not in marks
    assert text.count(f"\n{after}") == 1
    return text.replace(f"\n{after}", f"\n{marks}{after}")


def write(folder: Path, text: str) -> None:
    """Write the record of the only product."""
    (folder / "content/products/pane/product.md").write_text(text, encoding="utf-8")


@pytest.mark.parametrize(
    ("drawing", "numbers", "words"),
    [
        (BARE.format(""), ["1", "2"], ["left", "right"]),
        (TWO.replace(' fill="#33465a"', "").replace(' fill="#406050"', ""), ["1", "2"], ["left", "right"]),
        (BARE.format("") + '<text x="70" y="20">9</text>', ["1", "9"], ["right", "left"]),
        (BARE.format("") + '<text x="70" y="20" data-glass="left">9</text>', ["1"], ["right"]),
        (HALF, ["1", "2"], ["left", "right"]),
    ],
    ids=["lines", "outlines", "a number", "a word", "half"],
)
def test_what_is_printed_is_pasted_as_it_is(tmp_path: Path, drawing: str, numbers: list[str], words: list[str]) -> None:
    """The block has each piece that lacks a word; with the blanks filled in, the record is in order."""
    text = record(drawing)
    code, wrong = printed(project(tmp_path, {"pane": text}))
    where, marks = ready(wrong)
    assert code == 1
    assert where == (
        "Ready to paste into the header of content/products/pane/product.md; "
        "after each `glass:` write one of: left, right"
    )
    assert re.findall(r"number: (\w+),", marks) == numbers
    write(tmp_path, pasted(text, marks, words))
    assert printed(tmp_path) == (0, "")


def test_a_fill_says_the_word(tmp_path: Path) -> None:
    """A fill like slate (#334455) is the word that stands for slate, one like reed (#446655) that for reed."""
    text = record(TWO)
    where, marks = ready(printed(project(tmp_path, {"pane": text}))[1])
    assert "after each" not in where
    assert re.findall(r"glass: (\w+)", marks) == ["right", "left"]
    write(tmp_path, pasted(text, marks, []))
    assert printed(tmp_path) == (0, "")


def test_a_single_word_needs_no_choosing(tmp_path: Path) -> None:
    """Where the record knows one word only, that is written."""
    text = record(BARE.format(""), glass="{all: reed}")
    marks = ready(printed(project(tmp_path, {"pane": text}))[1])[1]
    assert re.findall(r"glass: (\w+)", marks) == ["all", "all"]
    write(tmp_path, pasted(text, marks, []))
    assert printed(tmp_path) == (0, "")


def test_marks_that_are_there_are_kept(tmp_path: Path) -> None:
    """The block has what the record marks already, to be put in its place: nothing of it is typed again."""
    own = "marks: {rings: [[50, 0]], pieces: [{at: [20, 20], number: 7, grain: 30}]}\n"
    text = record(BARE.format("").replace(PANE_RING, ""), keys=own.strip())
    where, marks = ready(printed(project(tmp_path, {"pane": text}))[1])
    line = text.splitlines().index(own.strip()) + 1
    assert f", in place of `marks:` on line {line} and all that stands under it; after" in where
    assert "    - [50, 0]\n" in marks
    assert "    - {at: [20, 20], number: 7, glass: , grain: 30}\n" in marks
    filled = marks.replace("glass: ,", "glass: left,")
    write(tmp_path, pasted(text.replace(own, ""), filled, ["right"]))
    assert printed(tmp_path) == (0, "")


def test_a_blank_that_was_pasted_stays_where_it_is(tmp_path: Path) -> None:
    """Pasted without its words, the block comes again, and each piece stands in it once."""
    text = record(BARE.format(""))
    first = ready(printed(project(tmp_path, {"pane": text}))[1])[1]
    write(tmp_path, text.replace("\nglass:\n", f"\n{first}glass:\n"))
    code, wrong = printed(tmp_path)
    assert (code, ready(wrong)[1]) == (1, first)


def test_marks_of_a_part_go_under_the_part(tmp_path: Path) -> None:
    """The block of a part is indented as the keys of the part are."""
    pane = '<rect width="50" height="60" data-glass="left"/><rect x="50" width="50" height="60" data-glass="right"/>'
    text = record(pane + PANE_RING + JOINED, keys="parts:\n    vane:\n        set_at: 90") + VANE
    where, marks = ready(printed(project(tmp_path, {"pane": text}))[1])
    assert ", under `vane:` of `parts:`; after" in where
    write(tmp_path, pasted(text, marks, ["left", "left"], after="        set_at: 90\n"))
    assert printed(tmp_path) == (0, "")


def test_pieces_without_a_word_are_one_mistake(tmp_path: Path) -> None:
    """All are named in one message, the first with its place; a drawing of many does not fill the screen."""
    cells = "".join(f'<rect x="{10 * n}" width="10" height="60"/>' for n in range(30))
    drawing = f'{cells}<circle data-mark="ring" cx="150" cy="0" r="1"/>'
    box = BOX.replace("100mm", "300mm").replace("100 60", "300 60")
    _, wrong = printed(project(tmp_path, {"pane": record(drawing, box=box)}))
    names = ", ".join(str(number) for number in range(1, 25))
    message = f"30 pieces have no glass word: {names} and 6 more; the first is 1, at x 5.0 mm, y 30.0 mm of the drawing"
    assert message in wrong
    assert wrong.endswith("1 mistake in 1 file. Nothing was published.\n")
