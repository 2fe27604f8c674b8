"""Quantities: how much of each material one item takes."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal

from catalog_builder.phrase import Number, Phrase, Quantity, phrase, quantity
from catalog_builder.piece.assembly import AssembledPiece
from catalog_builder.piece.made_piece import MadePiece
from catalog_builder.records.hardware_kind import HardwareKind
from catalog_builder.records.material import Material, canonical
from catalog_builder.records.product import GlassChoice, Product
from catalog_builder.records.studio import Finish, Studio
from catalog_builder.units import exact

# What work and consumables may depend on: the names of the fields of `Measures`.
MEASURES = ("item", "piece", "joint", "seam_m", "rim_m", "frame_m", "corner", "edge_m", "dm2")
# What is done again for a piece that cracks: the parts of a step that go by pieces and their edges.
CUT_AGAIN = ("piece", "edge_m", "dm2")


@dataclass(frozen=True, slots=True)
class Measures:
    """What work and consumables depend on, by the names that steps and materials use for it.

    ``rim_m`` is the rim that has a bead, ``frame_m`` the length of a frame's bars and ``corner`` how many corners they
    make. ``broken`` is the share of the pieces cut that crack and are cut again. ``ready_piece``, ``ready_edge_m`` and
    ``ready_dm2`` say how much of the measures is due to pieces bought ready.
    """

    item: Decimal
    piece: Decimal
    joint: Decimal
    seam_m: Decimal
    rim_m: Decimal
    edge_m: Decimal
    dm2: Decimal
    broken: Decimal = Decimal(0)
    frame_m: Decimal = Decimal(0)
    corner: Decimal = Decimal(0)
    ready_piece: Decimal = Decimal(0)
    ready_edge_m: Decimal = Decimal(0)
    ready_dm2: Decimal = Decimal(0)

    def of(self, name: str, cut_only: bool = False) -> Decimal:
        """Give a measure by its name; ``cut_only`` leaves out pieces bought ready."""
        ready = getattr(self, f"ready_{name}") if cut_only and name in CUT_AGAIN else Decimal(0)
        return Decimal(getattr(self, name)) - Decimal(ready)


@dataclass(frozen=True, slots=True)
class Use:
    """How much of a material one item takes, in the material's own unit. ``basis`` says how it was calculated."""

    material: Material
    group: str
    quantity: Decimal
    basis: Phrase


def amount_of(material: Material, amount: Decimal, unit: str) -> Phrase:
    """Give an amount of a material in a unit of ``materials.csv``, such as 2 sheets or 500 g."""
    # Languages call a sheet of glass and one of paper by different words.
    name = "paper sheet" if unit == "sheet" and material.kind != "glass" else unit
    return phrase(f"basis.unit_{name.replace(' ', '_')}", count=Number(amount, 3))


def read_measures(made: MadePiece) -> Measures:
    """Give the measures of one item; the loss of its glass says how many pieces crack."""
    tallies = made.tallies
    ready = [tally for word, tally in tallies.items() if made.glass[word].ready_made]
    cut = {word: tally for word, tally in tallies.items() if not made.glass[word].ready_made}
    lost = sum((made.glass[word].loss_percent * tally.count for word, tally in cut.items()), Decimal(0))
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
        lost / 100 / max(1, sum(tally.count for tally in cut.values())),
        frame_m=exact(made.frame.length_mm / 1000) if made.frame is not None else Decimal(0),
        corner=Decimal(made.frame.corners if made.frame is not None else 0),
        ready_piece=Decimal(sum(tally.count for tally in ready)),
        ready_edge_m=exact(sum(tally.edge_mm for tally in ready) / 1000),
        ready_dm2=exact(sum(tally.area_mm2 for tally in ready) / 10_000),
    )


def read_uses(
    studio: Studio, rows: Mapping[str, Material], product: Product, finish: Finish, piece: AssembledPiece
) -> tuple[Use, ...]:
    """Give all that one item takes, glass first; ``rows`` are the materials by name."""
    measures = read_measures(piece.made)
    return (
        *_glass(studio, rows, product.keys.glass[piece.choice], piece.made),
        *_metal(studio, rows, product, piece, measures),
        *_hanging(product, piece),
        *_consumed(studio, rows, finish, measures),
    )


