"""A record's drawings: blocks of svg in its body by the names of parts, or files beside it."""

from __future__ import annotations

from pathlib import Path

import pytest

from catalog_builder.mistake import MistakeError
from catalog_builder.records.content import read_content
from catalog_builder.records.product import Product, read_product
from tests.parts import FIN, FIN_BOX, RIGHT_EDGE, block, parted
from tests.studio import DAY, project, record

FILE = f'<svg xmlns="http://www.w3.org/2000/svg" {FIN_BOX}>\n{FIN}\n</svg>\n'
FINS = {"fin": "set_at: [90]", "tail": "set_at: [0]"}


def read(root: Path, text: str, **files: str) -> Product:
    """The product of a record, with files beside it."""
    folder = project(root, {"pane": text}) / "content" / "products" / "pane"
    for name, inside in files.items():
        (folder / f"{name}.svg").write_text(inside, encoding="utf-8")
    return read_product(root, folder)


def test_named_blocks(tmp_path: Path) -> None:
    """A block with a name after svg is the drawing of that part; the one without is the main drawing."""
    blocks = block("tail", FIN.replace("20", "10")) + block("fin")
    product = read(tmp_path, parted(RIGHT_EDGE, FINS, blocks=blocks))
    assert set(product.parts) == {"fin", "tail"}
    assert 'width="10"' in product.parts["tail"].text
    assert 'width="20"' in product.parts["fin"].text
    assert 'data-mark="ring"' in product.drawing.text


@pytest.mark.parametrize("first", [True, False], ids=["parts first", "parts last"])
def test_order_of_blocks(tmp_path: Path, first: bool) -> None:
    """Drawings stand anywhere in the body and in any order; what is left is the description."""
    text = parted(RIGHT_EDGE, {"fin": "set_at: [90]"})
    if first:
        text = text.replace(block("fin"), "").replace("Two panes.", f"{block('fin')}\nTwo panes.\n\nAnd a fin.")
    product = read(tmp_path, text)
    assert set(product.parts) == {"fin"}
    assert product.description.split() == (["Two", "panes.", "And", "a", "fin."] if first else ["Two", "panes."])


def test_lines_of_a_part(tmp_path: Path) -> None:
    """A mark of a part's drawing has its own line of the record."""
    text = parted(RIGHT_EDGE, {"fin": "set_at: [90]"})
    product = read(tmp_path, text)
    number_of_line = next(number for number, line in enumerate(text.splitlines(), 1) if line == FIN)
    place = product.place_of(number_of_line, "fin")
    assert (place.path, place.line, place.text) == ("content/products/pane/product.md", number_of_line, FIN)


def test_files(tmp_path: Path) -> None:
    """Parts may be files beside the record, and one file may serve two parts."""
    parts = {"left": "set_at: [90], pattern: wing.svg", "right": "set_at: [270], pattern: wing.svg"}
    product = read(tmp_path, parted(RIGHT_EDGE, parts, blocks=""), wing=FILE)
    assert {name: source.path for name, source in product.parts.items()} == {
        "left": "content/products/pane/wing.svg",
        "right": "content/products/pane/wing.svg",
    }
    assert product.parts["left"].text == FILE


def test_a_record_without_parts(tmp_path: Path) -> None:
    """A flat piece has its one drawing and no parts."""
    assert read(tmp_path, record()).parts == {}


@pytest.mark.parametrize(("angles", "read_as"), [("90", (90.0,)), ("[90, 270]", (90.0, 270.0)), ("[-45.5]", (-45.5,))])
def test_angles(tmp_path: Path, angles: str, read_as: tuple[float, ...]) -> None:
    """Each angle is a copy; a single one needs no brackets."""
    product = read(tmp_path, parted(RIGHT_EDGE, {"fin": f"set_at: {angles}"}))
    assert product.keys.parts["fin"].set_at == read_as


def test_every_mistake_of_the_drawings_is_told_at_once(tmp_path: Path) -> None:
    """A part without a drawing and a drawing without a part are reported together."""
    text = parted(RIGHT_EDGE, {"fin": "set_at: [90]"}, blocks=block("sail"))
    project(tmp_path, {"pane": text})
    with pytest.raises(MistakeError) as caught:
        read_content(tmp_path, DAY)
    assert sorted(mistake.wrong for mistake in caught.value.mistakes) == [
        "the block of svg is named 'sail', and the record has no such part",
        "the record holds no drawing of the part 'fin'",
    ]
