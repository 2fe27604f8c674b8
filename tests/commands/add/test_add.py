"""`add` lays out a product from a drawing: what it writes is known, passes `check`, and replaces nothing."""

from __future__ import annotations

import errno
import os
import re
import shutil
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from catalog_builder.cli import main
from catalog_builder.commands.begin import lay_out
from catalog_builder.records.product import Product, read_product
from tests.commands.add.drawings import FILLS, NAMES, chance_drawing

DAY = ("--day", "2027-01-04")
CHANCE = 14
# Four panes about a point off the middle, 60 x 80 mm: no straight line of seams runs from rim to rim.
PANES = (
    "M0 0 L30 0 L24 42 L0 36 Z",
    "M30 0 L60 0 L60 38 L24 42 Z",
    "M0 36 L24 42 L33 80 L0 80 Z",
    "M24 42 L60 38 L60 80 L33 80 Z",
)
SIZE = 'width="60mm" height="80mm" viewBox="0 0 60 80"'
RING = '<circle data-mark="ring" cx="30" cy="0" r="2"/>'


@pytest.fixture
def studio(tmp_path: Path) -> Path:
    """The example of `begin`."""
    folder = tmp_path / "studio"
    lay_out(folder)
    return folder


def panes(*attributes: str, size: str = SIZE, more: str = RING) -> str:
    """A drawing of the four panes, each with attributes of its own."""
    own = attributes or ('fill="none" stroke="black"',) * 4
    shapes = "".join(f'<path {each} d="{path}"/>' for path, each in zip(PANES, own, strict=True))
    return f"<svg {NAMES} {size}>{shapes}{more}</svg>"


def add(studio: Path, name: str, text: str, *options: str) -> Result:
    """Add a product from a drawing's text."""
    drawing = studio.parent / "drawn.svg"
    drawing.write_text(text, encoding="utf-8")
    return CliRunner().invoke(main, ["add", name, str(drawing), "--folder", str(studio), *DAY, *options])


def check(studio: Path) -> Result:
    """Check a studio."""
    return CliRunner().invoke(main, ["check", "--folder", str(studio), *DAY])


def product(studio: Path, name: str) -> Product:
    """A product as its record is read."""
    return read_product(studio, studio / "content" / "products" / name)


def glass_of(studio: Path, name: str) -> dict[str, str]:
    """The glass of each word of a product."""
    (choice,) = product(studio, name).keys.glass.values()
    return choice.pieces


def names_under(folder: Path) -> set[str]:
    """The paths of everything in a folder, hidden names included."""
    return {path.relative_to(folder).as_posix() for path in folder.rglob("*")}


def test_the_record_has_what_a_record_needs(studio: Path) -> None:
    """Title by the name, series and finishes of the studio, the width of the drawing, the day, the drawing."""
    result = add(studio, "four-winds", panes())
    assert (result.exit_code, result.stderr) == (0, "")
    added = product(studio, "four-winds")
    keys = added.keys
    assert (keys.title, keys.series, keys.finishes) == ("Four winds", "leaves", ("black", "copper"))
    assert (keys.width, str(keys.added), keys.pattern) == (60.0, "2027-01-04", "four-winds.svg")
    assert keys.summary == "4 pieces of glass in copper foil, soldered by hand."
    assert added.drawing.text == panes()
    assert [(piece.number, piece.glass) for piece in keys.marks.pieces] == [(str(n), "glass") for n in range(1, 5)]
    assert check(studio).stdout == "In order. Products: 3, variants: 11.\n"


def test_fills_get_the_glass_that_is_nearest(studio: Path) -> None:
    """Two panes of a blue, one of an amber and one of a green: three words, and the glasses of those colours."""
    fills = "#2c519b", "#d6952e", "#2d693b", "rgb(44, 81, 155)"
    result = add(studio, "four-winds", panes(*(f'style="fill:{fill}"' for fill in fills)))
    assert glass_of(studio, "four-winds") == {"blue": "blue-clear", "orange": "amber-clear", "green": "green-clear"}
    words = [piece.glass for piece in product(studio, "four-winds").keys.marks.pieces]
    assert words == ["blue", "orange", "green", "blue"]
    assert "Glass by the fills of the drawing, each with the nearest in colour" in result.stdout
    assert "  blue: blue-clear, 2 pieces; fill #2c519b, glass #2a4f9e, 0.01 apart\n" in result.stdout
    assert "not near" not in result.stdout


