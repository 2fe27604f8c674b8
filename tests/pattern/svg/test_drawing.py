"""A drawing as drawing programs save it: what counts, what is handed down, what is not read."""

from __future__ import annotations

from pathlib import Path

import pytest

from catalog_builder.mistake import MistakeError
from catalog_builder.pattern.marking import with_marks
from catalog_builder.pattern.pieces import Fitting, read_pieces
from catalog_builder.pattern.seams import read_edges
from catalog_builder.pattern.sizes import read_sizes
from catalog_builder.pattern.svg.drawing import Drawing, read_drawing
from catalog_builder.records.content import read_content
from catalog_builder.records.product import read_product
from catalog_builder.records.reading.source import Source
from tests.drawn import euler

PLAIN = Fitting(0.01, 0.3, 0.8)
SQUARE = '<path d="M0 0 H40 V40 H0 Z"/>'


def read(body: str, head: str = "") -> Drawing:
    """Read a drawing of 100 by 100 mm."""
    return read_drawing(
        Source(
            "drawing.svg",
            f'{head}<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" '
            'xmlns:program="https://drawing.example/ns" width="100mm" height="100mm" viewBox="0 0 100 100">'
            f"{body}</svg>",
        )
    )


@pytest.mark.parametrize(
    "body",
    [
        f'<g style="display:none">{SQUARE}</g>',
        f'<g display="none"><g>{SQUARE}</g></g>',
        f'<g visibility="hidden">{SQUARE}</g>',
        f"<style>.construction {{ display: none }}</style><g class='layer construction'>{SQUARE}</g>",
        f"<style>/* hidden */ #guides, .x {{ visibility: hidden; stroke: red }}</style><g id='guides'>{SQUARE}</g>",
        f'<g data-mark="none">{SQUARE}</g>',
        f"<defs>{SQUARE}</defs>",
        f'<symbol id="s">{SQUARE}</symbol>',
        f"<clipPath>{SQUARE}</clipPath>",
        f"<program:namedview>{SQUARE.replace('<path', '<program:path')}</program:namedview>",
    ],
)
def test_what_is_not_shown_is_not_read(body: str) -> None:
    """Hidden layers, guides, definitions and a program's own elements are no part of the pattern."""
    assert read(body).marks == ()


@pytest.mark.parametrize(
    "body",
    [
        f'<g visibility="hidden"><g visibility="visible">{SQUARE}</g></g>',
        "<style>path { display: none }</style>" + SQUARE.replace("<path", '<path style="display:inline"'),
        f'<symbol id="s" viewBox="0 0 100 100">{SQUARE}</symbol><use xlink:href="#s" width="100" height="100"/>',
        f'<defs><g id="g">{SQUARE}</g></defs><use href="#g"/>',
        f'<svg x="10" y="10" width="50" height="50" viewBox="0 0 50 50">{SQUARE}</svg>',
        f'<switch>{SQUARE}</switch><a href="#x"></a>',
    ],
)
def test_what_is_shown_is_read(body: str) -> None:
    """Visible members of hidden groups, copies of symbols and groups, and nested drawings count."""
    drawing = read(body)
    assert [mark.kind for mark in drawing.marks] == ["outline"]
    (piece,) = read_pieces(read(body.replace("<path", '<path data-glass="any"')), 1.0, PLAIN, None).pieces
    assert piece.face.area == pytest.approx(1600)


def test_a_group_hands_its_attributes_down_and_a_member_overrules_them() -> None:
    """Glass and grain of a group count for its members, unless one says otherwise."""
    body = (
        '<g data-glass="sea" data-grain="30"><path d="M0 0 H40 V40 H0 Z"/>'
        '<path data-glass="sand" d="M40 0 H80 V40 H40 Z"/></g>'
    )
    pieces = read_pieces(read(body), 1.0, PLAIN, None).pieces
    assert [(piece.glass, piece.grain) for piece in pieces] == [("sea", 30), ("sand", 30)]


def test_a_program_may_abbreviate_its_namespaces_by_entities() -> None:
    """An entity that is a short text is taken; the drawing reads as without it."""
    head = '<!DOCTYPE svg [<!ENTITY wide "40"> <!ENTITY ns "https://drawing.example/ns">]>'
    drawing = read('<rect width="&wide;" height="20" data-glass="any"/>', head)
    (piece,) = read_pieces(drawing, 1.0, PLAIN, None).pieces
    assert piece.face.area == pytest.approx(800)


