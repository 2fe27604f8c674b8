"""The best places for rings: one, two that hang level, or one on a wire along the rim."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date
from itertools import islice

from catalog_builder.mistake import MistakeError
from catalog_builder.piece.balance import Place
from catalog_builder.piece.hanging.hardware import HardwareStock
from catalog_builder.piece.hanging.loops import level_loop
from catalog_builder.piece.hanging.record_lines import RingKeys, drawn, keys_of_loop
from catalog_builder.piece.hanging.ring_choice import best_singles, hangs_level, level_pairs, slope_degrees
from catalog_builder.piece.hanging.ring_holds import ring_holds
from catalog_builder.piece.hanging.strength import newtons
from catalog_builder.piece.hanging.suspension import Suspension, hang_on
from catalog_builder.piece.hanging.wire_legs import REACH_MM
from catalog_builder.piece.made_piece import MadePiece, with_loops
from catalog_builder.piece.mass import weigh_piece
from catalog_builder.piece.rim_loop import RimLoop
from catalog_builder.records.hardware_kind import HardwareKind
from catalog_builder.records.materials import Materials
from catalog_builder.records.product import Product
from catalog_builder.records.studio import Hanging, Making

# So many places are tried for one that holds; all ends of seams hold alike, but a chain pulls harder the farther apart.
_MOST_TRIED = 8


@dataclass(frozen=True, slots=True)
class RingProposal:
    """Places for the rings of a piece at one of its sizes, and how it hangs on them.

    ``keys`` are what the record says of them. ``tilt_degrees`` is above zero clockwise as seen; of two rings without a
    cord or chain it is that from hooks at one height. ``loads_g`` has the load on each ring in still air.
    ``holds_n`` is the force at which the weakest hold breaks, None where the tables give no strength, and ``load_n``
    the load on it, outdoors in a gale.
    """

    keys: RingKeys
    by: HardwareKind
    tilt_degrees: float
    loads_g: tuple[float, ...]
    holds_n: float | None
    load_n: float

    @property
    def places(self) -> tuple[Place, ...]:
        """The places in the drawing's own coordinates, from the left."""
        return self.keys.rings

    @property
    def on_wire(self) -> bool:
        """Whether a wire along the rim carries the ring, in place of a seam's end."""
        return bool(self.keys.wires) or self.by is HardwareKind.LOOP

    @property
    def lines(self) -> tuple[str, ...]:
        """The lines for a record that has neither ``hang:`` nor ``marks:``."""
        return self.keys.lines


@dataclass(frozen=True, slots=True)
class RingProposals:
    """The best single end of a seam, the best level pair of them, and the best place on a wire along the rim.

    None where there is none that holds; a wire where a seam serves as well is none. ``best`` is the one that a record
    without a ring gets: a single end of a seam where that hangs level, else a wire. ``marked`` says whether the
    drawing or its record has a ring already.
    """

    marked: bool
    single: RingProposal | None
    pair: RingProposal | None
    loop: RingProposal | None
    best: RingProposal | None

    @property
    def all(self) -> tuple[RingProposal, ...]:
        """Those that there are."""
        return tuple(proposal for proposal in (self.single, self.pair, self.loop) if proposal is not None)


def propose_rings(
    piece: MadePiece, product: Product, materials: Materials, day: date, making: Making, limits: Hanging
) -> RingProposals:
    """Find the best places for rings on a piece, whatever is marked; each holds with the safety factor."""
    bench = _Bench(HardwareStock(materials, day, limits.safety_factor), making, limits)
    bare, hang = with_loops(piece, ()), product.keys.hang
    # At the end of a seam a ring needs no loop.
    by = HardwareKind.RING if hang.by is HardwareKind.LOOP else None
    seamed = product if by is None else _hung_by(product, by)
    body = weigh_piece(bare, product, materials, making)
    singles = ((place,) for place in best_singles(bare, body))
    loop, on_loop = level_loop(bare, product, materials, making), None
    single = bench.first_that_holds(bare, seamed, by, singles)
    if loop is not None and (by is not None or single is None or not _is_near(bare, loop, single)):
        keys = keys_of_loop(loop, bare.main.pattern, hang.by)
        on_loop = bench.proposed(with_loops(bare, (loop,)), product, (loop.ring_at,), keys)
    return RingProposals(
        marked=bool(bare.main.pattern.rings),
        single=single,
        pair=bench.first_that_holds(bare, seamed, by, level_pairs(bare, seamed, body)),
        loop=on_loop,
        best=single if by is None and hangs_level(bare, body) else on_loop or single,
    )


@dataclass(frozen=True, slots=True)
class _Bench:
    """What places are tried with."""

    stock: HardwareStock
    making: Making
    limits: Hanging

    def first_that_holds(
        self, piece: MadePiece, product: Product, by: HardwareKind | None, choices: Iterable[tuple[Place, ...]]
    ) -> RingProposal | None:
        """Try ends of seams in their order; ``by`` is the kind that the record must say in place of its own."""
        scale = piece.main.pattern.scale
        for places in islice(choices, _MOST_TRIED):
            keys = RingKeys(tuple(drawn(place, scale) for place in places), by)
            proposal = self.proposed(piece, product, places, keys)
            if proposal is not None:
                return proposal
        return None

    def proposed(
        self, piece: MadePiece, product: Product, places: tuple[Place, ...], keys: RingKeys
    ) -> RingProposal | None:
        """Hang a piece on places; None where it does not hold."""
        try:
            hung = hang_on(places, piece, product, self.stock, self.making, self.limits)
        except (MistakeError, ValueError):
            return None
        tilt = slope_degrees((places[0], places[1])) if _hangs_apart(places, hung) else hung.tilt_degrees
        holds = [
            hold
            for place, load in zip(hung.rings, hung.ring_loads_g, strict=True)
            if hung.ring is not None
            for hold in ring_holds(piece, place, hung.ring, self.stock.materials, self.making, load * hung.gale_times)
        ]
        known = [(hold.holds_n, newtons(hold.load_g)) for hold in holds if hold.holds_n is not None]
        weakest, load_n = min(known, key=lambda hold: hold[0] / hold[1], default=(None, newtons(hung.ring_load_g)))
        return RingProposal(keys, hung.hung_by, tilt, hung.ring_loads_g, weakest, load_n)


def _hangs_apart(places: tuple[Place, ...], hung: Suspension) -> bool:
    """Whether two rings each hang for themselves, without legs that meet."""
    return len(places) == 2 and hung.rise_mm is None


def _is_near(piece: MadePiece, loop: RimLoop, single: RingProposal) -> bool:
    """Whether a wire would carry the ring where a seam carries it as well."""
    ((x, y),) = single.places
    scale = piece.main.pattern.scale
    return math.dist(loop.place, (x * scale, y * scale)) <= REACH_MM


def _hung_by(product: Product, by: HardwareKind) -> Product:
    """Give a product that hangs by another kind of hardware."""
    hang = product.keys.hang.model_copy(update={"by": by, "material": None})
    return replace(product, keys=product.keys.model_copy(update={"hang": hang}))
