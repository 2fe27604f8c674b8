"""Limits that no honest file comes near: each ends in words, at once, and before the memory is full."""

from __future__ import annotations

import struct
import time
import zlib
from collections.abc import Iterator
from pathlib import Path

import pytest

from catalog_builder.mistake import MistakeError, summary
from catalog_builder.pattern.pieces import Fitting, read_pieces
from catalog_builder.pattern.svg.drawing import read_drawing
from catalog_builder.photo_files.photo_file import PhotoError
from catalog_builder.publish.pictures.photo import check_photo, make_prints
from catalog_builder.records.materials import read_materials
from catalog_builder.records.product import read_product
from catalog_builder.records.reading.header import read_header
from catalog_builder.records.reading.source import MOST_BYTES, Source, read
from catalog_builder.records.selling.boxes import read_boxes
from catalog_builder.records.selling.postage import read_postage
from catalog_builder.records.studio import read_studio
from tests.broken.fault import SOUND

MATERIALS = (SOUND / "materials.csv").read_text(encoding="utf-8")
PRICES = (SOUND / "material_prices.csv").read_text(encoding="utf-8")


@pytest.fixture(autouse=True)
def _at_once() -> Iterator[None]:
    """Each limit is met before much work is done: in 20 s of this process' own work, whatever else the machine does."""
    started = time.process_time()
    yield
    assert time.process_time() - started < 20


def drawn(inside: str, size: str = 'width="60mm" height="50mm" viewBox="0 0 60 50"') -> str:
    """What is said of a drawing, or nothing if it can be read."""
    text = f'<svg xmlns="http://www.w3.org/2000/svg" data-glass="a" {size}>\n{inside}\n</svg>'
    try:
        read_pieces(read_drawing(Source("sail.svg", text)), 1.0, Fitting(0.01, 0.3, 0.8), None)
    except MistakeError as fault:
        return fault.mistakes[0].wrong
    return ""


def header(text: str) -> str:
    """What is said of a header."""
    with pytest.raises(MistakeError) as caught:
        read_header(Source("product.md", f"---\n{text}\n---\n"))
    return caught.value.mistakes[0].wrong


def studio(text: str) -> str:
    """What is said of a studio.toml."""
    with pytest.raises(MistakeError) as caught:
        read_studio(Source("studio.toml", text))
    return caught.value.mistakes[0].wrong


@pytest.mark.parametrize("name", ["studio.toml", "materials.csv", "products/a/product.md", "products/a/a.svg"])
def test_a_file_of_many_megabytes_is_not_read(tmp_path: Path, name: str) -> None:
    """A text file over the limit is refused by its size, before a byte of it is read."""
    path = tmp_path / "content" / name
    path.parent.mkdir(parents=True)
    with path.open("wb") as file:
        file.truncate(MOST_BYTES + 1_000_000_000)
    with pytest.raises(MistakeError) as caught:
        read(tmp_path, path)
    assert str(caught.value) == (
        f"content/{name}: the file is too large: 1004.0 MB\n"
        "  expected: a text file of at most 4 MB\n"
        "  mend:     check that this is the file you meant; keep pictures out of text files"
    )


def png_head(width: int, height: int) -> bytes:
    """The head of a PNG that claims a size, with hardly any pixels behind it (PNG, 3rd ed., 11.2.2)."""

    def chunk(kind: bytes, data: bytes) -> bytes:
        return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))

    head = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    return (
        b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", zlib.compress(bytes(1000))) + chunk(b"IEND", b"")
    )


def test_a_picture_that_claims_a_billion_pixels_is_not_opened_out(tmp_path: Path) -> None:
    """A hundred bytes can claim 40000 x 40000 pixels; they are refused by the claim."""
    path = tmp_path / "bomb.png"
    path.write_bytes(png_head(40_000, 40_000))
    assert path.stat().st_size < 200
    for look in (check_photo, lambda path: make_prints(path.read_bytes())):
        with pytest.raises(PhotoError, match=r"^it has 40000 x 40000 pixels, more than 80 million$"):
            look(path)


def test_a_picture_within_the_limit_is_looked_at(tmp_path: Path) -> None:
    """Eight thousand by ten thousand are allowed: the head passes, and the missing pixels are told later."""
    path = tmp_path / "large.png"
    path.write_bytes(png_head(8_000, 10_000))
    check_photo(path)
    with pytest.raises(PhotoError, match="damaged or cut short"):
        make_prints(path.read_bytes())


