"""Rooms: a window, a sunlit wall, a sill and a table, set round the subjects of a photo."""

from __future__ import annotations

import mitsuba as mi
import numpy as np

from catalog_builder.records.hardware_kind import HardwareKind
from tests.demo_photos import hardware
from tests.demo_photos.garden import outlook
from tests.demo_photos.mesh import Floats, Mesh, box, lathe, pose, tube
from tests.demo_photos.stage import Stage
from tests.demo_photos.subject import Subject
from tests.demo_photos.surface import Bsdf, clay, earth, plain, plaster, wood

LINEN = plain((0.50, 0.42, 0.30), 0.8)
BRASS = plain((0.78, 0.57, 0.26), 0.28, 1.0)
STEEL = plain((0.56, 0.56, 0.57), 0.25, 1.0)
PAINT = plain((0.80, 0.79, 0.76), 0.35)
LEAVES = tuple(
    {"type": "twosided", "leaf": plain(colour, 0.42)}
    for colour in ((0.10, 0.22, 0.06), (0.16, 0.30, 0.09), (0.07, 0.17, 0.06), (0.20, 0.33, 0.13))
)


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


def suspension(stage: Stage, subject: Subject, at: tuple[float, float], turn: float, peg_mm: float) -> float:
    """Hang a subject with its middle at a place, turned about the upright, from a rod; give the rod's height.

    A thread goes up to ``peg_mm``; hook, cord and chain say themselves how high they reach.
    """
    left, top, right, bottom = subject.box
    rings = hardware.eyes(subject)
    middle = np.mean(rings, axis=0)
    turned = pose((0, 0, 0), (0, turn, 0)) @ pose((-(left + right) / 2, (top + bottom) / 2, 0))
    turned[:3, 3] += np.array([at[0], at[1], 0.0])
    stage.place(subject, turned)

    def placed(spot: Floats) -> Floats:
        return np.asarray(turned[:3, :3] @ spot + turned[:3, 3])

    held = subject.held
    if held.by == HardwareKind.HOOK:
        made, inner = hardware.hook(rings[0], held.hanger_mm or 26)
        stage.add(made, STEEL, turned)
        return float(placed(inner)[1] - 2.4)
    if len(rings) == 2 and held.hanger_mm:
        run = held.hanger_mm / 2
        rise = float(np.sqrt(run**2 - ((rings[1][0] - rings[0][0]) / 2) ** 2))
        top_peg = placed(middle + np.array([0.0, rise, 0.0]))
        for ring in rings:
            stage.add(hardware.chain(placed(ring), top_peg), BRASS)
        return float(top_peg[1])
    thick, rise = (1.1, held.hanger_mm / 2) if held.by == HardwareKind.CORD else (0.9, peg_mm - placed(middle)[1])
    for ring in rings:
        stage.add(hardware.loop(placed(ring), placed(ring + np.array([0.0, rise, 0.0])), thick), LINEN)
    return float(placed(middle)[1] + rise)


def rod(stage: Stage, y: float, radius_mm: float, bsdf: Bsdf | None = None) -> None:
    """Lay a rod across the window, behind nothing and in front of the bars."""
    path = np.array([[-900.0, y, 0.0], [0.0, y, 0.0], [900.0, y, 0.0]])
    stage.add(tube(path, radius_mm, 32), BRASS if bsdf is None else bsdf)


def oak_sill(stage: Stage) -> None:
    """Lay an oak sill with its face at height 0, and the painted foot of the window behind it."""
    stage.add(box((-900, -30, -118), (900, 0, 260), 3), wood(4, (0.52, 0.34, 0.19), (0.24, 0.13, 0.065), 0.32))
    stage.add(box((-900, -0.5, -115), (900, 34, -75), 4), PAINT)
    stage.add(box((-900, 30, -105), (900, 46, -90), 4), PAINT)


