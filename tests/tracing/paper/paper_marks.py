"""What else is on the sheet: squares, pencil lines, smudges, smears and creases."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import gaussian_filter

from tests.tracing.designs.design import Points
from tests.tracing.paper.hand import wobbled
from tests.tracing.paper.look import SHEETS_MM, Colour, Look
from tests.tracing.paper.page import Page


def lay_guide(page: Page, look: Look, strokes: Sequence[Points], chance: np.random.Generator) -> None:
    """Draw a pencil line beside a stroke, or straight through the design."""
    pencil: Colour = (look.pencil, look.pencil, look.pencil)
    stroke = strokes[int(chance.integers(len(strokes)))]
    places = np.concatenate(strokes)
    kind = chance.random()
    if kind < 0.6:
        line = wobbled(stroke, 0.4, chance) + chance.uniform(-1.2, 1.2, 2)
    else:
        line = places[chance.integers(len(places), size=2)] + chance.uniform(-12, 12, (2, 2))
    page.lay([line], chance.uniform(0.3, 0.5), pencil)


def lay_squares(page: Page, look: Look, chance: np.random.Generator) -> None:
    """Print the squares of squared paper."""
    width, height = SHEETS_MM[look.sheet]
    left = chance.uniform(0.62, 0.82)
    colour: Colour = (left, left + 0.06, left + 0.13) if chance.random() < 0.6 else (left, left, left)
    first = chance.uniform(0, look.squares, 2)
    lines = [np.array([[x, 0], [x, height]]) for x in np.arange(first[0], width, look.squares)]
    lines += [np.array([[0, y], [width, y]]) for y in np.arange(first[1], height, look.squares)]
    page.lay(lines, chance.uniform(0.15, 0.25), colour)


def smudge(sheet: NDArray[np.float32], count: int, per_mm: float, chance: np.random.Generator) -> None:
    """Darken soft patches, as fingers leave them."""
    height, width = sheet.shape[:2]
    for _ in range(count):
        size = chance.uniform(6, 18)
        reach = int(size * per_mm * 1.5)
        y, x = (int(chance.uniform(0.15, 0.85) * side) for side in (height, width))
        box = np.s_[max(0, y - reach) : y + reach, max(0, x - reach) : x + reach]
        rows, columns = np.ogrid[box]
        away = ((rows - y) / (size * per_mm * chance.uniform(0.3, 0.6))) ** 2 + (
            (columns - x) / (size * per_mm * 0.5)
        ) ** 2
        sheet[box] *= (1 - chance.uniform(0.06, 0.2) * np.exp(-away))[..., None].astype(np.float32)


def smear(
    sheet: NDArray[np.float32], strokes: Sequence[Points], look: Look, per_mm: float, chance: np.random.Generator
) -> None:
    """Drag wet ink off the lines for some mm."""
    for _ in range(look.smears):
        stroke = strokes[int(chance.integers(len(strokes)))]
        at = (stroke[int(len(stroke) * chance.uniform(0.2, 0.8))] * per_mm).astype(int)
        reach = int(chance.uniform(8, 16) * per_mm)
        box = np.s_[max(0, at[1] - reach) : at[1] + reach, max(0, at[0] - reach) : at[0] + reach]
        part = sheet[box]
        pull = chance.uniform(5, 12) * per_mm
        angle = chance.uniform(0, 2 * np.pi)
        dark = part.max() - part.mean(axis=2)
        dragged = np.zeros_like(dark)
        steps = np.linspace(0, 1, 24)
        for step in steps:
            shift = (int(step * pull * np.sin(angle)), int(step * pull * np.cos(angle)))
            dragged += np.roll(dark, shift, axis=(0, 1)) * (1 - step)
        rows, columns = np.ogrid[: part.shape[0], : part.shape[1]]
        middle = np.array(part.shape[:2]) / 2
        soft = np.exp(-(((rows - middle[0]) / (reach * 0.5)) ** 2 + ((columns - middle[1]) / (reach * 0.5)) ** 2))
        dragged = gaussian_filter(dragged * (4 / len(steps)), 0.3 * per_mm) * soft
        part *= 1 - np.clip(chance.uniform(0.5, 0.9) * dragged, 0, 0.45)[..., None]


def any_line(size: tuple[float, float], chance: np.random.Generator) -> Points:
    """Give the two ends of a line across a sheet, anyhow."""
    at, angle = chance.uniform(0.15, 0.85, 2) * size, chance.uniform(0, np.pi)
    along = np.array([np.cos(angle), np.sin(angle)])
    return np.array([at - along * 500, at + along * 500])


def crease(sheet: NDArray[np.float32], line: Points, depth: float, per_mm: float) -> None:
    """Fold the sheet along a line and open it again: a thin dark line, a light one beside it, two shades of paper."""
    along = (line[1] - line[0]) / np.hypot(*(line[1] - line[0]))
    height, width = sheet.shape[:2]
    rows = (np.arange(height, dtype=np.float32)[:, None] + 0.5) / per_mm - line[0][1]
    columns = (np.arange(width, dtype=np.float32)[None] + 0.5) / per_mm - line[0][0]
    off = columns * -along[1] + rows * along[0]
    sheet *= (
        1 - 0.025 * (off > 0) - depth * np.exp(-((off / 0.18) ** 2)) + 0.4 * depth * np.exp(-(((off - 0.4) / 0.3) ** 2))
    )[..., None]
