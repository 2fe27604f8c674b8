"""A sheet of paper with a design drawn on it: what it leaves of the light, seen straight, drawn by Agg of matplotlib."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from matplotlib.backends.backend_agg import RendererAgg
from matplotlib.path import Path
from matplotlib.transforms import Affine2D
from numpy.typing import NDArray
from scipy.ndimage import gaussian_filter, gaussian_filter1d
from shapely import LineString, Point

from tests.tracing.design import Design, Points, resampled
from tests.tracing.handwriting import arrow, digits
from tests.tracing.look import SHEETS_MM, Colour, Look

Raster = NDArray[np.uint8]


@dataclass(frozen=True, slots=True)
class DrawnSheet:
    """A sheet upright, ``per_mm`` pixels a mm, and the design where it stands on it, mm from the upper left corner.

    ``fold`` holds the two ends of the fold where half the design is drawn.
    """

    raster: Raster
    per_mm: float
    size_mm: tuple[float, float]
    design: Design
    turn: float
    fold: Points | None


def draw_sheet(
    designs: Sequence[Design], look: Look, chance: np.random.Generator, *, half: str | None = None, per_mm: float = 14.0
) -> DrawnSheet:
    """Draw designs on one sheet, the first in the middle, or two above each other; ``half`` is the side drawn.

    The truth that is given back has no turn: a sheet is a rigid thing, and so is a design on it.
    """
    width, height = SHEETS_MM[look.sheet]
    placed, fold = _placed(designs, (width, height), half, chance)
    page = _Page(width, height, per_mm)
    if look.squares:
        _squares(page, look, chance)
    fields = [field for design in designs for field in design.pieces]
    strokes = [stroke for design in placed for stroke in design.strokes]
    clear = shapely.polygonize([shapely.union_all([*map(LineString, strokes), *([] if fold is None else [LineString(fold)])], grid_size=1e-3)])
    fields = list(shapely.get_parts(clear))
    for _ in range(look.guides):
        _guide(page, look, strokes, chance)
    page.lay(_inked(strokes, look, fold, chance), look.pen_mm, look.ink)
    writing: Colour = (look.writing, look.writing, look.writing * 1.03)
    if look.digit_mm:
        page.lay(_numbers(fields, strokes, look, chance), chance.uniform(0.35, 0.55), writing)
    if look.arrows:
        page.lay(_arrows(fields, look, chance), chance.uniform(0.35, 0.5), writing)
    sheet = page.seen(look.paper)
    if look.smears:
        _smear(sheet, strokes, look, per_mm, chance)
    if look.smudges:
        _smudge(sheet, look.smudges, per_mm, chance)
    for _ in range(look.creases):
        _crease(sheet, _any_line((width, height), chance), chance.uniform(0.03, 0.1), per_mm)
    if look.fold_crease and fold is not None:
        _crease(sheet, fold, chance.uniform(0.08, 0.2), per_mm)
    whole = Design("+".join(design.name for design in designs), tuple(s for d in designs for s in d.whole_strokes))
    if len(placed) > 1:
        whole = Design(whole.name, tuple(strokes))
    np.clip(sheet, 0, 1, out=sheet)
    sheet *= 255
    raster = (sheet + np.float32(0.5)).astype(np.uint8)
    return DrawnSheet(raster, per_mm, (width, height), whole, 0.0, fold)


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
        centre = designs[0].strokes
        shift = np.array([0.0, -np.mean(shapely.total_bounds(designs[0].pieces)[[1, 3]])])
        turned = tuple((stroke + shift) @ turn.T + at for stroke in centre)
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


class _Page:
    """White paper that strokes are laid on; each takes its share of the light."""

    def __init__(self, width: float, height: float, per_mm: float) -> None:
        self._size = (round(width * per_mm), round(height * per_mm))
        self._per_mm = per_mm
        self._light = np.ones((self._size[1], self._size[0], 3), dtype=np.float32)

    def lay(self, strokes: Sequence[Points], pen_mm: float, colour: Colour, strength: float = 1.0) -> None:
        """Lay strokes of a round pen."""
        if not strokes:
            return
        renderer = RendererAgg(*self._size, 72)
        pen = renderer.new_gc()
        pen.set_linewidth(pen_mm * self._per_mm)
        pen.set_capstyle("round")
        pen.set_joinstyle("round")
        pen.set_snap(False)
        pen.set_foreground((0.0, 0.0, 0.0))
        turned = Affine2D().scale(self._per_mm, -self._per_mm).translate(0, self._size[1])
        for stroke in strokes:
            renderer.draw_path(pen, Path(stroke), turned, None)
        covered = np.asarray(renderer.buffer_rgba())[..., 3]
        rows, columns = np.flatnonzero(covered.any(axis=1)), np.flatnonzero(covered.any(axis=0))
        if not len(rows):
            return
        box = np.s_[rows[0] : rows[-1] + 1, columns[0] : columns[-1] + 1]
        share = covered[box].astype(np.float32) * (strength / 255)
        for channel, left in enumerate(colour):
            self._light[box][..., channel] *= 1 - share * (1 - left)

    def seen(self, paper: Colour) -> NDArray[np.float32]:
        """Give what the sheet sends back."""
        self._light *= np.array(paper, dtype=np.float32)
        return self._light


def _inked(strokes: Sequence[Points], look: Look, fold: Points | None, chance: np.random.Generator) -> list[Points]:
    """Draw strokes as a hand does: with its wobble, and some ends short of what they should meet."""
    inked = [_wobbled(stroke, look.wobble, chance) if look.wobble else stroke for stroke in strokes]
    if look.gaps:
        free = [(number, end) for number, stroke in enumerate(strokes) for end in (0, -1) if _meets(strokes, number, end)]
        for pick in chance.permutation(len(free))[: look.gaps]:
            number, end = free[int(pick)]
            # The middle of the pen ends short by the pen's width and the gap that is to be seen between the two inks.
            inked[number] = _shortened(inked[number], end, look.miss + look.pen_mm)
    if fold is not None and look.fold_short:
        line = LineString(fold)
        for number, stroke in enumerate(inked):
            for end in (0, -1):
                if line.distance(Point(strokes[number][end])) < 0.01:
                    short = chance.uniform(0.3, 1.0) * look.fold_short
                    stroke = _shortened(stroke, end, short)
            inked[number] = stroke
    return inked


def _meets(strokes: Sequence[Points], number: int, end: int) -> bool:
    """Say whether a stroke's end lies on another stroke away from its ends: a T."""
    here = Point(strokes[number][end])
    for other, stroke in enumerate(strokes):
        if other != number and LineString(stroke).distance(here) < 0.01:
            ends = min(here.distance(Point(stroke[0])), here.distance(Point(stroke[-1])))
            if ends > 6:
                return True
    return False


