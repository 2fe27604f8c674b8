"""The bench's plots, as SVG that stands inside a page. Series differ by marks and dashes as well as by their hue."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from textwrap import shorten

from markupsafe import Markup

from catalog_builder.publish.bench.plots.axes import HUES, INK, LINE, PAGE, RATE, SOFT, Axes, Place, Stroke
from catalog_builder.publish.bench.plots.axis_words import AxisWords
from catalog_builder.publish.bench.plots.inline_svg import Caption, inlined
from catalog_builder.publish.pictures.svg_text import digits

# The shapes of marks, round a place in px: a circle, a square, a triangle, a square on its corner, a triangle upside
# down.
MARKS = (
    "M 0 3.5 A 3.5 3.5 0 0 0 0 -3.5 A 3.5 3.5 0 0 0 0 3.5 z",
    "M -3.5 3.5 H 3.5 V -3.5 H -3.5 z",
    "M 0 -3.5 L -3.5 3.5 H 3.5 z",
    "M 0 4.95 L 4.95 0 L 0 -4.95 L -4.95 0 z",
    "M 0 3.5 L 3.5 -3.5 H -3.5 z",
)
_DASHES: tuple[tuple[float, ...], ...] = ((), (7, 2), (2, 1.6), (7, 2, 1.6, 2), (4, 3))
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
    box = 4.0, head, width - 12.0, height - head - foot
    axes = Axes(box=box, across=(min(amounts) - gap, max(amounts) + gap), up=(0, 1))
    axes.marks.append(_shapes(range(max((len(spreads) for _, spreads in rows), default=0)), caption.name))
    axes.label_across(5, axis_words, over=True)
    tops, at = [head + row * count for count in range(len(rows))], axes.x(rate[0])
    # The line leaves out the strips where the names of the rows stand.
    for top in tops:
        axes.line([(at, top + 22), (at, top + row)], Stroke(colour=RATE, width=2, dashes=(5, 2)), "rate")
    beyond = at > box[0] + box[2] / 2
    axes.text(rate[1], (at, head - 27), RATE, "end" if beyond else "start", bold=True)
    for top, (title, spreads) in zip(tops, rows, strict=True):
        axes.line([(box[0], top), (box[0] + box[2], top)], Stroke(colour=LINE))
        axes.text(shorten(title, 56, placeholder=" …"), (box[0], top + 17), INK)
        for number, spread in enumerate(spreads):
            _draw_spread(axes, spread, top + 28 + lane * number, number, caption.name)
    return inlined(axes.marks, (width, height), caption)


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
    days = first if first < last else last - 1, last
    dotted = [line.number for _, lines in bands for line in lines if line.dots]
    top, marks = head, [_shapes(dotted, caption.name)] if dotted else []
    for count, (words, lines) in enumerate(bands, 1):
        tall = part if count == len(bands) else 2 * part
        limits = _limits([amount for line in lines for amount in line.amounts])
        axes = Axes(box=(58.0, top, width - 70.0, tall), across=days, up=limits, marks=marks)
        axes.label_up(3 if count == len(bands) else 4, axis_words)
        axes.text(words, (58.0, top - 7), SOFT)
        for line in lines:
            _draw_steps(axes, line, last, caption.name)
        if count == len(bands):
            axes.label_days(span, axis_words)
        top += tall + gap
    return inlined(marks, (width, height), caption)


def plot_pairs(
    series: Sequence[Sequence[tuple[float, float]]], words: tuple[str, str], axis_words: AxisWords, caption: Caption
) -> Markup:
    """Draw what was calculated (across) against what was measured (up), with the line on which both agree.

    ``words`` name the two. Each series has marks of its own; both scales are the same and begin at zero.
    """
    side, left, foot, head = 236.0, 62.0, 46.0, 24.0
    size = left + side + 14.0, foot + side + head
    most = max((amount for pairs in series for pair in pairs for amount in pair), default=0.0) * 1.08 or 1.0
    axes = Axes(box=(left, head, side, side), across=(0, most), up=(0, most))
    axes.marks.append(_shapes(range(len(series)), caption.name))
    axes.label_across(4, axis_words)
    axes.label_up(4, axis_words)
    corners = [(left, head + side), (left + side, head)]
    axes.line(corners, Stroke(colour=RATE, width=1.6, dashes=(5, 2)), "agree")
    axes.text(words[0], (left + side, head + side + 36), SOFT, "end")
    axes.text(words[1], (left, head - 9), SOFT)
    for number, pairs in enumerate(series):
        if pairs:
            axes.group(_marks(map(axes.place, pairs), number, caption.name), f"series-{number}")
    return inlined(axes.marks, size, caption)


def plot_counts(rows: Sequence[tuple[str, str, Sequence[float]]], axis_words: AxisWords, caption: Caption) -> Markup:
    """Draw a name with its words for each row, and under it a bar for each series, from zero."""
    width, foot, thick = 400.0, 26.0, 11.0
    row = 32.0 + thick * max((len(amounts) for _, _, amounts in rows), default=1)
    height = foot + row * len(rows)
    ends = [amount for _, _, amounts in rows for amount in amounts]
    limits = min(0.0, *ends) * 1.04, max(0.0, *ends) * 1.04 or 1.0
    left, wide = 24.0, width - 52.0
    axes = Axes(box=(left, 0.0, wide, height - foot), across=limits, up=(0, 1))
    axes.label_across(5, axis_words)
    for count, (name, words, amounts) in enumerate(rows):
        line = row * count + 13
        axes.text(shorten(name, 40, placeholder=" …"), (left, line), INK)
        axes.text(words, (left + wide, line), SOFT, "end")
        for number, amount in enumerate(amounts):
            if amount:
                top = row * count + 18 + thick * number
                axes.bar(amount, top, thick - 2, _paint(number), f"series-{number}")
    return inlined(axes.marks, (width, height), caption)


def bar_key(number: int) -> Markup:
    """Draw a piece of a bar, to stand beside its name."""
    axes = Axes(box=(2, 0, 24, 14), across=(0, 24), up=(0, 14))
    axes.bar(24, 2, 10, _paint(number), "")
    return inlined(axes.marks, (28, 14), f"bar-{number}")


def mark_key(number: int) -> Markup:
    """Draw the mark of a series, to stand beside its name."""
    axes = Axes(box=(0, 0, 28, 14), across=(0, 28), up=(0, 14))
    axes.marks.append(_shapes([number], f"mark-{number}"))
    _draw_spread(axes, Spread(low=3, middle=14, high=25), 7, number, f"mark-{number}")
    return inlined(axes.marks, (28, 14), f"mark-{number}")


def line_key(number: int) -> Markup:
    """Draw a piece of a line over time, to stand beside its name."""
    axes = Axes(box=(0, 0, 40, 14), across=(0, 40), up=(0, 14))
    axes.line([(2, 7), (38, 7)], _stroke(number))
    return inlined(axes.marks, (40, 14), f"line-{number}")


def _limits(amounts: Sequence[float]) -> tuple[float, float]:
    low, high = min(amounts), max(amounts)
    least = high / 12 or 1.0
    spare = max((high - low) * 0.12, (least - (high - low)) / 2)
    return low - spare, high + spare


def _draw_steps(axes: Axes, line: Steps, last: float, plot: str) -> None:
    xs = [axes.x(day.toordinal()) for day in line.days]
    ys = [axes.y(amount) for amount in line.amounts]
    # From each day on, until the next.
    ends = [*xs[1:], axes.x(last)]
    corners = [corner for x, end, y in zip(xs, ends, ys, strict=True) for corner in ((x, y), (end, y))]
    axes.line([*corners, corners[-1]], _stroke(line.number), line.name)
    dots = [(x, y) for x, y, day in zip(xs, ys, line.days, strict=True) if day in line.dots]
    if dots:
        axes.group(_marks(dots, line.number, plot), f"{line.name}-dots")


def _draw_spread(axes: Axes, spread: Spread, height: float, number: int, plot: str) -> None:
    ends = [(axes.x(amount), height) for amount in (spread.low, spread.high)]
    axes.line(ends, Stroke(colour=_hue(number), width=1.6))
    axes.group(_marks([(axes.x(spread.middle), height)], number, plot), f"series-{number}")


def _shapes(numbers: Iterable[int], plot: str) -> Markup:
    """Say how the marks of some series look in a plot of a name."""
    marks = Markup('<path id="{}-{}" d="{}" style="fill: {}; stroke: {}"/>')
    shapes = (marks.format(plot, number, MARKS[max(0, number) % len(MARKS)], _hue(number), PAGE) for number in numbers)
    return Markup("<defs>{}</defs>").format(Markup().join(shapes))


def _marks(places: Iterable[Place], number: int, plot: str) -> Iterator[Markup]:
    for x, y in places:
        yield Markup('<use x="{}" y="{}" href="#{}-{}"/>').format(digits(x), digits(y), plot, number)


def _hue(number: int) -> str:
    return INK if number == COST else HUES[number % len(HUES)]


def _paint(number: int) -> tuple[str, str]:
    hue = _hue(number)
    return (hue if number else PAGE), hue


def _stroke(number: int) -> Stroke:
    if number == COST:
        return Stroke(colour=INK, width=3)
    return Stroke(colour=_hue(number), width=1.8, dashes=_DASHES[number % len(_DASHES)])
