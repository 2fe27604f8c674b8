"""A product's drawings measured: edges counted, glass cut, and parts joined on in space."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from shapely import Polygon

from catalog_builder.mistake import Finding, Mistake, MistakeError
from catalog_builder.pattern.cuts import Cut, read_cuts
from catalog_builder.pattern.faces import inner_point
from catalog_builder.pattern.framing.framing import without_framed_rim
from catalog_builder.pattern.manufacturability import manufacturability_findings
from catalog_builder.pattern.parts.copies import place_copies
from catalog_builder.pattern.parts.corner import Corner
from catalog_builder.pattern.parts.fit import fit_findings
from catalog_builder.pattern.parts.flat_part import FlatPart
from catalog_builder.pattern.parts.free_edges import free_edge_findings
from catalog_builder.pattern.parts.joining import read_seats
from catalog_builder.pattern.parts.space import set_in_space
from catalog_builder.pattern.seams import read_edges
from catalog_builder.pattern.sizes import Sized, titled
from catalog_builder.pattern.svg.curve import Points
from catalog_builder.records.product import Product
from catalog_builder.records.studio import Making


@dataclass(frozen=True, slots=True, eq=False)
class Measured:
    """A product's flats at one of its sizes, the main one first, measured and placed in space.

    ``corners`` are the seams in space along which parts meet where a drawing has none already, each once. ``tacks``
    are the ends of all lines along which parts are joined, in space, shape (k, 3). ``findings`` are what the bench
    should know.
    """

    flats: tuple[FlatPart, ...]
    corners: tuple[Corner, ...]
    tacks: Points
    findings: tuple[Finding, ...]


def measure(product: Product, sized: Sized, making: Making) -> Measured:
    """Count the edges of each drawing, cut its glass, and join the parts on.

    Raises:
        MistakeError: a piece is so narrow that the foil gap leaves nothing of it, or a part cannot be joined on.
    """
    patterns = sized.patterns
    edges = {name: read_edges([piece.face for piece in pattern.pieces]) for name, pattern in patterns.items()}
    gap = float(making.foil_gap_mm)
    cuts = {name: read_cuts(pattern.pieces, edges[name], gap) for name, pattern in patterns.items()}
    lost = [mistake for name in cuts for mistake in _lost_cuts(product, sized, name, cuts[name], making)]
    seats = read_seats(product, sized)
    if lost:
        raise MistakeError(lost)
    # What drawn edges miss each other by grows with the drawing.
    snap = float(making.snap_mm) * sized.pattern.enlarged
    copies = place_copies(product, sized, seats, snap)
    space = set_in_space(product, sized, copies, edges, snap)
    flats = tuple(
        FlatPart(name, pattern, space.edges[name], cuts[name], *space.standing[name])
        for name, pattern in patterns.items()
    )
    findings = list(sized.findings)
    for flat in flats:
        name = flat.name
        title, source = titled(product, name, sized.size), product.parts[name] if name else product.drawing
        # What is bought ready is neither cut nor ground.
        cut = [cut for cut in flat.cuts if cut.glass not in sized.ready_made]
        faults = manufacturability_findings(title, source, flat, edges[name], cut, making)
        # A frame keeps a panel from folding along a seam.
        findings += [fault for fault in faults if name or sized.frame is None or fault.code != "G07"]
    if sized.frame is not None:
        bare = without_framed_rim(flats[0].edges, sized.frame)
        flats = (replace(flats[0], edges=bare, rims=(bare.rims,), frame=sized.frame), *flats[1:])
    findings += fit_findings(product, sized, copies, space.gaps)
    near = {copies[number].name for gap in space.gaps for number in gap.copies}
    findings += free_edge_findings(product, sized, flats, near)
    return Measured(flats, space.corners, space.tacks, tuple(findings))


def _lost_cuts(product: Product, sized: Sized, part: str, cuts: Sequence[Cut], making: Making) -> Iterator[Mistake]:
    """Find pieces of which the foil gap leaves no single cut of glass."""
    pattern = sized.patterns[part]
    for cut, piece in zip(cuts, pattern.pieces, strict=True):
        if not isinstance(cut.shape, Polygon) or cut.shape.is_empty:
            x, y = (at / pattern.scale for at in inner_point(piece.face))
            size = f" in {sized.size}" if sized.size else ""
            yield Mistake(
                place=(product.parts[part] if part else product.drawing).place(None),
                wrong=f"the piece {cut.number} at x {x:.1f}, y {y:.1f} of the drawing is too narrow{size}: "
                f"a foil gap of {making.foil_gap_mm:g} mm leaves no single cut of glass of it",
                expected="pieces several times as wide as the foil gap everywhere",
                mend="widen the piece, or join it to its neighbour",
                spot=(x, y),
            )
