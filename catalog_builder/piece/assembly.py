"""A product assembled: size -> measure -> hang, in each size and choice of glass.

This is the slow part of a calculation, and no price of glass or hour changes it. Its results are kept from one build
to the next.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date
from functools import partial
from typing import Annotated

from pydantic import Field, TypeAdapter, ValidationError

from catalog_builder.cache.store import Store, key_of, program
from catalog_builder.mistake import Finding
from catalog_builder.pattern.outlines import Outlines
from catalog_builder.piece.hanging.loops import with_rim_loops
from catalog_builder.piece.hanging.proposal import RingProposals, propose_rings
from catalog_builder.piece.hanging.ring_advice import wants_proposals
from catalog_builder.piece.hanging.suspension import Suspension, hang_piece
from catalog_builder.piece.made_piece import MadePiece, make_piece
from catalog_builder.piece.standing.standing_piece import stand_piece
from catalog_builder.records.hardware_kind import HardwareKind
from catalog_builder.records.materials import Materials
from catalog_builder.records.product import Product
from catalog_builder.records.reading.header import lines_without
from catalog_builder.records.studio import Hanging, Making


@dataclass(frozen=True, slots=True)
class AssembledPiece:
    """A product in one of its sizes and choices of glass: how it is made, and how it hangs or stands.

    ``key`` is that of all that the product's making and hanging follow from.
    """

    size: str
    choice: str
    made: MadePiece
    suspension: Suspension
    key: Annotated[str, Field(exclude=True)] = ""

    @property
    def own_key(self) -> str:
        """The key of this size and choice of glass alone."""
        return key_of(self.key, self.size, self.choice)


@dataclass(frozen=True, slots=True)
class Assembly:
    """A product in all its sizes and choices of glass, and what the bench should know of its drawings.

    ``findings`` are by the name of the size. ``rings`` are better places for the rings of the heaviest piece, where
    its maker should read them.
    """

    pieces: tuple[AssembledPiece, ...]
    findings: dict[str, tuple[Finding, ...]]
    rings: RingProposals | None = None

    @property
    def heaviest(self) -> AssembledPiece:
        """The size and choice of glass that asks most of its rings."""
        return max(self.pieces, key=lambda piece: piece.suspension.body.mass_g)


_STORED = TypeAdapter(Assembly)
# Keys of a record that change neither what is made nor where a finding stands.
_UNMEASURED = frozenset(
    {"summary", "photos", "series", "added", "availability", "lead_days", "market_price", "hold_until"}
)


class Assembler:
    """Assembles products, or takes from the store what an earlier build assembled.

    Hardware is chosen by its price on a day, where two would hold alike.
    """

    def __init__(self, materials: Materials, making: Making, hanging: Hanging, day: date, store: Store) -> None:
        self.materials = materials
        self._making = making
        self._hanging = hanging
        self._day = day
        self.store = store
        prices = {
            hardware.material: materials.price(hardware.material, day)
            for kind in HardwareKind
            if kind.bought_as != "wire"
            for hardware in materials.of_kind(kind.bought_as)
        }
        self._shared_key = key_of(program(), making, hanging, dict(materials.rows), prices)

    def key(self, product: Product) -> str:
        """Give the key of all that a product's assembly follows from."""
        header = product.source.path, lines_without(product.source, _UNMEASURED)
        return key_of(self._shared_key, product.slug, header, product.drawing, product.parts)

    def assemble(self, product: Product) -> Assembly:
        """Measure and hang a product in each size and choice of glass.

        Raises:
            MistakeError: with the faults of its drawings or its hardware.
        """
        key = self.key(product)
        outlines = Outlines(product, self._making, self.materials)
        stored = self.store.find("assembly", key)
        if stored is not None:
            try:
                assembly = _STORED.validate_json(stored, context=self.materials.rows)
                return replace(assembly, pieces=tuple(_outlined(piece, outlines, key) for piece in assembly.pieces))
            except ValidationError:
                pass  # of another version: assembled anew
        assembly = self._assembled(product, outlines, key)
        self.store.keep("assembly", key, _STORED.dump_json(assembly))
        return assembly

    def _assembled(self, product: Product, outlines: Outlines, key: str) -> Assembly:
        materials, making = self.materials, self._making
        pieces: list[AssembledPiece] = []
        measured_sizes = outlines.measured()  # size, measure
        for size, measured in measured_sizes.items():
            for choice, glass in product.keys.glass.items():
                made = make_piece(product, glass, measured, materials, making)
                if product.keys.hang.by.hangs:
                    made = with_rim_loops(made, product, materials, making)
                hold = hang_piece if product.keys.hang.by.hangs else stand_piece
                suspension = hold(made, product, materials, self._day, making, self._hanging)  # hang
                suspension = replace(suspension, body=suspension.body.summed)
                pieces.append(_outlined(AssembledPiece(size, choice, made, suspension), outlines, key))
        assembly = Assembly(tuple(pieces), {size: measured.findings for size, measured in measured_sizes.items()})
        made, suspension = assembly.heaviest.made, assembly.heaviest.suspension
        if wants_proposals(made, suspension):
            assembly = replace(assembly, rings=self.ring_proposals(product, made))
        return assembly

    def ring_proposals(self, product: Product, made: MadePiece) -> RingProposals:
        """Give better places for the rings of a piece."""
        return propose_rings(made, product, self.materials, self._day, self._making, self._hanging)


def _outlined(piece: AssembledPiece, outlines: Outlines, key: str) -> AssembledPiece:
    """Give a piece the way to its outlines, and the key of what it follows from."""
    return replace(piece, made=replace(piece.made, measured=partial(outlines.at, piece.size)), key=key)
