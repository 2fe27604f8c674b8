"""What makes a plain picture another kind: a scan, half a drawing, or a harder one."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import shapely

from tests.tracing.designs import own_designs
from tests.tracing.designs.design import Design, Points
from tests.tracing.paper.look import INKS, PAPERS, SHEETS_MM
from tests.tracing.pictures.plan import Chance, Plan, flatbed
from tests.tracing.pictures.snapshot import LIGHT_TABLES


def on_scanner(plan: Plan, chance: Chance) -> Plan:
    """Lay the sheet on a scanner."""
    return replace(plan, bed=flatbed(chance))


def by_width(plan: Plan, chance: Chance) -> Plan:
    """Scan the sheet, and tell the drawing's width in place of dots per inch."""
    bed = replace(flatbed(chance), skew=0.0)
    return replace(plan, bed=bed, by_width=True)


def other_sheet(plan: Plan, chance: Chance) -> Plan:
    """Draw on a sheet of another size."""
    sheet = str(chance.choice(["a3", "a5", "letter"]))
    width, height = SHEETS_MM[sheet]
    left, top, right, bottom = shapely.total_bounds(plan.designs[0].pieces)
    most = min((width - 24) / (right - left), (height - 24) / (bottom - top), 1.8)
    return replace(
        plan, designs=(plan.designs[0].scaled(most * chance.uniform(0.9, 1)),), look=replace(plan.look, sheet=sheet)
    )


def half(plan: Plan, chance: Chance) -> Plan:
    """Draw the left half beside a crease, and turn the sheet."""
    side = str(chance.choice(["left", "right", "top", "bottom"]))
    design = plan.designs[0]
    left, top, right, bottom = shapely.total_bounds(design.pieces)
    across, along = (190, 265) if side in ("left", "right") else (270, 185)
    most = min(across / (right - left), along / (bottom - top), 2.0)
    design = design.scaled(chance.uniform(1.0, max(1.0, most)))
    turn = chance.uniform(-4, 4)
    scene = replace(plan.scene, upright=True, stand=replace(plan.scene.stand, turn=turn))
    look = replace(plan.look, fold_crease=True, fold_short=chance.uniform(0, 0.4))
    bed = flatbed(chance) if chance.random() < 0.4 else None
    return replace(plan, designs=(design,), look=look, scene=scene, half=side, bed=bed)


def half_without_crease(plan: Plan, chance: Chance) -> Plan:
    """Draw half, with no crease, its lines short of the fold."""
    plan = half(plan, chance)
    return replace(plan, look=replace(plan.look, fold_crease=False, fold_short=chance.uniform(0, 1.6)))


def pen_ends(plan: Plan, chance: Chance) -> Plan:
    """Take the thinnest pen or the broadest."""
    return replace(plan, look=replace(plan.look, pen_mm=float(chance.choice([0.7, 2.5]))))


def light_table(plan: Plan, chance: Chance) -> Plan:
    """Lay the sheet on a table about as light as paper."""
    return replace(plan, scene=replace(plan.scene, table=LIGHT_TABLES[str(chance.choice(list(LIGHT_TABLES)))]))


def squared(plan: Plan, chance: Chance) -> Plan:
    """Draw on squared paper."""
    return replace(plan, look=replace(plan.look, squares=float(chance.choice([4, 5, 5, 10]))))


def coloured_paper(plan: Plan, chance: Chance) -> Plan:
    """Draw on coloured paper."""
    name = str(chance.choice(["yellow", "rose", "blue", "green", "brown"]))
    ink = INKS["black"] if name == "brown" else plan.look.ink
    return replace(plan, look=replace(plan.look, paper=PAPERS[name], ink=ink))


def _held(plan: Plan, **changes: float) -> Plan:
    return replace(plan, scene=replace(plan.scene, stand=replace(plan.scene.stand, **changes)))


