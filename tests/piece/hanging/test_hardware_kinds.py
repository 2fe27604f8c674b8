"""Every kind of hanging hardware: its height, mass, load, count, drawing and words. A kind that is left out fails."""

from __future__ import annotations

import math
import re
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path

import pytest

from catalog_builder.build import calculate
from catalog_builder.mistake import MistakeError
from catalog_builder.publish.audiences import publish_audiences
from catalog_builder.publish.pictures.hardware_drawing import draw_hardware
from catalog_builder.publish.pictures.sketch import Sketch
from catalog_builder.publish.studio_calculation import quiet
from catalog_builder.publish.studio_pictures import make_panels, make_pictures
from catalog_builder.publish.theme.loading import read_theme
from catalog_builder.publish.theme.phrasing import Phrasing
from catalog_builder.publish.theme.wording import Wording
from catalog_builder.records.content import Content
from catalog_builder.records.hardware_kind import HardwareKind
from tests.publish.page import read_page, text_of
from tests.studio import DAY, MATERIALS, Cells, calculations, content, project, record, ring_of, suspension

LABELS = Path(__file__).parents[3] / "themes" / "daylight" / "labels" / "en.toml"
SWIVEL = {
    "kind": "swivel",
    "pack_size": "10",
    "pack_unit": "each",
    "mass_g": "3",
    "length_mm": "20",
    "rated_load_g": "6000",
}
SCREW_EYE = {
    "kind": "screw_eye",
    "pack_size": "50",
    "pack_unit": "each",
    "mass_g": "0.9",
    "length_mm": "7",
    "rated_load_g": "4000",
}
# It stands 10 mm out of the glass all round.
WOOD = {
    "kind": "moulding",
    "pack_size": "2",
    "pack_unit": "m",
    "width_mm": "15",
    "thickness_mm": "12",
    "rebate_mm": "7",
    "play_mm": "2",
    "slot_mm": "6",
    "density_g_cm3": "0.5",
    "colour": "#8a6a45",
}
WOOD_MM = {HardwareKind.SCREW_EYE: 10.0}
SUCTION_HOOK = {
    "kind": "suction_hook",
    "pack_size": "10",
    "pack_unit": "each",
    "mass_g": "9",
    "length_mm": "35",
    "rated_load_g": "3000",
}
MAGNET = {
    "kind": "magnet",
    "pack_size": "10",
    "pack_unit": "each",
    "mass_g": "20",
    "length_mm": "28",
    "rated_load_g": "12000",
}
ADDED: Mapping[str, Cells] = {
    "swivel": SWIVEL,
    "screw_eye": SCREW_EYE,
    "suction_hook": SUCTION_HOOK,
    "magnet": MAGNET,
    "wood": WOOD,
}
ROWS: Mapping[str, Cells] = {**MATERIALS, **ADDED}


@dataclass(frozen=True, slots=True)
class Expected:
    """What a kind adds to a pane of 60 mm on one ring of 6 mm: height in mm, mass in g and how much of it is used.

    ``share`` is the part of the pane's weight that each strand of it carries.
    """

    hang: str
    height_mm: float
    mass_g: float
    used: str
    share: float


