"""A sheet photographed on a table, or laid on a flatbed scanner."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageChops, ImageFilter

from tests.tracing.paper.drawn_sheet import DrawnSheet
from tests.tracing.paper.look import Colour
from tests.tracing.pictures.viewpoint import Stand, View

_CELL = 32
# A table is darkened and lightened by its grain about this share of full light.
_GRAIN = 1.1
Light = NDArray[np.floating]
TABLES: dict[str, Colour] = {
    "dark wood": (0.30, 0.19, 0.12),
    "oak": (0.62, 0.46, 0.30),
    "slate": (0.25, 0.27, 0.30),
    "grey": (0.52, 0.52, 0.53),
    "blue cloth": (0.16, 0.24, 0.42),
    "green mat": (0.12, 0.34, 0.24),
}
LIGHT_TABLES: dict[str, Colour] = {
    "white": (0.90, 0.90, 0.89),
    "pale grey": (0.82, 0.83, 0.84),
    "birch": (0.90, 0.83, 0.70),
    "ivory": (0.92, 0.90, 0.83),
}


@dataclass(frozen=True, slots=True)
class Scene:
    """The table, the light and the camera; ``shadow`` and ``uneven`` as shares of the light, ``noise`` of 255."""

    stand: Stand
    table: Colour
    megapixels: float = 12.0
    upright: bool = True
    shadow: float = 0.0
    uneven: float = 0.1
    warm: float = 0.0
    blur: float = 0.8
    noise: float = 3.0


def photograph(sheet: DrawnSheet, scene: Scene, chance: np.random.Generator) -> Image.Image:
    """Give the photo of a sheet on a table, 3 by 4."""
    short = round((scene.megapixels * 1e6 * 3 / 4) ** 0.5)
    width, height = (short, short * 4 // 3) if scene.upright else (short * 4 // 3, short)
    view = View(sheet.size_mm, (width, height), scene.stand, chance)
    seen = _laid(sheet, view, (width, height))
    share = seen.getchannel("A")
    shade = _table_shade(share, chance)
    table = ImageChops.multiply(_flat(scene.table, (width, height)), Image.merge("RGB", [shade] * 3))
    light = _light(scene, (width, height), chance)
    lamps = [_enlarged(light * warm, (width, height)) for warm in (1 + scene.warm, 1.0, 1 - scene.warm)]
    lit = ImageChops.multiply(Image.composite(seen.convert("RGB"), table, share), Image.merge("RGB", lamps))
    return _noisy(lit.filter(ImageFilter.GaussianBlur(scene.blur)), scene.noise, chance)


def _flat(colour: Colour, size: tuple[int, int]) -> Image.Image:
    red, green, blue = (min(255, round(level * 255 * _GRAIN)) for level in colour)
    return Image.new("RGB", size, (red, green, blue))


def _noisy(picture: Image.Image, noise: float, chance: np.random.Generator) -> Image.Image:
    """Add noise to a picture, in tiles of 1024 pixels that differ for each colour."""
    width, height = picture.size
    bands = len(picture.getbands())
    tile = 128 + noise * chance.standard_normal((1024, 1024, bands), dtype=np.float32)
    tiles = np.tile(np.clip(np.rint(tile), 0, 255).astype(np.uint8), (height // 1024 + 1, width // 1024 + 1, 1))
    speckles = tiles[:height, :width] if bands > 1 else tiles[:height, :width, 0]
    return ImageChops.add(picture, Image.fromarray(np.ascontiguousarray(speckles)), 1, -128)


def _laid(sheet: DrawnSheet, view: View, size: tuple[int, int]) -> Image.Image:
    width, height = size
    padded = np.zeros((sheet.raster.shape[0] + 8, sheet.raster.shape[1] + 8, 4), dtype=np.uint8)
    padded[..., :3] = np.pad(sheet.raster, ((4, 4), (4, 4), (0, 0)), mode="edge")
    padded[4:-4, 4:-4, 3] = 255
    xs = np.append(np.arange(0, width, _CELL), width)
    ys = np.append(np.arange(0, height, _CELL), height)
    grid = np.stack(np.meshgrid(xs, ys), axis=-1).astype(float)
    places = view.on_sheet(grid.reshape(-1, 2)).reshape(grid.shape) * sheet.per_mm + 4
    mesh = []
    right, low = padded.shape[1], padded.shape[0]
    for row in range(len(ys) - 1):
        for column in range(len(xs) - 1):
            quad = places[row : row + 2, column : column + 2]
            least, most = quad.min(axis=(0, 1)), quad.max(axis=(0, 1))
            if most[0] < 0 or most[1] < 0 or least[0] > right or least[1] > low:
                continue
            # Upper left, lower left, lower right, upper right.
            corners = (*quad[0, 0], *quad[1, 0], *quad[1, 1], *quad[0, 1])
            mesh.append(((int(xs[column]), int(ys[row]), int(xs[column + 1]), int(ys[row + 1])), corners))
    source = Image.fromarray(padded)
    return source.transform(size, Image.Transform.MESH, mesh, Image.Resampling.BILINEAR)


def _light(scene: Scene, size: tuple[int, int], chance: np.random.Generator) -> Light:
    width, height = size
    small = (max(2, width // 8), max(2, height // 8))
    x, y = np.meshgrid(np.linspace(-1, 1, small[0]), np.linspace(-1, 1, small[1]))
    angle = chance.uniform(0, 2 * np.pi)
    field = 1 + scene.uneven * (np.cos(angle) * x + np.sin(angle) * y) - 0.4 * scene.uneven * (x**2 + y**2)
    if scene.shadow:
        angle, place = chance.uniform(0, 2 * np.pi), chance.uniform(-0.4, 0.4)
        off = np.cos(angle) * x + np.sin(angle) * y - place + 0.15 * np.sin(3 * (np.cos(angle) * y - np.sin(angle) * x))
        field *= 1 - scene.shadow / (1 + np.exp(-off / chance.uniform(0.01, 0.12)))
    field *= chance.uniform(0.78, 0.98) / max(1.0, float(field.max()) * 0.95)
    return np.asarray(field)


def _table_shade(share: Image.Image, chance: np.random.Generator) -> Image.Image:
    """Give the table's grain, and the shadow on the side of a sheet that is turned from the light."""
    width, height = share.size
    coarse = chance.normal(1, 0.05, (24, 18)) if chance.random() < 0.5 else chance.normal(1, 0.06, (6, 180))
    if chance.random() < 0.5:
        coarse = coarse.T
    small = (width // 4, height // 4)
    grain = np.asarray(Image.fromarray(coarse.astype(np.float32)).resize(small, Image.Resampling.BILINEAR))
    grain = grain * chance.normal(1 / _GRAIN, 0.025, (small[1], small[0]))
    soft = share.resize(small, Image.Resampling.BOX).filter(ImageFilter.GaussianBlur(chance.uniform(1.0, 3.0)))
    beside = np.roll(np.asarray(soft) / 255, chance.uniform(-2, 2, 2).round().astype(int), axis=(0, 1))
    return _enlarged(grain * (1 - chance.uniform(0.15, 0.4) * beside), share.size)


def _enlarged(light: Light, size: tuple[int, int]) -> Image.Image:
    levels = np.clip(np.rint(light * 255), 0, 255).astype(np.uint8)
    return Image.fromarray(levels).resize(size, Image.Resampling.BILINEAR)


@dataclass(frozen=True, slots=True)
class Flatbed:
    """How a sheet lies on a scanner: ``skew`` in degrees."""

    dpi: float = 300.0
    skew: float = 0.3
    grey: bool = False
    noise: float = 1.5
    blur: float = 0.5


def scan(sheet: DrawnSheet, bed: Flatbed, chance: np.random.Generator) -> Image.Image:
    """Give the scan of a sheet, as large as the sheet."""
    dot = sheet.per_mm * 25.4 / bed.dpi
    size = (round(sheet.size_mm[0] / 25.4 * bed.dpi), round(sheet.size_mm[1] / 25.4 * bed.dpi))
    angle = np.radians(bed.skew)
    turned = np.array([[np.cos(angle), -np.sin(angle)], [np.sin(angle), np.cos(angle)]]) * dot
    middle = np.array(sheet.raster.shape[1::-1]) / 2
    shift = middle - turned @ (np.array(size) / 2 + chance.uniform(-8, 8, 2))
    matrix = (turned[0, 0], turned[0, 1], shift[0], turned[1, 0], turned[1, 1], shift[1])
    source = Image.fromarray(sheet.raster)
    laid = source.transform(size, Image.Transform.AFFINE, matrix, Image.Resampling.BICUBIC, fillcolor=(246, 246, 246))
    laid = laid.filter(ImageFilter.GaussianBlur(bed.blur))
    return _noisy(laid.convert("L") if bed.grey else laid, bed.noise, chance)
