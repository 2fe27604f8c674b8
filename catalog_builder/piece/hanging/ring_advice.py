"""Findings on where rings are: which place a record without one gets, and where a piece would hang nearer to level."""

from __future__ import annotations

from collections.abc import Iterator

from catalog_builder.mistake import Finding
from catalog_builder.pattern.sizes import titled
from catalog_builder.phrase import Number, Phrase, phrase, quantity
from catalog_builder.piece.hanging.proposal import RingProposal, RingProposals
from catalog_builder.piece.hanging.ring_choice import VISIBLE_TILT_DEGREES
from catalog_builder.piece.hanging.suspension import Suspension
from catalog_builder.piece.made_piece import MadePiece
from catalog_builder.records.product import Product
from catalog_builder.units import exact

# A tilt that is smaller by less is not worth moving a ring: common practice, no source.
_WORTH_DEGREES = 1.0


def wants_proposals(piece: MadePiece, suspension: Suspension) -> bool:
    """Say whether the maker should read where rings can be: none is marked, or the piece tilts visibly."""
    # A ring may sit anywhere on a frame.
    if suspension.stance is not None or piece.frame is not None:
        return False
    return not piece.main.pattern.rings or not _is_level(suspension.tilt_degrees)


def ring_findings(
    product: Product, suspension: Suspension, proposals: RingProposals | None, size: str = ""
) -> Iterator[Finding]:
    """Find a record that marks no ring, and rings on which a piece tilts that would hang nearer to level elsewhere."""
    if proposals is None:
        return
    place, title, marked = product.drawing.place(None), titled(product, "", size), proposals.marked
    tilt = abs(suspension.tilt_degrees)
    if not marked and proposals.best is not None:
        best = proposals.best
        wired = "wire" if best.on_wire else "seam"
        choices = tuple(each for each in proposals.all if each == best or _is_level(each.tilt_degrees))
        yield Finding.of(
            "H06",
            place,
            f"findings_rings.placed_on_{wired}",
            title=title,
            x=Number(exact(best.places[0][0], 1), 1),
            y=Number(exact(best.places[0][1], 1), 1),
            hangs=_hangs(best),
            choices=_choices(product, choices),
        )
    better = tuple(each for each in proposals.all if abs(each.tilt_degrees) < tilt - _WORTH_DEGREES)
    if marked and better and not _is_level(tilt):
        yield Finding.of(
            "H07",
            place,
            "findings_rings.more_level",
            title=title,
            angle=quantity(tilt, "degrees", 1),
            choices=_choices(product, better),
        )


def _is_level(tilt_degrees: float) -> bool:
    return abs(tilt_degrees) <= VISIBLE_TILT_DEGREES


def _choices(product: Product, proposals: tuple[RingProposal, ...]) -> tuple[Phrase, ...]:
    return tuple(
        phrase(
            f"findings_rings.choice_{'wire' if proposal.on_wire else 'pair' if len(proposal.places) == 2 else 'seam'}",
            lines=tuple(
                phrase("findings_rings.under", line=line, above=key)
                if key
                else phrase("findings_rings.line", line=line)
                for line, key in proposal.keys.written_into(product)
            ),
            hangs=_hangs(proposal),
        )
        for proposal in proposals
    )


def _hangs(proposal: RingProposal) -> Phrase:
    """Say how a piece hangs on a proposal: its tilt, the load on each ring, how many times that its hold carries."""
    tilt = exact(abs(proposal.tilt_degrees), 1)
    key = "tilted" if tilt else "level"
    if proposal.holds_n is None:
        key = "tilted_unknown" if tilt else "level_unknown"
    return phrase(
        f"findings_rings.{key}",
        angle=quantity(tilt, "degrees", 1),
        loads=tuple(quantity(load, "g") for load in proposal.loads_g),
        times=Number(exact((proposal.holds_n or 0.0) / proposal.load_n), 0),
    )