# The one seam ends where the ring is, so that a loop's wire goes right round the pane of 320 mm; its eye stands 5 mm
# high, a round of 24 corners. The wire is of 20 AWG and 8.89 g/cm3: 4.602 g a metre (tests/outside/test_metals.py).
LOOP_MM = 320 + 24 * 5 * math.sin(math.pi / 24)
# Of the rows in the tables of the tests' studio. A cord or chain of 300 mm hangs double: half as low, half the load a
# strand.
EXPECTED = {
    HardwareKind.RING: Expected("{by: ring}", 0, 0, "1", 1),
    HardwareKind.HOOK: Expected("{by: hook}", 30, 2, "1", 1),
    HardwareKind.SWIVEL: Expected("{by: swivel}", 20, 3, "1", 1),
    HardwareKind.CORD: Expected("{by: cord, length: 300 mm}", 150, 0.3, "0.3", 0.5),
    HardwareKind.CHAIN: Expected("{by: chain, length: 300 mm}", 150, 2.4, "0.3", 0.5),
    # In place of the ring of 6 mm and 0.4 g.
    HardwareKind.SCREW_EYE: Expected("{by: screw_eye}", 1, 0.5, "1", 1),
    HardwareKind.SUCTION_HOOK: Expected("{by: suction_hook}", 35, 9, "1", 1),
    HardwareKind.MAGNET: Expected("{by: magnet}", 28, 20, "1", 1),
    HardwareKind.LOOP: Expected("{by: loop}", 5, 4.602 * LOOP_MM / 1000, f"{LOOP_MM / 1000:.4f}", 1),
}
# How many times the studio's safety factor a kind must hold: a sucker ages; on an upright sheet a magnet holds by
# friction alone, about a fifth of its pull (tests/outside/test_tipping.py).
TIMES = {HardwareKind.SUCTION_HOOK: 2, HardwareKind.MAGNET: 5}
# What such a piece hangs in by the rated load of its ring.
BY_RING = (HardwareKind.RING, HardwareKind.LOOP)
HANGING = tuple(kind for kind in HardwareKind if kind.hangs)
EACH = pytest.mark.parametrize("kind", HANGING)


def hung_by(root: Path, kind: HardwareKind, cells: Cells | None = None, factor: str = "5") -> Content:
    """A studio with all kinds, whose pane hangs by a kind; ``cells`` are set in that kind's row."""
    name = "ring-small" if kind in BY_RING else str(kind)
    materials = {**ADDED, name: {**ROWS[name], **(cells or {})}}
    return content(root, pane_on(kind, EXPECTED[kind].hang), {"hanging": f"safety_factor = {factor}"}, materials)


def pane_on(kind: HardwareKind, hang: str) -> str:
    """The pane's record; a kind that is screwed into wood has it round the pane."""
    frame = "frame: {material: wood}\n" if kind in WOOD_MM else ""
    return record(keys=f"{frame}hang: {hang}")


def bare_g(root: Path, kind: HardwareKind) -> float:
    """The mass of the pane, in its frame if it has one, on one ring of 0.4 g."""
    hung = suspension(content(root, pane_on(kind, "{by: ring}"), materials=ADDED))
    return hung.body.mass_g - hung.body.share("ring") + 0.4


@EACH
def test_height_and_mass(tmp_path: Path, kind: HardwareKind) -> None:
    """What it hangs by is part of the hung height and of the mass; the ring of 6 mm is there with every kind."""
    hung = suspension(hung_by(tmp_path / "a", kind))
    assert hung.hung_by is kind
    height = 60 + 2 * WOOD_MM.get(kind, 0) + 6 + EXPECTED[kind].height_mm
    # Wood lies before the glass, so that the frame leans back by a degree.
    assert hung.hung_height_mm == pytest.approx(height, abs=0.02 if kind in WOOD_MM else 1e-6)
    assert hung.mass_g == pytest.approx(bare_g(tmp_path / "b", kind) + EXPECTED[kind].mass_g, abs=2e-4)


@EACH
def test_rated_load_covers_the_load(tmp_path: Path, kind: HardwareKind) -> None:
    """A rated load at the load with its own mass, times the safety factor, holds; one a little below does not."""
    expected = EXPECTED[kind]
    load = bare_g(tmp_path / "bare", kind) * expected.share + expected.mass_g
    factor = 7 * TIMES.get(kind, 1)
    holds, breaks = ({"rated_load_g": f"{load * factor + off:.4f}"} for off in (0.01, -0.01))
    assert suspension(hung_by(tmp_path / "holds", kind, holds, "7")).hung_by is kind
    studio = hung_by(tmp_path / "breaks", kind, breaks, "7")
    if kind in BY_RING:
        # The next ring is taken in its place.
        assert ring_of(suspension(studio)).material == "ring-large"
    else:
        with pytest.raises(MistakeError, match=f"no {kind} of materials.csv holds"):
            suspension(studio)


