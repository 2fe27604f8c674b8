"""The kinds of pictures that a trace is tried on, plain and harder, each drawn by lot within its bounds."""

from __future__ import annotations

import zlib
from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
import shapely
from shapely import LineString

from tests.tracing import atlas_designs, own_designs
from tests.tracing.design import Design, Points
from tests.tracing.drawn_sheet import draw_sheet
from tests.tracing.look import INKS, PAPERS, SHEETS_MM, Look
from tests.tracing.shots import Shot, as_bytes
from tests.tracing.snapshot import LIGHT_TABLES, TABLES, Flatbed, Scene, photograph, scan
from tests.tracing.viewpoint import Stand

Chance = np.random.Generator
_PENS = (0.7, 0.8, 1.0, 1.2, 1.5, 2.0, 2.5)


@dataclass(frozen=True, slots=True)
class Plan:
    """All that a picture is made from. ``half`` names the drawn side; ``scanned`` lays the sheet on a scanner."""

    designs: tuple[Design, ...]
    look: Look
    scene: Scene
    bed: Flatbed | None = None
    half: str | None = None
    by_width: bool = False


Change = Callable[[Plan, Chance], Plan]


def make_shot(kind: str, number: int, family: str, megapixels: float | None = None) -> Shot:
    """Make a picture of a kind by its number; ``family`` is ``dev`` or ``check``, whose designs and seeds differ."""
    chance = np.random.default_rng([zlib.crc32(kind.encode()), {"dev": 11, "check": 4177}[family], number])
    folded = "half" in kind
    plan = _plain(_design(family, chance, folded=folded), chance)
    plan = KINDS[kind].change(plan, chance)
    pen = plan.look.pen_mm
    while pen > 0.7 and not all(design.is_open_to(pen) for design in plan.designs):
        pen = max(0.7, pen * 0.8)
    plan = replace(plan, look=replace(plan.look, pen_mm=pen))
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


def _design(family: str, chance: Chance, *, folded: bool) -> Design:
    makers = own_designs.DEV if family == "dev" else own_designs.CHECK
    if folded:
        makers = {name: maker for name, maker in makers.items() if maker is own_designs.half_of}
    elif chance.random() < 0.3:
        regions = atlas_designs.DEV if family == "dev" else atlas_designs.CHECK
        return atlas_designs.atlas_design(str(chance.choice(regions)))
    design = own_designs.own_design(str(chance.choice(list(makers))), makers, chance)
    return design if folded else _fitted(design.unfolded(), (185, 265), chance)


def _fitted(design: Design, room: tuple[float, float], chance: Chance) -> Design:
    left, top, right, bottom = shapely.total_bounds(design.pieces)
    most = min(room[0] / (right - left), room[1] / (bottom - top))
    return design.scaled(chance.uniform(min(1.0, most), min(most, 1.8)))


def _plain(design: Design, chance: Chance) -> Plan:
    ink = str(chance.choice(["black", "black", "black", "faded black", "blue", "red", "green", "brown"]))
    look = Look(
        pen_mm=float(chance.choice(_PENS)),
        ink=INKS[ink],
        paper=PAPERS["cream" if chance.random() < 0.25 else "white"],
        guides=int(chance.integers(0, 4)),
        pencil=chance.uniform(0.68, 0.82),
        digit_mm=chance.uniform(3.5, 6) if chance.random() < 0.6 else 0.0,
        writing=chance.uniform(0.25, 0.6),
        arrows=chance.random() < 0.3,
        smudges=int(chance.integers(0, 3)),
        creases=int(chance.integers(1, 4)) if chance.random() < 0.15 else 0,
    )
    upright = chance.random() < 0.7
    turn = chance.uniform(-4, 4) + (0 if upright else 90 * chance.choice([1, -1])) + 180 * (chance.random() < 0.15)
    scene = Scene(
        stand=Stand(tilt=chance.uniform(0, 18), turn=float(turn), margin=chance.uniform(0.04, 0.1)),
        table=TABLES[str(chance.choice(list(TABLES)))],
        upright=upright,
        shadow=chance.uniform(0.15, 0.45) if chance.random() < 0.6 else 0.0,
        uneven=chance.uniform(0.03, 0.25),
        warm=chance.uniform(-0.08, 0.08),
        blur=chance.uniform(0.5, 1.2),
        noise=chance.uniform(1.5, 5),
    )
    return Plan((design,), look, scene)


