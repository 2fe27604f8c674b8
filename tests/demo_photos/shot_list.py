"""The shot list: every photo of the demo. What it does not name is taken as its record says that it is held."""

from __future__ import annotations

from collections.abc import Iterator

from catalog_builder.records.content import Content
from catalog_builder.records.hardware_kind import HardwareKind
from catalog_builder.records.product import Product
from catalog_builder.records.variant import Variant
from tests.demo_photos import setting
from tests.demo_photos.darkroom import Marks
from tests.demo_photos.shot import Look, Shot

WIDE, SQUARE = (1600, 1200), (1400, 1400)
# Where the pictures seem to have been taken; invented, as all marks are.
NORTH, WEST = 47.1034, -31.9421
WATER = ("shore", "quay")


def _marks(taken: str, orientation: int = 1, comment: str = "", *, wide_gamut: bool = False) -> Marks:
    return Marks(taken, NORTH, WEST, orientation, comment, wide_gamut)


SHOTS = (
    Shot(
        "queen-scallop",
        "window.jpg",
        setting.window,
        Look("harbour", 3, turn=8, bars=(-0.84,), sill_bar=True, horizon=-4),
        marks=_marks("2026:10:11 10:12:44", 6),
    ),
    Shot(
        "queen-scallop",
        "wall.jpg",
        setting.wall,
        Look(size=WIDE, turn=-6),
        (Variant("queen-scallop", "large", "copper", "tide"),),
        _marks("2026:10:11 15:40:09"),
        solid=False,
        exposure=0.68,
    ),
    Shot(
        "chambered-nautilus",
        "window.jpg",
        setting.window,
        Look("harbour", 5, WIDE, 9, (0.80,), horizon=-4),
        marks=_marks("2026:06:02 09:31:50"),
    ),
    Shot(
        "crescent-in-a-cloud-bank",
        "window.jpg",
        setting.window,
        Look("harbour", 17, SQUARE, -7, (-0.86,), horizon=-7),
        marks=_marks("2025:11:16 10:20:31"),
    ),
    Shot(
        "first-drop-of-rain",
        "window.jpg",
        setting.window,
        Look("harbour", 14, turn=-8, bars=(0.82,), horizon=-7),
        marks=_marks("2026:02:08 10:51:07"),
    ),
    Shot(
        "first-drop-of-rain",
        "group.jpg",
        setting.window,
        Look("garden", 14, WIDE, 10, (-0.88, 0.90), horizon=-18),
        (
            Variant("first-drop-of-rain", "medium", "bright", "pond"),
            Variant("first-drop-of-rain", "large", "black", "sundown"),
            Variant("first-drop-of-rain", "small", "bright", "pond"),
        ),
        _marks("2026:02:08 10:55:33"),
    ),
    Shot(
        "gaffer-on-the-ebb",
        "window.jpg",
        setting.window,
        Look("harbour", 9, turn=-6, bars=(-0.85, 0.86), horizon=-4),
        marks=_marks("2026:01:25 12:03:11", 8),
    ),
    Shot(
        "harbour-light",
        "window.jpg",
        setting.window,
        Look("harbour", 4, turn=7, bars=(-0.80,), sill_bar=True, horizon=-4),
        marks=_marks("2025:09:14 11:22:36"),
    ),
    Shot(
        "moon-over-the-hills",
        "window.jpg",
        setting.window,
        Look("harbour", 6, SQUARE, -8, (0.88,), horizon=-7),
        marks=_marks("2025:10:06 11:48:02", 3),
    ),
    Shot(
        "net-loft-panel",
        "window.jpg",
        setting.window,
        Look("harbour", 21, turn=-6, bars=(0.88,), horizon=-4),
        marks=_marks("2025:08:03 11:02:40"),
    ),
    Shot(
        "noon-sun",
        "window.jpg",
        setting.window,
        Look("harbour", 23, SQUARE, 7, (-0.9,), horizon=-9),
        marks=_marks("2026:04:19 12:40:12"),
    ),
    Shot(
        "noon-sun",
        "wall.jpg",
        setting.wall,
        Look(size=SQUARE, turn=5),
        (Variant("noon-sun", "medium", "copper", "noon"),),
        _marks("2026:04:19 13:05:27", wide_gamut=True),
        solid=False,
        exposure=0.70,
    ),
    Shot(
        "oak-leaf",
        "window.jpg",
        setting.window,
        Look("garden", 12, turn=8, bars=(0.80,), sill_bar=True),
        marks=_marks("2025:11:09 11:02:18", comment="Second try. Ask about the mount."),
    ),
    Shot(
        "quay-lantern",
        "window.jpg",
        setting.window,
        Look("harbour", 26, turn=-9, bars=(-0.82,), horizon=-4),
        marks=_marks("2026:05:31 10:09:55"),
    ),
    Shot(
        "seahorse",
        "window.jpg",
        setting.window,
        Look("harbour", 28, turn=8, bars=(0.84,), horizon=-4),
        marks=_marks("2025:10:19 11:31:20"),
    ),
    Shot(
        "shore-crab",
        "window.jpg",
        setting.window,
        Look("harbour", 31, WIDE, -7, (-0.84,), horizon=-4),
        marks=_marks("2026:06:28 11:02:18"),
    ),
    Shot(
        "shore-crab",
        "table.jpg",
        setting.table,
        Look(size=(1400, 1050), turn=7),
        (Variant("shore-crab", "medium", "copper", "pot"),),
        _marks("2026:06:28 14:16:40"),
        solid=False,
        exposure=0.80,
    ),
    Shot(
        "spruce-in-the-round",
        "window.jpg",
        setting.window,
        Look("harbour", 33, turn=37, bars=(-0.9,), horizon=-12),
        marks=_marks("2026:09:06 10:41:33"),
        solid=False,
    ),
    Shot(
        "teasel-head",
        "window.jpg",
        setting.window,
        Look("garden", 36, turn=-8, bars=(0.86,), sill_bar=True, horizon=-14),
        marks=_marks("2026:04:12 10:12:09"),
    ),
    Shot(
        "tern-on-the-turn",
        "window.jpg",
        setting.window,
        Look("harbour", 38, SQUARE, -14, (0.88,), horizon=-3),
        marks=_marks("2026:08:16 09:58:47"),
        solid=False,
    ),
    Shot(
        "toadstool-in-moss",
        "sill.jpg",
        setting.sill,
        Look("garden", 8, turn=10),
        marks=_marks("2025:09:21 10:27:55"),
        solid=False,
        exposure=0.58,
    ),
    Shot(
        "boat-shed",
        "window.jpg",
        setting.window,
        Look("harbour", 47, turn=-6, bars=(0.9,), horizon=-5),
        marks=_marks("2026:11:15 10:48:11"),
    ),
    Shot(
        "sea-star-box",
        "sill.jpg",
        setting.sill,
        Look("garden", 53, WIDE, 22),
        marks=_marks("2026:11:15 11:20:40"),
        solid=False,
        exposure=0.58,
    ),
    Shot(
        "reedbed-lamp",
        "sill.jpg",
        setting.sill,
        Look("garden", 52, turn=-24),
        marks=_marks("2026:11:08 10:31:26"),
        solid=False,
        exposure=0.58,
    ),
    Shot(
        "two-waxcaps",
        "window.jpg",
        setting.window,
        Look("garden", 41, turn=7, bars=(-0.86,), horizon=-14),
        marks=_marks("2026:09:13 10:33:21"),
    ),
    Shot(
        "between-tides",
        "window.jpg",
        setting.window,
        Look("harbour", 44, WIDE, 8, (0.86,), lower_mm=(0.0, 95.0), horizon=-4),
        marks=_marks("2026:10:11 11:15:02"),
    ),
)