def tilt(plan: Plan, chance: Chance) -> Plan:
    """Hold the camera aslant."""
    return _held(plan, tilt=chance.uniform(25, 40))


def bow(plan: Plan, chance: Chance) -> Plan:
    """Bend straight lines as a lens does."""
    return _held(plan, bow=chance.uniform(0.015, 0.05) * chance.choice([-1, 1]))


def rotated(plan: Plan, chance: Chance) -> Plan:
    """Turn the sheet anyhow."""
    return _held(plan, turn=chance.uniform(0, 360))


def corner_out(plan: Plan, chance: Chance) -> Plan:
    """Leave one corner of the sheet out of the picture."""
    turn = plan.scene.stand.turn + chance.choice([-1, 1]) * chance.uniform(6, 12)
    return _held(plan, turn=turn, cut_mm=chance.uniform(2, 9), margin=0.04, tilt=chance.uniform(0, 12))


def two(plan: Plan, chance: Chance) -> Plan:
    """Draw two designs on one sheet."""
    fitted = []
    designs = (plan.designs[0], own_designs.own_design("egg", own_designs.DEV, chance).unfolded())
    for design in designs:
        left, top, right, bottom = shapely.total_bounds(design.pieces)
        fitted.append(design.scaled(min(175 / (right - left), 125 / (bottom - top))))
    return replace(plan, designs=tuple(fitted))


def misses(plan: Plan, chance: Chance) -> Plan:
    """End some lines 0.5 to 2 mm short of the ink that they should meet."""
    look = replace(
        plan.look, miss=chance.uniform(0.5, 2.0), gaps=int(chance.integers(1, 5)), pen_mm=chance.uniform(0.7, 1.5)
    )
    return replace(plan, look=look)


def digits_on_lines(plan: Plan, chance: Chance) -> Plan:
    """Write large digits, many of them across lines."""
    height = chance.uniform(7, 11)
    return replace(
        plan, look=replace(plan.look, digit_mm=height, digits_on_lines=True, writing=chance.uniform(0.4, 0.6))
    )


def dark_pencil(plan: Plan, chance: Chance) -> Plan:
    """Draw guide lines with a dark pencil."""
    return replace(
        plan,
        look=replace(
            plan.look, guides=int(chance.integers(2, 6)), pencil=chance.uniform(0.38, 0.55), ink=INKS["black"]
        ),
    )


def wobble(plan: Plan, _: Chance) -> Plan:
    """Let the hand wobble by 0.3 mm (root mean square)."""
    return replace(plan, look=replace(plan.look, wobble=0.3))


def smears(plan: Plan, chance: Chance) -> Plan:
    """Smear the wet ink."""
    return replace(plan, look=replace(plan.look, smears=int(chance.integers(2, 6))))


def islands(plan: Plan, chance: Chance) -> Plan:
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
        shape = (
            round_
            * (reach * (1 + 0.08 * np.cos(int(chance.integers(2, 5)) * turn + chance.uniform(0, 6))) / 1.08)[:, None]
        )
        shape[-1] = shape[0]
        strokes.append(np.array(circle.coords[0]) + shape)
        if reach > 15 and chance.random() < 0.5:
            strokes.append(np.array(circle.coords[0]) + shape * 0.5)
    return replace(plan, designs=(Design(design.name, tuple(strokes)),))


def coloured_pens(plan: Plan, chance: Chance) -> Plan:
    """Draw with a coloured pen."""
    name = str(chance.choice(["blue", "red", "green", "brown", "violet", "orange"]))
    return replace(plan, look=replace(plan.look, ink=INKS[name], writing=chance.uniform(0.5, 0.7)))


def curled(plan: Plan, chance: Chance) -> Plan:
    """Let the sheet's middle stand 2 to 5 mm off the table."""
    return _held(plan, curl=chance.uniform(2, 5))


def plain(plan: Plan, _: Chance) -> Plan:
    """Leave a plain photo as it is."""
    return plan
