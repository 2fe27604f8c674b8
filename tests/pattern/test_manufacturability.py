"""What can be drawn but hardly made is found, with where and why, and said in the studio's language."""

from __future__ import annotations

import tomllib
from collections.abc import Iterable
from pathlib import Path

import numpy as np
import pytest
import shapely
from pydantic import TypeAdapter
from shapely import Polygon

from catalog_builder.mistake import Finding
from catalog_builder.pattern.manufacturability import _across, _neck, _notch
from catalog_builder.pattern.measured import measure
from catalog_builder.pattern.parts.hinge import read_hinges
from catalog_builder.pattern.seams import read_edges
from catalog_builder.pattern.sizes import read_sizes
from catalog_builder.publish.theme.phrasing import Phrasing
from catalog_builder.publish.theme.wording import Wording
from tests.parts import MIDDLE, RIGHT_EDGE, parted
from tests.studio import PANE, PANE_RING, content, record

LABELS = Path(__file__).parents[2] / "themes" / "daylight" / "labels"


def test_a_square_inside_corner_cannot_be_reached_by_a_round_bit() -> None:
    """In an L a bit of 3 mm radius leaves r (sqrt 2 - 1) = 1.24 mm of the inside corner at (20, 20)."""
    shape = Polygon([(0, 0), (60, 0), (60, 20), (20, 20), (20, 80), (0, 80)])
    assert _notch(shape, 3.0) == pytest.approx((20, 20))


def test_a_wide_inside_curve_is_reached() -> None:
    """The same corner rounded to 10 mm is cut and ground without trouble, and so is any shape without a hollow."""
    corner = Polygon([(0, 0), (60, 0), (60, 20), (20, 20), (20, 80), (0, 80)])
    rounded = corner.buffer(10, quad_segs=64).buffer(-10, quad_segs=64)
    assert _notch(rounded, 3.0) is None
    assert _notch(shapely.Point(0, 0).buffer(20), 3.0) is None
    # A bit of 2 mm radius leaves 0.83 mm of the corner, which foil and bead cover.
    assert _notch(corner, 2.0) is None


def test_a_neck_between_two_wide_parts_is_found_in_its_middle() -> None:
    """Two squares of 20 mm joined by a strip 3 mm wide and 10 mm long have a neck halfway along it."""
    dumbbell = shapely.union_all(
        [shapely.box(0, 0, 20, 20), shapely.box(30, 0, 50, 20), shapely.box(19, 8.5, 31, 11.5)]
    )
    place = _neck(dumbbell, 4.0)
    assert place is not None
    assert place[0] == pytest.approx(25, abs=1)
    assert _neck(dumbbell, 2.5) is None
    # A knob of 7 mm on a strip 3 mm wide breaks off as well.
    knob = shapely.union_all(
        [shapely.box(0, 0, 20, 20), shapely.box(30, 6.5, 37, 13.5), shapely.box(19, 8.5, 31, 11.5)]
    )
    assert _neck(knob, 4.0) is not None


def test_across_is_the_largest_circle() -> None:
    """A rectangle of 5 by 40 mm is 5 mm across."""
    assert _across(shapely.box(0, 0, 5, 40)) == pytest.approx(5, abs=0.2)


def quarters(shift: float) -> list[Polygon]:
    """Four panes in a square of 80 mm; the upper row's middle seam stands ``shift`` mm right of the lower one's."""
    return list(
        shapely.coverage_clean(
            [
                shapely.box(0, 0, 40 + shift, 40),
                shapely.box(40 + shift, 0, 80, 40),
                shapely.box(0, 40, 40, 80),
                shapely.box(40, 40, 80, 80),
            ]
        )
    )


def test_straight_lines_right_across_are_hinges() -> None:
    """A cross of two straight seams folds along both."""
    hinges = read_hinges(read_edges(quarters(0)), 4)
    assert sorted(hinge.length_mm for hinge in hinges) == pytest.approx([80, 80])


@pytest.mark.parametrize("shift", [1, 10])
def test_a_staggered_seam_is_no_hinge(shift: float) -> None:
    """With the upright seams staggered, only the level one still goes right across."""
    (hinge,) = read_hinges(read_edges(quarters(shift)), 4)
    assert {round(hinge.begin[1]), round(hinge.end[1])} == {40}


@pytest.mark.parametrize(("height", "count"), [(29, 0), (31, 1)])
def test_a_short_line_is_no_hinge(height: float, count: int) -> None:
    """Two panes side by side fold along their seam from 30 mm on; what hangs on a shorter one is too light."""
    panes = [shapely.box(0, 0, 40, height), shapely.box(40, 0, 80, height)]
    assert len(read_hinges(read_edges(panes), 2)) == count


