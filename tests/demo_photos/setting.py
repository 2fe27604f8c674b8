"""Settings: a window to hang before, a sill to stand on, a sunlit wall, a table, a pot; each frames its subjects."""

from __future__ import annotations

import numpy as np

from catalog_builder.records.hardware_kind import HardwareKind
from tests.demo_photos import hardware, room
from tests.demo_photos.camera import Camera
from tests.demo_photos.mesh import box, pose
from tests.demo_photos.shot import Look
from tests.demo_photos.stage import Stage
from tests.demo_photos.subject import Subject
from tests.demo_photos.surface import linen_cloth, metal_of, ruler_face

GAP_MM = 26.0
# Seen from above, what stands has the ground behind it; so the view is let down until glass has sky behind it.
SILL_HORIZON = {"garden": -27.0, "harbour": -15.0}
# The turn about x, in degrees, by which each side of the main drawing comes to lie on the ground.
DOWN = {"bottom": 0.0, "back": -90.0, "front": 90.0}
# How much of the picture its subjects take, upright and across.
TALL_SHARE, WIDE_SHARE = 0.80, 0.74


def window(stage: Stage, subjects: list[Subject], look: Look) -> Camera:
    """Hang subjects side by side at a window, and take in what they hang by."""
    room.outside(stage, look.view, look.seed, 4.0, look.horizon)
    boxes = [subject.box for subject in subjects]
    widths = np.array([right - left for left, _, right, _ in boxes])
    heights = np.array([bottom - top for _, top, _, bottom in boxes])
    lower = np.array(look.lower_mm or (0.0,) * len(subjects))
    wide = float(widths.sum() + GAP_MM * (len(subjects) - 1))
    middles = np.cumsum(widths + GAP_MM) - GAP_MM - widths / 2 - wide / 2
    top, bottom = float((np.array([_rise(each) for each in subjects]) - lower).max()), float(-(lower + heights).max())
    hooked = [each.held.by == HardwareKind.HOOK for each in subjects]
    peg = top - 14 if any(hooked) else 220.0
    for index in np.argsort(np.invert(hooked), kind="stable").tolist():
        turn = look.turn * (1 - 1.6 * index / max(1, len(subjects) - 1))
        at = float(middles[index]), float(-lower[index] - heights[index] / 2)
        reached = room.suspension(stage, subjects[index], at, turn, peg)
        peg = reached if hooked[index] else peg
        if hooked[index] or subjects[index].held.by == HardwareKind.CHAIN:
            room.rod(stage, reached, 2.2)
    share = look.size[0] / look.size[1]
    tall = max((top - bottom) / TALL_SHARE, wide / WIDE_SHARE / share)
    away, middle = max(560.0, 2.5 * tall), (top + bottom) / 2
    place = (-float(np.sign(look.turn)) * 0.14 * away, middle - 0.05 * away, away)
    # Bars stand behind and seem to shift as the camera does; they are set where they seem to be.
    behind = 95.0 / away
    bars = tuple(seen + (seen - place[0]) * behind for seen in (bar * tall * share / 2 for bar in look.bars))
    low = bottom - 0.085 * tall
    room.frame(stage, bars, (low + (low - place[1]) * behind,) if look.sill_bar else (), 75)
    return Camera(place, (0, middle, 0), tall, 8.5 * away / 640, look.size)


def _rise(subject: Subject) -> float:
    """Give how much of what a subject hangs by is seen above it."""
    held, (_, high, _, low) = subject.held, subject.box
    if held.by == HardwareKind.HOOK:
        return held.hanger_mm + 14 - held.rings[0][1] + high
    if len(held.rings) == 2 and held.hanger_mm:
        run = held.hanger_mm / 2
        rise = float(np.sqrt(run**2 - ((held.rings[1][0] - held.rings[0][0]) / 2) ** 2)) + 10 - held.rings[0][1] + high
        return min(rise, 0.52 * (low - high))
    return 0.16 * (low - high)


def wall(stage: Stage, subjects: list[Subject], look: Look) -> Camera:
    """Hang a subject before a pale wall in sunlight, its colours thrown beside it."""
    room.indoors(stage, 0.22)
    way = -1.0 if look.turn < 0 else 1.0
    room.sun(stage, (0.68 * way, 0.62, 0.78), 6.5)
    room.wall(stage, 46, (0.80, 0.78, 0.73))
    (subject,) = subjects
    left, top, right, bottom = subject.box
    reached = room.suspension(stage, subject, (0, 0), look.turn, 220)
    if subject.held.by == HardwareKind.HOOK:
        room.rod(stage, reached, 2.2)
    share = look.size[0] / look.size[1]
    tall = max((bottom - top) / 0.50, (right - left) / 0.52 / share)
    return Camera((way * 0.12 * 2.7 * tall, -15, 2.7 * tall), (-way * 11, -2, -12), tall, 5, look.size)


