"""A camera: where it stands, what it frames and how far it is opened."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import mitsuba as mi
import numpy as np


@dataclass(frozen=True, slots=True)
class Camera:
    """It looks from ``place`` at ``target``, both in mm, and is sharp there.

    ``tall_mm`` is what the picture's height takes in at the target; ``open_mm`` the lens's radius.
    """

    place: tuple[float, float, float]
    target: tuple[float, float, float]
    tall_mm: float
    open_mm: float
    size: tuple[int, int]

    def sensor(self, shrink: int) -> dict[str, Any]:
        """Describe it to the renderer, its picture ``shrink`` times smaller."""
        away = float(np.linalg.norm(np.subtract(self.place, self.target)))
        width, height = (edge // shrink for edge in self.size)
        return {
            "type": "thinlens",
            "fov": float(2 * np.degrees(np.arctan(self.tall_mm / 2 / away))),
            "fov_axis": "y",
            "aperture_radius": self.open_mm,
            "focus_distance": away,
            "to_world": mi.ScalarTransform4f().look_at(list(self.place), list(self.target), [0, 1, 0]),
            "film": {
                "type": "hdrfilm",
                "width": width,
                "height": height,
                # Neighbours that share no samples are what the darkroom can calm best.
                "rfilter": {"type": "box"},
            },
            "sampler": {"type": "independent"},
        }
