"""SVG 2 and CSS Values 3.

Units, viewports, arcs, fill rules. Read in the svgwg repository (S) unless it says otherwise.
"""

from __future__ import annotations

import math

import pytest

from catalog_builder.mistake import MistakeError
from catalog_builder.pattern.svg.viewport import MM_PER_PX, length_px
from tests.drawn import Drawn, Place, drawn

RECT = '<rect width="60" height="40"/>'


def box(found: Drawn) -> tuple[float, float, float, float]:
    """The box of a drawing's pieces in mm: left, top, right, bottom."""
    bounds = [piece.face.bounds for piece in found.pattern.pieces]
    lows, highs = (
        [min(one[k] for one in bounds) for k in (0, 1)],
        [max(one[k] for one in bounds) for k in (2, 3)],
    )
    return lows[0], lows[1], highs[0], highs[1]


@pytest.mark.parametrize(
    ("text", "px"),
    [
        # CSS Values 3, section 5.2: 1in = 2.54cm = 96px, 1pt = 1/72in, 1pc = 12pt, 1Q = 1/40cm. S2.
        ("1in", 96),
        ("2.54cm", 96),
        ("25.4mm", 96),
        ("72pt", 96),
        ("6pc", 96),
        ("101.6Q", 96),
        ("96px", 96),
        ("96", 96),
        # Paper by ISO 216 and ANSI/ASME Y14.1 (S2, the latter's number M), in px (C).
        ("210mm", 793.7008),
        ("297mm", 1122.5197),
        ("8.5in", 816),
        ("11in", 1056),
    ],
)
def test_lengths(text: str, px: float) -> None:
    """A length in any absolute unit is the same length in px."""
    assert length_px(text) == pytest.approx(px, abs=5e-5)


@pytest.mark.parametrize("text", ["10em", "50%", "1 0mm", "mm", "", "1e", "--3mm"])
def test_lengths_refused(text: str) -> None:
    """A length relative to a font or a parent has no size in glass."""
    with pytest.raises(ValueError, match="is not a length"):
        length_px(text)


@pytest.mark.parametrize(
    ("size", "scale"),
    [
        # A unitless outer size is px: width="96" is an inch wide (SVG 2, chapter 8).
        ('width="96" height="96" viewBox="0 0 96 96"', MM_PER_PX),
        ('width="96px" height="96px"', MM_PER_PX),
        ('width="100mm" height="100mm" viewBox="0 0 100 100"', 1),
        ('width="100mm" height="100mm" viewBox="0 0 50 50"', 2),
        ('width="10cm" viewBox="0 0 200 400"', 0.5),
        ('height="1in" viewBox="0 0 80 50.8"', 0.5),
        ('width="254mm" height="254mm"', MM_PER_PX),
        ('width="100%" height="100%" viewBox="0 0 50 50"', 1),
        ('viewBox="0 0 50 50"', 1),
    ],
)
def test_physical_size(size: str, scale: float) -> None:
    """A drawing's units are as large as its physical size over its viewBox.

    Without one, as the record says.
    """
    found = drawn(RECT, size)
    assert found.area == pytest.approx(2400 * scale**2)
    assert found.pattern.width_mm == pytest.approx(60 * scale)


