"""How soon the demo's pages stand on a slow phone and line: Lighthouse's score for performance."""

from __future__ import annotations

import statistics
from collections.abc import Iterator
from pathlib import Path

import click

from tests.benchmark.figure import Figure
from tests.browser.checkers import hold_checkers
from tests.browser.chromium import executable
from tests.browser.host import serving
from tests.browser.kinds import CATALOGUE
from tests.browser.scores import LEAST, PAGES, scores_of
from tests.publish.demo import build_in, lay_out, pictured

RUNS = 3


def figures(folder: Path) -> Iterator[Figure]:
    """Score each kind of page some times, and take the middle; ``folder`` is one that nothing stands in."""
    try:
        executable()
        hold_checkers()
    except LookupError as fault:
        raise click.ClickException(str(fault)) from fault
    demo = build_in(pictured(lay_out(folder / "studio")))
    with serving(demo.output / "catalogue") as host:
        for kind in PAGES:
            address = host + CATALOGUE[kind].removeprefix("catalogue/")
            runs = [scores_of(address, ("performance",), folder / f"{kind}{run}")[0] for run in range(RUNS)]
            score = statistics.median(scores["performance"] for scores in runs)
            name = f"points of 100 that the page '{kind}' loses for speed on a phone"
            yield Figure(name, 100 - score, "those that it may lose", 100 - LEAST, "points", 1.0)
