"""A sheet of paper with designs drawn on it: what it sends back of the light, seen straight."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import LineString

from tests.tracing.designs.design import Design, Points
from tests.tracing.paper.hand import inked
from tests.tracing.paper.look import SHEETS_MM, Colour, Look
from tests.tracing.paper.page import Page
from tests.tracing.paper.paper_marks import any_line, crease, lay_guide, lay_squares, smear, smudge
from tests.tracing.paper.writing import grain_arrows, piece_numbers

Raster = NDArray[np.uint8]


@dataclass(frozen=True, slots=True)
class DrawnSheet:
    """A sheet upright, ``per_mm`` pixels a mm.

    ``design`` lies as on the sheet, mm from its upper left corner; of a half it is the whole, about the fold.
    """

    raster: Raster
    per_mm: float
    size_mm: tuple[float, float]
    design: Design


def draw_sheet(
    designs: Sequence[Design], look: Look, chance: np.random.Generator, *, half: str | None = None, per_mm: float = 14.0
) -> DrawnSheet:
    """Draw designs on one sheet, one in the middle or two above each other; ``half`` is the side that is drawn."""
    width, height = SHEETS_MM[look.sheet]
    placed, fold = _placed(designs, (width, height), half, chance)
    page = Page(width, height, per_mm)
    if look.squares:
        lay_squares(page, look, chance)
    strokes = [stroke for design in placed for stroke in design.strokes]
    borders = [LineString(line) for line in (*strokes, *([] if fold is None else [fold]))]
    fields = list(shapely.get_parts(shapely.polygonize([shapely.union_all(borders, grid_size=1e-3)])))
    for _ in range(look.guides):
        lay_guide(page, look, strokes, chance)
    page.lay(inked(strokes, look, fold, chance), look.pen_mm, look.ink)
    writing: Colour = (look.writing, look.writing, look.writing * 1.03)
    if look.digit_mm:
        page.lay(piece_numbers(fields, strokes, look, chance), chance.uniform(0.35, 0.55), writing)
    if look.arrows:
        page.lay(grain_arrows(fields, look, chance), chance.uniform(0.35, 0.5), writing)
    sheet = page.seen(look.paper)
    if look.smears:
        smear(sheet, strokes, look, per_mm, chance)
    if look.smudges:
        smudge(sheet, look.smudges, per_mm, chance)
    for _ in range(look.creases):
        crease(sheet, any_line((width, height), chance), chance.uniform(0.03, 0.1), per_mm)
    if look.fold_crease and fold is not None:
        crease(sheet, fold, chance.uniform(0.08, 0.2), per_mm)
    truth = Design("+".join(design.name for design in designs), tuple(strokes))
    np.clip(sheet, 0, 1, out=sheet)
    sheet *= 255
    raster = (sheet + np.float32(0.5)).astype(np.uint8)
    return DrawnSheet(raster, per_mm, (width, height), truth if half is None else designs[0].unfolded())


def _placed(
    designs: Sequence[Design], size: tuple[float, float], half: str | None, chance: np.random.Generator
) -> tuple[list[Design], Points | None]:
    """Put the designs on the sheet, and give the fold's two ends where there is one."""
    width, height = size
    middle = np.array([width, height]) / 2
    if half is not None:
        lean = np.radians(chance.uniform(-0.4, 0.4))
        quarter = {"left": 0, "top": 1, "right": 2, "bottom": 3}[half] * np.pi / 2
        turn = _rotation(quarter + lean)
        at = middle + chance.uniform(-0.6, 0.6, 2) + turn @ np.array([0.0, chance.uniform(-8, 8)])
        shift = np.array([0.0, -np.mean(shapely.total_bounds(designs[0].pieces)[[1, 3]])])
        turned = tuple((stroke + shift) @ turn.T + at for stroke in designs[0].strokes)
        along = turn @ np.array([0.0, 1.0])
        return [Design(designs[0].name, turned)], np.array([at - along * 400, at + along * 400])
    placed = []
    for number, design in enumerate(designs):
        turn = _rotation(np.radians(chance.uniform(-4, 4)))
        left, top, right, bottom = shapely.total_bounds(design.pieces)
        centre_of = np.array([left + right, top + bottom]) / 2
        at = middle + chance.uniform(-5, 5, 2)
        if len(designs) > 1:
            at[1] = height * (0.27 + 0.46 * number)
        placed.append(Design(design.name, tuple((s - centre_of) @ turn.T + at for s in design.whole_strokes)))
    return placed, None


def _rotation(radians: float) -> Points:
    cosine, sine = np.cos(radians), np.sin(radians)
    return np.array([[cosine, -sine], [sine, cosine]])
