"""Noise: random fields that repeat without a seam, for glass, wood, plaster and hand-made unevenness."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Field = NDArray[np.float64]


def clouds(chance: np.random.Generator, shape: tuple[int, int], along: float, across: float) -> Field:
    """Give smooth noise with mean 0 and spread 1, its lumps about ``along`` pixels by ``across`` pixels."""
    spectrum = np.fft.rfft2(chance.standard_normal(shape))
    y = np.fft.fftfreq(shape[0])[:, None] * across
    x = np.fft.rfftfreq(shape[1])[None] * along
    field = np.fft.irfft2(spectrum * np.exp(-9 * (x**2 + y**2)), s=shape)
    return np.asarray((field - field.mean()) / max(field.std(), 1e-12))


def fractal(chance: np.random.Generator, shape: tuple[int, int], along: float, across: float) -> Field:
    """Give noise of several octaves, mean 0 and spread 1."""
    field = sum(clouds(chance, shape, along / 2**octave, across / 2**octave) / 1.8**octave for octave in range(4))
    made = np.asarray(field)
    return np.asarray((made - made.mean()) / made.std())


def warped(field: Field, down: Field, right: Field) -> Field:
    """Read a field that repeats at places shifted by ``down`` and ``right`` pixels."""
    from scipy.ndimage import map_coordinates

    y, x = np.mgrid[: field.shape[0], : field.shape[1]]
    return np.asarray(map_coordinates(field, [y + down, x + right], order=1, mode="grid-wrap"))


def step(field: Field, low: float, high: float) -> Field:
    """Rise smoothly from 0 at ``low`` to 1 at ``high``."""
    t = np.clip((field - low) / (high - low), 0, 1)
    return np.asarray(t * t * (3 - 2 * t))