def _shortened(stroke: Points, end: int, by: float) -> Points:
    points = stroke if end == 0 else stroke[::-1]
    along = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(points, axis=0).T))])
    if along[-1] < by + 3:
        return stroke
    start = np.array([np.interp(by, along, points[:, axis]) for axis in (0, 1)])
    points = np.concatenate([start[None], points[along > by + 0.05]])
    return points if end == 0 else points[::-1]


def _wobbled(stroke: Points, wobble: float, chance: np.random.Generator) -> Points:
    points = resampled(stroke, 0.4)
    if len(points) < 12:
        return points
    off = gaussian_filter1d(chance.standard_normal(len(points) + 80), 10)[40:-40]
    off *= wobble / max(float(np.sqrt(np.mean(off**2))), 1e-9)
    # Ends keep their place: a hand looks where a line begins and ends.
    reach = np.minimum(np.arange(len(points)), np.arange(len(points))[::-1]) * 0.4
    off *= np.clip(reach / 4, 0, 1)
    along = np.gradient(points, axis=0)
    along /= np.maximum(np.hypot(*along.T), 1e-9)[:, None]
    return np.asarray(points + off[:, None] * np.stack([-along[:, 1], along[:, 0]], axis=1))


def _numbers(fields: Sequence[shapely.Polygon], strokes: Sequence[Points], look: Look, chance: np.random.Generator) -> list[Points]:
    written: list[Points] = []
    for number, field in enumerate(fields, 1):
        circle = shapely.maximum_inscribed_circle(field, tolerance=0.2)
        at = np.array(circle.coords[0])
        if look.digits_on_lines and chance.random() < 0.6:
            stroke = strokes[int(chance.integers(len(strokes)))]
            at = stroke[int(len(stroke) * chance.uniform(0.25, 0.75))] + chance.uniform(-2, 2, 2)
        elif circle.length < look.digit_mm * 0.8 + look.pen_mm / 2 + 0.6:
            continue
        written += digits(number, at, look.digit_mm, chance)
    return written


