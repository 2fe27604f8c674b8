"""Rooms: a window, a sunlit wall, a sill and a table, set round the subjects of a photo."""

from __future__ import annotations

from typing import Any

import mitsuba as mi
import numpy as np

from catalog_builder.records.hardware_kind import HardwareKind
from tests.demo_photos import hardware
from tests.demo_photos.garden import outlook
from tests.demo_photos.mesh import Floats, Mesh, box, pose, tube
from tests.demo_photos.noise import clouds, fractal, warped
from tests.demo_photos.stage import Bsdf, Stage, plain
from tests.demo_photos.subject import Subject

LINEN = plain((0.50, 0.42, 0.30), 0.8)
BRASS = plain((0.78, 0.57, 0.26), 0.28, 1.0)
STEEL = plain((0.56, 0.56, 0.57), 0.25, 1.0)
PAINT = plain((0.80, 0.79, 0.76), 0.35)


def outside(
    stage: Stage, view: str, seed: int, blur_degrees: float, horizon_degrees: float, light: float = 1.0
) -> None:
    """Light the stage by what lies beyond the window and by the room."""
    bitmap = mi.Bitmap(outlook(view, seed, blur_degrees).astype(np.float32))
    turned = mi.ScalarTransform4f().rotate([1, 0, 0], horizon_degrees).rotate([0, 1, 0], 180)
    stage.light("outside", {"type": "envmap", "bitmap": bitmap, "to_world": turned, "scale": light})


def indoors(stage: Stage, light: float) -> None:
    """Light the stage by pale walls all round."""
    radiance = {"type": "rgb", "value": [light, light * 0.98, light * 0.97]}
    stage.light("walls", {"type": "constant", "radiance": radiance})


def sun(stage: Stage, way: tuple[float, float, float], light: float, wide_degrees: float = 0.55) -> None:
    """Shine from a direction; as wide as the sun and its haze, so that shadows soften with distance."""
    towards = np.array(way) / np.linalg.norm(way)
    far = 4000.0
    radius = far * np.tan(np.radians(wide_degrees))
    placed = mi.ScalarTransform4f().look_at(list(far * towards), [0, 0, 0], [0.1, 1, 0.2]).scale([radius, radius, 1])
    shine = light / (np.pi * np.tan(np.radians(wide_degrees)) ** 2)
    radiance = {"type": "rgb", "value": [shine, shine * 0.94, shine * 0.84]}
    stage.light("sun", {"type": "disk", "to_world": placed, "emitter": {"type": "area", "radiance": radiance}})


def panel(stage: Stage, place: tuple[float, float, float], size: tuple[float, float], light: float) -> None:
    """Shine from a large pane that faces the middle of the stage."""
    facing = mi.ScalarTransform4f().look_at(list(place), [0, 0, 0], [0.01, 1, 0.02])
    placed = facing.scale([size[0] / 2, size[1] / 2, 1])
    radiance = {"type": "rgb", "value": [light * 0.96, light * 0.99, light]}
    name = f"panel{len(stage.scene)}"
    stage.light(name, {"type": "rectangle", "to_world": placed, "emitter": {"type": "area", "radiance": radiance}})


def frame(stage: Stage, upright_mm: tuple[float, ...], across_mm: tuple[float, ...], behind_mm: float) -> None:
    """Set glazing bars of painted wood behind the subject, each with its moulded edge."""
    near = -behind_mm
    for x in upright_mm:
        stage.add(box((x - 16, -1500, near - 40), (x + 16, 1500, near - 8), 2), PAINT)
        stage.add(box((x - 8, -1500, near - 8), (x + 8, 1500, near), 4), PAINT)
    for y in across_mm:
        stage.add(box((-1500, y - 16, near - 41), (1500, y + 16, near - 9), 2), PAINT)
        stage.add(box((-1500, y - 8, near - 9), (1500, y + 8, near - 1), 4), PAINT)


