"""The figure of a plot: its size, its axes, its colours, and how it becomes SVG for a page.

matplotlib draws it; nothing else of the program calls it. A plot takes its font and its colours from the page's style
sheet, so that it turns dark with its page and prints in black. Lengths are in CSS pixels at natural size.
"""

from __future__ import annotations

import warnings
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from io import BytesIO
from typing import TYPE_CHECKING

from babel.dates import format_skeleton
from markupsafe import Markup

from catalog_builder.publish.bench.plots.inline_svg import Caption, inlined
from catalog_builder.publish.theme.wording import Wording

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

# Colours that no plot would use: each stands for one of the style sheet's own.
INK, SOFT, LINE, RATE, PAGE = "#010101", "#020202", "#030303", "#040404", "#050505"
HUES = ("#0a0001", "#0a0002", "#0a0003", "#0a0004", "#0a0005")
_NAMED = {INK: "var(--ink)", SOFT: "var(--soft)", LINE: "var(--line)", RATE: "var(--rate)", PAGE: "var(--page)"}
_NAMED |= {hue: f"var(--hue-{number})" for number, hue in enumerate(HUES, 1)}
# matplotlib counts 72 points to an inch; a point of its figure is a pixel of the page.
_POINTS = 72


@dataclass(frozen=True, slots=True, kw_only=True)
class AxisWords:
    """Words the amounts of an axis: as money, or as numbers with up to ``places`` digits; and its days."""

    wording: Wording
    places: int | None = None

    def amount(self, amount: float) -> str:
        """Give an amount in words."""
        exact = Decimal(str(amount))
        return self.wording.money(exact) if self.places is None else self.wording.number(exact, self.places)

    def day(self, day: date) -> str:
        """Give a day in words, the first of a month as the month alone."""
        skeleton = "yMMM" if day.day == 1 else "yMMMd"
        return str(format_skeleton(skeleton, day, locale=self.wording.locale))


def label_amounts(axes: Axes, side: str, most: int, axis_words: AxisWords) -> None:
    """Put up to so many amounts with grid lines along the axis ``x`` or ``y``."""
    from matplotlib.ticker import FuncFormatter, MaxNLocator

    axis = axes.xaxis if side == "x" else axes.yaxis
    axis.set_major_locator(MaxNLocator(nbins=most, steps=[1, 2, 2.5, 5, 10]))
    axis.set_major_formatter(FuncFormatter(lambda amount, _: axis_words.amount(round(amount, 6))))
    axis.grid(True, color=LINE, linewidth=1)


def label_days(axes: Axes, span: Sequence[date], axis_words: AxisWords) -> None:
    """Put beginnings of months along the axis ``x``."""
    days = _ticks(*span)
    axes.set_xticks([day.toordinal() for day in days], [axis_words.day(day) for day in days])
    axes.tick_params(axis="x", pad=9)


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
def open_figure(width: float, height: float, name: str) -> Iterator[Figure]:
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


def add_axes(figure: Figure, box: tuple[float, float, float, float], size: tuple[float, float]) -> Axes:
    """Put axes into a box (left, bottom, width, height) of a figure of a size (width, height)."""
    axes = figure.add_axes((box[0] / size[0], box[1] / size[1], box[2] / size[0], box[3] / size[1]))
    axes.spines[:].set_visible(False)
    axes.tick_params(length=0)
    axes.patch.set_visible(False)
    figure.patch.set_visible(False)
    return axes


def figure_svg(figure: Figure, caption: Caption | str) -> Markup:
    """Give a figure as SVG for a page, with its caption; a mere name makes it a mark beside words."""
    data = BytesIO()
    with warnings.catch_warnings():
        # A title may hold letters that matplotlib's own font lacks; the page's fonts will draw them.
        warnings.filterwarnings("ignore", "Glyph .* missing", UserWarning)
        figure.savefig(data, format="svg", metadata=dict.fromkeys(("Creator", "Date", "Format", "Type")))
    return inlined(data.getvalue(), caption, _NAMED)
