"""From where on a piece counts as tilted, leaning or heavy, and what its depth and its hooks come to.

The degrees are common practice, no source; the weights and lengths are the studio's own settings.
"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from catalog_builder.piece.hanging.advice import hanging_findings
from catalog_builder.piece.hanging.suspension import Suspension
from tests.studio import TABLES, content, record, ring_of, suspension

TALL = (
    '<rect width="60" height="100" data-glass="left"/><path d="M30,0 V100"/>'
    '<text x="15" y="50" data-glass="left">1</text><text x="45" y="50" data-glass="right">2</text>'
    '<circle data-mark="ring" cx="30" cy="0" r="1"/>'
)
TALL_BOX = 'width="60mm" height="100mm" viewBox="0 0 60 100"'
TWO_RINGS = (
    '<rect width="100" height="60" data-glass="left"/><path d="M20,0 V60"/><path d="M80,0 V60"/>'
    '<text x="10" y="30" data-glass="left">1</text><text x="50" y="30" data-glass="right">2</text>'
    '<text x="90" y="30" data-glass="left">3</text>'
    '<circle data-mark="ring" cx="20" cy="0" r="1"/><circle data-mark="ring" cx="80" cy="0" r="1"/>'
)


def limited(root: Path, limits: str, text: str = "") -> Suspension:
    """A piece as it hangs in a studio with limits of its own."""
    return suspension(content(root, text or record(), {"hanging": f"safety_factor = 5\n{limits}"}))


@pytest.mark.parametrize(
    ("tilt", "lean", "codes"),
    [
        (1.9, 4.9, []),
        (2.1, 0.0, ["H01"]),
        (-2.1, 0.0, ["H01"]),
        (0.0, 5.1, ["H03"]),
        (0.0, -5.1, ["H03"]),
        (2.1, 5.1, ["H01", "H03"]),
    ],
)
def test_a_tilt_is_pointed_out_over_two_degrees_and_a_lean_over_five(
    tmp_path: Path, tilt: float, lean: float, codes: list[str]
) -> None:
    """Less than that nobody sees in a window."""
    studio = content(tmp_path)
    piece = replace(suspension(studio), tilt_degrees=tilt, lean_degrees=lean)
    assert [finding.code for finding in hanging_findings(studio.products[0], piece)] == codes


def test_a_tall_piece_is_heavy_as_a_wide_one_is(tmp_path: Path) -> None:
    """The longer side decides, whichever way a piece hangs: 60 mm wide and 100 mm high."""
    tall = record(TALL, TALL_BOX)
    assert limited(tmp_path / "over", "stiffen_over_mm = 99", tall).heavy
    assert not limited(tmp_path / "under", "stiffen_over_mm = 101", tall).heavy


@pytest.mark.parametrize(("more_g", "heavy"), [(-1, True), (1, False)])
def test_a_piece_is_heavy_from_the_studios_weight_on(tmp_path: Path, more_g: int, heavy: bool) -> None:
    """A gram over the studio's limit asks for a stiffened rim, a gram under it does not."""
    mass = suspension(content(tmp_path / "weighed")).body.mass_g
    assert limited(tmp_path / "limited", f"stiffen_over_g = {mass + more_g:.2f}").heavy is heavy


@pytest.mark.parametrize(("height", "depth"), [("1.2", 5.4), ("0.5", 4.0)])
def test_a_piece_is_as_deep_as_glass_and_both_beads(tmp_path: Path, height: str, depth: float) -> None:
    """Glass of 3 mm with a bead on either face."""
    tables = {"making": f"{TABLES['making']}\nseam_height_mm = {height}"}
    assert suspension(content(tmp_path, tables=tables)).depth_mm == pytest.approx(depth)


def test_each_ring_has_a_hook_of_its_own(tmp_path: Path) -> None:
    """Two rings take two hooks, of 2 g each, and one ring takes one."""
    hooks = "hang: {by: hook}"
    single = suspension(content(tmp_path / "single", record(keys=hooks)))
    double = suspension(content(tmp_path / "double", record(TWO_RINGS, keys=hooks)))
    assert (single.hanger_count, double.hanger_count) == (1, 2)
    assert (single.hanger_mass_g, double.hanger_mass_g) == (2.0, 4.0)


def test_hardware_is_priced_by_the_piece_and_not_by_the_pack(tmp_path: Path) -> None:
    """Of two rings that weigh alike, one at 24 cents in a large pack comes before one at 60 cents in a small one."""
    ring = {"kind": "ring", "pack_unit": "each", "mass_g": "0.4", "length_mm": "6", "rated_load_g": "2000"}
    rings = {"ring-few": {**ring, "pack_size": "10"}, "ring-many": {**ring, "pack_size": "50"}}
    prices = "ring-few,2030-06-01,6.00\nring-many,2030-06-01,12.00\nring-small,2030-06-01,99.00\n"
    assert ring_of(suspension(content(tmp_path, materials=rings, prices=prices))).material == "ring-many"