def suspension(stage: Stage, subject: Subject, at: tuple[float, float], turn: float, above_mm: float) -> None:
    """Hang a subject with its middle at a place, turned about the upright, from a rod or peg above."""
    _, top, _, bottom = subject.box
    rings = hardware.eyes(subject)
    middle = np.mean(rings, axis=0)
    turned = pose((0, 0, 0), (0, turn, 0)) @ pose((-middle[0], 0, 0))
    turned[:3, 3] += np.array([at[0], at[1] + (top + bottom) / 2, 0.0])
    stage.place(subject, turned)

    def placed(spot: Floats) -> Floats:
        return np.asarray(turned[:3, :3] @ spot + turned[:3, 3])

    kind = subject.suspension.hung_by
    peg = placed(middle + np.array([0.0, above_mm, 0.0]))
    if kind is HardwareKind.HOOK and subject.suspension.hanger is not None:
        made, inner = hardware.hook(rings[0], float(subject.suspension.hanger.length_mm or 26))
        stage.add(made, STEEL, turned)
        rod(stage, placed(inner)[1] - 2.4, 2.2)
    elif len(rings) == 2:
        run = subject.suspension.hanger_mm / 2
        rise = float(np.sqrt(run**2 - ((rings[1][0] - rings[0][0]) / 2) ** 2))
        top_peg = placed(middle + np.array([0.0, rise, 0.0]))
        for ring in rings:
            stage.add(hardware.chain(placed(ring), top_peg), BRASS)
        rod(stage, top_peg[1], 2.2)
    else:
        thick = 1.1 if kind is HardwareKind.CORD else 0.9
        stage.add(hardware.loop(placed(rings[0]), peg, thick), LINEN)


def rod(stage: Stage, y: float, radius_mm: float, bsdf: Bsdf | None = None) -> None:
    """Lay a rod across the window, behind nothing and in front of the bars."""
    path = np.array([[-900.0, y, 0.0], [0.0, y, 0.0], [900.0, y, 0.0]])
    stage.add(tube(path, radius_mm, 32), BRASS if bsdf is None else bsdf)


def plaster(stage: Stage, behind_mm: float, colour: tuple[float, float, float]) -> None:
    """Stand a plastered wall behind the subject."""
    chance = np.random.default_rng(11)
    relief = 0.10 * fractal(chance, (1024, 1024), 60, 40) + 0.025 * clouds(chance, (1024, 1024), 4, 4)
    relief += 0.05 * fractal(chance, (1024, 1024), 300, 14)
    stage.add(_sheet(900, -behind_mm, 400), _relief(plain(colour, 0.75, shine=0.25), relief, 2.0))


def wood(seed: int, pale: tuple[float, float, float], dark: tuple[float, float, float], rough: float) -> Bsdf:
    """Describe planed wood with its grain along u."""
    chance = np.random.default_rng(seed)
    shape = (1024, 1024)
    years = np.broadcast_to(np.sin(np.arange(1024) / 1024 * 2 * np.pi * 17)[None], shape)
    rings = warped(years.copy(), np.zeros(shape), 26 * clouds(chance, shape, 110, 600))
    fibre = clouds(chance, shape, 1.6, 110)
    share = np.clip(0.5 + 0.13 * rings + 0.15 * fibre + 0.10 * clouds(chance, shape, 50, 300), 0, 1)[..., None]
    colour = np.array(dark) + (np.array(pale) - np.array(dark)) * share
    tinted: dict[str, Any] = {**plain((0, 0, 0), rough), "base_color": _texture(colour.transpose(1, 0, 2))}
    return _relief(tinted, 0.03 * fibre.T, 1.0)


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
    tinted: dict[str, Any] = {**plain((0, 0, 0), 0.85, shine=0.2), "base_color": _texture(colour)}
    return _relief(tinted, 0.16 * weave + 0.03 * slub, 1.0)


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
    return {**plain((0, 0, 0), 0.4), "base_color": _texture(coded**2.2 * (1 + 0.06 * fibre))}


def _sheet(half_mm: float, z: float, unit_mm: float) -> Mesh:
    points = np.array([[-half_mm, -half_mm, z], [half_mm, -half_mm, z], [half_mm, half_mm, z], [-half_mm, half_mm, z]])
    return Mesh(points, np.array([[0, 1, 2], [0, 2, 3]]), points[:, :2] / unit_mm)


def _relief(bsdf: Bsdf, relief: Floats, scale: float) -> Bsdf:
    return {"type": "bumpmap", "scale": scale, "relief": _texture(relief[..., None]), "surface": bsdf}


def _texture(data: Floats) -> dict[str, Any]:
    bitmap = mi.Bitmap(np.ascontiguousarray(data, dtype=np.float32))
    return {"type": "bitmap", "bitmap": bitmap, "raw": True, "wrap_mode": "repeat"}
