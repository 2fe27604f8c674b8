"""A stage: subjects and the things round them, gathered as one scene for the renderer."""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import mitsuba as mi
import numpy as np

from catalog_builder.records.studio import Making
from tests.demo_photos import hardware
from tests.demo_photos.mesh import Floats, Mesh, flat, joined
from tests.demo_photos.noise import fractal, step
from tests.demo_photos.sheet import SHEET_MM, read_sheet
from tests.demo_photos.solder import solder_mesh
from tests.demo_photos.subject import Subject

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
        "base_color": _texture(colour),
        "roughness": _texture(rough + 0.12 * (1 - cloud)),
        "metallic": metal,
        "specular": 0.6,
    }


def _texture(data: Floats) -> dict[str, Any]:
    bitmap = mi.Bitmap(np.ascontiguousarray(data, dtype=np.float32))
    return {"type": "bitmap", "bitmap": bitmap, "raw": True, "wrap_mode": "repeat"}


@dataclass(slots=True)
class Stage:
    """A scene that grows. Meshes are written to ``folder``, where the renderer reads them."""

    folder: Path
    making: Making
    solid: bool
    scene: dict[str, Any] = field(default_factory=lambda: {"type": "scene"})

    def add(self, mesh: Mesh, bsdf: Bsdf, pose: Floats | None = None) -> None:
        """Put a mesh of one material on the stage."""
        name = f"part{len(self.scene)}"
        path = self.folder / f"{name}.ply"
        (mesh if pose is None else mesh.moved(pose)).write(path)
        faceted = {"face_normals": True} if len(mesh.points) == 3 * len(mesh.triangles) else {}
        self.scene[name] = {"type": "ply", "filename": str(path), "bsdf": bsdf, **faceted}

    def light(self, name: str, emitter: dict[str, Any]) -> None:
        """Put a light, or a shape that shines, on the stage."""
        self.scene[name] = emitter

    def place(self, subject: Subject, pose: Floats) -> None:
        """Put a subject on the stage: its glass, solder and rings, moved from its own place by a pose."""
        self._glass(subject, pose)
        metal = metal_of(subject.finish)
        self.add(solder_mesh(subject, self.making, sum(subject.slug.encode())), metal, pose)
        self.add(hardware.rings(subject), metal, pose)

    def _glass(self, subject: Subject, pose: Floats) -> None:
        chance = np.random.default_rng(sum(subject.slug.encode()))
        half = subject.thickness_mm / 2
        fronts: dict[str, list[Mesh]] = {}
        backs: dict[str, list[Mesh]] = {}
        cuts = {cut.number: cut for cut in subject.made.cuts}
        for piece in subject.made.main.pattern.pieces:
            place = _on_sheet(cuts[piece.number].grain, chance)
            fronts.setdefault(piece.glass, []).append(flat(piece.face, half, 1, place))
            backs.setdefault(piece.glass, []).append(flat(piece.face, -half, -1, place))
        for word, meshes in fronts.items():
            sheet = read_sheet(subject.glass[word])
            self.add(joined(meshes), sheet.bsdf(self.solid), pose)
            if self.solid and not sheet.milky:
                self.add(joined(backs[word]), {"type": "dielectric", "int_ior": 1.52}, pose)


def _on_sheet(grain: float, chance: np.random.Generator) -> Floats:
    """Give where a piece is cut from its sheet: the grain along u, and a place of its own."""
    turn = np.radians(grain)
    along, across = np.array([np.cos(turn), np.sin(turn)]), np.array([-np.sin(turn), np.cos(turn)])
    return np.vstack([np.column_stack([along, across]) / SHEET_MM, chance.uniform(0, 1, 2)])