def test_a_seam_that_others_bridge_is_no_hinge() -> None:
    """Of a bond of bricks only the level seam folds: the upright one ends at a brick that lies across it."""
    bricks = [
        shapely.box(0, 0, 40, 80),
        shapely.box(40, 0, 80, 20),
        shapely.box(40, 20, 80, 80),
        shapely.box(0, 80, 80, 90),
    ]
    hinges = read_hinges(read_edges(list(shapely.coverage_clean(bricks))), 4)
    assert [np.round(sorted([hinge.begin[1], hinge.end[1]])).tolist() for hinge in hinges] == [[80, 80]]


def findings(tmp_path: Path, drawing: str, keys: str = "grain: along") -> tuple[Finding, ...]:
    """What is found of a drawing of left and right glass."""
    studio = content(tmp_path, record(drawing, keys=keys))
    product, making = studio.products[0], studio.studio.making
    (sized,) = read_sizes(product, making, studio.materials)
    return measure(product, sized, making).findings


def worded(found: Iterable[Finding], language: str) -> dict[str, tuple[str, str]]:
    """Findings in a language: text and advice by the code."""
    labels = tomllib.loads((LABELS / f"{language}.toml").read_text(encoding="utf-8"))
    phrasing = Phrasing(labels, Wording("EUR", language, "metric"))
    return {finding.code: (phrasing.show(finding.text), phrasing.show(finding.advice)) for finding in found}


# Two panes side by side that nothing is wrong with: the seam is bent, so that nothing folds along it.
LEFT = '<path data-glass="left" d="M0 0 H50 L60 30 L50 60 H0 Z"/>'
RIGHT = '<path data-glass="right" d="M50 0 H100 V60 H50 L60 30 Z"/>'
# A strip of 5 mm beside the right pane; half a foil gap of 0.8 mm comes off its one seam.
NARROW = '<path data-glass="right" d="M100 0 H105 V60 H100 Z"/>'
# The right pane with a wide end behind a bridge of 3 mm.
BRIDGED = RIGHT.replace("V60 H50", "V28.5 H110 V0 H130 V60 H110 V31.5 H100 V60 H50")
# A seam with two square corners.
STEPPED = (
    '<path data-glass="left" d="M0 0 H60 V30 H40 V60 H0 Z"/><path data-glass="right" d="M60 0 H100 V60 H40 V30 H60 Z"/>'
)
# Two panes 1.25 mm apart, held by a wire.
APART = (
    '<path data-glass="left" d="M0 0 H50 V60 H0 Z"/><path data-glass="right" d="M51.25 0 H100 V60 H51.25 Z"/>'
    '<path data-mark="wire" d="M40 0 H60"/>'
)


def test_a_sound_drawing_has_no_finding(tmp_path: Path) -> None:
    """Wide pieces, a bent seam and a grain that is meant: there is nothing to say."""
    assert findings(tmp_path, LEFT + RIGHT) == ()


def test_a_strip_as_wide_as_the_limit_is_large_enough(tmp_path: Path) -> None:
    """A strip 6.5 mm wide is 6.1 mm across once half a foil gap is taken off: over the limit of 6 mm."""
    strip = NARROW.replace("H105", "H106.5")
    assert "G01" not in worded(findings(tmp_path, LEFT + RIGHT + strip), "en")


@pytest.mark.parametrize(("joins", "codes"), [(MIDDLE, []), (RIGHT_EDGE, ["G07"])])
def test_a_part_on_a_hinge_stiffens_it(tmp_path: Path, joins: str, codes: list[str]) -> None:
    """A pane of two folds along its one seam; not where a vane stands on it, but where one stands elsewhere."""
    studio = content(tmp_path, parted(joins, {"fin": "set_at: [90]"}, keys="grain: along\n"))
    product, making = studio.products[0], studio.studio.making
    (sized,) = read_sizes(product, making, studio.materials)
    assert [finding.code for finding in measure(product, sized, making).findings] == codes


@pytest.mark.parametrize(
    ("wire", "codes"),
    [("M50 0 V60", []), ("M50.5 0 V60", []), ("M50 0 V50", ["G07"]), ("M20 0 V60", ["G07"]), ("M20 0 L80 60", ["G07"])],
)
def test_a_wire_in_a_hinge_stiffens_it(tmp_path: Path, wire: str, codes: list[str]) -> None:
    """A wire soldered into the one seam of a pane from end to end keeps it from folding; none beside it or shorter."""
    drawing = f'{PANE}{PANE_RING}<path data-mark="wire" d="{wire}"/>'
    studio = content(tmp_path, record(drawing, keys="grain: along"))
    product, making = studio.products[0], studio.studio.making
    (sized,) = read_sizes(product, making, studio.materials)
    assert [each.code for each in measure(product, sized, making).findings if each.code == "G07"] == codes