def test_a_fill_that_no_glass_comes_near_is_told(studio: Path) -> None:
    """There is no pink among greens, amber and blue: the nearest is taken, and said to be far."""
    result = add(studio, "four-winds", panes('fill="hotpink"', *['fill="#2c519b"'] * 3))
    (line,) = [line for line in result.stdout.splitlines() if line.startswith("  pink: ")]
    assert line.endswith("apart; not near: choose or buy another")


@pytest.mark.parametrize(
    ("attributes", "reason", "words"),
    [
        (("fill='#2c519b'", "fill='#2c519c'", "fill='teal'", ""), "fills", ["blue", "blue-2", "turquoise", "rest"]),
        (
            ('data-glass="a b"', 'data-glass="c"', 'data-glass="c"', 'fill="none" stroke="red"'),
            "own glass words",
            ["a b", "c", "c", "rest"],
        ),
        (("",) * 4, "no fills, layers or groups", ["glass"] * 4),
        (('fill="white"',) * 4, "no fills, layers or groups", ["glass"] * 4),
    ],
    ids=["fills", "words", "plain", "one fill"],
)
def test_pieces_are_told_apart_by_what_the_drawing_has(
    studio: Path, attributes: tuple[str, ...], reason: str, words: list[str]
) -> None:
    """Its own glass words first, then its fills; two fills of one name are two words; one fill for all is none."""
    result = add(studio, "four-winds", panes(*attributes))
    assert reason in result.stdout
    assert [piece.glass for piece in product(studio, "four-winds").keys.marks.pieces] == words


@pytest.mark.parametrize(
    ("groups", "words"),
    [
        (('inkscape:groupmode="layer" inkscape:label="Sea &amp; Sky" id="l1"', 'inkscape:groupmode="layer" id="l2"'),
         ["sea-sky", "l2"]),
        (('id="amber-clear"', 'id="Two"'), ["amber-clear", "two"]),
        (('id="one"', 'inkscape:label="!"'), ["one", "rest"]),
    ],
    ids=["layers", "groups", "no letters"],
)  # fmt: skip
def test_layers_and_groups_are_words(studio: Path, groups: tuple[str, str], words: list[str]) -> None:
    """Each layer is a word with a glass of its own; a group that is called like a glass gets that glass."""
    shapes = [f'<path fill="none" stroke="black" d="{path}"/>' for path in PANES]
    body = f'<g id="all"><g {groups[0]}>{"".join(shapes[:2])}</g><g {groups[1]}>{"".join(shapes[2:])}</g></g>'
    add(studio, "four-winds", f"<svg {NAMES} {SIZE}>{body}{RING}</svg>")
    pieces = product(studio, "four-winds").keys.marks.pieces
    assert [piece.glass for piece in pieces] == [words[0], words[0], words[1], words[1]]
    glass = glass_of(studio, "four-winds")
    assert len(set(glass.values())) == 2
    assert glass.get("amber-clear", "amber-clear") == "amber-clear"


@pytest.mark.parametrize(
    ("size", "options", "width"),
    [
        ('width="60mm" height="80mm" viewBox="0 0 60 80"', (), 60.0),
        ('width="6in" height="8in" viewBox="0 0 60 80"', (), 152.4),
        ('width="240" height="320" viewBox="0 0 60 80"', (), 63.5),
        ('viewBox="0 0 60 80"', ("--width", "9.5 cm"), 95.0),
        ('width="60mm" height="80mm" viewBox="0 0 60 80"', ("--width", "4in"), 101.6),
        ('width="100%" height="100%" viewBox="0 0 60 80"', ("--width", "120mm"), 120.0),
    ],
)
def test_the_width_is_that_of_the_drawing_or_as_asked(
    studio: Path, size: str, options: tuple[str, ...], width: float
) -> None:
    """Millimetres, inches and pixels of 1/96 inch (CSS Values 3, 5.2) count; --width goes before them."""
    result = add(studio, "four-winds", panes(size=size), *options)
    assert result.exit_code == 0
    assert product(studio, "four-winds").keys.width == width
    assert f"4 pieces, {width:g} mm wide, {'as you ask' if options else 'as the drawing says'}.\n" in result.stdout


