"""Findings on how a piece hangs: tilt, size and weight, lean, and wind."""

from __future__ import annotations

import math
import re
from dataclasses import replace
from pathlib import Path

import pytest

from catalog_builder.build import calculate_all
from catalog_builder.mistake import Finding, MistakeError, WordedFinding
from catalog_builder.pattern.measured import measure
from catalog_builder.pattern.sizes import read_sizes
from catalog_builder.piece.hanging.advice import hanging_findings
from catalog_builder.piece.hanging.strength import newtons
from catalog_builder.piece.hanging.wind import push_n
from catalog_builder.publish.studio_calculation import quiet
from catalog_builder.publish.theme.loading import read_theme
from catalog_builder.publish.theme.phrasing import Phrasing
from catalog_builder.publish.theme.wording import Wording
from catalog_builder.records.content import Content
from tests.parts import FIN, MIDDLE, RIGHT_EDGE, block, join, parted
from tests.piece.hanging.test_suspension import panes, ring
from tests.studio import PANE, content, record, ring_of, suspension

# A vane 60 mm deep, which draws the weight well out of the pane.
DEEP = block("fin", FIN.replace('"20"', '"60"'), 'width="60mm" height="60mm" viewBox="0 0 60 60"')
OFF = PANE.replace('x1="50"', 'x1="40"').replace('x2="50"', 'x2="40"')
OFF_RING = '<circle data-mark="ring" cx="40" cy="0" r="1"/>'


def findings_of(studio: Content) -> list[Finding]:
    """The findings on how the one product hangs."""
    return list(hanging_findings(studio.products[0], suspension(studio)))


def worded(finding: Finding, language: str = "en-GB") -> WordedFinding:
    """A finding in a language, by the labels of the theme that comes with the program."""
    theme = read_theme(Path("nowhere"), "daylight", language)
    return Phrasing(theme.labels, Wording("EUR", language, "metric")).finding(finding)


@pytest.mark.parametrize(
    ("text", "codes"),
    [
        (record(), []),
        (record(OFF + OFF_RING), ["H01"]),
        (record(keys="width: 310 mm"), ["H02"]),
        (parted(RIGHT_EDGE, {"fin": "set_at: [90]"}, blocks=DEEP), ["H01", "H03"]),
        (parted(MIDDLE, {"fin": "set_at: [90]"}, blocks=DEEP), ["H03"]),
        (parted(MIDDLE, {"fin": "set_at: [90, 270]"}, blocks=DEEP), []),
        (record(keys="hang: {outdoors: true}"), ["H04"]),
    ],
)
def test_codes(tmp_path: Path, text: str, codes: list[str]) -> None:
    """A tilt, a wide piece, a lean and wind are findings; a piece that hangs straight indoors has none."""
    tables = {"hanging": "safety_factor = 1"}
    assert [finding.code for finding in findings_of(content(tmp_path, text, tables))] == codes


@pytest.mark.parametrize(("angle", "way"), [(90, "in front of"), (270, "behind")])
def test_lean_says_which_way(tmp_path: Path, angle: int, way: str) -> None:
    """A vane to the front draws the weight forward, one to the back backward."""
    (finding,) = findings_of(content(tmp_path, parted(MIDDLE, {"fin": f"set_at: [{angle}]"}, blocks=DEEP)))
    text = worded(finding).text
    assert f"the weight of its parts lies {way} the ring; the main part will lean by " in text
    assert re.search(r"by \d+\.\d°$", text)


LEFT_OF_THE_MIDDLE = record(OFF + OFF_RING)
RIGHT_OF_THE_MIDDLE = record(OFF.replace("40", "60") + OFF_RING.replace("40", "60"))
# The middle of two rings on a chain lies left, or right, of the middle of a pane in three pieces.
LEGS = "hang: {by: chain, length: 150 mm}"
LEGS_LEFT = record(panes((10, 80)) + ring(10, 0) + ring(80, 0), keys=LEGS)
LEGS_RIGHT = record(panes((20, 90)) + ring(20, 0) + ring(90, 0), keys=LEGS)


