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
Colour = tuple[float, float, float]


def outlook(view: str, seed: int, blur_degrees: float) -> Field:
    """Paint light of shape (h, w, 3): ``garden``, ``harbour`` or ``evening``, and the room."""
    chance = np.random.default_rng(seed)
    above: Field = np.asarray(90 - (np.arange(HEIGHT, dtype=float) + 0.5) / DEGREE)[:, None]
    scene = {"garden": _garden, "harbour": _harbour, "evening": _evening}[view](chance, above)
    soft = _through_lens(scene, blur_degrees)
    turn: Field = np.asarray((np.arange(WIDTH, dtype=float) + 0.5) / DEGREE - 180)
    room = _room(above, turn)
    share = step(np.abs(turn)[None] * np.ones_like(above), 86, 92)[..., None]
    return np.asarray(soft * (1 - share) + room * share)


def _field(colour: Colour) -> Field:
    return np.asarray(np.ones((HEIGHT, WIDTH, 1)) * np.array(colour))


def _smooth(chance: np.random.Generator, along: float, across: float) -> Field:
    """Give smooth noise over the whole view, its lumps so many degrees large."""
    return clouds(chance, (HEIGHT, WIDTH), along * DEGREE, across * DEGREE)


def _rough(chance: np.random.Generator, along: float, across: float) -> Field:
    return fractal(chance, (HEIGHT, WIDTH), along * DEGREE, across * DEGREE)


def _uneven(colour: Colour, noise: Field) -> Field:
    return np.asarray(_field(colour) * (1 + noise)[..., None])


def _mix(one: Field, two: Field, share: Field) -> Field:
    return np.asarray(one + (two - one) * share[..., None])


def _sky(chance: np.random.Generator, above: Field, low: Colour, high: Colour) -> Field:
    sky = _mix(_field(low), _field(high), step(above * np.ones((1, WIDTH)), 0, 45))
    cloud = step(_rough(chance, 50, 14), 0.1, 1.6)
    return _mix(sky, _field((2.9, 2.85, 2.75)), 0.7 * cloud)


def _leaves(chance: np.random.Generator, dark: Colour, bright: Colour) -> Field:
    lumps = step(_rough(chance, 5, 4), -1.3, 1.5)
    fine = step(_smooth(chance, 0.7, 0.7), -1.0, 2.2)
    shade = _mix(_field(dark), _field(bright), np.clip(lumps * 0.75 + fine * 0.4, 0, 1))
    warm = step(_smooth(chance, 9, 8), 0, 1.6)
    return np.asarray(shade * _mix(_field((1, 1, 1)), _field((1.45, 1.15, 0.55)), warm))


def _glints(chance: np.random.Generator, where: Field, count: int, light: Colour) -> Field:
    """Points so bright that the lens draws each as a disc."""
    glow = np.zeros((HEIGHT, WIDTH, 3))
    rows, columns = np.nonzero(where > 0.5)
    picked = chance.integers(0, len(rows), count)
    glow[rows[picked], columns[picked]] = np.array(light) * chance.uniform(0.2, 1.0, (count, 1)) ** 2
    return glow


def _garden(chance: np.random.Generator, above: Field) -> Field:
    sky = _sky(chance, above, (2.5, 2.6, 2.6), (1.35, 1.75, 2.3))
    edge = above + 5 * _rough(chance, 24, 24)
    trees = step(-edge, -15, -13.4) * (1 - 0.65 * step(_rough(chance, 2.5, 2.5), 0.9, 1.6))
    view = _mix(sky, _leaves(chance, (0.05, 0.10, 0.035), (0.52, 0.78, 0.22)), trees)
    hedge = step(-(above + 1.6 * _smooth(chance, 9, 9)), 1.0, 2.2)
    view = _mix(view, 0.8 * _leaves(chance, (0.05, 0.09, 0.03), (0.42, 0.60, 0.20)), hedge)
    lawn = step(-above + 0.5 * _smooth(chance, 20, 5), 8, 9.5)
    grass = _uneven((0.72, 0.98, 0.36), 0.12 * _rough(chance, 30, 4))
    view = _mix(view, grass, lawn)
    bed = hedge * (1 - lawn)
    view += _glints(chance, bed, 700, (26, 12, 15)) + _glints(chance, bed, 500, (24, 22, 16))
    return view + _glints(chance, trees * (1 - hedge), 1500, (34, 38, 22))


def _harbour(chance: np.random.Generator, above: Field) -> Field:
    sky = _sky(chance, above, (2.6, 2.55, 2.4), (1.2, 1.6, 2.2))
    hill = step(-(above + 2.2 * _smooth(chance, 40, 40)), -5.5, -5.0)
    view = _mix(sky, _uneven((0.62, 0.78, 0.86), 0.1 * _rough(chance, 9, 4)), hill)
    near = step(-(above + 1.4 * _smooth(chance, 26, 26)), -1.6, -1.2)
    view = _mix(view, _leaves(chance, (0.14, 0.22, 0.16), (0.50, 0.60, 0.34)), near)
    water = step(-above * np.ones((1, WIDTH)), 0.5, 0.9)
    wave = _rough(chance, 14, 1.2)
    sea = _mix(_field((0.72, 0.98, 1.10)), _field((1.5, 1.6, 1.6)), step(wave, -0.4, 1.8))
    view = _mix(view, sea, water)
    return view + _glints(chance, water * (above > -14), 900, (40, 40, 36))


def _evening(chance: np.random.Generator, above: Field) -> Field:
    sky = _sky(chance, above, (3.0, 2.1, 1.25), (0.85, 1.05, 1.6))
    edge = above + 5 * _rough(chance, 22, 22)
    trees = step(-edge, -9, -7.6) * (1 - 0.7 * step(_rough(chance, 2.5, 2.5), 0.8, 1.5))
    view = _mix(sky, _leaves(chance, (0.10, 0.07, 0.03), (0.95, 0.62, 0.18)), trees)
    field = step(-above + 0.6 * _smooth(chance, 20, 5), 6, 8)
    view = _mix(view, _uneven((0.95, 0.80, 0.35), 0.16 * _rough(chance, 26, 5)), field)
    return view + _glints(chance, trees * (1 - field), 1700, (44, 30, 12))


def _room(above: Field, turn: Field) -> Field:
    """Walls that hold little light, a pale ceiling and one more window, which lights the metal."""
    wall = np.ones((HEIGHT, WIDTH, 3)) * np.array([0.60, 0.57, 0.53])
    wall = _mix(wall, np.ones_like(wall) * np.array([1.0, 0.97, 0.93]), step(above * np.ones((1, WIDTH)), 30, 50))
    wall = _mix(wall, np.ones_like(wall) * np.array([0.30, 0.24, 0.18]), step(-above * np.ones((1, WIDTH)), 18, 30))
    across = np.abs(np.abs(turn) - 122)[None]
    pane = step(-across, -21, -20) * np.where(turn < 0, 1.0, 0.3)[None] * step(-np.abs(above - 12), -25, -24)
    bar = 1 - step(-across, -1.4, -1.0)
    return _mix(wall, np.ones_like(wall) * np.array([8.0, 8.3, 8.6]), pane * bar)


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