def test_of_a_half_only_what_is_drawn_has_marks(studio: Path) -> None:
    """Three fields beside the fold line, one of them across it: three marks for five pieces."""
    half = """<line data-mark="fold" x1="35" y1="0" x2="35" y2="110"/><g fill="none" stroke="black">
    <path d="M35 5 C48 12 60 24 62 40 C64 54 60 66 54 78 C49 88 42 97 35 105"/><line x1="35" y1="5" x2="35" y2="52"/>
    <line x1="35" y1="88" x2="35" y2="105"/><path d="M35 52 C44 50 54 46 62 40"/>
    <path d="M35 88 C42 86 49 83 54 78"/></g>"""
    result = add(studio, "leaf", f'<svg {NAMES} width="70mm" height="110mm" viewBox="0 0 70 110">{half}</svg>')
    pieces = product(studio, "leaf").keys.marks.pieces
    assert [piece.number for piece in pieces] == ["1", "2", "3"]
    assert all(piece.at[0] >= 35 for piece in pieces)
    assert "Leaf: 5 pieces, " in result.stdout
    assert check(studio).exit_code == 0


@pytest.mark.parametrize(
    ("name", "message", "mend"),
    [
        ("Four Winds", "the folder's name 'Four Winds' cannot be used in addresses", "`four-winds`"),
        ("Überfahrt!", "cannot be used in addresses", "`uberfahrt`"),
        ("../out", "cannot be used in addresses", "`out`"),
        ("--", "cannot be used in addresses", "`sea-holly`"),
        ("a" * 51, "the folder's name has 51 characters", f"`{'a' * 50}`"),
        ("rowan-leaf", "there is a product of that name already", "choose another name"),
    ],
)
def test_a_name_is_checked_as_those_of_records_are(studio: Path, name: str, message: str, mend: str) -> None:
    """A name that a record could not have, or that is taken, changes nothing, and one that would do is proposed."""
    before = names_under(studio)
    (studio.parent / "drawn.svg").write_text(panes(), encoding="utf-8")
    command = ["add", "--folder", str(studio), *DAY, "--", name, str(studio.parent / "drawn.svg")]
    result = CliRunner().invoke(main, command)
    assert result.exit_code == 1
    assert message in result.stderr
    assert mend in result.stderr
    assert result.stderr.endswith("1 mistake in 1 file. Nothing was changed.\n")
    assert names_under(studio) == before


@pytest.mark.parametrize(
    ("text", "options", "message"),
    [
        (panes(size='viewBox="0 0 60 80"'), (), "the drawing does not say how large it is"),
        (panes(), ("--width", "12,5"), "--width: '12,5' is no"),
        ("a photo?", (), "not well-formed"),
        (panes(), ("--paper", "a4"), "--paper is for a photo or a scan"),
        (panes(), ("--half", "left"), "--half is for a photo or a scan"),
        (f"<svg {NAMES} {SIZE}></svg>", (), "the drawing encloses no glass"),
        (panes(more='<circle data-mark="ring" cx="10" cy="0" r="2"/>'), (), "hangs on the foil of one piece alone"),
        (panes(more='<path fill="none" stroke="black" d="M70 0 H90 V20 H70 Z"/>'), (), "shares no edge with the rest"),
    ],
    ids=["no size", "width", "no svg", "paper", "half", "empty", "ring", "loose"],
)
def test_what_cannot_be_a_product_is_told(studio: Path, text: str, options: tuple[str, ...], message: str) -> None:
    """A drawing without a size, or of which no piece can be made, is told by the maker's own file."""
    before = names_under(studio / "content")
    result = add(studio, "four-winds", text, *options)
    assert result.exit_code == 1
    assert message in result.stderr
    assert result.stderr.endswith("Nothing was changed.\n")
    if not options:
        assert result.stderr.startswith(str(studio.parent / "drawn.svg"))
    assert names_under(studio / "content") == before


