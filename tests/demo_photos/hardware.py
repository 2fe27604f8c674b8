"""Hardware: the ring, and the hook, cord, chain or thread that a subject hangs by, as meshes."""

from __future__ import annotations

import numpy as np

from tests.demo_photos.holding import Held
from tests.demo_photos.mesh import Floats, Mesh, box, joined, lathe, pose, tube
from tests.demo_photos.subject import Subject

RING_WIRE_MM = 0.5
FOOT_MM = 4.0
HOOK_WIRE_MM = 0.95


def rings(subject: Subject) -> Mesh:
    """Make the rings, each standing on the place where it is soldered."""
    turn = np.linspace(0, 2 * np.pi, 48, endpoint=False)
    made = []
    for x, y in subject.held.rings:
        radius = subject.held.ring_mm / 2
        path = np.column_stack([x + radius * np.cos(turn), -y + radius * np.sin(turn) + radius, 0 * turn])
        made.append(tube(path, RING_WIRE_MM, closed=True))
    return joined(made)


def feet(held: Held) -> Mesh:
    """Make the feet that something stands on, the ground at height 0; right is x and forward is z.

    Raises:
        ValueError: it has none.
    """
    made = []
    for line in held.feet:
        (x, z), *others = line
        if others:
            (right, front), half = others[0], FOOT_MM / 2
            low, high = (min(x, right) - half, 0.0, min(z, front)), (max(x, right) + half, held.foot_mm, max(z, front))
            made.append(box(low, high, 0.6))
        else:
            radius, up = held.foot_wide_mm / 2, held.foot_mm
            pad = lathe(np.array([[0.01, 0.0], [radius - 0.5, 0], [radius, 0.5], [radius, up - 0.5], [0.01, up]]), 48)
            made.append(pad.moved(pose((x, 0, z))))
    return joined(made)


def rod(subject: Subject) -> Mesh:
    """Make the rod that a subject sticks in soil by, behind its glass.

    Raises:
        ValueError: it has none.
    """
    held = subject.held
    if held.rod is None:
        raise ValueError("this subject has no rod")
    back = -(subject.thickness_mm + held.rod_mm) / 2
    return tube(np.array([(x, -y, back) for x, y in held.rod]), held.rod_mm / 2)


def eyes(subject: Subject) -> list[Floats]:
    """Give the places inside the tops of the rings, where something can be threaded; y upwards."""
    rise = subject.held.ring_mm - RING_WIRE_MM - 0.6
    return [np.array([x, -y + rise, 0.0]) for x, y in subject.held.rings]


def cord(start: Floats, end: Floats, thick_mm: float) -> Mesh:
    """Lay a cord of two strands from one place to another."""
    long = float(np.linalg.norm(end - start))
    share = np.linspace(0, 1, max(24, int(long * 5)))
    turn = 2 * np.pi * share * long / (thick_mm * 3.2)
    way = (end - start) / long
    side = np.cross(way, [0.3, 0.2, 1.0])
    side /= np.linalg.norm(side)
    up = np.cross(way, side)
    strands = []
    for half in (0, np.pi):
        off = np.cos(turn + half)[:, None] * side + np.sin(turn + half)[:, None] * up
        strands.append(tube(start + share[:, None] * (end - start) + off * thick_mm / 4, thick_mm / 3.4, 8))
    return joined(strands)


def loop(eye: Floats, peg: Floats, thick_mm: float, peg_mm: float = 2.0) -> Mesh:
    """Lead a cord through a ring and over a peg: two runs that spread a little at the peg."""
    spread = np.array([peg_mm, 0.0, 0.0])
    near = np.array([0.35, 0.0, 0.25])
    return joined([cord(eye + near, peg + spread, thick_mm), cord(eye - near, peg - spread, thick_mm)])


def chain(start: Floats, end: Floats, link_mm: float = 4.2) -> Mesh:
    """Make a chain of long links, each turned a quarter against the last."""
    long = float(np.linalg.norm(end - start))
    pitch = link_mm * 0.72
    way = (end - start) / long
    side = np.cross(way, [0.0, 0.0, 1.0])
    side /= np.linalg.norm(side)
    up = np.cross(way, side)
    turn = np.linspace(0, 2 * np.pi, 20, endpoint=False)
    links = []
    for index in range(int(long / pitch) + 1):
        flat = side if index % 2 else up
        middle = start + way * pitch * index
        oval = np.cos(turn)[:, None] * way * link_mm / 2 + np.sin(turn)[:, None] * flat * link_mm * 0.3
        links.append(tube(middle + oval, link_mm * 0.085, 7, closed=True))
    return joined(links)


def hook(eye: Floats, long_mm: float) -> tuple[Mesh, Floats]:
    """Bend an S-hook upwards from a ring; give it and the place inside its upper bow."""
    small, large = long_mm * 0.13, long_mm * 0.17
    bows = [_arc((0.0, small), small, -200, 45), _arc((0.0, long_mm - large), large, 225, -60)]
    path = np.concatenate(bows)
    smooth = np.column_stack([_eased(path[:, axis]) for axis in (0, 1)])
    points = np.column_stack([smooth, 0 * smooth[:, 0]]) + eye - np.array([0, HOOK_WIRE_MM * 0.6, 0])
    inner = eye + np.array([0, long_mm - 2 * HOOK_WIRE_MM, 0])
    return tube(points, HOOK_WIRE_MM), inner


def _arc(middle: tuple[float, float], radius: float, first: float, last: float) -> Floats:
    turn = np.radians(np.linspace(first, last, 40))
    return np.column_stack([middle[0] + radius * np.cos(turn), middle[1] + radius * np.sin(turn)])


def _eased(values: Floats) -> Floats:
    from scipy.ndimage import gaussian_filter1d

    along = np.linspace(0, len(values) - 1, 200)
    return np.asarray(gaussian_filter1d(np.interp(along, np.arange(len(values)), values), 3, mode="nearest"))