def test_what_cuts_shapes_off_is_noted_and_not_read() -> None:
    """A clip path, a mask and a picture are named with their lines; the whole shape counts."""
    drawing = read(
        '<g clip-path="url(#c)">\n<rect mask="url(#m)" width="40" height="40" data-glass="any"/>\n'
        '<image href="x.png"/></g>'
    )
    assert drawing.ignored == (("clip-path", 1), ("mask", 2), ("image", 3))
    assert read_pieces(drawing, 1.0, PLAIN, None).pieces[0].face.area == pytest.approx(1600)


def test_a_label_in_the_background_is_in_no_piece() -> None:
    """Where a label lies in the background alone, the message says how to make that glass."""
    ground = '<rect width="100%" height="100%" fill="white"/><text x="80" y="80" data-glass="any">4</text>'
    with pytest.raises(MistakeError, match="the label '4' lies in no piece") as caught:
        read_pieces(read(ground + SQUARE.replace("<path", '<path data-glass="any"')), 1.0, PLAIN, None)
    assert "glass only with a stroke or data-mark=" in caught.value.mistakes[0].mend


def test_a_tiny_page_takes_no_time() -> None:
    """A curve far larger than the page is not followed at the page's scale."""
    head = '<svg xmlns="http://www.w3.org/2000/svg" width="1mm" viewBox="0 0 1e-7 1e-7">'
    curves = (
        '<path fill="red" d="M0 0 C1 9 9 9 9 0 Z"/><path d="M0 0 Q5 5 9 0"/><rect fill="red" width="9" height="9"/>'
    )
    marks = read_drawing(Source("drawing.svg", f"{head}{curves}</svg>")).marks
    assert [mark.kind for mark in marks] == ["outline", "line", "outline"]


UNSEEN = [
    '<path fill="none" d="M0 0 H9 V9 Z"/>',
    '<path fill="none" stroke="red" stroke-width="0" d="M0 0 H9 V9 Z"/>',
    '<path fill-opacity="0" style="stroke:red;stroke-opacity:0.0" d="M0 0 H9 V9 Z"/>',
    '<g style="opacity:0"><g opacity="1"><path d="M0 0 H9 V9 Z"/></g></g>',
    '<style>.guide { fill: none; stroke: transparent }</style><path class="guide" stroke="red" d="M0 0 H9 V9 Z"/>',
]


@pytest.mark.parametrize("shape", UNSEEN)
def test_a_shape_without_paint_is_left_out_and_named(shape: str) -> None:
    """What neither fill nor stroke shows is no glass, unless it has a mark."""
    drawing = read(SQUARE + shape)
    assert (len(drawing.marks), drawing.unseen) == (1, (1,))
    drawing = read(SQUARE + shape.replace("<path", '<path data-mark="outline"'))
    assert (len(drawing.marks), drawing.unseen) == (2, ())


@pytest.mark.parametrize(
    "body",
    [
        f'<g stroke="black"><g fill="none">{SQUARE}</g></g>',
        '<g fill="none"><path fill="inherit" stroke="#123" d="M0 0 H40 V40 Z"/></g>',
        f"<style>g path {{ stroke: black }}</style><g fill='none'>{SQUARE}</g>",
    ],
    ids=["a stroke handed down", "a stroke of its own", "a rule that is not read"],
)
def test_a_shape_with_a_stroke_counts(body: str) -> None:
    """A stroke shows a shape, wherever it is set; where a rule is not read, it might set one."""
    drawing = read(body)
    assert (len(drawing.marks), drawing.unseen) == (1, ())


@pytest.mark.parametrize(
    "background",
    [
        '<rect width="100%" height="100%" fill="white"/>',
        '<rect x="-.2" y="-.2" width="100.4" height="100.4" style="fill:#fefefe"/>',
        '<path transform="scale(2)" fill="#fff" d="M0 0 H50 V50 H0 Z"/>',
    ],
)
def test_a_rectangle_behind_the_page_is_left_out_and_named(background: str) -> None:
    """A filled rectangle as large as the page is its background; with a mark, a stroke, or lines on it, it is glass."""
    drawing = read(background + SQUARE)
    assert (len(drawing.marks), drawing.backgrounds) == (1, (1,))
    tag, attributes = background[:5], background[5:]
    for shape, rest in [
        (f'{tag} data-mark="outline"{attributes}', ""),
        (f'{tag} stroke="black"{attributes}', SQUARE),
        (background, '<path d="M0 30 H100"/>'),
        (background, ""),
    ]:
        drawing = read(shape + rest)
        assert (len(drawing.marks), drawing.backgrounds) == (1 + bool(rest), ())