def _flatbed(chance: Chance) -> Flatbed:
    dpi = float(chance.choice([200, 300, 300, 300, 400]))
    return Flatbed(dpi, chance.uniform(-0.8, 0.8), chance.random() < 0.5, chance.uniform(0.5, 2.5))


def _on_scanner(plan: Plan, chance: Chance) -> Plan:
    return replace(plan, bed=_flatbed(chance))


def _by_width(plan: Plan, chance: Chance) -> Plan:
    bed = replace(_flatbed(chance), skew=0.0)
    return replace(plan, bed=bed, by_width=True)


def _other_sheet(plan: Plan, chance: Chance) -> Plan:
    sheet = str(chance.choice(["a3", "a5", "letter"]))
    width, height = SHEETS_MM[sheet]
    left, top, right, bottom = shapely.total_bounds(plan.designs[0].pieces)
    most = min((width - 24) / (right - left), (height - 24) / (bottom - top), 1.8)
    return replace(plan, designs=(plan.designs[0].scaled(most * chance.uniform(0.9, 1)),), look=replace(plan.look, sheet=sheet))


def _half(plan: Plan, chance: Chance) -> Plan:
    side = str(chance.choice(["left", "right", "top", "bottom"]))
    design = plan.designs[0]
    left, top, right, bottom = shapely.total_bounds(design.pieces)
    across, along = (190, 265) if side in ("left", "right") else (270, 185)
    most = min(across / (right - left), along / (bottom - top), 2.0)
    design = design.scaled(chance.uniform(1.0, max(1.0, most)))
    turn = chance.uniform(-4, 4)
    scene = replace(plan.scene, upright=True, stand=replace(plan.scene.stand, turn=turn))
    look = replace(plan.look, fold_crease=True, fold_short=chance.uniform(0, 0.4))
    bed = _flatbed(chance) if chance.random() < 0.4 else None
    return replace(plan, designs=(design,), look=look, scene=scene, half=side, bed=bed)


def _half_without_crease(plan: Plan, chance: Chance) -> Plan:
    plan = _half(plan, chance)
    return replace(plan, look=replace(plan.look, fold_crease=False, fold_short=chance.uniform(0, 1.6)))


def _pen_ends(plan: Plan, chance: Chance) -> Plan:
    return replace(plan, look=replace(plan.look, pen_mm=float(chance.choice([0.7, 2.5]))))


def _light_table(plan: Plan, chance: Chance) -> Plan:
    return replace(plan, scene=replace(plan.scene, table=LIGHT_TABLES[str(chance.choice(list(LIGHT_TABLES)))]))


def _squared(plan: Plan, chance: Chance) -> Plan:
    return replace(plan, look=replace(plan.look, squares=float(chance.choice([4, 5, 5, 10]))))


def _coloured_paper(plan: Plan, chance: Chance) -> Plan:
    name = str(chance.choice(["yellow", "rose", "blue", "green", "brown"]))
    ink = INKS["black"] if name == "brown" else plan.look.ink
    return replace(plan, look=replace(plan.look, paper=PAPERS[name], ink=ink))


def _stand(plan: Plan, **changes: float) -> Plan:
    return replace(plan, scene=replace(plan.scene, stand=replace(plan.scene.stand, **changes)))


def _tilt(plan: Plan, chance: Chance) -> Plan:
    return _stand(plan, tilt=chance.uniform(25, 40))


def _bow(plan: Plan, chance: Chance) -> Plan:
    return _stand(plan, bow=chance.uniform(0.015, 0.05) * chance.choice([-1, 1]))


def _rotated(plan: Plan, chance: Chance) -> Plan:
    return _stand(plan, turn=chance.uniform(0, 360))


def _corner_out(plan: Plan, chance: Chance) -> Plan:
    turn = plan.scene.stand.turn + chance.choice([-1, 1]) * chance.uniform(6, 12)
    return _stand(plan, turn=turn, cut_mm=chance.uniform(2, 9), margin=0.04, tilt=chance.uniform(0, 12))


def _two(plan: Plan, chance: Chance) -> Plan:
    fitted = []
    designs = (plan.designs[0], own_designs.own_design("egg", own_designs.DEV, chance).unfolded())
    for design in designs:
        left, top, right, bottom = shapely.total_bounds(design.pieces)
        fitted.append(design.scaled(min(175 / (right - left), 125 / (bottom - top))))
    return replace(plan, designs=tuple(fitted))