@pytest.mark.parametrize(
    ("text", "english", "german", "advice"),
    [
        (LEFT_OF_THE_MIDDLE, "to the right of the ring", "rechts von der Öse", "use two rings"),
        (RIGHT_OF_THE_MIDDLE, "to the left of the ring", "links von der Öse", "use two rings"),
        (LEGS_LEFT, "to the right of the middle between its rings", "rechts von der Mitte", "move the rings so"),
        (LEGS_RIGHT, "to the left of the middle between its rings", "links von der Mitte", "move the rings so"),
    ],
)
def test_tilt_says_which_side(tmp_path: Path, text: str, english: str, german: str, advice: str) -> None:
    """The weight lies to the right of a ring left of the middle, and the other way round; so it does on two legs."""
    (finding,) = findings_of(content(tmp_path, text))
    assert finding.code == "H01"
    assert english in worded(finding).text
    assert advice in worded(finding).advice
    assert german in worded(finding, "de-DE").text
    assert re.search(r"tilted by \d+\.\d°;", worded(finding).text)
    assert re.search(r"um \d+,\d° geneigt", worded(finding, "de-DE").text)


# Two seams that end on a slanted rim: the right ring 12 mm lower, or higher, than the left one.
SLANTED = (
    '<path d="M0,0 L100,20 V80 H0 Z" data-glass="left"/><path d="M20,4 V80"/><path d="M80,16 V80"/>'
    '<text x="10" y="50" data-glass="left">1</text><text x="50" y="50" data-glass="right">2</text>'
    '<text x="90" y="50" data-glass="left">3</text>' + ring(20, 4) + ring(80, 16)
)
MIRRORED = f'<g transform="matrix(-1 0 0 1 100 0)">{SLANTED}</g>'


@pytest.mark.parametrize(("drawing", "side", "seite"), [(SLANTED, "left", "linke"), (MIRRORED, "right", "rechte")])
@pytest.mark.parametrize("by", ["ring", "hook"])
def test_rings_out_of_level_ask_for_hooks_out_of_level(
    tmp_path: Path, drawing: str, side: str, seite: str, by: str
) -> None:
    """A finding says which ring sits higher and by how many mm, and the advice how its hooks must differ."""
    box = 'width="100mm" height="80mm" viewBox="0 0 100 80"'
    (finding,) = findings_of(content(tmp_path, record(drawing, box, keys=f"hang: {{by: {by}}}")))
    assert finding.code == "H05"
    assert f"its {side} ring sits 12 mm higher" in worded(finding).text
    assert f"Seine {seite} Öse sitzt 12 mm höher" in worded(finding, "de-DE").text
    assert "at heights that differ by 12 mm" in worded(finding).advice


def test_a_tilt_by_uneven_rings_names_them(tmp_path: Path) -> None:
    """On a chain a piece with rings out of level tilts by them, and not by where its weight lies."""
    box = 'width="100mm" height="80mm" viewBox="0 0 100 80"'
    chain = record(SLANTED, box, keys="hang: {by: chain, length: 150 mm}")
    (finding,) = findings_of(content(tmp_path, chain))
    assert finding.code == "H01"
    assert "one of its rings sits 12 mm higher than the other" in worded(finding).text
    assert "draw its rings level" in worded(finding).advice


@pytest.mark.parametrize(
    ("limits", "heavy"),
    [
        ("stiffen_over_g = 1000\nstiffen_over_mm = 300", False),
        ("stiffen_over_g = 30\nstiffen_over_mm = 300", True),
        ("stiffen_over_g = 1000\nstiffen_over_mm = 99", True),
        ("stiffen_over_g = 1000\nstiffen_over_mm = 101", False),
    ],
)
def test_the_studio_sets_what_is_heavy(tmp_path: Path, limits: str, heavy: bool) -> None:
    """The studio says from which weight or length on a rim needs stiffening."""
    studio = content(tmp_path, record(), {"hanging": f"safety_factor = 5\n{limits}"})
    assert suspension(studio).heavy is heavy
    assert [worded(finding).text for finding in findings_of(studio)] == (
        [f"Pane: {suspension(studio).body.mass_g:.0f} g and 100 mm across"] if heavy else []
    )


@pytest.mark.parametrize(
    ("tilt", "lean", "codes"),
    [(1.9, 4.9, []), (2.1, 0, ["H01"]), (-2.1, 0, ["H01"]), (0, 5.1, ["H03"]), (0, -5.1, ["H03"])],
)
def test_from_which_angle_on(tmp_path: Path, tilt: float, lean: float, codes: list[str]) -> None:
    """A tilt of up to 2 degrees and a lean of up to 5 are not worth a finding: common practice, no source."""
    studio = content(tmp_path)
    hung = replace(suspension(studio), tilt_degrees=tilt, lean_degrees=lean)
    assert [finding.code for finding in hanging_findings(studio.products[0], hung)] == codes


