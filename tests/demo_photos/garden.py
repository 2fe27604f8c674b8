"""What lies beyond the window, far out of focus, and the room behind the camera, as one light all round.

Rows go from straight up to straight down, columns once round; the middle of the picture is what the
camera looks at.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from tests.demo_photos.noise import clouds, fractal, step

HEIGHT, WIDTH = 1024, 2048
DEGREE = WIDTH / 360
Field = NDArray[np.float64]


def outlook(view: str, seed: int, blur_degrees: float) -> Field:
    """Paint light of shape (h, w, 3): ``garden``, ``harbour`` or ``evening``, and the room."""
    chance = np.random.default_rng(seed)
    above = (90 - (np.arange(HEIGHT) + 0.5) / DEGREE)[:, None]
    scene = {"garden": _garden, "harbour": _harbour, "evening": _evening}[view](chance, above)
    soft = _through_lens(scene, blur_degrees)
    aside = np.abs((np.arange(WIDTH) + 0.5) / DEGREE - 180)[None]
    room = _room(above, (np.arange(WIDTH) + 0.5) / DEGREE - 180)
    share = step(aside * np.ones_like(above), 86, 92)[..., None]
    return np.asarray(soft * (1 - share) + room * share)


def _field(above: Field, colour: tuple[float, float, float]) -> Field:
    return np.asarray(np.ones((HEIGHT, WIDTH, 1)) * np.array(colour))


def _mix(one: Field, two: Field, share: Field) -> Field:
    return np.asarray(one + (two - one) * share[..., None])


def _sky(chance: np.random.Generator, above: Field, low: tuple[float, float, float], high: tuple[float, float, float]) -> Field:
    sky = _mix(_field(above, low), _field(above, high), step(above * np.ones((1, WIDTH)), 0, 45))
    cloud = step(fractal(chance, (HEIGHT, WIDTH), 50 * DEGREE, 14 * DEGREE), 0.1, 1.6)
    return _mix(sky, _field(above, (2.9, 2.85, 2.75)), 0.7 * cloud)


def _leaves(chance: np.random.Generator, dark: tuple[float, float, float], bright: tuple[float, float, float]) -> Field:
    lumps = step(fractal(chance, (HEIGHT, WIDTH), 5 * DEGREE, 4 * DEGREE), -1.3, 1.5)
    fine = step(clouds(chance, (HEIGHT, WIDTH), 0.7 * DEGREE, 0.7 * DEGREE), -1.0, 2.2)
    shade = _mix(_field(lumps, dark), _field(lumps, bright), np.clip(lumps * 0.75 + fine * 0.4, 0, 1))
    warm = step(clouds(chance, (HEIGHT, WIDTH), 9 * DEGREE, 8 * DEGREE), 0, 1.6)
    return np.asarray(shade * _mix(_field(lumps, (1, 1, 1)), _field(lumps, (1.45, 1.15, 0.55)), warm))


def _glints(chance: np.random.Generator, where: Field, count: int, light: tuple[float, float, float]) -> Field:
    """Points so bright that the lens draws each as a disc."""
    glow = np.zeros((HEIGHT, WIDTH, 3))
    rows, columns = np.nonzero(where > 0.5)
    picked = chance.integers(0, len(rows), count)
    glow[rows[picked], columns[picked]] = np.array(light) * chance.uniform(0.2, 1.0, (count, 1)) ** 2
    return glow


def _garden(chance: np.random.Generator, above: Field) -> Field:
    sky = _sky(chance, above, (2.5, 2.6, 2.6), (1.35, 1.75, 2.3))
    edge = above + 5 * fractal(chance, (HEIGHT, WIDTH), 24 * DEGREE, 24 * DEGREE)
    trees = step(-edge, -15, -13.4) * (1 - 0.65 * step(fractal(chance, (HEIGHT, WIDTH), 2.5 * DEGREE, 2.5 * DEGREE), 0.9, 1.6))
    view = _mix(sky, _leaves(chance, (0.05, 0.10, 0.035), (0.52, 0.78, 0.22)), trees)
    hedge = step(-(above + 1.6 * clouds(chance, (HEIGHT, WIDTH), 9 * DEGREE, 9 * DEGREE)), 1.0, 2.2)
    view = _mix(view, 0.8 * _leaves(chance, (0.05, 0.09, 0.03), (0.42, 0.60, 0.20)), hedge)
    lawn = step(-above + 0.5 * clouds(chance, (HEIGHT, WIDTH), 20 * DEGREE, 5 * DEGREE), 8, 9.5)
    grass = _field(above, (0.72, 0.98, 0.36)) * (1 + 0.12 * fractal(chance, (HEIGHT, WIDTH), 30 * DEGREE, 4 * DEGREE))[..., None]
    view = _mix(view, grass, lawn)
    bed = hedge * (1 - lawn)
    view += _glints(chance, bed, 700, (26, 12, 15)) + _glints(chance, bed, 500, (24, 22, 16))
    return view + _glints(chance, trees * (1 - hedge), 1500, (34, 38, 22))


def _harbour(chance: np.random.Generator, above: Field) -> Field:
    sky = _sky(chance, above, (2.6, 2.55, 2.4), (1.2, 1.6, 2.2))
    hill = step(-(above + 2.2 * clouds(chance, (HEIGHT, WIDTH), 40 * DEGREE, 40 * DEGREE)), -5.5, -5.0)
    view = _mix(sky, _field(above, (0.62, 0.78, 0.86)) * (1 + 0.1 * fractal(chance, (HEIGHT, WIDTH), 9 * DEGREE, 4 * DEGREE))[..., None], hill)
    near = step(-(above + 1.4 * clouds(chance, (HEIGHT, WIDTH), 26 * DEGREE, 26 * DEGREE)), -1.6, -1.2)
    view = _mix(view, _leaves(chance, (0.14, 0.22, 0.16), (0.50, 0.60, 0.34)), near)
    water = step(-above * np.ones((1, WIDTH)), 0.5, 0.9)
    wave = fractal(chance, (HEIGHT, WIDTH), 14 * DEGREE, 1.2 * DEGREE)
    sea = _mix(_field(above, (0.72, 0.98, 1.10)), _field(above, (1.5, 1.6, 1.6)), step(wave, -0.4, 1.8))
    view = _mix(view, sea, water)
    return view + _glints(chance, water * (above > -14), 900, (40, 40, 36))


def _evening(chance: np.random.Generator, above: Field) -> Field:
    sky = _sky(chance, above, (3.0, 2.1, 1.25), (0.85, 1.05, 1.6))
    edge = above + 5 * fractal(chance, (HEIGHT, WIDTH), 22 * DEGREE, 22 * DEGREE)
    trees = step(-edge, -9, -7.6) * (1 - 0.7 * step(fractal(chance, (HEIGHT, WIDTH), 2.5 * DEGREE, 2.5 * DEGREE), 0.8, 1.5))
    view = _mix(sky, _leaves(chance, (0.10, 0.07, 0.03), (0.95, 0.62, 0.18)), trees)
    field = step(-above + 0.6 * clouds(chance, (HEIGHT, WIDTH), 20 * DEGREE, 5 * DEGREE), 6, 8)
    view = _mix(view, _field(above, (0.95, 0.80, 0.35)), field)
    return view + _glints(chance, trees * (1 - field), 1700, (44, 30, 12))


def _room(above: Field, turn: Field) -> Field:
    """Walls that hold little light, a pale ceiling and one more window, which lights the metal."""
    wall = np.ones((HEIGHT, WIDTH, 3)) * np.array([0.34, 0.31, 0.28])
    wall = _mix(wall, np.ones_like(wall) * np.array([0.62, 0.60, 0.57]), step(above * np.ones((1, WIDTH)), 30, 50))
    wall = _mix(wall, np.ones_like(wall) * np.array([0.16, 0.12, 0.09]), step(-above * np.ones((1, WIDTH)), 18, 30))
    across = np.abs(np.abs(turn) - 122)[None]
    pane = step(-across, -21, -20) * (turn < 0)[None] * step(-np.abs(above - 12), -25, -24)
    bar = 1 - step(-across, -1.4, -1.0)
    return _mix(wall, np.ones_like(wall) * np.array([4.2, 4.4, 4.6]), pane * bar)


def _through_lens(view: Field, blur_degrees: float) -> Field:
    """Spread every point over a disc, as an open lens does with what is far out of focus."""
    radius = blur_degrees * DEGREE / 2
    y = np.minimum(np.arange(HEIGHT), HEIGHT - np.arange(HEIGHT))[:, None]
    x = np.minimum(np.arange(WIDTH), WIDTH - np.arange(WIDTH))[None]
    away = np.hypot(y, x)
    disc = np.clip(radius + 0.5 - away, 0, 1) * (0.8 + 0.35 * np.clip(away / radius, 0, 1) ** 4)
    lens = np.fft.rfft2(disc / disc.sum())
    planes = [np.fft.irfft2(np.fft.rfft2(view[..., index]) * lens, s=(HEIGHT, WIDTH)) for index in range(3)]
    return np.maximum(np.stack(planes, axis=-1), 0.0)
