"""Pieces: numbers, glass words and grain, fields without glass, and both sides of a fold."""

from __future__ import annotations

import pytest

from catalog_builder.mistake import MistakeError
from tests.drawn import body, drawn, square

GRID = "".join(square(20 * x, 20 * y, 20).outline for y in range(3) for x in range(3))
FOLD = '<line data-mark="fold" x1="0" y1="-50" x2="0" y2="50"/>'


def test_reading_order() -> None:
    """Pieces without a number are numbered as one reads: row by row from the top, each from the left."""
    drawing = drawn(GRID)
    middles = [(piece.face.centroid.x, piece.face.centroid.y) for piece in drawing.pattern.pieces]
    assert [piece.number for piece in drawing.pattern.pieces] == [str(number) for number in range(1, 10)]
    assert middles == [(20 * x + 10, 20 * y + 10) for y in range(3) for x in range(3)]


@pytest.mark.parametrize(("left", "right", "order"), [(64, 56, [1, 2, 3]), (66, 54, [2, 3, 1])])
def test_a_row_is_a_twelfth_of_the_height(left: int, right: int, order: list[int]) -> None:
    """Of a design 120 mm high, two pieces 8 mm apart in height are in one row; 12 mm apart, the upper is first.

    The piece on the left is as high as the design, so that its middle is at 60 mm.
    """
    tall = '<rect width="10" height="120"/>'
    pair = "".join(square(x, middle - 10, 20).outline for x, middle in ((10, left), (30, right)))
    pieces = sorted(drawn(tall + pair).pattern.pieces, key=lambda piece: piece.face.centroid.x)
    assert [int(piece.number) for piece in pieces] == order


def test_numbers_as_drawn() -> None:
    """A label's number is the piece's; the rest are numbered round it."""
    drawing = drawn(GRID + '<text x="10" y="10">5</text><text x="50" y="50">12</text>')
    places = {piece.number: piece.face.centroid for piece in drawing.pattern.pieces}
    assert (places["5"].x, places["5"].y) == (10, 10)
    assert (places["12"].x, places["12"].y) == (50, 50)
    assert sorted(places, key=int) == ["1", "2", "3", "4", "5", "6", "7", "8", "12"]


def test_fold_names() -> None:
    """The two sides of a fold get L and R as one looks at the piece.

    What lies across the fold is one piece.
    """
    half = '<path d="M0,-40 L40,-40 L40,40 L0,40"/><line x1="0" y1="0" x2="40" y2="0"/><path d="M20,0 L20,40"/>'
    labels = '<text x="1" y="-20">1</text><text x="1" y="20">2</text><text x="30" y="20">3</text>'
    drawing = drawn(FOLD + half + labels)
    middles = {piece.number: piece.face.centroid.x for piece in drawing.pattern.pieces}
    assert middles == pytest.approx({"1": 0, "2": 0, "3L": -30, "3R": 30})
    assert drawing.areas == pytest.approx({"1": 3200, "2": 1600, "3L": 800, "3R": 800})


@pytest.mark.parametrize(
    ("fold", "grain", "mirrored"),
    [
        # A line at angle a, mirrored in one at angle f, lies at 2f - a: plane geometry.
        ((0, -50, 0, 50), 30, 150),
        ((0, -50, 0, 50), 90, 90),
        ((0, -50, 0, 50), 0, 0),
        ((-50, 0, 50, 0), 30, 150),
        ((-50, -50, 50, 50), 0, 90),
        ((-50, 50, 50, -50), 30, 60),
    ],
)
def test_grain_mirrored(fold: tuple[int, int, int, int], grain: float, mirrored: float) -> None:
    """The grain of a mirrored piece is mirrored with it, by angle and by arrow alike."""
    x1, y1, x2, y2 = fold
    line = f'<line data-mark="fold" x1="{x1}" y1="{y1}" x2="{x2}" y2="{y2}"/>'
    piece = '<rect x="60" y="20" width="20" height="30" {}/>'
    by_angle = drawn(line + piece.format(f'data-grain="{grain}"'))
    arrow = f'<path data-mark="grain" transform="translate(70 35) rotate({-grain})" d="M-5,0 L5,0"/>'
    by_arrow = drawn(line + piece.format("") + arrow)
    for drawing in (by_angle, by_arrow):
        grains = {
            piece.face.intersects(by_angle.pattern.pieces[0].face): piece.grain for piece in drawing.pattern.pieces
        }
        assert len(drawing.pattern.pieces) == 2
        assert sorted(angle % 180 for angle in grains.values() if angle is not None) == pytest.approx(
            sorted([grain, mirrored])
        )


