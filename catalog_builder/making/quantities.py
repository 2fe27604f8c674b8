"""Quantities: how much of each material one item takes."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal

from catalog_builder.phrase import Number, Phrase, phrase
from catalog_builder.piece.hanging.suspension import Suspension
from catalog_builder.piece.made_piece import MadePiece
from catalog_builder.records.content import Content
from catalog_builder.records.material import Material, canonical
from catalog_builder.records.product import GlassChoice, Product
from catalog_builder.records.studio import Finish
from catalog_builder.units import exact

# What work and consumables may depend on, in words.
PER = {
    "item": "item",
    "piece": "piece",
    "joint": "joint",
    "seam_m": "m of seam",
    "rim_m": "m of rim",
    "edge_m": "m of edge",
    "dm2": "dm2 of glass",
}


@dataclass(frozen=True, slots=True)
class Measures:
    """What work and consumables depend on, by the names that steps and materials use for it.

    ``broken`` is the share of pieces that crack and are made again.
    """

    item: Decimal
    piece: Decimal
    joint: Decimal
    seam_m: Decimal
    rim_m: Decimal
    edge_m: Decimal
    dm2: Decimal
    broken: Decimal = Decimal(0)

    def of(self, name: str) -> Decimal:
        """Give a measure by its name."""
        return Decimal(getattr(self, name))


@dataclass(frozen=True, slots=True)
class Use:
    """How much of a material one item takes, in the material's own unit. ``basis`` says how it came about."""

    material: Material
    group: str
    quantity: Decimal
    basis: str


def amount_of(material: Material, amount: Decimal, unit: str) -> Phrase:
    """Give an amount of a material in a unit of ``materials.csv``, such as 2 sheets or 500 g."""
    # Languages call a sheet of glass and one of paper by different words.
    name = "paper sheet" if unit == "sheet" and material.kind != "glass" else unit
    return phrase(f"basis.unit_{name.replace(' ', '_')}", count=Number(amount, 3))


def read_measures(made: MadePiece, glass: Mapping[str, Material] | None = None) -> Measures:
    """Give the measures of one item; ``glass`` by glass word, whose loss says how many pieces crack."""
    tallies = made.tallies
    lost = sum(
        (glass[word].loss_percent * tally.count for word, tally in tallies.items() if glass is not None), Decimal(0)
    )
    edge = sum(tally.edge_mm for tally in tallies.values())
    area = sum(tally.area_mm2 for tally in tallies.values())
    return Measures(
        Decimal(1),
        Decimal(made.pieces),
        Decimal(made.joints),
        exact(made.seam_mm / 1000),
        exact(made.rim_mm / 1000),
        exact(edge / 1000),
        exact(area / 10_000),
        lost / 100 / made.pieces,
    )


def read_uses(
    content: Content, product: Product, finish: Finish, choice: GlassChoice, made: MadePiece, suspension: Suspension
) -> tuple[Use, ...]:
    """Give all that one item takes, glass first."""
    measures = read_measures(made)
    return (
        *_glass(content, choice, made),
        *_metal(content, product, made, suspension, measures),
        *_consumed(content, finish, measures),
    )


def _glass(content: Content, choice: GlassChoice, made: MadePiece) -> Iterator[Use]:
    """Glass is charged by each piece's box along its grain, with clearance, and a share for breakage."""
    clearance = content.studio.making.cutting_clearance_mm
    charged: dict[str, float] = {}
    counts: dict[str, int] = {}
    for word, tally in made.tallies.items():
        name = choice.pieces[word]
        charged[name] = charged.get(name, 0.0) + tally.charged_mm2
        counts[name] = counts.get(name, 0) + tally.count
    for name in sorted(charged):
        material = content.materials.rows[name]
        pieces = "1 piece" if counts[name] == 1 else f"{counts[name]} pieces"
        quantity = exact(charged[name] / 10_000) * (1 + material.loss_percent / 100)
        basis = f"boxes of {pieces} along the grain, {clearance:g} mm clearance, {material.loss_percent:g} % breakage"
        yield Use(material, "glass", quantity, basis)


def _metal(
    content: Content, product: Product, made: MadePiece, suspension: Suspension, measures: Measures
) -> Iterator[Use]:
    making = content.studio.making
    overlap = measures.piece * making.foil_overlap_mm / 1000
    loss = 1 + made.foil.loss_percent / 100
    yield Use(made.foil, "foil", (measures.edge_m + overlap) * loss, "round every piece, with overlap")
    grams = sum(suspension.body.share(name) for name in ("seam", "rim", "joints", "drops"))
    bead = "weighed grams a metre" if made.bead.weighed else "bead model"
    basis = f"seams {made.bead.seam_g_m:.1f} g/m, rims {made.bead.rim_g_m:.1f} g/m ({bead})"
    if product.keys.solder_drops_g:
        basis += ", drops"
    yield Use(made.solder, "solder", exact(grams) * (1 + made.solder.loss_percent / 100), basis)
    wires: dict[str, float] = {}
    for drawn, length in made.wires.items():
        name = drawn or making.wire
        wires[name] = wires.get(name, 0.0) + length
    for name in sorted(wires):
        material = content.materials.rows[name]
        yield Use(material, "wire", exact(wires[name] / 1000) * (1 + material.loss_percent / 100), "as drawn")
    yield Use(suspension.ring, "hanging", Decimal(len(suspension.rings)), "rings")
    if suspension.hanger is not None:
        if product.keys.hang.by == "hook":
            yield Use(suspension.hanger, "hanging", Decimal(suspension.hanger_count), "hooks")
        else:
            yield Use(
                suspension.hanger, "hanging", exact(suspension.hanger_mm / 1000), f"{product.keys.hang.by} as recorded"
            )


def _consumed(content: Content, finish: Finish, measures: Measures) -> Iterator[Use]:
    """Consumables and packing by their own rows; those that a finish names, for that finish alone."""
    studio = content.studio
    special = {name for one in studio.finishes.values() for name in one.materials}
    rows: Mapping[str, Material] = content.materials.rows
    for name in sorted(rows):
        material = rows[name]
        if material.use_per is None or (name in special and name not in finish.materials):
            continue
        amount = (material.use_amount or Decimal(0)) * canonical(material.use_unit or material.unit)[1]
        quantity = amount * measures.of(material.use_per) * (1 + material.loss_percent / 100)
        group = "packing" if material.kind == "packing" else "consumables"
        yield Use(
            material,
            group,
            quantity,
            f"{material.use_amount:g} {material.use_unit} per {PER[material.use_per]}",
        )
