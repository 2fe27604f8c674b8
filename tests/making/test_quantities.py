"""Quantities: what one item takes of each material, as it would be counted by hand at the bench."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path

import pytest

from catalog_builder.making.quantities import Use, read_measures, read_uses
from catalog_builder.piece.assembly import AssembledPiece
from catalog_builder.records.content import Content
from tests.studio import PANE, PANE_RING, content, makings, record, suspension

CONSUMABLE = {"kind": "consumable", "pack_size": "250", "pack_unit": "ml", "use_unit": "ml"}


def uses(records: Content, finish: str = "bright") -> dict[str, Use]:
    """What the first product takes, by material."""
    product = records.products[0]
    piece = AssembledPiece("", next(iter(product.keys.glass)), makings(records)[0], suspension(records))
    finished = read_uses(records.studio, records.materials.rows, product, records.studio.finishes[finish], piece)
    return {use.material.material: use for use in finished}


def test_measures(tmp_path: Path) -> None:
    """A pane of two has two pieces, two joints, 60 mm of seam and 320 mm of rim.

    Its glass is cut to 49.6 x 60 mm.
    """
    measures = read_measures(makings(content(tmp_path))[0])
    assert [measures.item, measures.piece, measures.joint] == [1, 2, 2]
    assert (measures.seam_m, measures.rim_m) == (Decimal("0.06"), Decimal("0.32"))
    assert measures.edge_m == Decimal("0.4384")
    assert measures.dm2 == Decimal("0.5952")


@pytest.mark.parametrize(("loss", "clearance"), [("0", "3"), ("6", "3"), ("25", "0"), ("0", "10")])
def test_glass(tmp_path: Path, loss: str, clearance: str) -> None:
    """Glass is charged as each piece's box with its clearance, and a share more for what cracks."""
    tables = {"making": f'solder = "solder"\nwire = "wire"\ncutting_clearance_mm = {clearance}'}
    used = uses(content(tmp_path, tables=tables, materials={"reed": {"loss_percent": loss}}))
    box = (Decimal("49.6") + Decimal(clearance)) * (60 + Decimal(clearance)) / 10_000
    assert used["reed"].quantity == pytest.approx(box * (1 + Decimal(loss) / 100))
    assert used["slate"].quantity == pytest.approx(box)


def test_one_glass(tmp_path: Path) -> None:
    """Pieces of one glass are charged together, whatever they are called in the drawing."""
    used = uses(content(tmp_path, record(glass="{left: reed, right: reed}")))
    assert used["reed"].quantity == 2 * Decimal("0.33138")
    assert "slate" not in used


@pytest.mark.parametrize(("overlap", "loss"), [("5", "0"), ("7", "0"), ("0", "8")])
def test_foil(tmp_path: Path, overlap: str, loss: str) -> None:
    """Foil goes round every cut piece once, with an overlap for each."""
    tables = {"making": f'solder = "solder"\nwire = "wire"\nfoil_overlap_mm = {overlap}'}
    used = uses(content(tmp_path, tables=tables, materials={"foil-wide": {"loss_percent": loss}}))
    metres = (Decimal("438.4") + 2 * Decimal(overlap)) / 1000
    assert used["foil-wide"].quantity == metres * (1 + Decimal(loss) / 100)


@pytest.mark.parametrize(("loss", "drops"), [("0", "0"), ("5", "0"), ("10", "1.5")])
def test_solder(tmp_path: Path, loss: str, drops: str) -> None:
    """Solder is metres of seam and rim by their weighed grams, a little at each joint, and the drops."""
    tables = {
        "making": 'solder = "solder"\nwire = "wire"\nseam_solder_g_m = 50\nrim_solder_g_m = 25\njoint_solder_g = 0.1'
    }
    records = content(tmp_path, record(keys=f"solder_drops_g: {drops}"), tables, {"solder": {"loss_percent": loss}})
    grams = 50 * Decimal("0.06") + 25 * Decimal("0.32") + Decimal("0.2") + Decimal(drops)
    assert uses(records)["solder"].quantity == grams * (1 + Decimal(loss) / 100)


