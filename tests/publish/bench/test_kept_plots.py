"""A plot is drawn once for what it is handed, and anew for anything else."""

from __future__ import annotations

from pathlib import Path

from markupsafe import Markup

from catalog_builder.cache.store import Store
from catalog_builder.publish.bench.plots.kept_plots import KeptPlots
from catalog_builder.publish.bench.plots.plot import Spread


def test_a_plot_is_drawn_once(tmp_path: Path) -> None:
    """The same values take the plot from the store; another amount, or another function, draws it."""
    drawn: list[float] = []

    def first(spread: Spread) -> Markup:
        drawn.append(spread.high)
        return Markup("<svg><text>{}</text></svg>").format(spread.high)

    def second(spread: Spread) -> Markup:
        return first(spread)

    plots = KeptPlots(Store(tmp_path / "made"))
    spreads = [Spread(low=1.0, middle=2.0, high=high) for high in (3.0, 3.0, 4.0)]
    svgs = [plots.draw(first, spread) for spread in spreads]
    assert drawn == [3.0, 4.0]
    assert svgs[0] == svgs[1] == Markup("<svg><text>3.0</text></svg>")
    assert svgs[2] != svgs[0]
    plots.draw(second, spreads[0])
    assert drawn == [3.0, 4.0, 3.0]
