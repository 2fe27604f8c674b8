"""The numbered diagram: every part beside the main drawing, with all its numbers."""

from __future__ import annotations

import re
from itertools import pairwise
from pathlib import Path

import pytest
import svgelements
from lxml import etree

from catalog_builder.publish.pictures.diagram import diagram_svg
from tests.parts import FIN, RIGHT_EDGE, block, join, parted
from tests.studio import content, makings, suspension

SVG = "{http://www.w3.org/2000/svg}"
FINS = {"fin": "set_at: [90, 270]", "tail": "set_at: [0]"}
BLOCKS = block("fin", FIN + '<text x="10" y="30">7</text>') + block("tail", FIN + '<text x="10" y="30">8</text>')


def diagram(root: Path) -> etree._Element:
    """The diagram of a pane with two parts, one of them in two copies."""
    found = content(root, parted(RIGHT_EDGE + join(0, 0, 0, 60, "tail"), FINS, blocks=BLOCKS))
    made = makings(found)[0]
    glass = found.glass(next(iter(found.products[0].keys.glass.values())))
    return etree.fromstring(diagram_svg(made, suspension(found), glass, ("Pane", "Its pieces"), "one").encode())


def test_every_number(tmp_path: Path) -> None:
    """Each part stands once, with every number of its pieces, however many copies are made."""
    root = diagram(tmp_path)
    assert sorted("".join(map(str, text.itertext())) for text in root.iter(f"{SVG}text")) == ["1", "2", "7", "8"]


def test_parts_stand_apart_in_the_frame(tmp_path: Path) -> None:
    """Parts lie beside each other inside the frame, none over another."""
    root = diagram(tmp_path)
    left, top, width, height = (float(number) for number in (root.get("viewBox") or "").split())
    boxes = []
    for path in (path for path in root.iter(f"{SVG}path") if path.get("fill-opacity")):
        shift = [0.0, 0.0]
        for above in path.iterancestors():
            numbers = re.findall(r"-?[\d.]+", above.get("transform") or "0 0")
            shift = [one + float(number) for one, number in zip(shift, numbers, strict=True)]
        x0, y0, x1, y1 = svgelements.Path(path.get("d", "")).bbox()
        assert left <= x0 + shift[0] < x1 + shift[0] <= left + width
        assert top <= y0 + shift[1] < y1 + shift[1] <= top + height
        boxes.append((x0 + shift[0], x1 + shift[0]))
    boxes.sort()
    assert len(boxes) == 4
    assert all(one[1] <= other[0] + 1e-6 for one, other in pairwise(boxes))


def test_joins_are_marked(tmp_path: Path) -> None:
    """The line along which a part is joined on is dashed, in the main drawing and in the part's."""
    dashed = [path for path in diagram(tmp_path).iter(f"{SVG}path") if path.get("stroke-dasharray")]
    assert len(dashed) == 3


@pytest.mark.parametrize("what", ["title", "text"])
def test_named_for_those_who_cannot_see_it(tmp_path: Path, what: str) -> None:
    """The diagram has a title and a description under names of its own."""
    root = diagram(tmp_path)
    assert f"one-{what}" in (root.get("aria-labelledby") or "").split()
    assert [element.get("id") for element in root.iter()].count(f"one-{what}") == 1