@pytest.mark.parametrize(
    ("drawing", "code", "english", "german"),
    [
        (
            LEFT + RIGHT + NARROW,
            "G01",
            "Pane: under 6 mm across, so that it can hardly be ground and foiled: 3 (4.6 mm)",
            "3 (4,6 mm)",
        ),
        (
            STEPPED,
            "G02",
            "Pane: an inside corner that a bit of 6 mm cannot reach: 1 (x 40, y 30) and 2 (x 60, y 30); "
            "glass cracks when it is cut into one",
            "1 (x 40, y 30) und 2 (x 60, y 30)",
        ),
        (
            LEFT + BRIDGED,
            "G03",
            "Pane: glass under 4 mm wide between two wider parts: 2 (x 105, y 30); it breaks there",
            "2 (x 105, y 30)",
        ),
        (
            APART,
            "G05",
            "Pane: the pieces 1 and 2 run 1.3 mm apart at x 50, y 30 of the drawing, too far for a seam; "
            "both count as rim there",
            "bei x 50, y 30 der Zeichnung 1,3 mm voneinander entfernt",
        ),
        (
            LEFT.replace("<path", '<path mask="url(#m)"') + RIGHT,
            "G06",
            "Pane: mask is not read: the whole shape counts",
            "Pane: mask wird nicht gelesen",
        ),
        (
            LEFT + RIGHT + '<image href="x.png"/>',
            "G06",
            "Pane: <image> is not read: it is not a line",
            "Pane: <image> wird nicht gelesen",
        ),
        (
            "<style>g path { display: none }</style>" + LEFT + RIGHT,
            "G06",
            "Pane: the rule for g path in a style sheet is not read: shapes that it hides or moves count as they are "
            "drawn",
            "Pane: Die Regel für g path in einem Stylesheet wird nicht gelesen",
        ),
        (
            LEFT + RIGHT + '<path fill="none" d="M0 0 H9 V9 Z"/>',
            "G06",
            "Pane: 1 shape cannot be seen, as it has neither fill nor stroke or is fully transparent; it is left out",
            "Pane: 1 Form ist nicht zu sehen",
        ),
        (
            '<rect width="100%" height="100%" fill="white"/>' + LEFT + RIGHT,
            "G06",
            "Pane: a filled rectangle without a stroke is as large as the page; it counts as the background and is "
            "left out",
            "Pane: Ein gefülltes Rechteck ohne Kontur",
        ),
        (
            '<path data-glass="left" fill-rule="evenodd" d="M0 0 H50 L60 30 L50 60 H0 Z M10 20 h20 v20 h-20 z"/>'
            + RIGHT,
            "G08",
            "Pane: 1 enclosed field has no glass: x 20, y 30 (400 mm²) of the drawing; its edge counts as rim",
            "Pane: 1 umschlossenes Feld hat kein Glas: x 20, y 30 (400 mm²) der Zeichnung; seine Kante zählt als Rand",
        ),
        (
            '<path data-glass="left" d="M0 0 H60 L40 60 H0 Z"/><path data-glass="right" d="M60 0 H100 V60 H40 Z"/>',
            "G07",
            "Pane: one straight line of seams, 63 mm long, is all that joins two parts, from x 40, y 60 to x 60, y 0 "
            "of the drawing; a piece folds there when it is lifted",
            "von x 40, y 60 bis x 60, y 0 der Zeichnung",
        ),
    ],
)
def test_a_finding_in_words(tmp_path: Path, drawing: str, code: str, english: str, german: str) -> None:
    """A finding names the drawing, the pieces or places, and its limit, with numbers as the language writes them."""
    found = findings(tmp_path, drawing)
    text, advice = worded(found, "en")[code]
    german_text, german_advice = worded(found, "de")[code]
    assert text == english
    assert german in german_text
    assert len({text, advice, german_text, german_advice}) == 4


def test_findings_are_kept_between_builds(tmp_path: Path) -> None:
    """What a store keeps of findings comes back the same, numbers and places in them too."""
    adapter, found = TypeAdapter(tuple[Finding, ...]), findings(tmp_path, STEPPED + NARROW, keys="")
    assert [finding.code for finding in found] == ["G04", "G01", "G02", "G07"]
    assert adapter.validate_json(adapter.dump_json(found)) == found


@pytest.mark.parametrize(
    ("count", "english", "german"),
    [
        (1, "1 piece without one; it is cut with the grain along its length", "1 Glasteil ohne; es wird"),
        (2, "2 pieces without one; they are cut with the grain along their length", "2 Glasteile ohne; sie werden"),
    ],
)
def test_pieces_without_a_grain_are_counted(tmp_path: Path, count: int, english: str, german: str) -> None:
    """Where the glass has a grain, pieces without an arrow are counted, unless the record says that it is meant."""
    drawing = LEFT + (RIGHT if count == 2 else RIGHT.replace("<path", '<path data-grain="30"'))
    found = findings(tmp_path / "unsaid", drawing, keys="")
    assert english in worded(found, "en")["G04"][0]
    assert german in worded(found, "de")["G04"][0]
    assert findings(tmp_path / "meant", drawing) == ()


def test_places_are_in_the_units_of_the_drawing(tmp_path: Path) -> None:
    """At three times the drawn size a corner is named where the maker finds it in the drawing program."""
    found = findings(tmp_path, STEPPED, "grain: along\nwidth: 300 mm")
    assert "1 (x 40, y 30) and 2 (x 60, y 30)" in worded(found, "en")["G02"][0]
