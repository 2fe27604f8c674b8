"""The drawing of how a piece hangs, read back with lxml: plumb line, centre of mass, rings, loads and words."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from pathlib import Path

import pytest
from lxml import etree

from catalog_builder.piece.hanging.suspension import Suspension
from catalog_builder.piece.made_piece import MadePiece
from catalog_builder.publish.pictures.hanging_drawing import hanging_svg
from catalog_builder.publish.theme.loading import Theme, read_theme
from catalog_builder.publish.theme.phrasing import Phrasing
from catalog_builder.publish.theme.wording import Wording
from catalog_builder.publish.weighing import bench_words, buyer_words
from tests.parts import FIN, MIDDLE, RIGHT_EDGE, block, parted
from tests.studio import PANE, content, makings, record, suspension

SVG = "{http://www.w3.org/2000/svg}"
SAME_MM = 0.1
Place = tuple[float, float]

RING = '<circle data-mark="ring" cx="{x}" cy="0" r="1"/>'
OFF = PANE.replace('x1="50"', 'x1="40"').replace('x2="50"', 'x2="40"') + RING.format(x=40)
THREE = (
    '<rect width="100" height="60" data-glass="left"/><path d="M10,0 V60"/><path d="M60,0 V60"/>'
    '<text x="5" y="30" data-glass="left">1</text><text x="35" y="30" data-glass="right">2</text>'
    '<text x="80" y="30" data-glass="left">3</text>' + RING.format(x=10) + RING.format(x=60)
)
DEEP = block("fin", FIN.replace('"20"', '"60"'), 'width="60mm" height="60mm" viewBox="0 0 60 60"')
HUNG = {
    "straight": record(),
    "tilted": record(OFF),
    "by a hook": record(OFF, keys="hang: {by: hook}"),
    "by a cord": record(OFF, keys="hang: {by: cord, length: 150 mm}"),
    "two rings": record(THREE),
    "two legs": record(THREE, keys="hang: {by: chain, length: 140 mm}"),
    "leaning": parted(MIDDLE, {"fin": "set_at: [90]"}, blocks=DEEP),
    "tilted and leaning": parted(RIGHT_EDGE, {"fin": "set_at: [60]"}, blocks=DEEP),
}
EACH = pytest.mark.parametrize("name", HUNG)


@dataclass(frozen=True, slots=True)
class Shown:
    """A drawing read back: its views, each a group of marks moved by so much to the right, and its texts."""

    root: etree._Element
    made: MadePiece
    one: Suspension

    @property
    def views(self) -> list[tuple[list[etree._Element], float]]:
        """The marks of each view and how far it is moved to the right."""
        (group,) = self.root.findall(f"{SVG}g")
        moved = [child for child in group if (child.get("transform") or "").startswith("translate")]
        front = [child for child in group if child not in moved]
        found = [(front, 0.0)]
        for side in moved:
            shift = float(re.findall(r"[-\d.]+", side.get("transform", ""))[0])
            found.append((list(side), shift))
        return found

    @property
    def texts(self) -> list[str]:
        """All texts."""
        return ["".join(map(str, text.itertext())) for text in self.root.iter(f"{SVG}text")]


def shown(root: Path, text: str, customers: bool = False) -> Shown:
    """The drawing of a record's product, for the bench or for a customer."""
    found = content(root, text)
    made, one = makings(found)[0], suspension(found)
    wording, theme = Wording.of(found.studio.studio), theme_of(root)
    words = (buyer_words if customers else bench_words)("Pane", made, one, Phrasing(theme.labels, wording))
    return Shown(etree.fromstring(hanging_svg(made, one, words, "pane").encode()), made, one)


def theme_of(root: Path) -> Theme:
    """The usual theme."""
    return read_theme(root, "daylight", "en-GB")


def plumb(marks: list[etree._Element]) -> list[Place]:
    """The ends of the plumb line: the upright dashed line that is drawn in its own dash."""
    (line,) = [
        mark for mark in marks if mark.tag == f"{SVG}path" and mark.get("stroke-dasharray") not in (None, "2 1.2")
    ]
    numbers = [float(number) for number in re.findall(r"-?[\d.]+", line.get("d", ""))]
    return [(numbers[0], numbers[1]), (numbers[2], numbers[3])]


def circles(marks: list[etree._Element]) -> list[tuple[Place, float]]:
    """Middles and radii of the circles as drawn: rings, the place that holds all, the centre of mass."""
    return [
        ((float(mark.get("cx", "")), float(mark.get("cy", ""))), float(mark.get("r", "")))
        for mark in marks
        if mark.tag == f"{SVG}circle"
    ]