def tealight(stage: Stage, foot: Floats) -> None:
    """Stand a burning tealight at a place: a tin cup, wax, a wick and its flame, which shines."""
    stage.add(
        lathe(np.array([[0, 0], [18.6, 0], [19, 0.5], [19, 15.5], [18.7, 15.7], [18.4, 15.4], [18.4, 13.4]])),
        STEEL,
        foot,
    )
    wax = np.array([[18.4, 13.2], [12, 12.6], [6, 12.2], [0.01, 12.1]])
    stage.add(lathe(wax), plain((0.86, 0.84, 0.78), 0.35), foot)
    stage.add(tube(np.array([[0, 12, 0], [0.2, 15, 0], [0.8, 18, 0]]), 0.6, 8), plain((0.04, 0.035, 0.03), 0.9), foot)
    height = np.linspace(0, 1, 24)
    wide = 3.6 * np.sqrt(np.clip(height * 1.6, 0, 1)) * np.clip(1 - height, 0, 1) ** 0.7
    flame = lathe(np.column_stack([np.maximum(wide, 0.02), 16.5 + 20 * height]), 24)
    stage.shine(flame, (34.0, 17.0, 5.2), foot)


def plant_pot(stage: Stage, seed: int) -> float:
    """Stand a clay pot with earth and a few leaves on the sill; give the height of its rim."""
    chance = np.random.default_rng(seed)
    back = pose((0, 0, -14))
    wall_of = [
        [0, 0],
        [38, 0],
        [40, 2],
        [50, 66],
        [54, 66],
        [55, 67.5],
        [56, 84],
        [55, 86],
        [51.5, 86],
        [50.5, 84],
        [48.5, 70],
    ]
    stage.add(lathe(np.array(wall_of, dtype=float)), clay(), back)
    rings = np.linspace(50, 0.01, 40)
    soil = lathe(np.column_stack([rings, 78 + 3 * np.cos(rings / 50 * np.pi / 2)]), 160)
    lumps = chance.standard_normal((40, 160))
    lumps = np.concatenate([lumps, lumps[:, :1]], axis=1).reshape(-1)
    soil.points[:, 1] += 0.7 * lumps
    stage.add(soil, earth(), back)
    for index in range(26):
        turn, out = chance.uniform(0, 2 * np.pi), chance.uniform(16, 42)
        stage.add(_leaf(chance, chance.uniform(26, 58)), LEAVES[index % len(LEAVES)], _on_earth(turn, out, 80))
    return 86.0


def _on_earth(turn: float, out: float, height: float) -> Floats:
    return pose((out * np.cos(turn), height, -out * np.sin(turn) - 14), (0, float(np.degrees(turn)), 0))


def _leaf(chance: np.random.Generator, long_mm: float) -> Mesh:
    """Make a narrow leaf that grows up from the origin and bends over along x."""
    share = np.linspace(0, 1, 24)
    bend = chance.uniform(0.4, 1.5)
    path = np.column_stack([long_mm * 0.62 * bend * share**2, long_mm * (share - 0.34 * bend * share**2)])
    half = 0.075 * long_mm * np.sin(np.pi * np.clip(share * 0.94 + 0.05, 0, 1)) ** 0.8
    across = np.linspace(-1, 1, 7)
    x = np.repeat(path[:, :1], 7, axis=1)
    y = path[:, 1:] + 0.28 * half[:, None] * np.abs(across)
    z = half[:, None] * across
    points = np.stack([x, y, z], axis=-1).reshape(-1, 3)
    rows, columns = np.meshgrid(np.arange(23), np.arange(6), indexing="ij")
    a = (rows * 7 + columns).ravel()
    triangles = np.concatenate([np.column_stack([a, a + 1, a + 8]), np.column_stack([a, a + 8, a + 7])])
    uv = np.stack([np.repeat(share[:, None], 7, axis=1), np.repeat(across[None], 24, axis=0)], axis=-1).reshape(-1, 2)
    leaf = Mesh(points, triangles.astype(np.int64), uv)
    return leaf.moved(pose((0, 0, 0), (0, float(chance.uniform(-40, 40)), 0)))


def wall(stage: Stage, behind_mm: float, colour: tuple[float, float, float]) -> None:
    """Stand a plastered wall behind the subject."""
    stage.add(_sheet(900, -behind_mm, 400), plaster(colour))


def _sheet(half_mm: float, z: float, unit_mm: float) -> Mesh:
    points = np.array([[-half_mm, -half_mm, z], [half_mm, -half_mm, z], [half_mm, half_mm, z], [-half_mm, half_mm, z]])
    return Mesh(points, np.array([[0, 1, 2], [0, 2, 3]]), points[:, :2] / unit_mm)
