"""A stage: subjects and the things round them, gathered as one scene for the renderer."""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import numpy as np

from catalog_builder.pattern.parts.flat_part import FlatPart
from catalog_builder.records.studio import Making
from tests.demo_photos import hardware
from tests.demo_photos.border import border_mesh
from tests.demo_photos.corner import corner_mesh
from tests.demo_photos.mesh import Floats, Mesh, filled, joined
from tests.demo_photos.relief import raised
from tests.demo_photos.sheet import SHEET_MM, read_sheet
from tests.demo_photos.solder import solder_mesh
from tests.demo_photos.subject import Subject, pose_of
from tests.demo_photos.surface import Bsdf, border_bsdf, metal_of


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

    def shine(self, mesh: Mesh, radiance: tuple[float, float, float], pose: Floats) -> None:
        """Put a mesh that gives light of its own on the stage."""
        path = self.folder / f"part{len(self.scene)}.ply"
        mesh.moved(pose).write(path)
        emitter = {"type": "area", "radiance": {"type": "rgb", "value": list(radiance)}}
        self.scene[path.stem] = {"type": "ply", "filename": str(path), "emitter": emitter}

    def light(self, name: str, emitter: dict[str, Any]) -> None:
        """Put a light, or a shape that shines, on the stage."""
        self.scene[name] = emitter

    def place(self, subject: Subject, pose: Floats) -> None:
        """Put a subject on the stage: its glass, solder and rings, moved from its own place by a pose."""
        metal = metal_of(subject.finish)
        for flat in subject.flats:
            beads = solder_mesh(subject, flat, self.making)
            for place in flat.places:
                stands = pose @ pose_of(place)
                self._glass(subject, flat, stands)
                if beads is not None:
                    self.add(beads, metal, stands)
        corners = corner_mesh(subject, self.making)
        if corners is not None:
            self.add(corners, metal, pose)
        if subject.held.rings:
            self.add(hardware.rings(subject), metal, pose)
        if subject.held.rod is not None:
            self.add(hardware.rod(subject), metal, pose)
        if subject.border is not None:
            self.add(border_mesh(subject), border_bsdf(subject.border.made_of), pose)

    def _glass(self, subject: Subject, flat: FlatPart, pose: Floats) -> None:
        chance = np.random.default_rng(subject.seed)
        half = subject.thickness_mm / 2
        fronts: dict[str, list[Mesh]] = {}
        backs: dict[str, list[Mesh]] = {}
        cuts = {cut.number: cut for cut in flat.cuts}
        for piece in flat.pattern.pieces:
            place = _on_sheet(cuts[piece.number].grain, chance)
            fronts.setdefault(piece.glass, []).append(raised(piece.face, half, subject.glass[piece.glass], place))
            backs.setdefault(piece.glass, []).append(filled(piece.face, -half, -1, place))
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
