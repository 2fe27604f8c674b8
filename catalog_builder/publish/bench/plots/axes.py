"""Two scales of a plot in a box of it, and marks that are drawn to them. Lengths are CSS pixels, y downwards.

A plot takes its font and its colours from the page's style sheet, so that it turns dark with its page and prints in
black.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from datetime import date
from typing import Literal

from markupsafe import Markup

from catalog_builder.publish.bench.plots.axis_words import AxisWords
from catalog_builder.publish.pictures.svg_text import digits

INK, SOFT, LINE, RATE, PAGE = (f"var(--{name})" for name in ("ink", "soft", "line", "rate", "page"))
HUES = tuple(f"var(--hue-{number})" for number in range(1, 6))
Anchor = Literal["start", "middle", "end"]
Place = tuple[float, float]
# From the middle of a line of letters down to the line that they stand on, and from an axis to its words.
_HALF_LETTER, _PAD, _ASCENT, _DESCENT = 4.9, 3.5, 9.9, 3.1
# Steps between amounts that are easy to read, as shares of a power of ten.
_STEPS = (1.0, 2.0, 2.5, 5.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Stroke:
    """How a line is drawn: its colour, its width in px, and its dashes and gaps in widths of it."""

    colour: str
    width: float = 1.0
    dashes: tuple[float, ...] = ()

    @property
    def style(self) -> str:
        """The same as CSS."""
        dashes = ",".join(digits(dash * self.width) for dash in self.dashes)
        width = f"; stroke-width: {digits(self.width)}" if self.width != 1 else ""
        return f"fill: none; stroke: {self.colour}{width}" + (f"; stroke-dasharray: {dashes}" if dashes else "")


@dataclass(slots=True, kw_only=True)
class Axes:
    """A box (left, top, width, height) with the amounts at its left and right edge, and at its lower and upper edge."""

    box: tuple[float, float, float, float]
    across: tuple[float, float]
    up: tuple[float, float]
    marks: list[Markup] = field(default_factory=list)

    def x(self, amount: float) -> float:
        """Give where an amount lies from left to right."""
        left, _, width, _ = self.box
        return left + width * (amount - self.across[0]) / (self.across[1] - self.across[0])

    def y(self, amount: float) -> float:
        """Give where an amount lies from top to bottom."""
        _, top, _, height = self.box
        return top + height * (self.up[1] - amount) / (self.up[1] - self.up[0])

    def place(self, amounts: Place) -> Place:
        """Give where two amounts lie."""
        return self.x(amounts[0]), self.y(amounts[1])

    def line(self, places: Sequence[Place], stroke: Stroke, name: str = "") -> None:
        """Draw a line through places in px; ``name`` is its class."""
        self.group([Markup('<path d="{}" style="{}"/>').format(_path(places), stroke.style)], name)

    def group(self, marks: Iterable[Markup], name: str) -> None:
        """Add marks under the name of a class."""
        drawn = Markup().join(marks)
        self.marks.append(Markup('<g class="{}">{}</g>').format(name, drawn) if name else drawn)

    def bar(self, amount: float, top: float, thick: float, paint: tuple[str, str], name: str) -> None:
        """Draw a bar from zero across to an amount, between two places in px; ``paint`` fills it and is its edge."""
        begin, end = self.x(0), self.x(amount)
        path = _path([(begin, top), (end, top), (end, top + thick), (begin, top + thick)])
        self.group(
            [Markup('<path d="{} z" style="fill: {}; stroke: {}; stroke-linejoin: miter"/>').format(path, *paint)], name
        )

    def text(self, words: str, at: Place, colour: str, anchor: Anchor = "start", *, bold: bool = False) -> None:
        """Write words on a line at a place in px."""
        weight = "; font-weight: 600" if bold else ""
        style = f"text-anchor: {anchor}; fill: {colour}{weight}"
        place = digits(at[0]), digits(at[1])
        self.marks.append(Markup('<text x="{}" y="{}" style="{}">{}</text>').format(*place, style, words))

    def label_across(self, most: int, axis_words: AxisWords, *, over: bool = False) -> None:
        """Put up to so many amounts with grid lines below the box, and ``over`` it too."""
        _, top, _, height = self.box
        for amount in ticks(*self.across, most):
            x, words = self.x(amount), axis_words.amount(amount)
            self.line([(x, top + height), (x, top)], Stroke(colour=LINE))
            self.text(words, (x, top + height + _PAD + _ASCENT), SOFT, "middle")
            if over:
                self.text(words, (x, top - _PAD - _DESCENT), SOFT, "middle")

    def label_up(self, most: int, axis_words: AxisWords) -> None:
        """Put up to so many amounts with grid lines left of the box."""
        left, _, width, _ = self.box
        for amount in ticks(*self.up, most):
            y = self.y(amount)
            self.line([(left, y), (left + width, y)], Stroke(colour=LINE))
            self.text(axis_words.amount(amount), (left - _PAD, y + _HALF_LETTER), SOFT, "end")

    def label_days(self, span: Sequence[date], axis_words: AxisWords) -> None:
        """Put beginnings of months below the box."""
        _, top, _, height = self.box
        for day in _days(*span):
            place = self.x(day.toordinal()), top + height + 9 + _ASCENT
            self.text(axis_words.day(day), place, SOFT, "middle")


def ticks(low: float, high: float, most: int) -> list[float]:
    """Give amounts between two, so far apart that at most ``most`` steps of them would span both; at least two."""
    wide = (high - low) / most
    power = math.floor(math.log10(wide)) - 1
    steps = [step * 10.0**exponent for exponent in range(power, power + 4) for step in _STEPS]
    for step in reversed(steps[: next(at for at, step in enumerate(steps) if step >= wide * (1 - 1e-9)) + 1]):
        first, last = math.ceil(low / step - 1e-9), math.floor(high / step + 1e-9)
        if last - first >= 1:
            return [round(number * step, 6) + 0.0 for number in range(first, last + 1)]
    return [low, high]


def _days(first: date, last: date) -> tuple[date, ...]:
    """Give up to four beginnings of months between two days; the days themselves where there are fewer than two."""
    months = [
        date(month // 12, month % 12 + 1, 1)
        for month in range(first.year * 12 + first.month - 1, last.year * 12 + last.month)
    ]
    within = [month for month in months if first <= month <= last]
    if len(within) < 2:
        return (first, last) if first < last else (last,)
    apart = next(step for step in (1, 2, 3, 4, 6, 12, len(within)) if len(within) / step <= 4 or step == len(within))
    return tuple(within[::apart])


def _path(places: Sequence[Place]) -> str:
    return "M " + " L ".join(f"{digits(x)} {digits(y)}" for x, y in places)