def test_a_file_that_is_not_there_is_told(studio: Path) -> None:
    """The path is named as it was typed."""
    result = CliRunner().invoke(main, ["add", "four-winds", "nowhere/x.svg", "--folder", str(studio), *DAY])
    assert result.exit_code == 1
    assert result.stderr.startswith("nowhere/x.svg: there is no such file\n")


def test_a_pipe_and_a_folder_are_not_read(studio: Path) -> None:
    """What has no end, or is no file, is refused at once."""
    os.mkfifo(studio.parent / "pipe.png")
    for path, message in ((studio.parent / "pipe.png", "this is a pipe or a device"), (studio, "this is a folder")):
        result = CliRunner().invoke(main, ["add", "four-winds", str(path), "--folder", str(studio), *DAY])
        assert result.exit_code == 1
        assert result.stderr.startswith(f"{path}: {message}")


def test_a_gap_in_the_drawing_is_ringed_in_a_picture(studio: Path) -> None:
    """A line that ends in the open is told with its place in the maker's file, and shown."""
    line = '<path fill="none" stroke="black" d="M12 0 L12 20"/>'
    result = add(studio, "four-winds", panes(more=line + RING))
    assert "the end of a line meets no other line" in result.stderr
    assert "The places are ringed in site_output/bench/faults/four-winds.svg\n" in result.stderr
    picture = (studio / "site_output/bench/faults/four-winds.svg").read_text(encoding="utf-8")
    assert re.findall(r"<circle cx='([\d.]+)' cy='([\d.]+)'", picture) == [("12.00", "20.00")]


@pytest.mark.parametrize("number", [errno.EACCES, errno.ENOSPC])
@pytest.mark.parametrize("file", [1, 2])
def test_a_disk_that_fails_leaves_nothing(
    studio: Path, monkeypatch: pytest.MonkeyPatch, number: int, file: int
) -> None:
    """Whole or not at all: whichever file cannot be written, the studio is as it was, and a second try works."""
    before, write, count = names_under(studio / "content"), Path.write_bytes, iter(range(1, 100))

    def failing(path: Path, data: bytes) -> int:
        if path.is_relative_to(studio) and next(count) >= file:
            raise OSError(number, os.strerror(number), str(path))
        return write(path, data)

    with monkeypatch.context() as patched:
        patched.setattr(Path, "write_bytes", failing)
        result = add(studio, "four-winds", panes())
    assert (result.exit_code, "the product cannot be laid out there" in result.stderr) == (1, True)
    assert names_under(studio / "content") == before
    assert add(studio, "four-winds", panes()).exit_code == 0


def test_other_records_may_be_missing_or_broken(studio: Path) -> None:
    """The first product needs no other; one that is being mended keeps nobody from adding a second."""
    products = studio / "content" / "products"
    products.rename(studio.parent / "away")
    assert add(studio, "four-winds", panes()).exit_code == 0
    assert check(studio).stdout == "In order. Products: 1, variants: 2.\n"
    (products / "broken").mkdir()
    (products / "broken" / "product.md").write_text("no header", encoding="utf-8")
    assert add(studio, "five-winds", panes()).exit_code == 0


def test_a_title_that_is_taken_gets_a_number(studio: Path) -> None:
    """Another product may have the title already, under another name of its folder."""
    record = studio / "content/products/rowan-leaf/product.md"
    text = record.read_text(encoding="utf-8")
    record.write_text(text.replace("title: Rowan leaf", "title: FOUR winds"), encoding="utf-8")
    add(studio, "four-winds", panes())
    assert product(studio, "four-winds").keys.title == "Four winds 2"
    assert check(studio).exit_code == 0


def test_the_summary_is_in_the_studios_language(studio: Path) -> None:
    """What buyers read is worded by the theme's labels."""
    path = studio / "content/studio.toml"
    path.write_text(path.read_text(encoding="utf-8").replace('"en-GB"', '"de-DE"'), encoding="utf-8")
    add(studio, "vier-winde", panes())
    assert product(studio, "vier-winde").keys.summary == "4 Glasteile in Kupferfolie, von Hand verlötet."


