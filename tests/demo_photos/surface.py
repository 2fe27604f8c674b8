"""Surfaces: what light meets on paint, metal, wood, plaster, cloth, clay and earth."""

from __future__ import annotations

from typing import Any

import mitsuba as mi
import numpy as np

from tests.demo_photos.mesh import Floats
from tests.demo_photos.noise import clouds, fractal, step, warped

Bsdf = dict[str, Any]


def plain(colour: tuple[float, float, float], rough: float = 0.5, metal: float = 0.0, shine: float = 0.5) -> Bsdf:
    """Describe a surface by its colour, roughness, and how much of a metal it is."""
    return {
        "type": "principled",
        "base_color": {"type": "rgb", "value": list(colour)},
        "roughness": rough,
        "metallic": metal,
        "specular": shine,
    }


METALS: dict[str, Bsdf] = {
    "zinc": plain((0.46, 0.47, 0.49), 0.38, 1.0),
    "brass": plain((0.74, 0.55, 0.26), 0.30, 1.0),
    "lead": plain((0.24, 0.25, 0.27), 0.42, 1.0),
}


def metal_of(finish: str) -> Bsdf:
    """Describe solder in a finish: black patina, copper patina, or bright; its tarnish is a little cloudy."""
    chance = np.random.default_rng(7)
    cloud = step(fractal(chance, (512, 512), 26, 26), -1.5, 2.0)[..., None]
    dark, light, rough, metal = {
        "black": ((0.030, 0.030, 0.034), (0.120, 0.118, 0.122), 0.20, 0.9),
        "copper": ((0.30, 0.115, 0.050), (0.72, 0.36, 0.20), 0.30, 1.0),
    }.get(finish, ((0.50, 0.50, 0.50), (0.80, 0.80, 0.79), 0.22, 1.0))
    colour = np.array(dark) + (np.array(light) - np.array(dark)) * cloud
    return {
        "type": "principled",
        "base_color": texture(colour),
        "roughness": texture(rough + 0.12 * (1 - cloud)),
        "metallic": metal,
        "specular": 0.6,
    }


def texture(data: Floats) -> dict[str, Any]:
    """Describe a picture of values that are no colours to be decoded, repeated without end."""
    bitmap = mi.Bitmap(np.ascontiguousarray(data, dtype=np.float32))
    return {"type": "bitmap", "bitmap": bitmap, "raw": True, "wrap_mode": "repeat"}


def uneven(bsdf: Bsdf, relief: Floats, scale: float) -> Bsdf:
    """Lay relief, shape (h, w), over a surface."""
    return {"type": "bumpmap", "scale": scale, "relief": texture(relief[..., None]), "surface": bsdf}


def plaster(colour: tuple[float, float, float]) -> Bsdf:
    """Describe a plastered wall."""
    chance = np.random.default_rng(11)
    relief = 0.10 * fractal(chance, (1024, 1024), 60, 40) + 0.025 * clouds(chance, (1024, 1024), 4, 4)
    relief += 0.05 * fractal(chance, (1024, 1024), 300, 14)
    return uneven(plain(colour, 0.75, shine=0.25), relief, 2.0)


def wood(seed: int, pale: tuple[float, float, float], dark: tuple[float, float, float], rough: float) -> Bsdf:
    """Describe planed wood with its grain along u."""
    chance = np.random.default_rng(seed)
    shape = (1024, 1024)
    years = np.broadcast_to(np.sin(np.arange(1024) / 1024 * 2 * np.pi * 17)[None], shape)
    rings = warped(years.copy(), np.zeros(shape), 26 * clouds(chance, shape, 110, 600))
    fibre = clouds(chance, shape, 1.6, 110)
    share = np.clip(0.5 + 0.13 * rings + 0.15 * fibre + 0.10 * clouds(chance, shape, 50, 300), 0, 1)[..., None]
    colour = np.array(dark) + (np.array(pale) - np.array(dark)) * share
    tinted: dict[str, Any] = {**plain((0, 0, 0), rough), "base_color": texture(colour.transpose(1, 0, 2))}
    return uneven(tinted, 0.03 * fibre.T, 1.0)