@pytest.mark.parametrize(("off", "heavy"), [(-0.05, True), (0.05, False)])
def test_rings_count_towards_what_is_heavy(tmp_path: Path, off: float, heavy: bool) -> None:
    """A piece is heavy by its mass with its rings."""
    mass = suspension(content(tmp_path / "any")).body.mass_g
    limits = {"hanging": f"safety_factor = 5\nstiffen_over_g = {mass + off:.3f}"}
    assert suspension(content(tmp_path / "limit", tables=limits)).heavy is heavy


def test_wind_in_words(tmp_path: Path) -> None:
    """Outdoors a finding gives the push of a gale with its share of the weight and how far it swings the piece.

    The pane's glass is about 0.595 dm2: 1.80 x 629.9 Pa x 0.00595 = 6.7 N; it weighs about 0.6 N.
    """
    studio = content(tmp_path, record(keys="hang: {outdoors: true}"))
    (finding,) = findings_of(studio)
    times = push_n(suspension(studio).area_mm2) / newtons(suspension(studio).body.mass_g)
    assert (
        f"the gusts of a gale (21 m/s) push it with about 6.7 N, {times:.1f} times its weight" in worded(finding).text
    )
    assert f"can swing up to {math.degrees(math.atan(times)):.0f}°" in worded(finding).text
    assert "before a storm" in worded(finding).advice
    assert "(21 m/s) mit etwa 6,7 N" in worded(finding, "de-DE").text


def test_hardware_holds_a_gale(tmp_path: Path) -> None:
    """Ring and hook that hold a pane in still air five times over are too weak for it in a gale."""
    calm = suspension(content(tmp_path / "calm", record(keys="hang: {by: hook}")))
    windy = suspension(content(tmp_path / "windy", record(keys="hang: {by: hook, outdoors: true}")))
    assert (ring_of(calm).material, calm.gale_times) == ("ring-small", 1.0)
    assert ring_of(windy).material == "ring-large"
    weight = newtons(windy.body.mass_g)
    assert newtons(windy.ring_load_g) == pytest.approx(math.hypot(weight, push_n(windy.area_mm2)), rel=0.05)
    with pytest.raises(MistakeError, match=r"no hook of materials\.csv holds this piece of about \d+ g in a gale"):
        suspension(content(tmp_path / "storm", record(keys="hang: {by: hook, outdoors: true}\nwidth: 150 mm")))


def hinges(studio: Content) -> list[Finding]:
    """The findings that the one product would fold along a straight line of seams."""
    product, making = studio.products[0], studio.studio.making
    (sized,) = read_sizes(product, making, studio.materials)
    return [finding for finding in measure(product, sized, making).findings if finding.code == "G07"]


def test_a_part_on_a_hinge_stiffens_it(tmp_path: Path) -> None:
    """A pane of two folds along its one seam, and does not where a vane stands on it; beside it a vane is no help."""
    assert len(hinges(content(tmp_path / "bare"))) == 1
    assert hinges(content(tmp_path / "vane", parted(MIDDLE, {"fin": "set_at: [90]"}))) == []
    assert len(hinges(content(tmp_path / "edge", parted(RIGHT_EDGE, {"fin": "set_at: [90]"})))) == 1
    assert len(hinges(content(tmp_path / "foot", parted(join(0, 0, 0, 60), {"fin": "set_at: [90]"})))) == 1


def test_findings_reach_the_build(tmp_path: Path) -> None:
    """A build has each finding once for each size, by its name, whatever else is chosen."""
    finishes = "finishes: [bright, dark]"
    text = record(OFF + OFF_RING, keys="sizes: {small: 80 mm, drawn: 100 mm}").replace("finishes: [bright]", finishes)
    studio = content(tmp_path, text, {"finishes.dark": 'title = "Dark"'})
    calculated = calculate_all(studio, read_theme(tmp_path, "daylight", "en-GB"), quiet)
    assert len(calculated.calculations) == 4
    titles = [finding.text.partition(":")[0] for finding in calculated.worded_findings if finding.code == "H01"]
    assert titles == ["Pane, small", "Pane, drawn"]