@pytest.mark.parametrize(
    ("shape", "box"),
    [
        ('<rect x="10%" y="10%" width="50%" height="50%"/>', (20, 5, 120, 30)),
        ('<circle cx="50%" cy="50%" r="10%"/>', (100 - 14.577, 25 - 14.577, 100 + 14.577, 25 + 14.577)),
        ('<ellipse cx="50%" cy="50%" rx="10%" ry="10%"/>', (80, 20, 120, 30)),
        ('<svg x="50%" width="50%" height="100%"><rect width="50%" height="50%"/></svg>', (100, 0, 150, 25)),
        ('<svg viewBox="0 0 40 10"><rect width="50%" height="50%"/></svg>', (0, 0, 100, 25)),
    ],
)
def test_percentages_are_of_the_viewport(shape: str, box: tuple[float, ...]) -> None:
    """A percentage is of the viewport's width along x, its height along y, else of its diagonal / sqrt(2).

    Source: SVG 2, 8.9, in a viewport of 200 by 50; the boxes worked by hand, its diagonal / sqrt(2) being 145.774 ...
    """
    head = '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 200 50">'
    (mark,) = read_drawing(Source("drawing.svg", f"{head}{shape}</svg>")).marks
    points = mark.runs[0].flat(1e-4)
    assert (*points.min(axis=0), *points.max(axis=0)) == pytest.approx(box, abs=1e-3)


def test_a_percentage_of_an_unknown_page_is_a_mistake() -> None:
    """Where nothing says how large the page is, the message asks for it."""
    source = Source("drawing.svg", '<svg xmlns="http://www.w3.org/2000/svg"><rect width="5%" height="9"/></svg>')
    with pytest.raises(MistakeError, match="'5%' is not a length, as no viewBox says how large the page is"):
        read_drawing(source)


@pytest.mark.parametrize(
    "style", ['style="transform: translate(10px, 5px) rotate(90deg)"', 'class="moved" transform="scale(9)"']
)
def test_a_transform_of_a_style_is_read(style: str) -> None:
    """A transform may stand in a style, with the units of CSS; it goes before the attribute (SVG 2, chapter 8.5)."""
    rules = "<style>.moved { transform: translate(10px,5px) rotate(90deg) }</style>"
    (mark,) = read(rules + f'<rect width="40" height="20" {style}/>').marks
    points = mark.runs[0].flat(0.1)
    assert (*points.min(axis=0), *points.max(axis=0)) == pytest.approx((-10, 5, 10, 45))


def test_what_a_style_hides_in_part_or_a_rule_does_is_noted() -> None:
    """A clip path or mask of a style, the origin of a transform, and rules that are not read are named."""
    drawing = read(
        "<style>.a { clip-path: url(#c) } g.b > path { display: none } @media print { p { color: red } }</style>"
        '<path class="a" d="M0 0 H9 V9 Z"/>\n<g style="transform-origin: 5px 5px"/>'
    )
    assert drawing.ignored == (("g.b > path", 1), ("clip-path", 1), ("transform-origin", 2))


@pytest.mark.parametrize(
    ("text", "place"),
    [
        ('<text x="5" y="7">3</text>', (5, 7)),
        ('<text x="5" y="7" dx="2" dy="-1">3</text>', (7, 6)),
        ('<text x="1" y="1"><tspan x="5" y="7">3</tspan></text>', (5, 7)),
        ('<text><tspan x="5 9 12" y="7">3</tspan></text>', (5, 7)),
        ('<text transform="translate(4 6)" x="1" y="1">3</text>', (5, 7)),
    ],
)
def test_a_label_stands_where_its_text_begins(text: str, place: tuple[float, float]) -> None:
    """The place of a label is its text's own, whichever way a program writes it."""
    (mark,) = read(text).marks
    assert mark.number == "3"
    assert mark.at == pytest.approx(place)


