"""Plots as SVG that stands inside a page. matplotlib draws them; nothing else of the program calls it.

A plot takes its font and its colours from the page's style sheet, so that it turns dark with its page and prints in
black. Series differ by their marks and dashes as well as by their hue. Lengths are in CSS pixels at natural size.
"""

from __future__ import annotations

import warnings
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import date
from io import BytesIO
from textwrap import shorten
from typing import TYPE_CHECKING, Any

from markupsafe import Markup

from catalog_builder.publish.bench.inline_svg import Caption, inlined

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

# Colours that no plot would use: each stands for one of the style sheet's own.
INK, SOFT, LINE, RATE, PAGE = "#010101", "#020202", "#030303", "#040404", "#050505"
HUES = ("#0a0001", "#0a0002", "#0a0003", "#0a0004", "#0a0005")
_NAMED = {INK: "var(--ink)", SOFT: "var(--soft)", LINE: "var(--line)", RATE: "var(--rate)", PAGE: "var(--page)"}
_NAMED |= {hue: f"var(--hue-{number})" for number, hue in enumerate(HUES, 1)}
MARKS = ("o", "s", "^", "D", "v")
_DASHES = ((0, ()), (0, (7, 2)), (0, (2, 1.6)), (0, (7, 2, 1.6, 2)), (0, (4, 3)))
# matplotlib reckons 72 points to an inch; a point of its figure is a pixel of the page.
_POINTS = 72


@dataclass(frozen=True, slots=True)
class Spread:
    """The lowest, the middle and the highest of some amounts."""

    low: float
    middle: float
    high: float


@dataclass(frozen=True, slots=True)
class Steps:
    """An amount over time: from each day on, until the next; ``dots`` are days that are marked.

    ``number`` is that of its series, -1 for the cost, which is drawn heavier than the others.
    """

    name: str
    number: int
    days: tuple[date, ...]
    amounts: tuple[float, ...]
    dots: tuple[date, ...] = ()


def plot_spreads(
    rows: Sequence[tuple[str, Sequence[Spread]]],
    rate: tuple[float, str],
    worded: Callable[[float], str],
    caption: Caption,
) -> Markup:
    """Draw a line of spreads for each row, one for each series, and one upright line with its words: ``rate``."""
    width, head, foot, lane = 400.0, 46.0, 24.0, 9.0
    row = 27.0 + lane * max((len(spreads) for _, spreads in rows), default=1)
    height = head + foot + row * len(rows)
    amounts = [rate[0], *(end for _, spreads in rows for one in spreads for end in (one.low, one.high))]
    gap = (max(amounts) - min(amounts)) * 0.06 or 1.0
    with _figure(width, height, caption.name) as figure:
        axes = _axes(figure, (4.0, foot, width - 12.0, height - head - foot), (width, height))
        axes.set_xlim(min(amounts) - gap, max(amounts) + gap)
        axes.set_ylim(row * len(rows), 0)
        _amount_ticks(axes, "x", 5, worded)
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
            for number, one in enumerate(spreads):
                _spread(axes, one, top + 28 + lane * number, number)
        return _finished(figure, caption)


def plot_steps(
    bands: Sequence[tuple[str, Sequence[Steps]]],
    span: tuple[date, date],
    worded: Callable[[float], str],
    dated: Callable[[date], str],
    caption: Caption,
) -> Markup:
    """Draw amounts over time in bands of their own scales, each under its words, the last of them half as high.

    Scales do not begin at nothing; each spans at least a twelfth of its amounts, so that a small step looks small.
    """
    width, height, head, gap, foot = 340.0, 256.0, 20.0, 30.0, 32.0
    part = (height - head - foot - gap * (len(bands) - 1)) / (2 * len(bands) - 1)
    first, last = (float(day.toordinal()) for day in span)
    with _figure(width, height, caption.name) as figure:
        top = height - head
        for count, (words, lines) in enumerate(bands, 1):
            tall = part if count == len(bands) else 2 * part
            axes = _axes(figure, (58.0, top - tall, width - 70.0, tall), (width, height))
            axes.set_xlim(first if first < last else last - 1, last)
            axes.set_ylim(*_limits([amount for line in lines for amount in line.amounts]))
            _amount_ticks(axes, "y", 3 if count == len(bands) else 4, worded)
            axes.annotate(
                words, (0, 1), xycoords="axes fraction", xytext=(0, 7), textcoords="offset points", color=SOFT
            )
            axes.set_xticks([])
            for line in lines:
                _steps(axes, line, last)
            top -= tall + gap
        ticks = _ticks(*span)
        axes.set_xticks([day.toordinal() for day in ticks], [dated(day) for day in ticks])
        axes.tick_params(axis="x", pad=9)
        return _finished(figure, caption)


