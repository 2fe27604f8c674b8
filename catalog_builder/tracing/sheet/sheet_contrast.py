"""Ways to look at a picture in which a sheet may stand out from the table."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from catalog_builder.tracing.arrays import Pixels, Points, sampled

# Rows of pixels along the picture's border that are taken for the table.
_BORDER = 12
_MIX = np.array([[1 / 3, 1 / 3, 1 / 3], [1.0, -1.0, 0.0], [0.5, 0.5, -1.0]])


@dataclass(frozen=True, slots=True)
class PictureChannel:
    """One value for each colour of shape (..., 3): lightness, one of two hues, or how far it is from the table's."""

    values: Callable[[Points], Points]

    def at(self, pixels: Pixels, points: Points) -> Points:
        """Give the values at places (..., 2) of a picture."""
        if pixels.ndim == 2:
            return sampled(pixels, points)
        return self.values(np.stack([sampled(pixels[..., index], points) for index in range(3)], axis=-1))

    def of(self, pixels: Pixels) -> NDArray[np.float64]:
        """Give the values of a whole picture."""
        return pixels.astype(np.float64) if pixels.ndim == 2 else self.values(pixels.astype(np.float64))


def channels_of(pixels: Pixels) -> list[PictureChannel]:
    """Give the channels of a small picture, lightness first."""
    if pixels.ndim == 2:
        return [PictureChannel(_as_it_is)]
    border = np.concatenate(
        [
            part.reshape(-1, 3).astype(np.float64)
            for part in (pixels[:_BORDER], pixels[-_BORDER:], pixels[:, :_BORDER], pixels[:, -_BORDER:])
        ]
    )
    table = np.median(border @ _MIX.T, axis=0)
    return [*(PictureChannel(_mixed(index)) for index in range(3)), PictureChannel(_distance_from(table))]


def _as_it_is(colours: Points) -> Points:
    return colours


def _mixed(index: int) -> Callable[[Points], Points]:
    return lambda colours: np.asarray(colours @ _MIX[index])


def _distance_from(table: NDArray[Any]) -> Callable[[Points], Points]:
    weights = np.array([0.5, 1.0, 1.0])
    return lambda colours: np.linalg.norm((colours @ _MIX.T - table) * weights, axis=-1)