@pytest.mark.parametrize(
    ("fit", "size", "corner", "scale"),
    [
        # viewBox 0 0 1500 1000 in 300 x 200 px: 0.2 both ways; in 150 x 200 with none: 0.1 and 0.2 (worked
        # figure).
        ("xMidYMid", (300, 200), (0, 0), (0.2, 0.2)),
        ("none", (150, 200), (0, 0), (0.1, 0.2)),
        # The default in 150 x 200: 0.1 with 50 px above. Status C, like the rest.
        ("xMidYMid meet", (150, 200), (0, 50), (0.1, 0.1)),
        ("xMinYMin meet", (150, 200), (0, 0), (0.1, 0.1)),
        ("xMaxYMax", (150, 200), (0, 100), (0.1, 0.1)),
        ("xMidYMid slice", (150, 200), (-75, 0), (0.2, 0.2)),
        ("xMinYMax slice", (150, 200), (0, 0), (0.2, 0.2)),
        ("xMaxYMid meet", (600, 200), (300, 0), (0.2, 0.2)),
    ],
)
def test_aspect_ratio(fit: str, size: Place, corner: Place, scale: Place) -> None:
    """PreserveAspectRatio says where the viewBox lies in the picture, and whether it is drawn out."""
    wide, high = size
    attributes = f'width="{wide}" height="{high}" viewBox="0 0 1500 1000" preserveAspectRatio="{fit}"'
    left, top, right, bottom = (
        side / MM_PER_PX for side in box(drawn('<rect width="1500" height="1000"/>', attributes))
    )
    assert (left, top) == pytest.approx(corner, abs=1e-6)
    assert ((right - left) / 1500, (bottom - top) / 1000) == pytest.approx(scale)


@pytest.mark.parametrize("view_box", ["0 0 0 10", "0 0 10 0", "0 0 -10 10", "0 0 10", "0 0 ten 10"])
def test_view_box_refused(view_box: str) -> None:
    """A viewBox of zero draws nothing and a negative one is an error: neither makes a pattern."""
    with pytest.raises(MistakeError, match=r"viewBox|numbers only"):
        drawn(RECT, f'width="100mm" height="100mm" viewBox="{view_box}"')


def test_view_box_moved() -> None:
    """A viewBox that begins elsewhere moves the drawing and leaves its measure."""
    found = drawn(
        '<rect x="-30" y="-20" width="60" height="40"/>', 'width="60mm" height="40mm" viewBox="-30 -20 60 40"'
    )
    assert box(found) == pytest.approx((0, 0, 60, 40))


@pytest.mark.parametrize(
    ("path", "area", "length"),
    [
        # Implementation notes, eq. 6.2 and 6.3: radii too small are scaled up, to a half circle of r = 50.
        ("M0 0A10 10 0 0 1 100 0Z", math.pi * 1250, 50 * math.pi + 100),
        ("M0 0A10 10 0 1 0 100 0Z", math.pi * 1250, 50 * math.pi + 100),
        # Negative radii count as positive ones.
        ("M0 0A-50 -50 0 0 1 100 0Z", math.pi * 1250, 50 * math.pi + 100),
        # A radius of zero is a straight line, step 1.
        ("M0 0A0 10 0 0 1 100 0L100 60 0 60Z", 6000, 320),
        ("M0 0A10 0 30 1 1 100 0L100 60 0 60Z", 6000, 320),
        # Large and small arcs of r = 50 over a chord of 100 sin 60: segments of 240 and 120 degrees.
        (
            "M0 0A50 50 0 1 1 86.60254037844386 0Z",
            1250 * (4 * math.pi / 3 + math.sqrt(3) / 2),
            200 * math.pi / 3 + 86.6025403784,
        ),
        (
            "M0 0A50 50 0 0 0 86.60254037844386 0Z",
            1250 * (2 * math.pi / 3 - math.sqrt(3) / 2),
            100 * math.pi / 3 + 86.6025403784,
        ),
        # Flags may stand without anything between them and the number that follows.
        ("M0 0a10 10 0 01100 0z", math.pi * 1250, 50 * math.pi + 100),
    ],
)
def test_arcs(path: str, area: float, length: float) -> None:
    """An arc is the one that SVG 2 makes of its radii and flags."""
    found = drawn(f'<path d="{path}"/>', tolerance=0.001)
    assert found.area == pytest.approx(area, rel=1e-4)
    assert found.edges.rim_mm == pytest.approx(length, rel=1e-4)