def spun(marks: list[etree._Element], place: Place) -> Place:
    """A place turned as the piece is turned in a drawing."""
    turn = marks[0].get("transform")
    if turn is None:
        return place
    degrees, x, y = (float(number) for number in re.findall(r"-?[\d.]+", turn))
    cosine, sine = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
    across, down = place[0] - x, place[1] - y
    return x + across * cosine - down * sine, y + across * sine + down * cosine


@EACH
def test_plumb_line(tmp_path: Path, name: str) -> None:
    """The plumb line hangs from what holds the piece and goes through its centre of mass, seen from either side."""
    drawing = shown(tmp_path, HUNG[name])
    for marks, _ in drawing.views:
        (x, top), (u, bottom) = plumb(marks)
        front = marks is drawing.views[0][0] or len(drawing.views) == 1
        found = circles(marks)
        centre, _ = found[-1]
        assert x == u == pytest.approx(centre[0], abs=SAME_MM)
        assert top < centre[1] < bottom
        body = drawing.one.body
        flat = body.centre if marks == drawing.views[0][0] else (body.forward, body.centre[1])
        assert spun(marks, flat) == pytest.approx(centre, abs=SAME_MM)
        if len(drawing.one.rings) == 1:
            assert found[0][0][0] == pytest.approx(x, abs=SAME_MM)
        if drawing.one.rise_mm is not None and front:
            assert found[len(drawing.one.rings)][0][0] == pytest.approx(x, abs=SAME_MM)


@EACH
def test_rings_stand_on_the_piece(tmp_path: Path, name: str) -> None:
    """Each ring stands on its place of the piece, as the piece is turned."""
    drawing = shown(tmp_path, HUNG[name])
    marks, _ = drawing.views[0]
    for place, ((x, y), radius) in zip(drawing.one.rings, circles(marks), strict=False):
        assert (x, y + radius) == pytest.approx(spun(marks, place), abs=SAME_MM)


@EACH
def test_legs_are_as_long_as_they_are(tmp_path: Path, name: str) -> None:
    """The legs of a chain are drawn from the rings' tops to where they meet, about half its length each."""
    drawing = shown(tmp_path, HUNG[name])
    if drawing.one.rise_mm is None:
        return
    marks, _ = drawing.views[0]
    top, _ = circles(marks)[2]
    for (x, y), radius in circles(marks)[:2]:
        assert math.dist((x, y - radius), top) == pytest.approx(drawing.one.hanger_mm / 2, abs=SAME_MM)


@EACH
def test_the_words_are_the_benchs(tmp_path: Path, name: str) -> None:
    """The loads, sizes and angles in the drawing are the ones that are reckoned, worded as everywhere."""
    drawing = shown(tmp_path, HUNG[name])
    one, wording = drawing.one, Wording("EUR", "en-GB", "metric")
    texts = drawing.texts
    for load in one.ring_loads_g:
        assert wording.fine_mass(load) in texts
    width, height, depth = one.turned_mm
    assert wording.length(width) in texts
    assert wording.length(height) in texts
    assert wording.length(one.hung_height_mm) in texts
    assert (wording.length(depth) in texts) == (len(drawing.made.flats) > 1)
    tilts = [text for text in texts if text.startswith("tilts")]
    assert tilts == ([f"tilts {abs(one.tilt_degrees):.1f}°"] if abs(one.tilt_degrees) >= 0.5 else [])
    leans = [text for text in texts if text.startswith("leans")]
    assert leans == ([f"leans {abs(one.lean_degrees):.1f}°"] if abs(one.lean_degrees) >= 0.5 else [])


@EACH
def test_a_customer_sees_sizes_alone(tmp_path: Path, name: str) -> None:
    """The customer's drawing holds no load, no angle, no plumb line and no centre of mass."""
    drawing = shown(tmp_path, HUNG[name], customers=True)
    assert not [text for text in drawing.texts if re.search(r"\bg$|N$|°", text)]
    assert all(text.endswith(" mm") or text.startswith("from the") for text in drawing.texts)
    for mark in drawing.root.iter(f"{SVG}path"):
        assert mark.get("stroke-dasharray") in (None, "2 1.2")


@EACH
def test_everything_lies_in_the_frame(tmp_path: Path, name: str) -> None:
    """Every circle and every text's foot lies inside the drawing's frame."""
    drawing = shown(tmp_path, HUNG[name])
    left, top, width, height = (float(number) for number in (drawing.root.get("viewBox") or "").split())
    for marks, shift in drawing.views:
        for (x, y), radius in circles(marks):
            assert left <= x + shift - radius <= x + shift + radius <= left + width
            assert top <= y - radius <= y + radius <= top + height
        for text in (mark for mark in marks if mark.tag == f"{SVG}text"):
            assert left <= float(text.get("x", "")) + shift <= left + width
            assert top <= float(text.get("y", "")) <= top + height