def _misses(plan: Plan, chance: Chance) -> Plan:
    look = replace(plan.look, miss=chance.uniform(0.5, 2.0), gaps=int(chance.integers(1, 5)), pen_mm=chance.uniform(0.7, 1.5))
    return replace(plan, look=look)


def _digits_on_lines(plan: Plan, chance: Chance) -> Plan:
    height = chance.uniform(7, 11)
    return replace(plan, look=replace(plan.look, digit_mm=height, digits_on_lines=True, writing=chance.uniform(0.4, 0.6)))


def _dark_pencil(plan: Plan, chance: Chance) -> Plan:
    return replace(plan, look=replace(plan.look, guides=int(chance.integers(2, 6)), pencil=chance.uniform(0.38, 0.55), ink=INKS["black"]))


def _wobble(plan: Plan, chance: Chance) -> Plan:
    return replace(plan, look=replace(plan.look, wobble=0.3))


def _smears(plan: Plan, chance: Chance) -> Plan:
    return replace(plan, look=replace(plan.look, smears=int(chance.integers(2, 6))))


def _islands(plan: Plan, chance: Chance) -> Plan:
    """Draw closed shapes inside the largest fields, some with another inside."""
    left, top, right, bottom = shapely.total_bounds(plan.designs[0].pieces)
    design = plan.designs[0].scaled(min(185 / (right - left), 265 / (bottom - top), 2.2))
    strokes: list[Points] = list(design.strokes)
    fields = sorted(design.pieces, key=lambda field: -shapely.maximum_inscribed_circle(field, tolerance=0.2).length)
    for field in fields[: int(chance.integers(1, 4))]:
        circle = shapely.maximum_inscribed_circle(field, tolerance=0.2)
        if circle.length < 13:
            continue
        turn = np.linspace(0, 2 * np.pi, 240)
        round_ = np.stack([np.cos(turn), np.sin(turn)], axis=1)
        round_[-1] = round_[0]
        reach = circle.length - 5.5
        shape = round_ * (reach * (1 + 0.08 * np.cos(int(chance.integers(2, 5)) * turn + chance.uniform(0, 6))) / 1.08)[:, None]
        shape[-1] = shape[0]
        strokes.append(np.array(circle.coords[0]) + shape)
        if reach > 15 and chance.random() < 0.5:
            strokes.append(np.array(circle.coords[0]) + shape * 0.5)
    return replace(plan, designs=(Design(design.name, tuple(strokes)),))


def _coloured_pens(plan: Plan, chance: Chance) -> Plan:
    name = str(chance.choice(["blue", "red", "green", "brown", "violet", "orange"]))
    return replace(plan, look=replace(plan.look, ink=INKS[name], writing=chance.uniform(0.5, 0.7)))


def _curled(plan: Plan, chance: Chance) -> Plan:
    return _stand(plan, curl=chance.uniform(2, 5))


def _same(plan: Plan, chance: Chance) -> Plan:
    return plan


@dataclass(frozen=True, slots=True)
class Kind:
    """What a kind changes, and what its traces are held to: the share right, borders and width at worst, in %."""

    change: Change
    right: float = 97.0
    borders: float = 1.0
    width: float = 1.0


_PLAIN = {"right": 99.0, "borders": 0.5, "width": 0.5}
KINDS: dict[str, Kind] = {
    "photo": Kind(_same, **_PLAIN),
    "scan": Kind(_on_scanner, **_PLAIN),
    "half": Kind(_half, **_PLAIN),
    "pens 0.7 and 2.5": Kind(_pen_ends, **_PLAIN),
    "width given": Kind(_by_width),
    "other sheets": Kind(_other_sheet),
    "light table": Kind(_light_table),
    "squared paper": Kind(_squared),
    "coloured paper": Kind(_coloured_paper),
    "tilt to 40 degrees": Kind(_tilt),
    "lens bow": Kind(_bow),
    "rotated": Kind(_rotated),
    "corner out of frame": Kind(_corner_out),
    "two drawings": Kind(_two),
    "misses": Kind(_misses),
    "digits on lines": Kind(_digits_on_lines),
    "dark pencil": Kind(_dark_pencil),
    "wobble": Kind(_wobble),
    "half without crease": Kind(_half_without_crease),
    "smears": Kind(_smears),
    "islands": Kind(_islands),
    "coloured pens": Kind(_coloured_pens),
    "curled sheet": Kind(_curled),
}
PLAIN = ("photo", "scan", "half", "pens 0.7 and 2.5")