def _arrows(fields: Sequence[shapely.Polygon], look: Look, chance: np.random.Generator) -> list[Points]:
    drawn: list[Points] = []
    for field in fields:
        circle = shapely.maximum_inscribed_circle(field, tolerance=0.2)
        room = circle.length - look.pen_mm / 2 - 1
        if chance.random() < 0.7 and room > 6:
            below = np.array(circle.coords[0]) + (0, look.digit_mm * 0.8)
            if room > look.digit_mm * 0.8 + 2:
                drawn += arrow(below, min(12, 1.2 * np.sqrt(room**2 - (look.digit_mm * 0.8) ** 2)), chance.uniform(0, 180) * 0.1)
    return drawn


def _guide(page: _Page, look: Look, strokes: Sequence[Points], chance: np.random.Generator) -> None:
    """Draw a pencil line along a stroke, beside it, or straight through the design."""
    pencil: Colour = (look.pencil, look.pencil, look.pencil)
    stroke = strokes[int(chance.integers(len(strokes)))]
    places = np.concatenate(strokes)
    kind = chance.random()
    if kind < 0.6:
        line = _wobbled(stroke, 0.4, chance) + chance.uniform(-1.2, 1.2, 2)
    else:
        line = places[chance.integers(len(places), size=2)] + chance.uniform(-12, 12, (2, 2))
    page.lay([line], chance.uniform(0.3, 0.5), pencil)


def _squares(page: _Page, look: Look, chance: np.random.Generator) -> None:
    width, height = SHEETS_MM[look.sheet]
    left = chance.uniform(0.62, 0.82)
    colour: Colour = (left, left + 0.06, left + 0.13) if chance.random() < 0.6 else (left, left, left)
    first = chance.uniform(0, look.squares, 2)
    lines = [np.array([[x, 0], [x, height]]) for x in np.arange(first[0], width, look.squares)]
    lines += [np.array([[0, y], [width, y]]) for y in np.arange(first[1], height, look.squares)]
    page.lay(lines, chance.uniform(0.15, 0.25), colour)


def _smudge(sheet: NDArray[np.float32], count: int, per_mm: float, chance: np.random.Generator) -> None:
    """Darken soft patches, as fingers leave them."""
    height, width = sheet.shape[:2]
    for _ in range(count):
        size = chance.uniform(6, 18)
        reach = int(size * per_mm * 1.5)
        y, x = (int(chance.uniform(0.15, 0.85) * side) for side in (height, width))
        box = np.s_[max(0, y - reach) : y + reach, max(0, x - reach) : x + reach]
        rows, columns = np.ogrid[box]
        away = ((rows - y) / (size * per_mm * chance.uniform(0.3, 0.6))) ** 2 + ((columns - x) / (size * per_mm * 0.5)) ** 2
        sheet[box] *= (1 - chance.uniform(0.06, 0.2) * np.exp(-away))[..., None].astype(np.float32)


def _smear(
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


def _any_line(size: tuple[float, float], chance: np.random.Generator) -> Points:
    at, angle = chance.uniform(0.15, 0.85, 2) * size, chance.uniform(0, np.pi)
    along = np.array([np.cos(angle), np.sin(angle)])
    return np.array([at - along * 500, at + along * 500])


def _crease(sheet: NDArray[np.float32], line: Points, depth: float, per_mm: float) -> None:
    """Fold the sheet along a line and open it again: a thin dark line, a light one beside it, two shades of paper."""
    along = (line[1] - line[0]) / np.hypot(*(line[1] - line[0]))
    height, width = sheet.shape[:2]
    rows = (np.arange(height, dtype=np.float32)[:, None] + 0.5) / per_mm - line[0][1]
    columns = (np.arange(width, dtype=np.float32)[None] + 0.5) / per_mm - line[0][0]
    off = columns * -along[1] + rows * along[0]
    sheet *= (1 - 0.025 * (off > 0) - depth * np.exp(-((off / 0.18) ** 2)) + 0.4 * depth * np.exp(-(((off - 0.4) / 0.3) ** 2)))[
        ..., None
    ]
