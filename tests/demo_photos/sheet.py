"""A sheet of art glass: its colour, milkiness and surface as textures, by the look that the record gives.

A sheet is 305 mm square, repeats without a seam and has its grain along u; pieces are cut from it at
their own place and turn.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Any

import numpy as np
from numpy.typing import NDArray

from catalog_builder.records.material import Material
from tests.demo_photos.noise import clouds, fractal, step, warped
from tests.demo_photos.surface import texture

SHEET_MM = 305.0
PIXELS = 1536
PX = PIXELS / SHEET_MM
SHAPE = (PIXELS, PIXELS)
Field = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Sheet:
    """What light meets. ``through`` (h, w, 3) is let through; ``milk`` (h, w) scatters; ``relief`` (h, w) is mm."""

    through: Field
    milk: Field
    relief: Field

    @property
    def milky(self) -> bool:
        """Whether any of it scatters light enough to be seen."""
        return bool(self.milk.max() > 0.02)

    def bsdf(self, solid: bool) -> dict[str, Any]:
        """Describe it to the renderer: the front of a solid slab, or both faces at once in one thin sheet.

        Light that is cast through must find its way straight, so that only a thin sheet throws colour.
        """
        tint = texture(self.through if solid else self.through * self._gathered())
        clear: dict[str, Any] = {
            "type": "dielectric" if solid and not self.milky else "thindielectric",
            "int_ior": 1.52,
            "specular_transmittance": tint,
        }
        if solid and not self.milky:
            return self._uneven(clear)
        if not self.milky:
            return clear
        # Milk turns the light round inside the glass; what comes out again has its colour.
        milk = {
            "type": "principledthin",
            "base_color": texture(self.through**0.6),
            "diff_trans": 1.75,
            "spec_trans": 0.0,
            "roughness": 0.12,
            "eta": 1.5,
        }
        # The renderer sees straight light through a blend, but not through relief laid over it.
        # Much of what real milk scatters goes nearly straight on: a thin sheet counts it as straight.
        milkiness = self.milk if solid else 0.55 * self.milk
        return {"type": "blendbsdf", "weight": texture(milkiness[..., None]), "a": clear, "b": self._uneven(milk)}

    def _uneven(self, glass: dict[str, Any]) -> dict[str, Any]:
        return {"type": "bumpmap", "scale": 1.0, "relief": texture(self.relief[..., None]), "glass": glass}

    def _gathered(self) -> Field:
        """Bowls and waves gather light to lines and spots: brighter where the surface is like a lens."""
        from scipy.ndimage import gaussian_laplace

        bend = -gaussian_laplace(self.relief, 2.0, mode="wrap") * PX**2
        return np.asarray(np.clip(1 + 1.2 * bend, 0.55, 1.9)[..., None])


def read_sheet(material: Material) -> Sheet:
    """Pour a sheet of a material; the same material always gives the same sheet."""
    return _poured(material.material, material.colour or "#cccccc", material.look)


@cache
def _poured(name: str, colour: str, look: str) -> Sheet:
    chance = np.random.default_rng(list(name.encode()))
    base = linear(colour)
    pour = {
        "streaky": _streaky,
        "wispy": _wispy,
        "mottled": _mottled,
        "opal": _opal,
        "hammered": _hammered,
        "seedy": _seedy,
        "rippled": _rippled,
    }.get(look, _clear)
    return pour(chance, base)


def linear(colour: str) -> Field:
    """Turn #rrggbb into linear red, green and blue (IEC 61966-2-1)."""
    coded = np.array([int(colour[at : at + 2], 16) for at in (1, 3, 5)]) / 255
    return np.where(coded <= 0.04045, coded / 12.92, ((coded + 0.055) / 1.055) ** 2.4)


def _deeper(base: Field, depth: Field) -> Field:
    """Give what glass of a colour lets through where it is ``depth`` times as thick (Beer and Lambert)."""
    return np.asarray(np.clip(base, 0.004, 0.97) ** depth[..., None])


def _mixed(one: Field, two: Field, share: Field) -> Field:
    return np.asarray(one + (two - one) * share[..., None])


def _wavy(chance: np.random.Generator, height_mm: float) -> Field:
    """The slow waves of rolled glass."""
    return height_mm * clouds(chance, SHAPE, 22 * PX, 14 * PX)


def _streaks(chance: np.random.Generator, along_mm: float, across_mm: float) -> Field:
    """Streaks along the grain, bent as if stirred."""
    field = fractal(chance, SHAPE, along_mm * PX, across_mm * PX)
    down = 5 * PX * clouds(chance, SHAPE, 45 * PX, 30 * PX)
    return warped(field, down, 8 * PX * clouds(chance, SHAPE, 40 * PX, 40 * PX))