def test_a_glass_without_a_price_is_not_taken(studio: Path) -> None:
    """A glass that comes to the shop later cannot be priced today: the next nearest is taken."""
    path = studio / "content/material_prices.csv"
    text = path.read_text(encoding="utf-8")
    path.write_text(text.replace("green-clear,2026-01-01", "green-clear,2027-02-01"), encoding="utf-8")
    for name in ("rowan-leaf", "quartered-pennant"):
        shutil.rmtree(studio / "content/products" / name)
    add(studio, "four-winds", panes(*['fill="#2d693b"'] * 2, *['fill="#2c519b"'] * 2))
    assert glass_of(studio, "four-winds") == {"green": "green-streaky", "blue": "blue-clear"}
    assert check(studio).exit_code == 0


def rings_of(studio: Path, name: str) -> tuple[tuple[float, float], ...]:
    """The rings that a record marks."""
    return product(studio, name).keys.marks.rings


def test_a_drawing_without_a_ring_gets_the_best_place(studio: Path) -> None:
    """Two panes of one glass hang level where their seam meets the upper rim, and the record says so."""
    pane = '<path fill="none" stroke="black" d="M{0} 0 H{1} V60 H{0} Z"/>'
    result = add(studio, "pair", f"<svg {NAMES} {SIZE}>{pane.format(0, 30)}{pane.format(30, 60)}</svg>")
    assert rings_of(studio, "pair") == ((30.0, 0.0),)
    assert "Ring, written into product.md: x 30, y 0, where a seam meets the rim; it hangs level, with" in result.stdout
    assert "H06" not in check(studio).stdout


def test_where_no_seam_serves_a_wire_along_the_rim_does(studio: Path) -> None:
    """One round piece has no seam: its ring hangs on a wire along the rim, straight above the middle."""
    result = add(studio, "moon", f'<svg {NAMES} {SIZE}><circle cx="30" cy="40" r="25" fill="#2c519b"/></svg>')
    added = product(studio, "moon").keys
    assert str(added.hang.by) == "loop"
    ((x, y),) = rings_of(studio, "moon")
    assert x == pytest.approx(30, abs=0.3)
    assert y == pytest.approx(15, abs=0.3)
    assert "on a wire along the rim; it hangs level" in result.stdout
    assert check(studio).exit_code == 0


def test_another_proposal_can_be_pasted(studio: Path) -> None:
    """Two rings at the shoulders of a leaf: the lines that are printed go in place of those that were written."""
    fields = "".join(
        f'<path fill="none" stroke="black" d="{path}"/>'
        for path in ("M10 20 L30 0 L30 40 Z", "M30 0 L50 20 L30 40 Z", "M10 20 L30 40 L50 20 L30 80 Z")
    )
    result = add(studio, "kite", f"<svg {NAMES} {SIZE}>{fields}</svg>")
    lines = result.stdout.splitlines()
    begin = next(number for number, line in enumerate(lines) if line.startswith("  For that, write this in its place"))
    assert lines[begin - 1].startswith("  Or two rings: x 10, y 20 and x 50, y 20, ")
    assert lines[begin + 1 : begin + 4] == ["    rings:", "      - [10, 20]", "      - [50, 20]"]
    record = studio / "content/products/kite/product.md"
    text = record.read_text(encoding="utf-8")
    assert text.count("  rings:\n    - [30, 0]\n") == 1
    block = "".join(f"{line[2:]}\n" for line in lines[begin + 1 : begin + 4])
    record.write_text(text.replace("  rings:\n    - [30, 0]\n", block), encoding="utf-8")
    assert check(studio).exit_code == 0
    assert rings_of(studio, "kite") == ((10.0, 20.0), (50.0, 20.0))


def test_a_ring_of_the_drawing_stays(studio: Path) -> None:
    """What the drawing marks is not marked again."""
    result = add(studio, "four-winds", panes())
    assert "Rings: as the drawing marks them.\n" in result.stdout
    assert rings_of(studio, "four-winds") == ()


SCAN = "content/products/rowan-leaf/on_paper.png"