@pytest.mark.parametrize(
    ("marks", "glass"),
    [
        ('<rect width="9" height="9"/>', "any"),
        ('<rect width="9" height="9" data-glass="own"/>', "own"),
        ('<g data-glass="group"><rect width="9" height="9"/></g>', "group"),
        ('<g data-glass="group"><rect width="9" height="9" data-glass="own"/></g>', "own"),
        (
            '<rect width="9" height="9" data-glass="own"/><text x="4" y="4" data-glass="label">1</text>',
            "label",
        ),
        ('<g data-glass="outer"><g data-glass="inner"><g><rect width="9" height="9"/></g></g></g>', "inner"),
    ],
)
def test_glass_words(marks: str, glass: str) -> None:
    """The nearest glass word holds: the label's, the outline's, the group's, the whole drawing's."""
    assert [piece.glass for piece in drawn(marks).pattern.pieces] == [glass]


def test_a_piece_takes_the_glass_of_the_smallest_outline_round_it() -> None:
    """An outline in another gives the inner piece its glass; the outer one keeps its own, whichever is drawn first."""
    outer, inner = '<rect width="90" height="90" data-glass="outer"/>', '<circle cx="45" cy="45" r="9" {}/>'
    for marks in (outer + inner.format('data-glass="inner"'), inner.format('data-glass="inner"') + outer):
        areas = {piece.glass: piece.face.area for piece in drawn(marks).pattern.pieces}
        assert areas == pytest.approx({"inner": 254.5, "outer": 8100 - 254.5}, rel=5e-3)


@pytest.mark.parametrize(("side", "count"), [(0.9, 0), (1.1, 1)])
def test_the_smallest_piece(side: float, count: int) -> None:
    """A piece of under 1 mm2 is no glass, whatever it was meant to be."""
    if count:
        assert len(drawn(square(0, 0, side).outline).pattern.pieces) == count
    else:
        with pytest.raises(MistakeError, match=r"a piece of 0\.81 mm2 is too small to be glass"):
            drawn(square(0, 0, side).outline)


@pytest.mark.parametrize("habit", ["outlines", "lines"])
def test_open_field(habit: str) -> None:
    """A field marked as open holds no glass, and what lies round it has a rim there."""
    squares = [square(20 * x, 20 * y, 20) for y in range(3) for x in range(3)]
    whole = drawn(body(squares, habit))
    drawing = drawn(body(squares, habit) + '<circle data-mark="open" cx="30" cy="30" r="2"/>')
    assert len(drawing.pattern.pieces) == 8
    assert drawing.area == pytest.approx(whole.area - 400)
    assert drawing.edges.rim_mm == pytest.approx(whole.edges.rim_mm + 80)
    assert drawing.edges.seam_mm == pytest.approx(whole.edges.seam_mm - 80)
    assert drawing.euler == 2


def test_fold_open_and_wire() -> None:
    """What is marked on one side of a fold, an open field or a wire, is there on the other side too."""
    frame = '<path d="M0,-40 L40,-40 L40,40 L0,40"/>'
    half = frame + '<circle cx="20" cy="0" r="8"/><circle data-mark="open" cx="20" r="1"/>'
    drawing = drawn(
        FOLD + half + '<path data-mark="wire" d="M40,-40 L60,-60"/><path data-mark="wire" d="M0,-40 L0,-70"/>'
    )
    assert len(drawing.pattern.pieces) == 1
    assert len(drawing.pattern.pieces[0].face.interiors) == 2
    # The wire on the fold is one wire, not two that lie in each other.
    assert sorted(wire.line.length for wire in drawing.pattern.wires) == pytest.approx([800**0.5, 800**0.5, 30])


