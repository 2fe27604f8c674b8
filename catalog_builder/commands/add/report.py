"""What the command ``add`` says of the product that it laid out."""

from __future__ import annotations

from collections.abc import Iterator

from catalog_builder.commands.add import AddedProduct
from catalog_builder.commands.add.nearest_glass import GlassPick
from catalog_builder.commands.record_text import number
from catalog_builder.commands.trace import traced_lines

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
    yield f"Collection: {added.collection}, the first of studio.toml. Finishes: {', '.join(added.finishes)}."
    if added.findings:
        yield ""
        yield from (finding.worded() for finding in added.findings)
    yield ""
    yield f"Next: change product.md to your own words, then catalog-builder look{folder}"


def _pick_line(pick: GlassPick) -> str:
    count = len(pick.group.pieces)
    pieces = "1 piece" if count == 1 else f"{count} pieces"
    line = f"{pick.group.word}: {pick.glass.material}, {pieces}"
    if pick.distance is None:
        return f"{line}; chosen in the order of materials.csv, as no fill says a colour"
    far = "; not near: choose or buy another" if pick.is_far else ""
    return f"{line}; fill {pick.group.colour}, glass {pick.glass.colour}, {pick.distance:.2f} apart{far}"
