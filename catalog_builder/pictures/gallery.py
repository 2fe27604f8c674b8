"""All pictures of a product: its photos, and what is drawn from its pattern."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from catalog_builder.hanging.hung import Hung
from catalog_builder.hanging.made import Made
from catalog_builder.pictures.album import Shot, preview
from catalog_builder.pictures.diagram import diagram_svg
from catalog_builder.pictures.drawn import metal_of, picture_size, picture_svg, scene_svg
from catalog_builder.pictures.hanging import HangingWords, hanging_svg
from catalog_builder.records.material import Material


@dataclass(frozen=True, slots=True)
class Pictures:
    """A product's pictures.

    ``drawn`` is the SVG of the piece on nothing, ``drawn_size`` its size in px and ``colour`` that of
    most of its glass; ``diagram`` is the pattern with its numbers and ``hanging`` how the piece hangs, both to
    stand in a page; ``preview`` is a JPEG for link previews.
    """

    shots: tuple[Shot, ...]
    drawn: str
    drawn_size: tuple[int, int]
    colour: str
    diagram: str
    hanging: str
    preview: bytes


@dataclass(frozen=True, slots=True)
class Model:
    """What a product's pictures are drawn from: its pattern in its first glass and finish."""

    slug: str
    title: str
    text: str
    made: Made
    hung: Hung
    glass: Mapping[str, Material]
    finish: str
    hanging: HangingWords


def draw(model: Model, shots: Sequence[Shot]) -> Pictures:
    """Draw all that is drawn of a product."""
    made, hung, glass = model.made, model.hung, model.glass
    metal = metal_of(model.finish)
    areas: dict[str, float] = {}
    for cut in made.cuts:
        colour = glass[cut.glass].colour or "#cccccc"
        areas[colour] = areas.get(colour, 0.0) + cut.area_mm2
    return Pictures(
        tuple(shots),
        picture_svg(made, hung, glass, metal, (model.title, f"{model.slug}-piece")),
        picture_size(made, hung),
        max(sorted(areas), key=lambda colour: areas[colour]),
        diagram_svg(made, hung, glass, (model.title, model.text), f"pattern-{model.slug}"),
        hanging_svg(made, hung, model.hanging, f"hanging-{model.slug}"),
        preview(shots, scene_svg(made, hung, glass, metal, model.title)),
    )