def plot_pairs(
    series: Sequence[Sequence[tuple[float, float]]], words: tuple[str, str], worded: Callable[[float], str],
    caption: Caption,
) -> Markup:  # fmt: skip
    """Draw what was reckoned (across) against what came (up), with the line on which both agree; ``words`` name them.

    Each series has marks of its own; both scales are the same and begin at nothing.
    """
    side, left, foot, head = 236.0, 62.0, 46.0, 24.0
    size = left + side + 14.0, foot + side + head
    most = max((amount for pairs in series for pair in pairs for amount in pair), default=0.0) * 1.08 or 1.0
    with _figure(*size, caption.name) as figure:
        axes = _axes(figure, (left, foot, side, side), size)
        axes.set(xlim=(0, most), ylim=(0, most))
        for way in ("x", "y"):
            _amount_ticks(axes, way, 4, worded)
        axes.plot([0, most], [0, most], color=RATE, linewidth=1.6, linestyle=(0, (5, 2)), gid="agree")
        for number, pairs in enumerate(series):
            if pairs:
                axes.plot(*zip(*pairs, strict=True), gid=f"series-{number}", **_mark(number))
        place: dict[str, Any] = {"xycoords": "axes fraction", "textcoords": "offset points", "color": SOFT}
        axes.annotate(words[0], (1, 0), xytext=(0, -36), ha="right", **place)
        axes.annotate(words[1], (0, 1), xytext=(0, 9), ha="left", **place)
        return _finished(figure, caption)


def plot_counts(
    rows: Sequence[tuple[str, str, Sequence[float]]], worded: Callable[[float], str], caption: Caption
) -> Markup:
    """Draw a name with its words for each row, and under it a bar for each series, from nothing."""
    width, foot, thick = 400.0, 26.0, 11.0
    row = 32.0 + thick * max((len(amounts) for _, _, amounts in rows), default=1)
    height = foot + row * len(rows)
    ends = [amount for _, _, amounts in rows for amount in amounts]
    with _figure(width, height, caption.name) as figure:
        axes = _axes(figure, (24.0, foot, width - 52.0, height - foot), (width, height))
        axes.set(xlim=(min(0.0, *ends) * 1.04, max(0.0, *ends) * 1.04 or 1.0), ylim=(row * len(rows), 0))
        _amount_ticks(axes, "x", 5, worded)
        axes.set_yticks([])
        for count, (name, words, amounts) in enumerate(rows):
            place = ("axes fraction", "data")
            axes.annotate(shorten(name, 40, placeholder=" …"), (0, row * count + 13), xycoords=place, color=INK)
            axes.annotate(words, (1, row * count + 13), xycoords=place, color=SOFT, ha="right")
            for number, amount in enumerate(amounts):
                if not amount:
                    continue
                hue, top = HUES[number % len(HUES)], row * count + 18 + thick * number
                axes.barh(top, amount, thick - 2, align="edge", color=hue if number else PAGE, edgecolor=hue,
                          gid=f"series-{number}")  # fmt: skip
        return _finished(figure, caption)


def bar_key(number: int) -> Markup:
    """Draw a piece of a bar, to stand beside its name."""
    with _figure(28, 14, f"bar-{number}") as figure:
        axes = _axes(figure, (0, 0, 28, 14), (28, 14))
        axes.set_axis_off()
        axes.set(xlim=(0, 28), ylim=(0, 14))
        hue = HUES[number % len(HUES)]
        axes.barh(2, 24, 10, left=2, align="edge", color=hue if number else PAGE, edgecolor=hue, clip_on=False)
        return _finished(figure, f"bar-{number}")


def _limits(amounts: Sequence[float]) -> tuple[float, float]:
    low, high = min(amounts), max(amounts)
    least = high / 12 or 1.0
    spare = max((high - low) * 0.12, (least - (high - low)) / 2)
    return low - spare, high + spare


def _steps(axes: Axes, line: Steps, last: float) -> None:
    places = [float(day.toordinal()) for day in line.days]
    drawn = [*places, last], [*line.amounts, line.amounts[-1]]
    axes.plot(*drawn, gid=line.name, drawstyle="steps-post", **_stroke(line.number))
    dots = [
        (place, amount) for place, amount, day in zip(places, line.amounts, line.days, strict=True) if day in line.dots
    ]
    if dots:
        axes.plot(*zip(*dots, strict=True), gid=f"{line.name}-dots", **_mark(line.number))