@EACH
def test_used(tmp_path: Path, kind: HardwareKind) -> None:
    """One item takes what its kind is counted in, one of it or metres, and its line of cost says how much."""
    studio = hung_by(tmp_path, kind)
    (variant,) = calculations(studio)
    lines = [line for line in variant.cost.lines if line.group in ("hanging", "wire")]
    amounts = {str(studio.materials.rows[line.key].kind): round(line.quantity, 4) for line in lines}
    ring = {} if kind is HardwareKind.SCREW_EYE else {"ring": 1}
    assert amounts == {**ring, kind.bought_as: Decimal(EXPECTED[kind].used)}
    assert {studio.materials.rows[line.key].unit for line in lines} == {"each", kind.counted_in}
    phrasing = Phrasing(read_theme(tmp_path, "daylight", "en-GB").labels, Wording("EUR", "en-GB", "metric"))
    assert all(phrasing.show(line.basis) for line in lines)


@EACH
def test_drawing(tmp_path: Path, kind: HardwareKind) -> None:
    """Each kind is drawn in its own way, as high as it hangs."""
    hung, sketch = suspension(hung_by(tmp_path, kind)), Sketch(text_mm=3, line_mm=0.2)
    top = draw_hardware(sketch, hung, hung.rings, front=True)
    assert top == pytest.approx(-WOOD_MM.get(kind, 0) - 6 - EXPECTED[kind].height_mm)
    assert len(sketch.marks) >= (1 if kind is HardwareKind.RING else 2)
    assert min(sketch.least[1] for _ in sketch.marks) <= top


def test_drawings_differ(tmp_path: Path) -> None:
    """No two kinds are drawn alike."""
    drawings = set()
    for kind in HANGING:
        hung, sketch = suspension(hung_by(tmp_path / kind, kind)), Sketch(text_mm=3, line_mm=0.2)
        draw_hardware(sketch, hung, hung.rings, front=True)
        # Letters alone, as sizes differ from kind to kind anyway.
        drawings.add(re.sub(r"[\d. -]+", "", "".join(sketch.marks)))
    assert len(drawings) == len(HANGING)


def test_labels() -> None:
    """A customer reads of each kind what it is and what to hang it from, by its count where a label has two forms."""
    labels = tomllib.loads(LABELS.read_text(encoding="utf-8"))["hardware"]
    assert {re.sub("_(one|many)$", "", key) for key in labels} == {f"hang_by_{kind}" for kind in HardwareKind}


@pytest.mark.parametrize(("keys", "count"), [("hang: {by: swivel}", 1), ("hang: {by: swivel, length: 300 mm}", 1)])
def test_a_length_is_of_cord_and_chain_alone(tmp_path: Path, keys: str, count: int) -> None:
    """A length that a record gives for hardware that is counted changes neither its mass nor its height."""
    hung = suspension(content(tmp_path, record(keys=keys), materials={"swivel": SWIVEL}))
    assert (hung.hanger_count, hung.hanger_mm, hung.hanger_mass_g) == (count, 0, 3)
    assert hung.hung_height_mm == pytest.approx(86)


def test_a_swivel_on_the_pages(tmp_path: Path) -> None:
    """A piece on a swivel of 20 mm says so to the customer and to the bench, without the caution on cords."""
    root = project(tmp_path, {"pane": record(keys="hang: {by: swivel}")}, materials={"swivel": SWIVEL})
    calculated = calculate(root, DAY, quiet)
    publish_audiences(calculated, make_pictures(calculated, 1, quiet), make_panels(calculated, 1, quiet), quiet)
    page = text_of(read_page(root / "site_output" / "catalogue" / "products" / "pane.html"))
    assert "It comes with a metal swivel, 20 mm long" in page
    assert "86 mm" in page
    assert "round a small child's neck" not in page
    (card,) = (root / "site_output" / "bench" / "cards").glob("*.html")
    rows = [[text_of(cell) for cell in row.select("th, td")] for row in read_page(card).select("tr")]
    assert ["swivel", "3.0 g"] in rows
