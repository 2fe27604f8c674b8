"""What tells pieces of a drawing apart: fills, layers and groups, as drawing programs write them."""

from __future__ import annotations

import pytest

from catalog_builder.pattern.svg.drawing import read_drawing
from catalog_builder.pattern.svg.mark import Mark
from catalog_builder.records.reading.source import Source

SQUARE = '<path d="M5 5 H45 V45 H5 Z"{attributes}/>'
GRADIENTS = """<defs>
<linearGradient id="plain"><stop offset="0" stop-color="#123456"/><stop offset="1" stop-color="white"/></linearGradient>
<linearGradient id="styled"><stop style="offset:0; stop-color: teal"/></linearGradient>
<radialGradient id="borrowed" xlink:href="#styled"/>
<linearGradient id="ring" href="#ring"/>
<pattern id="dots"/>
</defs>"""


def only_mark(body: str, root: str = "") -> Mark:
    """The only mark of a drawing."""
    names = 'xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink"'
    program = 'xmlns:inkscape="http://www.inkscape.org/namespaces/inkscape"'
    text = f'<svg {names} {program} width="60mm" height="60mm" viewBox="0 0 60 60" {root}>{body}</svg>'
    (mark,) = read_drawing(Source("pattern.svg", text)).marks
    return mark


@pytest.mark.parametrize(
    ("attributes", "fill"),
    [
        (' fill="#2a4f9e"', "#2a4f9e"),
        (' style="fill:goldenrod;stroke:none"', "goldenrod"),
        (' class="sky"', "rgb(1, 2, 3)"),
        ("", None),
        (' fill="none" stroke="black"', None),
        (' fill="currentColor"', None),
        (' fill="url(#plain)"', "#123456"),
        (' fill="url(#styled)"', "teal"),
        (' fill="url(#borrowed)"', "teal"),
        (' fill="url(#ring)" stroke="black"', None),
        (' fill="url(#dots) red"', "red"),
        (' fill="url(#nowhere)"', None),
    ],
)
def test_a_fill_is_what_the_drawing_writes(attributes: str, fill: str | None) -> None:
    """By attribute, style or rule; a gradient by its first colour; black that nobody chose is none."""
    style = "<style>.sky { fill: rgb(1, 2, 3) }</style>"
    assert only_mark(style + GRADIENTS + SQUARE.format(attributes=attributes)).fill == fill


def test_a_group_hands_its_fill_down() -> None:
    """A shape without a fill has that of its group, else that of the whole drawing."""
    square = SQUARE.format(attributes="")
    assert only_mark(f'<g fill="teal"><g>{square}</g></g>').fill == "teal"
    assert only_mark(square, 'fill="navy"').fill == "navy"


def test_groups_are_named_from_the_outermost_on() -> None:
    """A layer has the name that its maker gave it; a plain group its id; one without a name is none."""
    square = SQUARE.format(attributes="")
    layer = f'<g inkscape:groupmode="layer" inkscape:label="Sea" id="layer7"><g><g id="foam">{square}</g></g></g>'
    groups = only_mark(layer).groups
    assert [(group.name, group.layer) for group in groups] == [("Sea", True), ("foam", False)]
    assert only_mark(square).groups == ()
