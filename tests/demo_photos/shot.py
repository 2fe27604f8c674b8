"""The shots: what each photo shows, how it is lit and framed, and the marks in its file."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from catalog_builder.records.content import Content
from tests.demo_photos import room
from tests.demo_photos.camera import Camera
from tests.demo_photos.darkroom import Marks
from tests.demo_photos.mesh import box, pose
from tests.demo_photos.stage import Stage, plain
from tests.demo_photos.subject import Subject, read_subject

TALL, WIDE, SQUARE = (1200, 1600), (1600, 1200), (1600, 1600)


@dataclass(frozen=True, slots=True)
class Shot:
    """A photo: ``set_up`` fills a stage and gives the camera.

    ``solid`` glass bends what is seen through it; thin glass lets the sun cast its colour. ``samples``
    are for each pixel.
    """

    slug: str
    file: str
    set_up: Callable[[Stage, Content], Camera]
    marks: Marks
    solid: bool = True
    exposure: float = 0.64
    warmth: float = 0.02
    samples: int = 64


def _scallop_window(stage: Stage, content: Content) -> Camera:
    room.outside(stage, "garden", 3, 4.0, -9)
    room.frame(stage, (-118,), (-150,), 70)
    room.suspension(stage, read_subject(content, "queen-scallop", "medium", "black", "coral"), (0, 0), 4, 200)
    return Camera((70, -30, 640), (-4, 12, 0), 226, 8, TALL)


def _scallop_wall(stage: Stage, content: Content) -> Camera:
    room.indoors(stage, 0.22)
    room.sun(stage, (-0.66, 0.62, 0.75), 6.5)
    room.plaster(stage, 48, (0.80, 0.77, 0.71))
    room.suspension(stage, read_subject(content, "queen-scallop", "large", "copper", "tide"), (0, 0), -6, 200)
    return Camera((-90, -20, 700), (12, -8, -10), 240, 5, WIDE)


def _nautilus(stage: Stage, content: Content) -> Camera:
    room.outside(stage, "harbour", 5, 3.4, -4)
    room.frame(stage, (130,), (), 80)
    room.suspension(stage, read_subject(content, "chambered-nautilus", "large", "copper", "flame"), (0, 0), 10, 200)
    return Camera((-120, -40, 620), (6, 6, 0), 212, 9, WIDE)


def _gaffer(stage: Stage, content: Content) -> Camera:
    room.outside(stage, "harbour", 9, 3.6, -1)
    room.frame(stage, (-150, 150), (), 90)
    room.suspension(stage, read_subject(content, "gaffer-on-the-ebb", "medium", "black", "tan"), (0, 0), -5, 200)
    return Camera((40, 0, 660), (0, 14, 0), 262, 8, TALL)


def _harbour_light(stage: Stage, content: Content) -> Camera:
    room.outside(stage, "evening", 4, 4.2, -3)
    room.frame(stage, (-128,), (-150,), 80)
    room.suspension(stage, read_subject(content, "harbour-light", "", "black", "night"), (0, 0), 7, 200)
    return Camera((90, -60, 860), (2, 48, 0), 400, 9, TALL)


def _lean(stage: Stage, subject: Subject, x: float, degrees: float, turn: float, back: float) -> None:
    """Stand a subject on the sill, its foot forward, leaning back."""
    left, _, right, bottom = subject.box
    stage.place(subject, pose((x, 0.7, back), (-degrees, turn, 0)) @ pose((-(left + right) / 2, bottom, 0)))


def _sill(stage: Stage, view: str, seed: int, horizon: float) -> None:
    room.outside(stage, view, seed, 4.0, horizon, 0.8)
    oak = room.wood(4, (0.52, 0.34, 0.19), (0.24, 0.13, 0.065), 0.32)
    stage.add(box((-900, -30, -118), (900, 0, 260), 3), oak)
    paint = plain((0.80, 0.79, 0.76), 0.35)
    stage.add(box((-900, -0.5, -115), (900, 34, -75), 4), paint)
    stage.add(box((-900, 30, -105), (900, 46, -90), 4), paint)


def _moon_sill(stage: Stage, content: Content) -> Camera:
    _sill(stage, "garden", 6, -6)
    room.sun(stage, (0.30, 0.60, -0.74), 13)
    _lean(stage, read_subject(content, "moon-over-the-hills", "large", "black", "may"), 0, 12, -8, -34)
    return Camera((-170, 290, 560), (-6, 46, -10), 236, 6, WIDE)


def _toadstool_sill(stage: Stage, content: Content) -> Camera:
    _sill(stage, "garden", 8, -5)
    room.sun(stage, (-0.24, 0.70, -0.60), 13)
    _lean(stage, read_subject(content, "toadstool-in-moss", "medium", "black", "ruby"), 0, 9, 10, -40)
    return Camera((150, 250, 600), (4, 66, -12), 244, 6, TALL)


def _noon_wall(stage: Stage, content: Content) -> Camera:
    room.indoors(stage, 0.22)
    room.sun(stage, (0.70, 0.62, 0.80), 6.5)
    room.plaster(stage, 44, (0.80, 0.79, 0.76))
    subject = read_subject(content, "noon-sun", "medium", "copper", "noon")
    room.suspension(stage, subject, (0, 0), 5, 240)
    return Camera((70, -10, 640), (-10, 8, -12), 240, 5, SQUARE)


def _oak_window(stage: Stage, content: Content) -> Camera:
    room.outside(stage, "evening", 12, 4.4, -8)
    room.frame(stage, (96,), (-108,), 75)
    room.suspension(stage, read_subject(content, "oak-leaf", "large", "copper", "turning"), (0, 0), 8, 160)
    return Camera((-110, -10, 640), (4, 12, 0), 276, 9, TALL)


def _crab_table(stage: Stage, content: Content) -> Camera:
    room.indoors(stage, 0.45)
    room.panel(stage, (-900, 700, -500), (800, 900), 9.0)
    stage.add(box((-500, -12, -400), (500, 0, 400), 3), room.linen_cloth())
    subject = read_subject(content, "shore-crab", "medium", "copper", "pot")
    left, top, right, bottom = subject.box
    middle = pose((-(left + right) / 2, (top + bottom) / 2, 0))
    stage.place(subject, pose((0, 2.6, -14), (-90, 0, 0)) @ pose((0, 0, 0), (0, 0, 7)) @ middle)
    rule = box((0, 0, 0), (200, 3, 26), 0.6)
    top_face = rule.points[:, 1] > 2.99
    rule.uv[:] = 0
    rule.uv[top_face] = rule.points[top_face][:, [0, 2]] / (200, 26)
    stage.add(rule, room.ruler_face(), pose((-98, 0, 58), (0, 1.5, 0)))
    return Camera((20, 560, 240), (2, 0, 8), 196, 4, WIDE)


def _rain_group(stage: Stage, content: Content) -> Camera:
    room.outside(stage, "garden", 14, 4.2, -10)
    room.frame(stage, (-128, 128), (), 85)
    slug = "first-drop-of-rain"
    for x, turn, size, finish, choice in (
        (-96, 10, "medium", "bright", "pond"),
        (2, -4, "large", "black", "sundown"),
        (98, -12, "small", "bright", "pond"),
    ):
        subject = read_subject(content, slug, size, finish, choice)
        _, top, _, bottom = subject.box
        room.suspension(stage, subject, (x, 84 - (bottom - top) / 2), turn, 200)
    return Camera((60, -20, 760), (0, 20, 0), 236, 9, WIDE)


SHOTS = (
    Shot("queen-scallop", "window.jpg", _scallop_window, Marks("2026:03:01 10:12:44", 47.1034, -31.9421, 6)),
    Shot("queen-scallop", "wall.jpg", _scallop_wall, Marks("2026:03:01 15:40:09", 47.1034, -31.9421), False, 0.68),
    Shot("chambered-nautilus", "window.jpg", _nautilus, Marks("2026:06:02 09:31:50", 47.1036, -31.9424)),
    Shot("gaffer-on-the-ebb", "window.jpg", _gaffer, Marks("2026:01:25 12:03:11", 47.1031, -31.9428, 8)),
    Shot("harbour-light", "window.jpg", _harbour_light, Marks("2025:09:14 17:22:36", 47.1034, -31.9421)),
    Shot(
        "moon-over-the-hills", "sill.jpg", _moon_sill, Marks("2025:10:06 11:48:02", 47.1034, -31.9421, 3), False, 0.56
    ),
    Shot(
        "noon-sun",
        "wall.jpg",
        _noon_wall,
        Marks("2026:04:19 13:05:27", 47.1034, -31.9421, wide_gamut=True),
        False,
        0.70,
    ),
    Shot(
        "oak-leaf",
        "window.jpg",
        _oak_window,
        Marks("2025:11:09 15:02:18", 47.1040, -31.9417, comment="Late sun, second try. Ask about the mount."),
    ),
    Shot(
        "toadstool-in-moss", "sill.jpg", _toadstool_sill, Marks("2025:09:21 10:27:55", 47.1034, -31.9421), False, 0.56
    ),
    Shot("shore-crab", "table.jpg", _crab_table, Marks("2026:06:28 14:16:40", 47.1034, -31.9421), False, 0.80),
    Shot("first-drop-of-rain", "group.jpg", _rain_group, Marks("2026:02:08 10:55:33", 47.1034, -31.9421)),
)