# The settings tried on the specimens.
TRIALS = (
    Shot("specimen-lantern", "sill.jpg", setting.sill, Look("garden", 52, turn=-24), solid=False, exposure=0.58),
    Shot("specimen-box", "sill.jpg", setting.sill, Look("garden", 53, WIDE, 22), solid=False, exposure=0.58),
    Shot("specimen-panel", "window.jpg", setting.window, Look("garden", 54, turn=-7, bars=(0.86,))),
    Shot("specimen-stake", "pot.jpg", setting.pot, Look("garden", 55, turn=10), exposure=0.62),
)


def shots_of(content: Content) -> Iterator[Shot]:
    """Give the list's shots of all products and sets, and one of each product that it does not name."""
    named = {shot.slug for shot in SHOTS}
    known = {product.slug for product in content.products} | {made_set.slug for made_set in content.sets}
    yield from (shot for shot in SHOTS if shot.slug in known)
    for product in content.products:
        if product.slug not in named:
            yield _usual(product)


def _usual(product: Product) -> Shot:
    """Take a product as it is held: on a sill what stands, in a pot what sticks in soil, at a window what hangs."""
    seed = sum(product.slug.encode()) % 97
    turn, by = 8.0 if seed % 2 else -8.0, product.keys.hang.by
    if by is HardwareKind.STAND:
        look = Look("garden", seed, turn=2.6 * turn if product.keys.parts else turn)
        return Shot(product.slug, "sill.jpg", setting.sill, look, solid=False, exposure=0.58)
    if by is HardwareKind.STAKE:
        return Shot(product.slug, "pot.jpg", setting.pot, Look("garden", seed, turn=turn), exposure=0.62)
    view = "harbour" if product.keys.series in WATER else "garden"
    look = Look(view, seed, turn=turn, horizon=-4 if view == "harbour" else -14)
    return Shot(product.slug, "window.jpg", setting.window, look)
