"""Photos of 12 megapixels as a phone would take them: coloured glass before a soft background, texture and noise."""

from __future__ import annotations

from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw, ImageFilter

SEED = 4000_3000
WIDTH, HEIGHT = 4000, 3000
# The glass is drawn at a quarter of the size, as a lens leaves edges soft.
SMALLER = 4
# What phones write, so that a photo has 3 to 6 MB.
QUALITY = 92


def take(path: Path, index: int) -> None:
    """Write photo number ``index`` as JPEG; the same each time, on the same libraries."""
    chance = np.random.default_rng([SEED, index])
    picture = _scene(chance)
    grain = _field(chance, 220, 5.0) + _field(chance, 900, 5.0) + _field(chance, 2000, 6.0)
    grain += chance.standard_normal((HEIGHT, WIDTH), dtype=np.float32) * 3.0
    pixels = np.asarray(picture, dtype=np.float32) + grain[:, :, None]
    pixels += chance.standard_normal((HEIGHT, WIDTH, 1), dtype=np.float32) * np.array([0.8, 0, 0.8], dtype=np.float32)
    Image.fromarray(pixels.clip(0, 255).astype(np.uint8)).save(path, "JPEG", quality=QUALITY)


def _field(chance: np.random.Generator, across: int, strength: float) -> NDArray[np.float32]:
    """Give a smooth random field of the photo's size, with about ``across`` waves in its width."""
    small = chance.standard_normal((across * 3 // 4, across), dtype=np.float32) * strength
    return np.asarray(Image.fromarray(small).resize((WIDTH, HEIGHT), Image.Resampling.BICUBIC))


def _scene(chance: np.random.Generator) -> Image.Image:
    """Draw a grid of bent cells of glass, each with a sheen of its own and dark seams, over a blurred background."""
    size = WIDTH // SMALLER, HEIGHT // SMALLER
    back = Image.fromarray(chance.integers(90, 235, (5, 7, 3), dtype=np.uint8))
    picture = back.resize(size, Image.Resampling.BICUBIC)
    draw = ImageDraw.Draw(picture)
    columns, rows, cell = 7, 6, 100
    left, top = (size[0] - columns * cell) // 2, (size[1] - rows * cell) // 2
    nodes = np.stack(np.meshgrid(np.arange(columns + 1), np.arange(rows + 1), indexing="ij"), axis=-1) * cell
    nodes = nodes + chance.integers(-18, 19, nodes.shape) + (left, top)
    for column in range(columns):
        for row in range(rows):
            corners = [nodes[column, row], nodes[column + 1, row], nodes[column + 1, row + 1], nodes[column, row + 1]]
            colour = tuple(int(part) for part in chance.integers(30, 250, 3))
            draw.polygon([(float(x), float(y)) for x, y in corners], fill=colour, outline=(35, 32, 30), width=5)
    sheen = Image.fromarray(chance.integers(60, 255, (24, 32), dtype=np.uint8)).resize(size, Image.Resampling.BICUBIC)
    lit = Image.composite(picture, picture.point(lambda value: value * 0.7), sheen)
    return lit.filter(ImageFilter.GaussianBlur(0.6)).resize((WIDTH, HEIGHT), Image.Resampling.BICUBIC)