def test_rings_of_a_fold() -> None:
    """A ring on the fold is one ring; one beside it is two, left and right."""
    half = '<path d="M0,-40 L40,-40 L40,40 L0,40"/>'
    on_fold = drawn(FOLD + half + '<circle data-mark="ring" cx="0" cy="-40" r="1"/>').pattern.rings
    beside = drawn(FOLD + half + '<circle data-mark="ring" cx="30" cy="-40" r="1"/>').pattern.rings
    assert [(ring.x, ring.y) for ring in on_fold] == [(0, -40)]
    assert [(ring.x, ring.y) for ring in beside] == [(-30, -40), (30, -40)]


def test_a_group_hands_down_no_number() -> None:
    """A number is of one piece: the pieces of a group with a number are counted as if it had none."""
    drawing = drawn(f'<g data-number="7">{square(0, 0, 20).outline}{square(20, 0, 20).outline}</g>')
    assert [piece.number for piece in drawing.pattern.pieces] == ["1", "2"]


def test_a_half_on_both_sides_of_its_fold() -> None:
    """Half of a design lies on one side of its fold; its mirror image would lie over what is on the other."""
    with pytest.raises(MistakeError, match="the drawing lies on both sides of its fold line"):
        drawn(FOLD + square(-30, 0, 20).outline + square(10, 0, 20).outline)


def test_a_mistake_in_a_half_is_named_where_it_is_drawn() -> None:
    """A line that ends in nothing is one mistake at its drawn end, and none at the end's mirror image."""
    half = '<path d="M0,-40 L40,-40 L40,40 L0,40"/><path d="M40,10 L20,10"/>'
    with pytest.raises(MistakeError) as caught:
        drawn(FOLD + half)
    (mistake,) = caught.value.mistakes
    assert mistake.spot == pytest.approx((20, 10))


@pytest.mark.parametrize(
    ("shape", "wrong"),
    [
        # A stroke 1 mm wide along a straight line; round a square, so that its inside is a hole; a letter L.
        ("M0,0 h50 v1 h-50 z", "1.0 mm wide"),
        ("M0,0 h40 v40 h-40 z M1,1 v38 h38 v-38 z", "1.0 mm wide"),
        ("M10,10 h.6 v4 h2 v.6 h-2.6 z", "0.5 mm wide"),
    ],
)
def test_a_stroke_or_text_turned_into_a_shape_is_named(shape: str, wrong: str) -> None:
    """What is as narrow as a stroke is no glass, and the message says what it may be."""
    with pytest.raises(MistakeError, match=wrong) as caught:
        drawn(f'<path d="{shape}"/>')
    assert "a stroke or a text turned into a shape" in caught.value.mistakes[0].mend


@pytest.mark.parametrize(
    ("shape", "area"), [("M0,0 h50 v1.2 h-50 z", 60), ("M0,0 h10 v2 z", 10), ("M0,0 h2 v1 h-2 z", 2)]
)
def test_a_strip_a_wedge_and_a_small_piece_are_no_strokes(shape: str, area: float) -> None:
    """What is wider than a stroke, or of uneven width, or short, may be glass."""
    assert drawn(f'<path d="{shape}"/>').area == pytest.approx(area)


def test_a_drawing_that_cannot_be_seen_encloses_no_glass() -> None:
    """Where no paint shows any shape, the message says how to make them count."""
    with pytest.raises(MistakeError, match="the drawing encloses no glass") as caught:
        drawn('<g fill="none"><rect width="40" height="40"/></g>')
    assert "those without fill and stroke do not count" in caught.value.mistakes[0].mend


def test_a_mark_for_an_open_field_may_lie_in_a_void() -> None:
    """A field that outlines leave out has no glass already; a mark in it says that this is meant."""
    ring = "M0,0 h60 v60 h-60 z M20,20 v20 h20 v-20 z"
    drawing = drawn(f'<path d="{ring}"/><circle data-mark="open" cx="30" cy="30" r="2"/>')
    assert drawing.area == pytest.approx(3200)
    assert [(point.x, point.y) for point in drawing.pattern.open_at] == [(30, 30)]