def test_a_record_marks_a_plain_drawing(tmp_path: Path) -> None:
    """Fold, ring, wire, open field, numbers, glass and grain may all stand in the record, the drawing staying plain."""
    folder = tmp_path / "content" / "products" / "plain"
    folder.mkdir(parents=True)
    (folder / "product.md").write_text(
        """---
title: Plain
summary: A plain drawing.
series: panes
added: 2026-01-01
finishes: [black]
glass: {only: {pieces: {rim: blue, heart: blue}}}
marks:
  fold: [40, 0, 40, 80]
  rings: [[40, 0]]
  open: [[20, 40]]
  wires: [{points: [[40, 0], [50, -10]]}]
  pieces:
    - {at: [5, 5], number: 7, glass: rim, grain: 30}
---
```svg
<svg xmlns="http://www.w3.org/2000/svg" width="80mm" height="80mm" viewBox="0 0 80 80">
<path d="M40 0 H0 V80 H40"/><path d="M40 20 H10 V60 H40"/><path d="M40 0 V20 M40 60 V80"/></svg>
```
""",
        encoding="utf-8",
    )
    product = read_product(tmp_path, folder)
    pattern = read_pieces(with_marks(read_drawing(product.drawing), product), 1.0, PLAIN, None)
    assert [(piece.number, piece.glass, piece.grain) for piece in pattern.pieces] == [
        ("7L", "rim", 30),
        ("7R", "rim", 150),
    ]
    assert [(ring.x, ring.y) for ring in pattern.rings] == [(40, 0)]
    assert len(pattern.wires) == 2
    assert sum(piece.face.area for piece in pattern.pieces) == pytest.approx(80 * 80 - 60 * 40)


def test_eulers_formula_holds_for_every_demo_pattern(demo: Path) -> None:
    """V - E + F = 2 for each pattern of the demo at each of its sizes, and borders add up: 2 seams + rims."""
    from datetime import date

    content = read_content(demo, date(2026, 11, 25))
    count = 0
    for product in content.products:
        for sized in read_sizes(product, content.studio.making, content.materials):
            faces = [piece.face for piece in sized.pattern.pieces]
            edges = read_edges(faces)
            assert euler(faces, edges) == 2, product.slug
            assert sum(face.length for face in faces) == pytest.approx(2 * edges.seam_mm + edges.rim_mm, rel=1e-9)
            count += 1
    assert count > 30


@pytest.fixture
def demo() -> Path:
    """The repository's own folder, with the demo content in it."""
    return Path(__file__).parents[3]


def test_a_record_goes_before_the_marks_of_its_drawing(tmp_path: Path) -> None:
    """Fold, rings, numbers, glass and grain of a record stand in place of those that are drawn."""
    folder = tmp_path / "content" / "products" / "drawn"
    folder.mkdir(parents=True)
    (folder / "product.md").write_text(
        """---
title: Drawn
summary: A drawing with marks of its own.
series: panes
added: 2026-01-01
finishes: [black]
glass: {only: {pieces: {rim: blue}}}
marks:
  fold: [40, 0, 40, 80]
  rings: [[40, 0]]
  pieces:
    - {at: [5, 5], number: 7, glass: rim, grain: 30}
---
```svg
<svg xmlns="http://www.w3.org/2000/svg" width="80mm" height="80mm" viewBox="0 0 80 80">
<path d="M40 0 H0 V80 H40"/><path d="M40 0 V80"/><line data-mark="fold" x1="0" y1="40" x2="9" y2="40"/>
<text x="20" y="40" data-glass="old">1</text><line data-mark="grain" x1="10" y1="60" x2="30" y2="60"/>
<circle data-mark="ring" cx="0" cy="0" r="2"/></svg>
```
""",
        encoding="utf-8",
    )
    product = read_product(tmp_path, folder)
    pattern = read_pieces(with_marks(read_drawing(product.drawing), product), 1.0, PLAIN, None)
    assert [(piece.number, piece.glass, piece.grain) for piece in pattern.pieces] == [
        ("7L", "rim", 30),
        ("7R", "rim", 150),
    ]
    assert [(ring.x, ring.y) for ring in pattern.rings] == [(40, 0)]
