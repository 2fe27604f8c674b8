"""All that a picture is made from, drawn by lot within the bounds of a plain one."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely

from tests.tracing.designs import atlas_designs, own_designs
from tests.tracing.designs.design import Design
from tests.tracing.paper.look import INKS, PAPERS, Look
from tests.tracing.pictures.snapshot import TABLES, Flatbed, Scene
from tests.tracing.pictures.viewpoint import Stand

Chance = np.random.Generator
_PENS = (0.7, 0.8, 1.0, 1.2, 1.5, 2.0, 2.5)


@dataclass(frozen=True, slots=True)
class Plan:
    """All that a picture is made from.

    ``half`` names the drawn side; the sheet lies on the scanner ``bed`` where there is one, and ``by_width`` tells the
    tracer the drawing's width alone.
    """

    designs: tuple[Design, ...]
    look: Look
    scene: Scene
    bed: Flatbed | None = None
    half: str | None = None
    by_width: bool = False


def drawn_design(family: str, chance: Chance, *, folded: bool) -> Design:
    """Draw one of a family's designs: its left half, or the whole at a size that an A4 sheet holds."""
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


def plain_plan(design: Design, chance: Chance) -> Plan:
    """Plan a photo: a pen, pencil, digits, a shadow, on a darker table."""
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


def flatbed(chance: Chance) -> Flatbed:
    """Lay a sheet on a scanner, nearly straight."""
    dpi = float(chance.choice([200, 300, 300, 300, 400]))
    return Flatbed(dpi, chance.uniform(-0.8, 0.8), chance.random() < 0.5, chance.uniform(0.5, 2.5))