def linen_cloth() -> Bsdf:
    """Describe woven cloth: threads over and under, none quite straight."""
    chance = np.random.default_rng(5)
    shape, threads = (1024, 1024), 110
    y, x = np.mgrid[:1024, :1024] / 1024 * 2 * np.pi * threads
    x += 1.3 * clouds(chance, shape, 30, 160)
    y += 1.3 * clouds(chance, shape, 160, 30)
    over = np.sin(x / 2) * np.sin(y / 2) > 0
    weave = np.where(over, np.abs(np.cos(x / 2)), np.abs(np.cos(y / 2)))
    slub = np.where(over, clouds(chance, shape, 2, 120), clouds(chance, shape, 120, 2))
    colour = np.array([0.86, 0.84, 0.79]) * (0.80 + 0.20 * weave + 0.05 * slub)[..., None]
    tinted: dict[str, Any] = {**plain((0, 0, 0), 0.85, shine=0.2), "base_color": texture(colour)}
    return uneven(tinted, 0.16 * weave + 0.03 * slub, 1.0)


def ruler_face() -> Bsdf:
    """Describe a boxwood rule: u runs its whole 200 mm, v its 26 mm, with a line for each millimetre."""
    from PIL import Image, ImageDraw, ImageFont

    scale = 10
    image = Image.new("RGB", (200 * scale, 26 * scale), (214, 176, 112))
    draw = ImageDraw.Draw(image)
    font = ImageFont.load_default(34)
    for mm in range(191):
        x = (5 + mm) * scale
        long = 7.0 if mm % 10 == 0 else 5.0 if mm % 5 == 0 else 3.2
        draw.line([(x, 0), (x, long * scale)], fill=(40, 28, 18), width=2 if mm % 5 else 3)
        if mm % 10 == 0:
            draw.text((x, 8 * scale), str(mm // 10), fill=(40, 28, 18), font=font, anchor="mt")
    coded = np.asarray(image).astype(np.float64) / 255
    fibre = clouds(np.random.default_rng(2), coded.shape[:2], 160, 2)[..., None]
    return {**plain((0, 0, 0), 0.4), "base_color": texture(coded**2.2 * (1 + 0.06 * fibre))}


def clay() -> Bsdf:
    """Describe fired clay, a little paler where salts have come through."""
    chance = np.random.default_rng(8)
    bloom = step(fractal(chance, (512, 512), 60, 40), 0.2, 2.2)[..., None]
    colour = np.array([0.46, 0.19, 0.10]) * (1 + 0.05 * fractal(chance, (512, 512), 5, 3)[..., None])
    colour = colour + (np.array([0.60, 0.44, 0.35]) - colour) * 0.55 * bloom
    rings = 0.05 * clouds(chance, (512, 512), 300, 2) + 0.02 * clouds(chance, (512, 512), 3, 3)
    return uneven({**plain((0, 0, 0), 0.85, shine=0.2), "base_color": texture(colour)}, rings, 1.0)


def earth() -> Bsdf:
    """Describe moist potting earth."""
    chance = np.random.default_rng(12)
    crumbs = fractal(chance, (512, 512), 9, 9)
    colour = np.array([0.060, 0.040, 0.026]) * np.clip(1 + 0.45 * crumbs, 0.2, 2.4)[..., None]
    return uneven({**plain((0, 0, 0), 0.95, shine=0.15), "base_color": texture(colour)}, 0.5 * crumbs, 1.0)


def border_bsdf(made_of: str) -> Bsdf:
    """Describe what a frame is made of: a metal by its name, or oak."""
    return METALS.get(made_of) or wood(9, (0.50, 0.31, 0.16), (0.25, 0.13, 0.06), 0.36)
