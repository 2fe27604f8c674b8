"""All pictures of a product: its photos, and what is drawn from its pattern."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import partial

from catalog_builder.cache.store import Store, key_of
from catalog_builder.piece.hanging.suspension import Suspension
from catalog_builder.piece.made_piece import MadePiece
from catalog_builder.publish.pictures.album import Shot, preview
from catalog_builder.publish.pictures.choice_drawing import Room, choice_svg
from catalog_builder.publish.pictures.diagram import diagram_svg
from catalog_builder.publish.pictures.glass.glass_strips import STRIPS_SIZE, areas_of, photo_svg, strips_svg
from catalog_builder.publish.pictures.hanging_drawing import HangingWords
from catalog_builder.publish.pictures.piece_drawing import metal_of, picture_size, picture_svg, scene_svg
from catalog_builder.publish.pictures.raster import pixels_of
from catalog_builder.publish.pictures.standing_drawing import held_svg
from catalog_builder.records.drawing.shown_pattern import ShownPattern
from catalog_builder.records.material import Material

# What is drawn of a product, by the names under which it is kept.
DRAWN = ("drawn", "diagram", "hanging", "preview", "choice")


@dataclass(frozen=True, slots=True, kw_only=True)
class Pictures:
    """A product's pictures.

    ``first`` is the code of the variant that is offered first: its photos lead, else the drawing of it does. ``looks``
    are the custom properties of CSS that show each variant in ``choice``, by the variants' codes; a set has none.
    ``drawn_size`` is the size in px of the piece drawn on nothing, ``colour`` that of most of its glass. ``key`` is
    that of all that the drawn pictures are made from. ``read_drawing`` gives the bytes of one by its name in ``DRAWN``:
    they are read when they are needed, since all of them together would fill the memory. Where the pattern is not
    ``shown``, the piece drawn on nothing is strips of its glass.
    """

    shots: tuple[Shot, ...]
    drawn_size: tuple[int, int]
    colour: str
    key: str
    read_drawing: Callable[[str], bytes]
    first: str = ""
    looks: Mapping[str, str] = field(default_factory=dict)
    shown: bool = True

    @property
    def leading(self) -> tuple[Shot, ...]:
        """The photos that show the variant that is offered first; any photo, where the pattern is not to be seen."""
        own = tuple(shot for shot in self.shots if self.first in shot.shows)
        return own if own or self.shown else self.shots

    @property
    def with_drawing(self) -> bool:
        """Whether the drawn picture stands among the photos, or in their place."""
        return self.shown or not self.shots

    @property
    def key_with_photos(self) -> tuple[object, ...]:
        """The key of all pictures, photos too."""
        shots = [(shot.name, shot.alt, shot.focus, shot.shows, shot.prints.key) for shot in self.shots]
        return self.key, self.first, sorted(self.looks.items()), shots

    @property
    def drawn(self) -> str:
        """The SVG of the piece on nothing."""
        return self.read_drawing("drawn").decode()

    @property
    def diagram(self) -> str:
        """The SVG of the pattern with its numbers, to stand in a page; empty where buyers do not see it."""
        return self.read_drawing("diagram").decode()

    @property
    def hanging(self) -> str:
        """The SVG of how it hangs, to stand in a page."""
        return self.read_drawing("hanging").decode()

    @property
    def choice(self) -> str:
        """The SVG that follows a buyer's choice, to stand in a page; nothing for a set."""
        return self.read_drawing("choice").decode()

    @property
    def preview(self) -> bytes:
        """A JPEG for link previews: the first photo, or the drawn picture as pixels."""
        return preview(self.leading) if self.leading else self.read_drawing("preview")


class ProductDrawings(Mapping[str, str]):
    """A small picture of each product as SVG, by its name, read as it is asked for: drawn, or its photo if it must."""

    def __init__(self, pictures: Mapping[str, Pictures]) -> None:
        self._pictures = pictures

    def __getitem__(self, slug: str) -> str:
        pictures = self._pictures[slug]
        return pictures.drawn if pictures.with_drawing else photo_svg(pictures.shots[0])

    def __iter__(self) -> Iterator[str]:
        return iter(self._pictures)

    def __len__(self) -> int:
        return len(self._pictures)


@dataclass(frozen=True, slots=True, kw_only=True)
class PictureModel:
    """What a product's pictures are drawn from: its pattern in its first glass and finish.

    ``key`` is that of all that its pattern and its hanging follow from; ``shown`` is how much of it the public sees.
    """

    slug: str
    title: str
    text: str
    made_piece: MadePiece
    suspension: Suspension
    glass: Mapping[str, Material]
    finish: str
    hanging: HangingWords
    key: str
    room: Room
    shown: ShownPattern = "in colour"


@dataclass(frozen=True, slots=True, kw_only=True)
class Shown:
    """What a product's page shows: photos, the code of the variant that is offered first, the look of each variant."""

    shots: Sequence[Shot]
    first: str
    looks: Mapping[str, str]


def draw(model: PictureModel, shown: Shown, store: Store) -> Pictures:
    """Give all that is drawn of a product, from the store where it has been drawn before."""
    words = model.title, model.text, tuple(model.glass), model.finish, model.hanging, model.room, model.shown
    key = key_of(model.key, model.slug, words)
    for name in DRAWN:
        store.use(name, key)
    size, colour = json.loads(store.kept("facts", key, lambda: _facts(model)))
    return Pictures(
        shots=tuple(sorted(shown.shots, key=lambda shot: shown.first not in shot.shows)),
        drawn_size=(size[0], size[1]),
        colour=colour,
        key=key,
        read_drawing=partial(_read_drawing, model, key, store),
        first=shown.first,
        looks=shown.looks,
        shown=model.shown != "no",
    )


def _read_drawing(model: PictureModel, key: str, store: Store, name: str) -> bytes:
    return store.kept(name, key, lambda: _draw(model, name))


def _facts(model: PictureModel) -> bytes:
    areas = areas_of(model.made_piece, model.glass)
    size = STRIPS_SIZE if model.shown == "no" else picture_size(model.made_piece, model.suspension)
    return json.dumps([size, max(sorted(areas), key=lambda colour: areas[colour])]).encode()


def _draw(model: PictureModel, name: str) -> bytes:
    made_piece, suspension, glass = model.made_piece, model.suspension, model.glass
    metal = metal_of(model.finish)
    if model.shown == "no" and name in ("drawn", "preview"):
        strips = strips_svg(areas_of(made_piece, glass), model.title)
        return strips.encode() if name == "drawn" else pixels_of(strips)
    if name == "drawn":
        return picture_svg(made_piece, suspension, glass, metal, (model.title, f"{model.slug}-piece")).encode()
    if name == "diagram":
        if model.shown != "yes":
            return b""
        return diagram_svg(made_piece, suspension, glass, (model.title, model.text), f"pattern-{model.slug}").encode()
    if name == "choice":
        if model.shown == "no":
            return b""
        return choice_svg(made_piece, suspension, sorted(glass), model.room, "drawing").encode()
    if name == "hanging":
        # With its sizes beside it, its lines are as good as a pattern.
        seams, identity = model.shown == "yes", f"hanging-{model.slug}"
        return held_svg(made_piece, suspension, model.hanging, identity, seams=seams).encode()
    return pixels_of(scene_svg(made_piece, suspension, glass, metal, model.title))
