"""A shot: what a photo shows, where it was taken, and the marks in its file."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

from catalog_builder.records.variant import Variant
from tests.demo_photos.camera import Camera
from tests.demo_photos.darkroom import Marks
from tests.demo_photos.stage import Stage
from tests.demo_photos.subject import Subject


@dataclass(frozen=True, slots=True)
class Look:
    """How a setting is seen: the ``view`` outside with its ``seed``, the picture's size, and how subjects are turned.

    ``bars`` are the uprights of the window, in shares of half the picture's width from its middle; ``sill_bar`` sets
    one across, low down. ``horizon`` is how high the horizon stands, in degrees. ``lower_mm`` says how much lower
    each of several subjects hangs.
    """

    view: str = "garden"
    seed: int = 3
    size: tuple[int, int] = (1200, 1600)
    turn: float = 6.0
    bars: tuple[float, ...] = (-0.8,)
    sill_bar: bool = False
    lower_mm: tuple[float, ...] = ()
    horizon: float = -8.0


Setting = Callable[[Stage, list[Subject], Look], Camera]


@dataclass(frozen=True, slots=True)
class Shot:
    """A photo of a product or a set, named by its folder; without ``shown``, of what is offered first.

    ``solid`` glass bends what is seen through it; thin glass lets the sun and a flame cast its colour. ``samples``
    are for each pixel.
    """

    slug: str
    file: str
    setting: Setting
    look: Look = field(default_factory=Look)
    shown: tuple[Variant, ...] = ()
    marks: Marks = field(default_factory=lambda: Marks("2026:10:04 10:12:44", 47.1034, -31.9421))
    solid: bool = True
    exposure: float = 0.64
    warmth: float = 0.02
    samples: int = 16