def sill(stage: Stage, subjects: list[Subject], look: Look) -> Camera:
    """Stand subjects on an oak sill before a window, with the sun behind them."""
    room.outside(stage, look.view, look.seed, 4.0, SILL_HORIZON[look.view], 0.9)
    room.sun(stage, (-0.26 * np.sign(look.turn), 0.66, -0.62), 12)
    room.oak_sill(stage)
    stood = [pose((0, 0, 0), (DOWN[subject.held.down], 0, 0)) for subject in subjects]
    spread = [subject.corners @ turn[:3, :3].T for subject, turn in zip(subjects, stood, strict=True)]
    sizes = np.array([np.ptp(corners, axis=0) for corners in spread])
    wide = float(sizes[:, 0].sum() + GAP_MM * (len(subjects) - 1))
    start, high = -wide / 2, 0.0
    for subject, turn, corners, size in zip(subjects, stood, spread, sizes, strict=True):
        low, far = corners.min(axis=0), corners.max(axis=0)
        held, up = subject.held, max(0.6, subject.held.foot_mm)
        place = pose((start + size[0] / 2, 0, -8), (0, look.turn, 0))
        middle = pose((-(low[0] + far[0]) / 2, 0, -(low[2] + far[2]) / 2))
        if held.feet:
            metal = room.BRASS if held.brass else metal_of(subject.finish)
            stage.add(hardware.feet(held), metal, place @ middle)
        stage.place(subject, place @ middle @ pose((0, up - low[1], 0)) @ turn)
        if held.lit:
            room.tealight(stage, place @ pose((0, up + subject.thickness_mm / 2 + 0.4, 0)))
        start, high = start + size[0] + GAP_MM, max(high, up + size[1])
    # Turned aside, what is deep looks wider.
    aside = abs(np.sin(np.radians(look.turn)))
    seen = wide + float(sizes[:, 2].max()) * aside
    tall = max((high + 0.30 * float(sizes[:, 2].max())) / 0.62, seen / 0.62 / (look.size[0] / look.size[1]))
    away = max(520.0, 2.6 * tall)
    camera = (np.sign(look.turn) * 0.2 * away, high / 2 + 0.21 * away, away * 0.97)
    return Camera(camera, (0, 0.42 * high, -4), tall, 6 * away / 640, look.size)


def table(stage: Stage, subjects: list[Subject], look: Look) -> Camera:
    """Lay a subject on linen over a rule that shows how large it is."""
    room.indoors(stage, 0.45)
    room.panel(stage, (-900, 700, -500), (800, 900), 9.0)
    stage.add(box((-500, -12, -400), (500, 0, 400), 3), linen_cloth())
    (subject,) = subjects
    left, top, right, bottom = subject.box
    middle = pose((-(left + right) / 2, (top + bottom) / 2, 0))
    stage.place(subject, pose((0, 2.6, -14), (-90, 0, 0)) @ pose((0, 0, 0), (0, 0, look.turn)) @ middle)
    rule = box((0, 0, 0), (200, 3, 26), 0.6)
    top_face = rule.points[:, 1] > 2.99
    rule.uv[:] = 0
    rule.uv[top_face] = rule.points[top_face][:, [0, 2]] / (200, 26)
    stage.add(rule, ruler_face(), pose((-98, 0, 58), (0, 1.5, 0)))
    return Camera((20, 560, 240), (2, 0, 8), 196, 4, look.size)


def pot(stage: Stage, subjects: list[Subject], look: Look) -> Camera:
    """Stick a subject on its rod into the earth of a clay pot on a sill, among a few leaves."""
    room.outside(stage, look.view, look.seed, 4.0, SILL_HORIZON[look.view], 0.9)
    room.sun(stage, (-0.30 * np.sign(look.turn), 0.62, -0.60), 10)
    room.oak_sill(stage)
    (subject,) = subjects
    left, top, right, _ = subject.box
    lowest = subject.held.earth_mm
    rim = room.plant_pot(stage, look.seed)
    stands = pose((0, rim - 8 + lowest, -14), (0, look.turn, 0)) @ pose((-(left + right) / 2, 0, 0))
    stage.place(subject, stands)
    high = rim + lowest - top
    tall = max(high / 0.80, (right - left) / 0.60 / (look.size[0] / look.size[1]))
    away = max(560.0, 2.5 * tall)
    place = (np.sign(look.turn) * 0.16 * away, high / 2 + 0.12 * away, away)
    return Camera(place, (0, 0.50 * high, -14), tall, 8 * away / 640, look.size)