OUTER = "M50,0 A50 50 0 0 1 -50,0 A50 50 0 0 1 50,0 Z"
INNER_SAME = "M30,0 A30 30 0 0 1 -30,0 A30 30 0 0 1 30,0 Z"
INNER_TURNED = "M30,0 A30 30 0 0 0 -30,0 A30 30 0 0 0 30,0 Z"


@pytest.mark.parametrize(
    ("marks", "area"),
    [
        # Chapter 13: nonzero, the rule from the start, adds up signed crossings; evenodd counts them.
        # Digits C.
        (f'<path d="{OUTER} {INNER_SAME}"/>', 7853.982),
        (f'<path d="{OUTER} {INNER_TURNED}"/>', 5026.548),
        (f'<path fill-rule="evenodd" d="{OUTER} {INNER_SAME}"/>', 5026.548),
        (f'<path style="fill-rule: evenodd" d="{OUTER} {INNER_SAME}"/>', 5026.548),
        (f'<path fill-rule="evenodd" d="{OUTER} {INNER_TURNED}"/>', 5026.548),
    ],
)
def test_fill_rules(marks: str, area: float) -> None:
    """A ring drawn in one path has the hole that its fill rule gives it."""
    assert drawn(marks, tolerance=0.001).area == pytest.approx(area, rel=1e-4)


@pytest.mark.parametrize(
    ("marks", "area"),
    [
        (f'<g fill-rule="evenodd"><path d="{OUTER} {INNER_SAME}"/></g>', 5026.548),
        (f'<g style="fill-rule:evenodd"><g><path d="{OUTER} {INNER_SAME}"/></g></g>', 5026.548),
        (f'<g fill-rule="evenodd"><path fill-rule="nonzero" d="{OUTER} {INNER_SAME}"/></g>', 7853.982),
    ],
)
def test_fill_rule_inherited(marks: str, area: float) -> None:
    """A group hands its fill rule down to its members.

    The property is inherited: chapter 13, from memory, M.
    """
    assert drawn(marks, tolerance=0.001).area == pytest.approx(area, rel=1e-4)


def test_pentagram() -> None:
    """A pentagram has two areas by the two fill rules and a third by the shoelace (C).

    It is refused, with its place.
    """
    turns = [math.radians(144 * corner - 90) for corner in range(5)]
    points = " ".join(f"{100 * math.cos(turn):.6f},{100 * math.sin(turn):.6f}" for turn in turns)
    with pytest.raises(MistakeError, match=r"an outline crosses itself .* at x -?\d+\.\d, y -?\d+\.\d of the drawing"):
        drawn(f'<polygon points="{points}"/>')


SAME_RECTANGLE = [
    '<path d="M10,20 H70 V60 H10 Z"/>',
    '<path d="m10,20 h60 v40 h-60 z"/>',
    '<path d="M10 20 70 20 70 60 10 60Z"/>',
    '<path d="m10-20 60 0 0 40-60 0z" transform="translate(0,40)"/>',
    '<polygon points="10,20 70,20 70,60 10,60"/>',
    '<rect x="10" y="20" width="60" height="40"/>',
    '<rect x="1cm" y="2cm" width="6cm" height="4cm" transform="scale(0.26458333333333334)"/>',
    '<rect width="60" height="40" transform="translate(10 20)"/>',
    '<rect width="6" height="4" transform="translate(10,20) scale(10)"/>',
    '<rect width="40" height="60" transform="translate(70,20) rotate(90)"/>',
    '<rect x="10" y="20" width="60" height="40" transform="rotate(180 40 40)"/>',
    '<rect width="1" height="1" transform="matrix(60 0 0 40 10 20)"/>',
    '<g transform="translate(10)"><g transform="translate(0,20)"><rect width="60" height="40"/></g></g>',
    '<svg x="10" y="20" width="60" height="40" viewBox="0 0 6 4"><rect width="6" height="4"/></svg>',
    '<defs><rect id="pane" width="60" height="40"/></defs><use href="#pane" x="10" y="20"/>',
    '<symbol id="pane" viewBox="0 0 3 2"><rect width="3" height="2"/></symbol>'
    '<use href="#pane" x="10" y="20" width="60" height="40"/>',
    '<defs><g id="pane" transform="translate(0 20)"><rect width="60" height="40"/></g></defs>'
    '<use href="#pane" transform="translate(10)"/>',
    '<rect x="10" y="20" width="60" height="40"/><g display="none"><rect width="500" height="500"/></g>',
    '<rect x="10" y="20" width="60" height="40"/><g style="visibility:hidden"><circle r="500"/></g>',
    '<rect x="10" y="20" width="60" height="40"/><rect data-mark="none" width="500" height="500"/>',
    '<rect x="10" y="20" width="60" height="40"/><clipPath><circle r="500"/></clipPath>',
    '<rect x="10" y="20" width="60" height="40"/><circle r="0"/><rect width="0" height="9"/>',
]