def mark_key(number: int) -> Markup:
    """Draw the mark of a series, to stand beside its name."""
    with _figure(28, 14, f"mark-{number}") as figure:
        axes = _axes(figure, (0, 0, 28, 14), (28, 14))
        axes.set_axis_off()
        axes.set(xlim=(0, 28), ylim=(0, 14))
        _spread(axes, Spread(3, 14, 25), 7, number)
        return _finished(figure, f"mark-{number}")


def line_key(number: int) -> Markup:
    """Draw a piece of a line over time, to stand beside its name; -1 is the cost's."""
    with _figure(40, 14, f"line-{number}") as figure:
        axes = _axes(figure, (0, 0, 40, 14), (40, 14))
        axes.set_axis_off()
        axes.set(xlim=(0, 40), ylim=(0, 14))
        axes.plot([2, 38], [7, 7], **_stroke(number))
        return _finished(figure, f"line-{number}")


def _spread(axes: Axes, one: Spread, height: float, number: int) -> None:
    axes.plot([one.low, one.high], [height] * 2, color=HUES[number % len(HUES)], linewidth=1.6)
    axes.plot([one.middle], [height], gid=f"series-{number}", **_mark(number))


def _mark(number: int) -> dict[str, Any]:
    hue = HUES[number % len(HUES)] if number >= 0 else INK
    mark = MARKS[number % len(MARKS)] if number >= 0 else "o"
    return {
        "color": hue, "marker": mark, "markersize": 7, "markeredgecolor": PAGE, "markeredgewidth": 1,
        "linestyle": "none", "clip_on": False, "zorder": 4,
    }  # fmt: skip


def _stroke(number: int) -> dict[str, Any]:
    if number < 0:
        return {"color": INK, "linewidth": 3, "clip_on": False}
    hue, dash = HUES[number % len(HUES)], _DASHES[number % len(_DASHES)]
    return {"color": hue, "linewidth": 1.8, "linestyle": dash, "clip_on": False}


def _amount_ticks(axes: Axes, side: str, most: int, worded: Callable[[float], str]) -> None:
    from matplotlib.ticker import FuncFormatter, MaxNLocator

    axis = axes.xaxis if side == "x" else axes.yaxis
    axis.set_major_locator(MaxNLocator(nbins=most, steps=[1, 2, 2.5, 5, 10]))
    axis.set_major_formatter(FuncFormatter(lambda amount, _: worded(round(amount, 6))))
    axis.grid(True, color=LINE, linewidth=1)


def _ticks(first: date, last: date) -> tuple[date, ...]:
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


@contextmanager
def _figure(width: float, height: float, name: str) -> Iterator[Figure]:
    """Open a figure under settings that no file of the machine changes."""
    import matplotlib
    from matplotlib.figure import Figure

    with matplotlib.rc_context():
        matplotlib.rcdefaults()
        matplotlib.rcParams.update(
            {
                "svg.hashsalt": name, "svg.fonttype": "none", "text.parse_math": False, "axes.unicode_minus": True,
                "font.size": 13, "text.color": INK, "xtick.labelcolor": SOFT, "ytick.labelcolor": SOFT,
                "xtick.color": LINE, "ytick.color": LINE, "axes.axisbelow": True, "path.simplify": False,
            }
        )  # fmt: skip
        yield Figure(figsize=(width / _POINTS, height / _POINTS), dpi=_POINTS)


def _axes(figure: Figure, box: tuple[float, float, float, float], size: tuple[float, float]) -> Axes:
    """Lay axes into a box: left, bottom, width and height."""
    axes = figure.add_axes((box[0] / size[0], box[1] / size[1], box[2] / size[0], box[3] / size[1]))
    axes.spines[:].set_visible(False)
    axes.tick_params(length=0)
    axes.patch.set_visible(False)
    figure.patch.set_visible(False)
    return axes


def _finished(figure: Figure, told: Caption | str) -> Markup:
    """Give a figure as SVG for a page; ``told`` is its caption, or the bare name of a mark."""
    data = BytesIO()
    with warnings.catch_warnings():
        # A title may hold letters that matplotlib's own font lacks; the page's fonts will draw them.
        warnings.filterwarnings("ignore", "Glyph .* missing", UserWarning)
        figure.savefig(data, format="svg", metadata=dict.fromkeys(("Creator", "Date", "Format", "Type")))
    return inlined(data.getvalue(), told, _NAMED)