def _clear(chance: np.random.Generator, base: Field) -> Sheet:
    depth = 0.80 + 0.07 * clouds(chance, SHAPE, 50 * PX, 40 * PX) + 0.03 * _streaks(chance, 40, 6)
    relief = _wavy(chance, 0.12) + 0.02 * clouds(chance, SHAPE, 5 * PX, 4 * PX)
    return Sheet(_deeper(base, depth), np.zeros(SHAPE), relief)


def _streaky(chance: np.random.Generator, base: Field) -> Sheet:
    streak = _streaks(chance, 75, 7)
    depth = 0.85 + 0.32 * streak
    pale = 0.35 + 0.65 * base
    wisp = step(_streaks(chance, 60, 5), 0.5, 2.0)
    through = _mixed(_deeper(base, np.clip(depth, 0.2, 2.0)), pale, 0.75 * wisp)
    return Sheet(through, 0.06 + 0.5 * wisp, _wavy(chance, 0.05) + 0.006 * streak)


def _wispy(chance: np.random.Generator, base: Field) -> Sheet:
    wisp = step(_streaks(chance, 50, 8), -0.5, 1.7)
    through = _mixed(_deeper(base, np.full(SHAPE, 1.15)), 0.40 * base + 0.55, 0.65 * wisp)
    return Sheet(through, 0.22 + 0.62 * wisp, _wavy(chance, 0.04))


def _mottled(chance: np.random.Generator, base: Field) -> Sheet:
    lumps = fractal(chance, SHAPE, 11 * PX, 8 * PX)
    down, right = (3 * PX * fractal(chance, SHAPE, 20 * PX, 20 * PX) for _ in "yx")
    lumps = warped(lumps, down, right)
    pale = step(lumps, 0.35, 1.5)
    deep = step(-lumps, 0.1, 1.6)
    bone = linear("#f0cf9a")
    through = _mixed(_deeper(base, 0.85 + 0.9 * deep), bone, 0.7 * pale)
    return Sheet(through, 0.25 + 0.5 * pale, _wavy(chance, 0.04))


def _opal(chance: np.random.Generator, base: Field) -> Sheet:
    cloud = fractal(chance, SHAPE, 45 * PX, 25 * PX)
    return Sheet(_deeper(base, np.clip(1.1 + 0.25 * cloud, 0.5, 2)), np.full(SHAPE, 0.86), _wavy(chance, 0.04))


def _hammered(chance: np.random.Generator, base: Field) -> Sheet:
    from scipy.spatial import cKDTree

    count = int((SHEET_MM / 4.2) ** 2)
    side = int(np.sqrt(count))
    grid = np.stack(np.meshgrid(np.arange(side), np.arange(side)), axis=-1).reshape(-1, 2)
    dots = (grid + 0.5 + chance.uniform(-0.32, 0.32, grid.shape)) * SHEET_MM / side % SHEET_MM
    tree = cKDTree(dots, boxsize=SHEET_MM)
    y, x = np.mgrid[:PIXELS, :PIXELS] / PX
    away, _ = tree.query(np.column_stack([x.ravel(), y.ravel()]))
    bowl = np.minimum(away.reshape(SHAPE) / 2.6, 1.2)
    relief = 0.36 * bowl**2
    depth = 0.75 + 0.25 * bowl**2 + 0.05 * clouds(chance, SHAPE, 50 * PX, 40 * PX)
    return Sheet(_deeper(base, depth), np.zeros(SHAPE), relief)


def _seedy(chance: np.random.Generator, base: Field) -> Sheet:
    relief = np.zeros(SHAPE)
    y, x = np.mgrid[:40, :40] - 20.0
    for _ in range(2600):
        radius = chance.uniform(0.9, 1.0 + 4.0 * chance.random() ** 3)
        seed = np.sqrt(np.maximum(0, 1 - ((x / (radius * 1.5)) ** 2 + (y / radius) ** 2)))
        rows = (np.arange(40) + chance.integers(PIXELS)) % PIXELS
        columns = (np.arange(40) + chance.integers(PIXELS)) % PIXELS
        relief[np.ix_(rows, columns)] += seed * radius / PX * 0.8
    depth = 0.85 + 0.07 * clouds(chance, SHAPE, 50 * PX, 40 * PX)
    return Sheet(_deeper(base, depth), np.zeros(SHAPE), relief + _wavy(chance, 0.10))


def _rippled(chance: np.random.Generator, base: Field) -> Sheet:
    wave = _streaks(chance, 34, 9)
    return Sheet(_deeper(base, np.full(SHAPE, 0.9)), np.zeros(SHAPE), 0.20 * wave)
