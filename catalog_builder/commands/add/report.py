"""What the command ``add`` says of the product that it laid out."""

from __future__ import annotations

from collections.abc import Iterator

from catalog_builder.commands.add import AddedProduct
from catalog_builder.commands.add.nearest_glass import GlassPick
from catalog_builder.commands.record_text import marks_lines, number
from catalog_builder.commands.trace import traced_lines
from catalog_builder.piece.hanging.proposal import RingProposal, RingProposals
from catalog_builder.records.drawing.marks import Marks, WireMark

_REASONS = {
    "words": "Glass by the drawing's own glass words",
    "fills": "Glass by the fills of the drawing, each with the nearest in colour of materials.csv (OKLab)",
    "layers": "Glass by the layers of the drawing",
    "groups": "Glass by the groups of the drawing",
    "nothing": "One glass for all: the drawing has no fills, layers or groups that tell pieces apart",
}


def report(added: AddedProduct, folder: str) -> Iterator[str]:
    """Give the lines to print; ``folder`` is the option that names the project, empty where it is here."""
    yield from (f"  {path}" for path in added.paths)
    if added.file.traced is not None:
        yield from traced_lines(added.file.traced)
    count, width = len(added.drawing.pattern.pieces), number(added.drawing.width_mm)
    pieces = "1 piece" if count == 1 else f"{count} pieces"
    yield f"{added.title}: {pieces}, {width} mm wide, {added.drawing.width_by}."
    yield f"{_REASONS[added.grouping.reason]}:"
    yield from (f"  {_pick_line(pick)}" for pick in added.picks)
    yield from _ring_lines(added.rings)
    yield f"Series: {added.series}, the first of studio.toml. Finishes: {', '.join(added.finishes)}."
    if added.findings:
        yield ""
        yield from (finding.worded() for finding in added.findings)
    yield ""
    yield f"Next: put your own words into {added.paths[0]}, then catalog-builder look{folder}"


def _ring_lines(rings: RingProposals) -> Iterator[str]:
    """Say where the rings are, and what else could be written for them."""
    best = rings.best
    if rings.marked or best is None:
        yield "Rings: as the drawing marks them."
        return
    yield f"Ring, written into product.md: {_hangs(best)}"
    for other in (each for each in rings.all if each != best):
        count = "two rings" if len(other.places) > 1 else "one ring"
        yield f"  Or {count}: {_hangs(other)}"
        yield f"  For that, write this in its place under `marks:`{_also(best, other)}:"
        wires = tuple(WireMark.model_construct(points=points, material=None) for points in other.keys.wires)
        marks = Marks.model_construct(rings=other.keys.rings, wires=wires)
        yield from (f"  {line}" for line in list(marks_lines(marks))[1:])


def _also(best: RingProposal, other: RingProposal) -> str:
    """Say what must change under ``hang:`` when one proposal stands in another's place."""
    if best.keys.by == other.keys.by:
        return ""
    return f", and `hang: {{by: {other.keys.by}}}`" if other.keys.by is not None else ", and take `hang:` out"


def _hangs(proposal: RingProposal) -> str:
    """Say where rings are, how a piece hangs on them, and how strong that is."""
    places = " and ".join(f"x {number(x)}, y {number(y)}" for x, y in proposal.places)
    held = "on a wire along the rim" if proposal.on_wire else "where a seam meets the rim"
    tilt = abs(round(proposal.tilt_degrees, 1))
    hangs = f"it hangs tilted by {tilt} degrees" if tilt else "it hangs level"
    loads = " and ".join(f"{load:.0f} g" for load in proposal.loads_g)
    sentence = f"{places}, {held}; {hangs}, with a load of {loads}"
    if proposal.holds_n is None:
        return f"{sentence}."
    return f"{sentence}; the weakest joint holds {proposal.holds_n / proposal.load_n:.0f} times that."


def _pick_line(pick: GlassPick) -> str:
    count = len(pick.group.pieces)
    pieces = "1 piece" if count == 1 else f"{count} pieces"
    line = f"{pick.group.word}: {pick.glass.material}, {pieces}"
    if pick.distance is None:
        return f"{line}; chosen in the order of materials.csv, as no fill says a colour"
    far = "; not near: choose or buy another" if pick.is_far else ""
    return f"{line}; fill {pick.group.colour}, glass {pick.glass.colour}, {pick.distance:.2f} apart{far}"
