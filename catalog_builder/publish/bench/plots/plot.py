"""The bench's plots, as SVG that stands inside a page. Series differ by marks and dashes as well as by their hue."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from textwrap import shorten
from typing import TYPE_CHECKING, Any

from markupsafe import Markup

from catalog_builder.publish.bench.plots.figure import (
    HUES,
    INK,
    LINE,
    PAGE,
    RATE,
    SOFT,
    AxisWords,
    add_axes,
    figure_svg,
    label_amounts,
    label_days,
    open_figure,
)
from catalog_builder.publish.bench.plots.inline_svg import Caption

if TYPE_CHECKING:
    from matplotlib.axes import Axes

MARKS = ("o", "s", "^", "D", "v")
_DASHES = ((0, ()), (0, (7, 2)), (0, (2, 1.6)), (0, (7, 2, 1.6, 2)), (0, (4, 3)))
# The number of the series that shows a cost; it is drawn heavier than the prices.
COST = -1


@dataclass(frozen=True, slots=True, kw_only=True)
class Spread:
    """The lowest, the middle and the highest of some amounts."""

    low: float
    middle: float
    high: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Steps:
    """An amount over time: from each day on, until the next; ``dots`` are days that are marked.

    ``number`` is that of its series, ``COST`` for the cost.
    """

    name: str
    number: int
    days: tuple[date, ...]
    amounts: tuple[float, ...]
    dots: tuple[date, ...] = ()


def plot_spreads(
    rows: Sequence[tuple[str, Sequence[Spread]]],
    rate: tuple[float, str],
    axis_words: AxisWords,
    caption: Caption,
) -> Markup:
    """Draw a line of spreads for each row, one for each series, and one upright line with its words: ``rate``."""
    width, head, foot, lane = 400.0, 46.0, 24.0, 9.0
    row = 27.0 + lane * max((len(spreads) for _, spreads in rows), default=1)
    height = head + foot + row * len(rows)
    amounts = [rate[0], *(end for _, spreads in rows for spread in spreads for end in (spread.low, spread.high))]
    gap = (max(amounts) - min(amounts)) * 0.06 or 1.0
    with open_figure(width, height, caption.name) as figure:
        axes = add_axes(figure, (4.0, foot, width - 12.0, height - head - foot), (width, height))
        axes.set_xlim(min(amounts) - gap, max(amounts) + gap)
        axes.set_ylim(row * len(rows), 0)
        label_amounts(axes, "x", 5, axis_words)
        axes.tick_params(axis="x", top=False, labeltop=True, labelbottom=True, length=0)
        axes.set_yticks([])
        # The line leaves out the strips where the names of the rows stand.
        tops = [row * count for count in range(len(rows))]
        begins, ends = [top + 22 for top in tops], [top + row for top in tops]
        axes.vlines([rate[0]] * len(tops), begins, ends, RATE, (0, (5, 2)), linewidth=2, gid="rate")
        edge = rate[0] > sum(axes.get_xlim()) / 2
        place: dict[str, Any] = {"xytext": (0, 24), "textcoords": "offset points", "ha": "right" if edge else "left"}
        axes.annotate(rate[1], (rate[0], 0), color=RATE, weight="bold", va="bottom", annotation_clip=False, **place)
        for top, (title, spreads) in zip(tops, rows, strict=True):
            axes.axhline(top, color=LINE, linewidth=1)
            axes.annotate(
                shorten(title, 56, placeholder=" …"),
                (0, top + 13),
                xycoords=("axes fraction", "data"),
                color=INK,
                va="center",
            )
            for number, spread in enumerate(spreads):
                _draw_spread(axes, spread, top + 28 + lane * number, number)
        return figure_svg(figure, caption)


def plot_steps(
    bands: Sequence[tuple[str, Sequence[Steps]]],
    span: tuple[date, date],
    axis_words: AxisWords,
    caption: Caption,
) -> Markup:
    """Draw amounts over time in bands of their own scales, each under its words, the last of them half as high.

    Scales do not begin at zero; each spans at least a twelfth of its amounts, so that a small step looks small.
    """
    width, height, head, gap, foot = 340.0, 256.0, 20.0, 30.0, 32.0
    part = (height - head - foot - gap * (len(bands) - 1)) / (2 * len(bands) - 1)
    first, last = (float(day.toordinal()) for day in span)
    with open_figure(width, height, caption.name) as figure:
        top = height - head
        for count, (words, lines) in enumerate(bands, 1):
            tall = part if count == len(bands) else 2 * part
            axes = add_axes(figure, (58.0, top - tall, width - 70.0, tall), (width, height))
            axes.set_xlim(first if first < last else last - 1, last)
            axes.set_ylim(*_limits([amount for line in lines for amount in line.amounts]))
            label_amounts(axes, "y", 3 if count == len(bands) else 4, axis_words)
            axes.annotate(
                words, (0, 1), xycoords="axes fraction", xytext=(0, 7), textcoords="offset points", color=SOFT
            )
            axes.set_xticks([])
            for line in lines:
                _draw_steps(axes, line, last)
            top -= tall + gap
        label_days(axes, span, axis_words)
        return figure_svg(figure, caption)


def plot_pairs(
    series: Sequence[Sequence[tuple[float, float]]], words: tuple[str, str], axis_words: AxisWords, caption: Caption
) -> Markup:
    """Draw what was calculated (across) against what was measured (up), with the line on which both agree.

    ``words`` name the two. Each series has marks of its own; both scales are the same and begin at zero.
    """
    side, left, foot, head = 236.0, 62.0, 46.0, 24.0
    size = left + side + 14.0, foot + side + head
    most = max((amount for pairs in series for pair in pairs for amount in pair), default=0.0) * 1.08 or 1.0
    with open_figure(*size, caption.name) as figure:
        axes = add_axes(figure, (left, foot, side, side), size)
        axes.set(xlim=(0, most), ylim=(0, most))
        for way in ("x", "y"):
            label_amounts(axes, way, 4, axis_words)
        axes.plot([0, most], [0, most], color=RATE, linewidth=1.6, linestyle=(0, (5, 2)), gid="agree")
        for number, pairs in enumerate(series):
            if pairs:
                axes.plot(*zip(*pairs, strict=True), gid=f"series-{number}", **_mark(number))
        place: dict[str, Any] = {"xycoords": "axes fraction", "textcoords": "offset points", "color": SOFT}
        axes.annotate(words[0], (1, 0), xytext=(0, -36), ha="right", **place)
        axes.annotate(words[1], (0, 1), xytext=(0, 9), ha="left", **place)
        return figure_svg(figure, caption)


def plot_counts(rows: Sequence[tuple[str, str, Sequence[float]]], axis_words: AxisWords, caption: Caption) -> Markup:
    """Draw a name with its words for each row, and under it a bar for each series, from zero."""
    width, foot, thick = 400.0, 26.0, 11.0
    row = 32.0 + thick * max((len(amounts) for _, _, amounts in rows), default=1)
    height = foot + row * len(rows)
    ends = [amount for _, _, amounts in rows for amount in amounts]
    with open_figure(width, height, caption.name) as figure:
        axes = add_axes(figure, (24.0, foot, width - 52.0, height - foot), (width, height))
        axes.set(xlim=(min(0.0, *ends) * 1.04, max(0.0, *ends) * 1.04 or 1.0), ylim=(row * len(rows), 0))
        label_amounts(axes, "x", 5, axis_words)
        axes.set_yticks([])
        for count, (name, words, amounts) in enumerate(rows):
            place = ("axes fraction", "data")
            axes.annotate(shorten(name, 40, placeholder=" …"), (0, row * count + 13), xycoords=place, color=INK)
            axes.annotate(words, (1, row * count + 13), xycoords=place, color=SOFT, ha="right")
            for number, amount in enumerate(amounts):
                if amount:
                    top = row * count + 18 + thick * number
                    axes.barh(top, amount, thick - 2, gid=f"series-{number}", **_bar(number))
        return figure_svg(figure, caption)


def bar_key(number: int) -> Markup:
    """Draw a piece of a bar, to stand beside its name."""
    with open_figure(28, 14, f"bar-{number}") as figure:
        axes = add_axes(figure, (0, 0, 28, 14), (28, 14))
        axes.set_axis_off()
        axes.set(xlim=(0, 28), ylim=(0, 14))
        axes.barh(2, 24, 10, left=2, clip_on=False, **_bar(number))
        return figure_svg(figure, f"bar-{number}")


def mark_key(number: int) -> Markup:
    """Draw the mark of a series, to stand beside its name."""
    with open_figure(28, 14, f"mark-{number}") as figure:
        axes = add_axes(figure, (0, 0, 28, 14), (28, 14))
        axes.set_axis_off()
        axes.set(xlim=(0, 28), ylim=(0, 14))
        _draw_spread(axes, Spread(low=3, middle=14, high=25), 7, number)
        return figure_svg(figure, f"mark-{number}")


def line_key(number: int) -> Markup:
    """Draw a piece of a line over time, to stand beside its name."""
    with open_figure(40, 14, f"line-{number}") as figure:
        axes = add_axes(figure, (0, 0, 40, 14), (40, 14))
        axes.set_axis_off()
        axes.set(xlim=(0, 40), ylim=(0, 14))
        axes.plot([2, 38], [7, 7], **_stroke(number))
        return figure_svg(figure, f"line-{number}")


def _limits(amounts: Sequence[float]) -> tuple[float, float]:
    low, high = min(amounts), max(amounts)
    least = high / 12 or 1.0
    spare = max((high - low) * 0.12, (least - (high - low)) / 2)
    return low - spare, high + spare


def _draw_steps(axes: Axes, line: Steps, last: float) -> None:
    places = [float(day.toordinal()) for day in line.days]
    corners = [*places, last], [*line.amounts, line.amounts[-1]]
    axes.plot(*corners, gid=line.name, drawstyle="steps-post", **_stroke(line.number))
    dots = [
        (place, amount) for place, amount, day in zip(places, line.amounts, line.days, strict=True) if day in line.dots
    ]
    if dots:
        axes.plot(*zip(*dots, strict=True), gid=f"{line.name}-dots", **_mark(line.number))


def _draw_spread(axes: Axes, spread: Spread, height: float, number: int) -> None:
    axes.plot([spread.low, spread.high], [height] * 2, color=HUES[number % len(HUES)], linewidth=1.6)
    axes.plot([spread.middle], [height], gid=f"series-{number}", **_mark(number))


def _bar(number: int) -> dict[str, Any]:
    hue = HUES[number % len(HUES)]
    return {"align": "edge", "color": hue if number else PAGE, "edgecolor": hue}


def _mark(number: int) -> dict[str, Any]:
    hue = HUES[number % len(HUES)] if number != COST else INK
    mark = MARKS[number % len(MARKS)] if number != COST else "o"
    return {
        "color": hue, "marker": mark, "markersize": 7, "markeredgecolor": PAGE, "markeredgewidth": 1,
        "linestyle": "none", "clip_on": False, "zorder": 4,
    }  # fmt: skip


def _stroke(number: int) -> dict[str, Any]:
    if number == COST:
        return {"color": INK, "linewidth": 3, "clip_on": False}
    hue, dash = HUES[number % len(HUES)], _DASHES[number % len(_DASHES)]
    return {"color": hue, "linewidth": 1.8, "linestyle": dash, "clip_on": False}