def test_a_picture_with_a_text_that_swells_is_refused(tmp_path: Path) -> None:
    """A compressed text in a PNG that would swell to eighty megabytes is not opened out."""
    text = b"Comment\0\0" + zlib.compress(bytes(80_000_000), 9)
    chunk = struct.pack(">I", len(text)) + b"zTXt" + text + struct.pack(">I", zlib.crc32(b"zTXt" + text))
    head = png_head(10, 10)
    path = tmp_path / "swells.png"
    path.write_bytes(head[:33] + chunk + head[33:])
    with pytest.raises(PhotoError):
        make_prints(path.read_bytes())


DEEP = 300_000


def test_a_header_nested_without_end_is_told() -> None:
    """Brackets in brackets end in words, few or many."""
    assert header("a: " + "[" * 20 + "]" * 20) == "the header is nested more than 12 deep"
    assert header("a: " + "[" * 5_000).startswith("the header ")
    assert header("a: " + "[" * DEEP) == "the header is too long, or nested without end"
    assert header("a: " + "{b: " * 5_000).startswith("the header ")
    assert header("\n".join(" " * level + "a:" for level in range(600))).startswith("the header ")


def test_a_header_that_doubles_itself_is_told() -> None:
    """Nine lines of anchors would make a billion items; the first one used again is told."""
    lines = ["a0: &a0 [x, x, x, x, x, x, x, x, x, x]"]
    lines += [f"a{n}: &a{n} [{', '.join([f'*a{n - 1}'] * 10)}]" for n in range(1, 10)]
    assert header("\n".join(lines)) == "a part of the header is used again by an anchor (& and *)"


def test_a_studio_nested_without_end_is_told() -> None:
    """Brackets in brackets and numbers without end are told, with the file."""
    begins = "the file cannot be read as TOML: "
    assert studio("a = " + "[" * DEEP) == begins + "a line has more than 20000 characters"
    assert studio("a." * 200_000 + "a = 1") == begins + "a line has more than 20000 characters"
    assert studio("a = " + "[" * 15_000) == begins + "brackets stand in brackets without end"
    assert studio("a = " + "9" * 10_000) == begins + "a number is too long to be one"
    assert studio("a = 1e" + "9" * 40) == begins + "a number is too long to be one"


def test_a_table_of_endless_columns_is_told() -> None:
    """A first row of a million cells is refused by their number."""
    columns = ",".join(f"c{number}" for number in range(200_000))
    with pytest.raises(MistakeError) as caught:
        read_materials(Source("materials.csv", columns + "\n"), Source("p.csv", PRICES))
    assert caught.value.mistakes[0].wrong == "the first row has 200000 columns"


def test_more_boxes_or_bands_than_anybody_keeps_are_told() -> None:
    """Boxes and bands are tried for every variant, so that there is a limit to them."""
    box = "box,title,inner_length_mm,inner_width_mm,inner_depth_mm,mass_g,holds_g,padding_mm\n"
    box += "".join(f"b{n},Box,300,200,60,120,900,15\n" for n in range(501))
    band = "carrier,band,most_mass_g,price\n" + "".join(f"Carter,b{n},900,3\n" for n in range(501))
    for read_one in (lambda: read_boxes(Source("b.csv", box), None), lambda: read_postage(Source("p.csv", band))):
        with pytest.raises(MistakeError) as caught:
            read_one()
        assert caught.value.mistakes[0].wrong == "the table has 501 rows"


def test_a_long_table_is_read_in_step_with_its_length() -> None:
    """Five thousand dated prices are read at once, and a mistake in each of them is told with its line."""
    dates = [f"{2000 + n // 336}-{n // 28 % 12 + 1:02}-{n % 28 + 1:02}" for n in range(5_000)]
    rows = "material,date,price\n" + "".join(f"sand,{day},1\n" for day in dates)
    found = read_materials(Source("materials.csv", MATERIALS), Source("p.csv", rows))
    assert len(found.prices["sand"]) == 5_000
    with pytest.raises(MistakeError) as caught:
        read_materials(Source("materials.csv", MATERIALS), Source("p.csv", rows.replace(",1\n", ",one\n")))
    assert [mistake.place.line for mistake in caught.value.mistakes] == list(range(2, 5_002))
    assert summary(caught.value.mistakes) == "5000 mistakes in 1 file. Nothing was published."


def test_a_record_full_of_open_blocks_is_told_at_once(tmp_path: Path) -> None:
    """Half a million openings of a block do not take the time of their square."""
    folder = tmp_path / "content" / "products" / "a"
    folder.mkdir(parents=True)
    record = (SOUND / "products" / "sail" / "product.md").read_text(encoding="utf-8").replace("pattern: sail.svg\n", "")
    (folder / "product.md").write_text(record + "```svg\n" * 500_000, encoding="utf-8")
    with pytest.raises(MistakeError) as caught:
        read_product(tmp_path, folder)
    assert caught.value.mistakes[0].wrong == "the pattern's block is not closed"