def test_wire(tmp_path: Path) -> None:
    """Wire is taken as long as it is drawn, each material for itself."""
    wires = (
        '<path data-mark="wire" d="M50,60 v20"/><path data-mark="wire" d="M0,0 h-30"/>'
        '<path data-mark="wire" data-material="thin" d="M0,60 h-40"/>'
    )
    thin = {"kind": "wire", "pack_size": "9", "pack_unit": "m", "diameter_mm": "0.5", "density_g_cm3": "8.9"}
    used = uses(content(tmp_path, record(PANE + PANE_RING + wires), materials={"thin": thin}))
    assert (used["wire"].quantity, used["thin"].quantity) == (Decimal("0.05"), Decimal("0.04"))


@pytest.mark.parametrize(
    ("hang", "material", "quantity"),
    [
        ("{by: hook}", "hook", "1"),
        ("{by: cord, length: 300 mm}", "cord", "0.3"),
        ("{by: chain, length: 12 in}", "chain", "0.3048"),
    ],
)
def test_hanger(tmp_path: Path, hang: str, material: str, quantity: str) -> None:
    """A hook is counted, cord and chain are measured, and the ring is taken with each."""
    used = uses(content(tmp_path, record(keys=f"hang: {hang}")))
    assert used[material].quantity == Decimal(quantity)
    assert used["ring-small"].quantity == 1


@pytest.mark.parametrize(
    ("per", "quantity"),
    [
        ("item", "4"),
        ("piece", "8"),
        ("seam_m", "0.24"),
        ("rim_m", "1.28"),
        ("edge_m", "1.7536"),
        ("dm2", "2.3808"),
    ],
)
def test_consumables(tmp_path: Path, per: str, quantity: str) -> None:
    """A consumable is used by item, piece, metre or area, in its own unit."""
    rows = {"wax": {**CONSUMABLE, "use_amount": "4", "use_per": per}}
    assert uses(content(tmp_path, materials=rows))["wax"].quantity == Decimal(quantity)


def test_consumable_units(tmp_path: Path) -> None:
    """What is bought by the litre and used by the millilitre is counted in one unit."""
    rows = {"wax": {**CONSUMABLE, "pack_size": "1", "pack_unit": "l", "use_amount": "4", "use_per": "item"}}
    use = uses(content(tmp_path, materials=rows))["wax"]
    assert (use.quantity, use.material.unit, use.material.pack_amount) == (Decimal(4), "ml", Decimal(1000))


def test_finish_materials(tmp_path: Path) -> None:
    """A patina is used by the finishes that name it, and by no other."""
    rows = {name: {**CONSUMABLE, "use_amount": "10", "use_per": "seam_m"} for name in ("flux", "black", "copper")}
    tables = {
        "finishes.bright": 'title = "Bright"',
        "finishes.black": 'title = "Black"\nmaterials = ["black"]',
        "finishes.copper": 'title = "Copper"\nmaterials = ["copper"]',
    }
    records = content(tmp_path, tables=tables, materials=rows)
    taken = {finish: {"flux", "black", "copper"} & set(uses(records, finish)) for finish in records.studio.finishes}
    assert taken == {"bright": {"flux"}, "black": {"flux", "black"}, "copper": {"flux", "copper"}}


@pytest.mark.parametrize("loss", ["0", "12.5"])
def test_what_is_spilled_or_cut_off_is_charged(tmp_path: Path, loss: str) -> None:
    """Of wire and of consumables a share is lost as of foil and solder: as much more is taken."""
    wire = '<path data-mark="wire" d="M50,60 v20"/>'
    wax = {**CONSUMABLE, "use_amount": "4", "use_per": "item", "loss_percent": loss}
    used = uses(content(tmp_path, record(PANE + PANE_RING + wire), None, {"wax": wax, "wire": {"loss_percent": loss}}))
    more = 1 + Decimal(loss) / 100
    assert (used["wax"].quantity, used["wire"].quantity) == (4 * more, Decimal("0.02") * more)