def _glass(studio: Studio, rows: Mapping[str, Material], choice: GlassChoice, made: MadePiece) -> Iterator[Use]:
    """Glass is charged by each piece's box along its grain, with clearance, and a share for breakage.

    Pieces bought ready are charged by their number, and what is lost of them.
    """
    clearance = studio.making.cutting_clearance_mm
    charged: dict[str, float] = {}
    counts: dict[str, int] = {}
    for word, tally in made.tallies.items():
        name = choice.pieces[word]
        charged[name] = charged.get(name, 0.0) + tally.charged_mm2
        counts[name] = counts.get(name, 0) + tally.count
    for name in sorted(charged):
        material = rows[name]
        if material.ready_made:
            count, loss = Decimal(counts[name]), material.loss_percent / 100
            basis = phrase("basis.glass_ready_made", count=counts[name], loss=Quantity(loss, "share"))
            yield Use(material, "glass", count * (1 + loss), basis)
            continue
        amount = exact(charged[name] / 10_000) * (1 + material.loss_percent / 100)
        basis = phrase(
            "basis.glass_boxes",
            count=counts[name],
            clearance=Quantity(clearance, "mm", 2),
            loss=Quantity(material.loss_percent / 100, "share"),
        )
        yield Use(material, "glass", amount, basis)


def _metal(
    studio: Studio, rows: Mapping[str, Material], product: Product, piece: AssembledPiece, measures: Measures
) -> Iterator[Use]:
    """Foil goes round every piece and overlaps at its ends; solder and wire are as weighed and as drawn."""
    making, made = studio.making, piece.made
    overlap = measures.piece * making.foil_overlap_mm / 1000
    loss = 1 + made.foil.loss_percent / 100
    yield Use(made.foil, "foil", (measures.edge_m + overlap) * loss, phrase("basis.foil"))
    grams = sum(piece.suspension.body.share(name) for name in ("seam", "rim", "joints", "drops"))
    source = phrase(f"basis.bead_{making.solder_source}")
    if made.corner_g_m is not None:
        source = phrase("basis_space.corners", corner=quantity(made.corner_g_m, "g/m", 1), source=source)
    basis = phrase(
        "basis.solder_drops" if product.keys.solder_drops_g else "basis.solder",
        seam=quantity(made.bead.seam_g_m, "g/m", 1),
        rim=quantity(made.bead.rim_g_m, "g/m", 1),
        source=source,
    )
    yield Use(made.solder, "solder", exact(grams) * (1 + made.solder.loss_percent / 100), basis)
    lengths_mm: dict[str, float] = {}
    for wire, length in made.wires.items():
        # A wire line that names no wire is of the studio's own.
        name = wire or making.wire
        lengths_mm[name] = lengths_mm.get(name, 0.0) + length
    along_rim = {loop.material or making.wire for loop in made.loops}
    for name in sorted(lengths_mm):
        material = rows[name]
        metres = exact(lengths_mm[name] / 1000)
        basis = phrase("basis.wire_along_rim" if name in along_rim else "basis.wire")
        yield Use(material, "wire", metres * (1 + material.loss_percent / 100), basis)
    if made.frame is not None:
        material = made.frame.material
        basis = phrase("basis.frame", count=len(made.frame.bars), loss=Quantity(material.loss_percent / 100, "share"))
        yield Use(material, "frame", measures.frame_m * (1 + material.loss_percent / 100), basis)


def _hanging(product: Product, piece: AssembledPiece) -> Iterator[Use]:
    suspension, hang_by = piece.suspension, product.keys.hang.by
    if suspension.ring is not None:
        basis = "rings" if suspension.ring.kind is HardwareKind.RING else str(hang_by)
        yield Use(suspension.ring, "hanging", Decimal(len(suspension.rings)), phrase(f"basis.{basis}"))
    if suspension.hanger is not None:
        # Hooks are counted, cord, chain and rods are cut to length.
        amount = exact(suspension.hanger_mm / 1000) if hang_by.needs_length else Decimal(suspension.hanger_count)
        if hang_by is HardwareKind.STAKE:
            amount *= 1 + suspension.hanger.loss_percent / 100
        yield Use(suspension.hanger, "hanging", amount, phrase(f"basis.{hang_by}"))


def _consumed(studio: Studio, rows: Mapping[str, Material], finish: Finish, measures: Measures) -> Iterator[Use]:
    """Consumables and packing by their own rows; those that a finish names, for that finish alone."""
    of_finishes = {name for each in studio.finishes.values() for name in each.materials}
    for name in sorted(rows):
        material = rows[name]
        if material.use_per is None or (name in of_finishes and name not in finish.materials):
            continue
        used, unit = material.use_amount or Decimal(0), material.use_unit or material.unit
        amount = used * canonical(unit)[1] * measures.of(material.use_per) * (1 + material.loss_percent / 100)
        group = "packing" if material.kind == "packing" else "consumables"
        yield Use(
            material, group, amount, phrase(f"basis.per_{material.use_per}", amount=amount_of(material, used, unit))
        )
