"""What the bench is told of how a piece hangs: tilt, size and weight, lean, and wind."""

from __future__ import annotations

from pathlib import Path

import pytest

from catalog_builder.build import calculate_all, quiet
from catalog_builder.mistake import Finding
from catalog_builder.pattern.measured import measure
from catalog_builder.pattern.sizes import read_sizes
from catalog_builder.piece.hanging.advice import hanging_findings
from catalog_builder.publish.theme.loading import read_theme
from catalog_builder.records.content import Content
from tests.parts import FIN, MIDDLE, RIGHT_EDGE, block, join, parted
from tests.studio import PANE, content, record, suspension

# A vane 60 mm deep, which draws the weight well out of the pane.
DEEP = block("fin", FIN.replace('"20"', '"60"'), 'width="60mm" height="60mm" viewBox="0 0 60 60"')
OFF = PANE.replace('x1="50"', 'x1="40"').replace('x2="50"', 'x2="40"')
OFF_RING = '<circle data-mark="ring" cx="40" cy="0" r="1"/>'


def told(found: Content) -> list[Finding]:
    """What is found of how the one product hangs."""
    return list(hanging_findings(found.products[0], suspension(found)))


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
    """A tilt, a wide piece, a lean and wind are each told; a piece that hangs straight indoors is not."""
    tables = {"hanging": "safety_factor = 1"}
    assert [one.code for one in told(content(tmp_path, text, tables))] == codes


@pytest.mark.parametrize(("angle", "way"), [(90, "forward"), (270, "back")])
def test_lean_says_which_way(tmp_path: Path, angle: int, way: str) -> None:
    """A vane to the front draws the weight forward, one to the back backward."""
    (one,) = told(content(tmp_path, parted(MIDDLE, {"fin": f"set_at: [{angle}]"}, blocks=DEEP)))
    assert f"its parts weigh {way} of the ring" in str(one.text)


@pytest.mark.parametrize(("main", "side"), [(OFF + OFF_RING, "right"), (OFF.replace("40", "60"), "left")])
def test_tilt_says_which_side(tmp_path: Path, main: str, side: str) -> None:
    """The weight lies to the right of a ring left of the middle, and the other way round."""
    ring = "" if "circle" in main else OFF_RING.replace("40", "60")
    (one,) = told(content(tmp_path, record(main + ring)))
    assert f"its weight lies to the {side} of the ring" in str(one.text)


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
    """From which weight or length on a rim wants stiffening is the studio's own word."""
    found = content(tmp_path, record(), {"hanging": f"safety_factor = 5\n{limits}"})
    assert suspension(found).heavy is heavy
    assert [one.code for one in told(found)] == (["H02"] if heavy else [])


def test_wind_in_words(tmp_path: Path) -> None:
    """Outdoors the push of a gale is told with its share of the weight and how far it swings the piece.

    The pane's glass is about 0.595 dm2: 1.2 x 1.25 x 20.7^2 / 2 x 0.00595 = 1.91 N; it weighs about 0.6 N.
    """
    (one,) = told(content(tmp_path, record(keys="hang: {outdoors: true}")))
    assert "a gale (21 m/s) pushes it with about 1.9 N" in str(one.text)
    assert "before a storm" in str(one.advice)


def g07(found: Content) -> list[str]:
    """The straight lines of seams that are told for the one product."""
    product, making = found.products[0], found.studio.making
    (sized,) = read_sizes(product, making, found.materials)
    return [str(one.text) for one in measure(product, sized, making).findings if one.code == "G07"]


def test_a_part_on_a_hinge_stiffens_it(tmp_path: Path) -> None:
    """A pane of two folds along its one seam, and does not where a vane stands on it; beside it a vane is no help."""
    assert len(g07(content(tmp_path / "bare"))) == 1
    assert g07(content(tmp_path / "vane", parted(MIDDLE, {"fin": "set_at: [90]"}))) == []
    assert len(g07(content(tmp_path / "edge", parted(RIGHT_EDGE, {"fin": "set_at: [90]"})))) == 1
    assert len(g07(content(tmp_path / "foot", parted(join(0, 0, 0, 60), {"fin": "set_at: [90]"})))) == 1


def test_findings_reach_the_build(tmp_path: Path) -> None:
    """What is found of how a piece hangs is told once for each size, by its name, whatever else is chosen."""
    finishes = "finishes: [bright, dark]"
    text = record(OFF + OFF_RING, keys="sizes: {small: 80 mm, drawn: 100 mm}").replace("finishes: [bright]", finishes)
    found = content(tmp_path, text, {"finishes.dark": 'title = "Dark"'})
    calculated = calculate_all(found, read_theme(tmp_path, "daylight", "en-GB"), quiet)
    assert len(calculated.calculations) == 4
    titles = [str(one.text).partition(":")[0] for one in calculated.findings if one.code == "H01"]
    assert titles == ["Pane, small", "Pane, drawn"]