@pytest.mark.parametrize("marks", SAME_RECTANGLE)
def test_same_rectangle(marks: str) -> None:
    """However SVG spells a rectangle, it is the same rectangle: chapters 7 to 10, worked by hand."""
    found = drawn(marks)
    assert box(found) == pytest.approx((10, 20, 70, 60))
    assert found.area == pytest.approx(2400)
    assert found.edges.rim_mm == pytest.approx(200)


@pytest.mark.parametrize(
    ("marks", "area"),
    [
        # Chapter 10: a missing radius takes the other's value, and none is over half a side.
        ('<rect width="60" height="40" rx="10"/>', 2400 - (4 - math.pi) * 100),
        ('<rect width="60" height="40" ry="10"/>', 2400 - (4 - math.pi) * 100),
        ('<rect width="60" height="40" rx="10" ry="5"/>', 2400 - (4 - math.pi) * 50),
        ('<rect width="60" height="40" rx="500" ry="500"/>', math.pi * 600),
        ('<rect width="60" height="40" rx="0" ry="10"/>', 2400),
        ('<ellipse rx="30" ry="20"/>', math.pi * 600),
        ('<circle r="20" transform="scale(1.5 1)"/>', math.pi * 600),
        # A skew leaves areas as they are.
        ('<circle r="20" transform="skewX(25)"/>', math.pi * 400),
        ('<circle r="20" transform="skewY(-40)"/>', math.pi * 400),
    ],
)
def test_basic_shapes(marks: str, area: float) -> None:
    """A rounded rectangle, an ellipse and their transforms have the areas of plane geometry."""
    assert drawn(marks, tolerance=0.001).area == pytest.approx(area, rel=2e-4)


@pytest.mark.parametrize(
    ("smooth", "full"),
    [
        ("M0,0 C0,30 20,50 40,50 S80,30 80,0 Z", "M0,0 C0,30 20,50 40,50 C60,50 80,30 80,0 Z"),
        ("M0,0 Q20,40 40,20 T80,0 Z", "M0,0 Q20,40 40,20 Q60,0 80,0 Z"),
        # Without a curve of its kind before it, the first control point is the point itself.
        ("M0,0 L0,40 S80,30 80,0 Z", "M0,0 L0,40 C0,40 80,30 80,0 Z"),
        ("M0,0 q20,40 40,20 t40,-20 z", "M0,0 Q20,40 40,20 Q60,0 80,0 Z"),
        ("m0,0 c0,30 20,50 40,50 s40,-20 40,-50 z", "M0,0 C0,30 20,50 40,50 C60,50 80,30 80,0 Z"),
    ],
)
def test_smooth_curves(smooth: str, full: str) -> None:
    """A smooth curve mirrors the last control point of the curve before it (chapter 9)."""
    one, other = drawn(f'<path d="{smooth}"/>'), drawn(f'<path d="{full}"/>')
    assert one.area == pytest.approx(other.area)
    assert one.edges.rim_mm == pytest.approx(other.edges.rim_mm)
