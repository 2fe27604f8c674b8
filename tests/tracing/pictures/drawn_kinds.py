"""The kinds of pictures that a trace is tried on, and what it is held to."""

from __future__ import annotations

import zlib
from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
import shapely

from tests.tracing.designs.room_for_pen import has_room_for
from tests.tracing.paper.drawn_sheet import draw_sheet
from tests.tracing.pictures import harder
from tests.tracing.pictures.plan import Chance, Plan, drawn_design, plain_plan
from tests.tracing.pictures.shots import Shot, as_bytes
from tests.tracing.pictures.snapshot import photograph, scan

Change = Callable[[Plan, Chance], Plan]
THINNEST_MM = 0.7


@dataclass(frozen=True, slots=True)
class Kind:
    """What a kind changes, and what its traces are held to: the share right, borders and width at worst, in %."""

    change: Change
    right: float = 97.0
    borders: float = 1.0
    width: float = 1.0


_PLAIN = {"right": 99.0, "borders": 0.5, "width": 0.5}
KINDS: dict[str, Kind] = {
    "photo": Kind(harder.plain, **_PLAIN),
    "scan": Kind(harder.on_scanner, **_PLAIN),
    "half": Kind(harder.half, **_PLAIN),
    "pens 0.7 and 2.5": Kind(harder.pen_ends, **_PLAIN),
    "width given": Kind(harder.by_width),
    "other sheets": Kind(harder.other_sheet),
    "light table": Kind(harder.light_table),
    "squared paper": Kind(harder.squared),
    "coloured paper": Kind(harder.coloured_paper),
    "tilt to 40 degrees": Kind(harder.tilt),
    "lens bow": Kind(harder.bow),
    "rotated": Kind(harder.rotated),
    "corner out of frame": Kind(harder.corner_out),
    "two drawings": Kind(harder.two),
    "misses": Kind(harder.misses),
    "digits on lines": Kind(harder.digits_on_lines),
    "dark pencil": Kind(harder.dark_pencil),
    "wobble": Kind(harder.wobble),
    "half without crease": Kind(harder.half_without_crease),
    "smears": Kind(harder.smears),
    "islands": Kind(harder.islands),
    "coloured pens": Kind(harder.coloured_pens),
    "curled sheet": Kind(harder.curled),
}
PLAIN = ("photo", "scan", "half", "pens 0.7 and 2.5")


def make_shot(kind: str, number: int, family: str, megapixels: float | None = None) -> Shot:
    """Make a picture of a kind by its number; ``family`` is ``dev`` or ``check``, whose designs and seeds differ."""
    chance = np.random.default_rng([zlib.crc32(kind.encode()), {"dev": 11, "check": 4177}[family], number])
    plan = _drawable_plan(kind, family, chance)
    if megapixels is not None:
        plan = replace(plan, scene=replace(plan.scene, megapixels=megapixels))
    sheet = draw_sheet(plan.designs, plan.look, chance, half=plan.half, per_mm=12 if plan.look.sheet != "a3" else 10)
    options = {} if plan.half is None else {"half": plan.half}
    suffix, quality = str(chance.choice([".jpg", ".jpg", ".jpg", ".png"])), int(chance.integers(82, 95))
    if plan.bed is not None:
        picture = scan(sheet, plan.bed, chance)
        if plan.by_width:
            left, _, right, _ = shapely.total_bounds(sheet.design.pieces)
            options["width"] = f"{right - left:.1f}mm"
            return Shot(kind, number, family, as_bytes(picture, suffix, quality, None), suffix, options, sheet.design)
        options["dpi"] = f"{plan.bed.dpi:g}"
        picture_bytes = as_bytes(picture, suffix, quality, plan.bed.dpi)
        return Shot(kind, number, family, picture_bytes, suffix, options, sheet.design)
    options["paper"] = plan.look.sheet
    picture_bytes = as_bytes(photograph(sheet, plan.scene, chance), ".jpg", quality, None)
    return Shot(kind, number, family, picture_bytes, ".jpg", options, sheet.design)


def _drawable_plan(kind: str, family: str, chance: Chance) -> Plan:
    """Plan a picture, with a thinner pen where the planned one has no room, else anew."""
    while True:
        plan = plain_plan(drawn_design(family, chance, folded="half" in kind), chance)
        plan = KINDS[kind].change(plan, chance)
        for pen in (plan.look.pen_mm * share for share in (1.0, 0.8, 0.65, 0.5, 0.4, 0.3)):
            if pen >= THINNEST_MM and all(has_room_for(design, pen) for design in plan.designs):
                return replace(plan, look=replace(plan.look, pen_mm=pen))