def test_a_scan_is_traced_and_laid_out(studio: Path) -> None:
    """Half a leaf on paper: the pieces, the width and the numbers are those of the record that it was drawn from.

    The leaf is 55.04 mm wide; its middle piece lies across the fold.
    """
    command = ["add", "leaf", str(studio / SCAN), "--half", "right", "--folder", str(studio), *DAY]
    result = CliRunner().invoke(main, command)
    assert (result.exit_code, result.stderr) == (0, "")
    said = re.search(r"Leaf: 5 pieces, ([\d.]+) mm wide, by the scale of the picture\.", result.stdout)
    assert said is not None
    assert float(said[1]) == pytest.approx(55.04, abs=0.1)
    folder = studio / "content/products/leaf"
    assert sorted(path.name for path in folder.iterdir()) == ["leaf-traced.png", "leaf.svg", "product.md"]
    assert (folder / "leaf-traced.png").read_bytes().startswith(b"\x89PNG")
    keys = product(studio, "leaf").keys
    assert [piece.number for piece in keys.marks.pieces] == ["1", "2", "3"]
    ((ring_x, _),) = keys.marks.rings
    assert all(piece.at[0] > ring_x for piece in keys.marks.pieces)
    assert check(studio).exit_code == 0


def test_a_scan_that_makes_no_product_says_what_to_do(studio: Path) -> None:
    """Half a leaf taken for the whole: a field is loose, nothing is written, and one picture shows it."""
    before = names_under(studio / "content")
    result = CliRunner().invoke(main, ["add", "leaf", str(studio / SCAN), "--folder", str(studio), *DAY])
    assert result.exit_code == 1
    assert "shares no edge with the rest" in result.stderr
    assert f"To mend its lines by hand: catalog-builder trace {studio / SCAN}, then add the SVG\n" in result.stderr
    assert result.stderr.count("The places are ringed in ") == 1
    assert names_under(studio / "content") == before


@pytest.mark.parametrize(
    ("options", "message"),
    [
        (("--paper", "a44"), "--paper: 'a44' is no"),
        (("--half", "lefthand"), "--half: 'lefthand' is no"),
        (("--dpi", "many"), "--dpi: 'many' is no"),
    ],
)
def test_the_options_of_trace_are_read_as_there(studio: Path, options: tuple[str, str], message: str) -> None:
    """A wrong option is told by its name."""
    result = CliRunner().invoke(main, ["add", "leaf", str(studio / SCAN), "--folder", str(studio), *DAY, *options])
    assert result.exit_code == 1
    assert message in result.stderr


def added_by_chance(studio: Path, seeds: range) -> None:
    """Add a product of each drawing by chance, and compare what is said with what is known of it."""
    for seed in seeds:
        drawing = chance_drawing(seed)
        name = f"chance-{seed}"
        result = add(studio, name, drawing.text, *(("--width", drawing.width) if drawing.width else ()))
        assert (result.exit_code, result.stderr) == (0, ""), f"seed {seed}: {result.stderr}"
        said = re.search(r": (\d+) pieces?, ([\d.]+) mm wide", result.stdout)
        assert said is not None
        assert int(said[1]) == drawing.pieces, f"seed {seed}"
        assert float(said[2]) == pytest.approx(drawing.width_mm, abs=0.02), f"seed {seed}"
        counts = re.findall(r"^  \S.*: [\w-]+, (\d+) pieces?;", result.stdout, re.MULTILINE)
        assert tuple(sorted(map(int, counts))) == drawing.groups, f"seed {seed}: {result.stdout}"
        if drawing.reason == "fills":
            picked = re.findall(r": ([\w-]+), \d+ pieces?; fill (#\w+),", result.stdout)
            assert picked, f"seed {seed}"
            assert all(FILLS[fill] == glass for glass, fill in picked), f"seed {seed}: {picked}"


def test_what_it_lays_out_passes_check(studio: Path) -> None:
    """Drawings by chance, by every habit, in every unit: each is laid out, and all together pass."""
    added_by_chance(studio, range(CHANCE))
    result = check(studio)
    assert result.exit_code == 0, result.stderr
    assert f"In order. Products: {CHANCE + 2}, " in result.stdout