def test_a_drawing_of_endless_elements_is_told() -> None:
    """A traced photograph has more shapes than a pattern can have."""
    many = '<path d="M0 0"/>\n' * 60_000
    assert drawn(many) == "the drawing has more than 50000 elements or groups nested over 100 deep"
    copies = '<g id="x">' + "<g/>" * 1_000 + "</g>" + '<use href="#x"/>\n' * 1_900
    assert drawn(copies) == "the drawing has too many shapes, or groups in groups, copies included"


def test_a_drawing_nested_without_end_is_told() -> None:
    """Groups in groups, also by copies of copies, end in words."""
    assert drawn("<g>" * 150 + "</g>" * 150).startswith("the drawing has more than 50000 elements or groups")
    assert drawn("<g>" * 5_000 + "</g>" * 5_000) == (
        "the drawing is not well-formed: it is nested too deep, or a part of it is too long"
    )
    towers = "".join(
        f'<g id="t{n}">' + "<g>" * 90 + f'<use href="#t{n + 1}"/>' + "</g>" * 90 + "</g>" for n in range(9)
    )
    assert drawn(towers) == "the drawing has too many shapes, or groups in groups, copies included"


def test_copies_of_copies_do_not_multiply() -> None:
    """Ten copies of ten copies, eight times over, would be a hundred million shapes."""
    levels = "".join(f'<g id="u{n}">' + f'<use href="#u{n + 1}"/>' * 10 + "</g>" for n in range(8))
    assert drawn(levels + '<path id="u8" d="M0 0 L1 1"/>').startswith(
        "<use> leads back to itself or to too many copies"
    )


@pytest.mark.parametrize(
    ("shape", "size", "begins"),
    [
        ('<path d="M0 0 C 9e6 0 0 9e6 9 9"/>', "", "the shape reaches more than 20 m"),
        ('<circle cx="5" cy="5" r="999999"/>', 'width="60mm"', "the shape reaches more than 20 m"),
        ('<path d="M0 0 L1e300 1"/>', "", "<path>: a number after L is too large"),
        ('<rect width="1e99" height="1"/>', "", "<rect>: '1e99' is too long"),
        ('<g transform="scale(1e6)"><g transform="scale(1e6)"/></g>', "", "<g>: the transforms scale or move"),
        ('<path transform="skewX(90)" d="M0 0 L1 1"/>', "", "<path>: the transforms scale or move"),
        ("", 'viewBox="0 0 1e-300 1" width="5mm" height="5mm"', "the viewBox '0 0 1e-300 1' is scaled out of all"),
        ("", 'width="1e999mm"', "'1e999mm' is too long"),
        ('<path d="M0 0 ' + "L1 1 2 2 " * 20_000 + '"/>', "", "<path>: the path has more than 20000 corners"),
        ('<path d="M0 0 ' + "1" * 200_000 + '#"/>', "", "<path>: '#' after M is not a number"),
        ('<path d="M0 0 A' + "1" * 3_000 + '#"/>', "", "<path>: A takes radii"),
        ('<path d="M0 0 L' + "1.5" * 50_000 + '#"/>', "", "<path>: '#' after L is not a number"),
        (f"<style>{'a' * 3_000_000}</style><style>{'/*' * 1_000_000}</style>", "", "the drawing encloses no glass"),
    ],
)
def test_a_shape_beyond_all_bounds_is_told(shape: str, size: str, begins: str) -> None:
    """Coordinates, sizes, transforms and paths that no pattern needs are told at once."""
    assert drawn(shape, size).startswith(begins)


def test_a_drawing_of_too_many_marks_is_told() -> None:
    """What is within the limits for elements may still be more marks than a pattern can have."""
    marks = '<path data-mark="wire" d="M0 0 L1 1"/>\n' * 5_001
    assert drawn(marks) == "up to here the drawing has more than 5000 marks"


def test_curves_of_too_many_points_are_told() -> None:
    """Thousands of curves right across twenty metres would fill the memory."""
    wide = "".join(f'<path d="M0 {n} C 15000 {n} 0 15000 15000 {n}"/>\n' for n in range(2_000))
    assert drawn(wide, 'width="15000mm" viewBox="0 0 15000 15000"') == (
        "up to here the drawing has more than 400000 points"
    )
