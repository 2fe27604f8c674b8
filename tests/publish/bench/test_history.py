"""What a variant cost and sold for on an earlier day is what a build of that day gives."""

from __future__ import annotations

import os
import subprocess
import sys
from datetime import date
from decimal import Decimal
from itertools import pairwise
from pathlib import Path

import pytest

from catalog_builder.build import calculate
from catalog_builder.pricing.calculation import VariantCalculation
from catalog_builder.publish.bench import history as history_page
from catalog_builder.publish.bench.history import Panels, write_history
from catalog_builder.publish.bench.price_history import days, history, kin_of, moves
from catalog_builder.publish.studio_calculation import quiet
from catalog_builder.records.content import Content, read_content
from tests import book, studio
from tests.publish.bench.test_earnings import pounds
from tests.publish.bench.writing import bench_folder, plots_in, writer_of
from tests.publish.demo import DAY, ROOT, Demo, lay_out, reworded
from tests.publish.page import read_page, text_of
from tests.publish.plotted import plots_of, strays

PRODUCTS = ("moon-over-the-hills", "quay-lantern")
# A price of the book in the middle of the demo's dates, and one that comes into force after the day.
VARIANT = "quay-lantern--small--copper--riding"
BOOKED, LATER = date(2026, 4, 15), date(2027, 1, 1)


@pytest.fixture(scope="module")
def kept(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Two of the demo's products, and a price book with a price of one of them."""
    root = lay_out(tmp_path_factory.mktemp("history") / "studio", *PRODUCTS)
    return book.by_hand(root, f"{BOOKED},{VARIANT},online,57.00", f"{LATER},{VARIANT},online,61.00")


def written(root: Path, content: Content, calculations: list[VariantCalculation]) -> bytes:
    """The page as it is written for a studio."""
    folder, plots = bench_folder(root / "site_output"), plots_in(root)
    write_history(Panels.of(content.price_records, calculations, writer_of(content).theme, plots.store), plots, folder)
    return (folder.making / "history.html").read_bytes()


def figures(page: bytes) -> dict[str, list[list[str]]]:
    """The rows of figures of each design."""
    bodies = read_page(page).select('[aria-labelledby="figures"] tbody')
    return {
        text_of(body.select("tr.group")[0]): [
            [text_of(cell) for cell in row.select("th, td")] for row in body.select("tr:not(.group)")
        ]
        for body in bodies
    }


def test_every_day_is_that_days_build(kept: Path) -> None:
    """On each day, cost and prices of every variant are those of a whole build as of that day, book or none."""
    now = calculate(kept, DAY, quiet)
    pasts = {
        one.offer.sku: {past.day: past for past in history(now.content.price_records, kin_of(now.calculations, one))}
        for one in now.calculations
    }
    assert set(days(now.content.price_records)) >= {date(2025, 9, 1), date(2026, 3, 1), BOOKED, date(2026, 11, 1), DAY}
    for day in days(now.content.price_records):
        then = calculate(kept, day, quiet)
        built = {
            one.offer.sku: (one.cost.total, {name: price.printed for name, price in one.prices.items()})
            for one in then.calculations
        }
        assert {sku: (past[day].cost, dict(past[day].prices)) for sku, past in pasts.items()} == built, day
    costs = {past.cost for past in pasts[VARIANT].values()}
    assert len(costs) > 3


def test_book_takes_over_on_its_day(kept: Path) -> None:
    """Before a price's row in the book its channel's rule gives it; from that day on the book does."""
    now = calculate(kept, DAY, quiet)
    (one,) = [one for one in now.calculations if one.offer.sku == VARIANT]
    pasts = history(now.content.price_records, kin_of(now.calculations, one))
    assert {past.day for past in pasts if "online" in past.booked} == {past.day for past in pasts if past.day >= BOOKED}
    assert {past.prices["online"] for past in pasts if past.day >= BOOKED} == {Decimal("57.00")}
    assert [past.day for past in pasts if "online" in past.written] == [BOOKED]
    assert all(past.prices["online"] != Decimal("57.00") for past in pasts if past.day < BOOKED)


def test_days_end_with_the_builds_own(kept: Path) -> None:
    """Days are those of the material prices and the book, in order, none after the day of the build."""
    content = read_content(kept, date(2026, 4, 20))
    rows = (kept / "content" / "material_prices.csv").read_text(encoding="utf-8").splitlines()[1:]
    named = {date.fromisoformat(row.split(",")[1]) for row in rows}
    wanted = {day for day in named if day <= content.day} | {BOOKED, content.day}
    assert days(content.price_records) == tuple(sorted(wanted))


def test_design_begins_when_its_last_material_is_priced(tmp_path: Path) -> None:
    """A design whose glass had no price yet begins on the day of that glass's first price; another begins before."""
    other = studio.record(glass="{left: slate, right: slate}").replace("title: Pane", "title: Other")
    root = studio.project(tmp_path, {"pane": studio.record(), "other": other})
    reworded(root / "content" / "material_prices.csv", (f"reed,{studio.FIRST_DAY}", "reed,2031-02-03"))
    now = calculate(root, studio.DAY, quiet)
    begins = {
        one.product.slug: history(now.content.price_records, kin_of(now.calculations, one))[0].day
        for one in now.calculations
    }
    assert begins == {"pane": date(2031, 2, 3), "other": date.fromisoformat(studio.FIRST_DAY)}
    pane, late = plots_of(written(root, now.content, list(now.calculations)))[::-1]
    assert pane.lines("cost")[0][0][0] > late.lines("cost")[0][0][0]


def test_figures_end_with_what_is_published(demo: Demo) -> None:
    """The last row of each design is the cost and the prices of its first variant today."""
    rows = figures((demo.output / "bench" / "history.html").read_bytes())
    first = {one.product.keys.title: one for one in reversed(demo.calculations)}
    assert set(rows) == set(first)
    for title, one in first.items():
        today = [pounds(one.cost.total), *(pounds(price.printed) for price in one.prices.values())]
        assert rows[title][-1][1:-1] == today, title


def test_days_without_a_change_are_left_out(kept: Path) -> None:
    """No row of figures says the same as the row above it, and where prices come from is said in each."""
    now = calculate(kept, DAY, quiet)
    rows = figures(written(kept, now.content, list(now.calculations)))
    for each in rows.values():
        assert all(above[1:] != below[1:] for above, below in pairwise(each))
    assert {row[-1] for row in rows["Moon over the hills"]} == {"channel's rule"}
    assert next(row[0] for row in rows["Quay lantern"] if row[-1] == "book and rule") == "15 April 2026"


def test_plots_are_true_to_the_figures(kept: Path) -> None:
    """A line's corners lie on even scales of days and of amounts; a dot stands on each row of the book."""
    now = calculate(kept, DAY, quiet)
    first = {one.product.keys.title: one for one in reversed(now.calculations)}
    plots = {plot.title.split(":")[0]: plot for plot in plots_of(written(kept, now.content, list(now.calculations)))}
    assert set(plots) == set(first)
    for title, one in first.items():
        pasts = moves(history(now.content.price_records, kin_of(now.calculations, one)))
        prices: tuple[list[float], list[float]] = ([], [])
        for name in ("cost", *one.prices):
            (line,) = plots[title].lines(name)
            levels = [y for _, y in line[::2]]
            amounts = [float(past.cost if name == "cost" else past.prices[name]) for past in pasts]
            assert (
                strays([float(past.day.toordinal()) for past in pasts], [x for x, _ in line[::2]][: len(pasts)]) < 0.02
            )
            assert len(line) == 2 * len(pasts) + 1
            if name == "cost":
                assert strays(amounts, levels[: len(pasts)]) < 0.02
            else:
                prices[0].extend(amounts)
                prices[1].extend(levels[: len(pasts)])
        assert strays(*prices) < 0.02, title
    assert len(plots["Quay lantern"].marks("online-dots")) == 1
    assert plots["Moon over the hills"].marks("online-dots") == []


def test_plots_are_told_in_words(demo: Demo) -> None:
    """Each plot is an image with a title of its own, and says where cost and prices began and ended."""
    plots = plots_of((demo.output / "bench" / "history.html").read_bytes())
    assert [plot.title for plot in plots] == [
        f"{listing.title}: cost and prices over time" for listing in demo.calculated.listings
    ]
    first = {one.product.slug: one for one in reversed(demo.calculations)}
    for plot, listing in zip(plots, demo.calculated.listings, strict=True):
        assert plot.root.get("role") == "img"
        assert pounds(first[listing.slug].cost.total) in plot.words
        assert pounds(first[listing.slug].prices["online"].printed) in plot.words


def test_one_day_is_drawn(tmp_path: Path) -> None:
    """A studio whose prices are all of the build's own day has a plot with one level line, and one row of figures."""
    root = studio.project(tmp_path, {"pane": studio.record()})
    prices = root / "content" / "material_prices.csv"
    prices.write_text(
        prices.read_text(encoding="utf-8").replace(studio.FIRST_DAY, studio.DAY.isoformat()), encoding="utf-8"
    )
    now = calculate(root, studio.DAY, quiet)
    page = written(root, now.content, list(now.calculations))
    (plot,) = plots_of(page)
    assert len({y for _, y in plot.lines("cost")[0]}) == 1
    assert len(figures(page)["Pane"]) == 1


def test_same_bytes_under_another_seed(kept: Path, tmp_path: Path) -> None:
    """With another seed for the hash of texts, pages, plots and lists are the same, byte for byte."""
    names = ("earnings.html", "history.html", "cost_lines.csv", "cost_lines.xlsx")
    runs = []
    for seed in ("1", "2718"):
        command = [sys.executable, "-m", "catalog_builder", "publish", "--folder", str(kept), "--day", DAY.isoformat()]
        run = subprocess.run(
            command, cwd=ROOT, env={**os.environ, "PYTHONHASHSEED": seed}, stdout=subprocess.DEVNULL, check=False
        )
        assert run.returncode == 0
        runs.append({name: (kept / "site_output" / "bench" / name).read_bytes() for name in names})
    assert [name for name in names if runs[0][name] != runs[1][name]] == []
    now = calculate(kept, DAY, quiet)
    assert written(tmp_path, now.content, list(now.calculations)) == runs[0]["history.html"]


def test_many_designs_stand_on_pages_of_their_own(demo: Demo, monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """More designs than one page holds are cut into pages that lead to each other; none is lost, none told twice."""
    monkeypatch.setattr(history_page, "PANELS", 7)
    folder, plots = bench_folder(tmp_path), plots_in(tmp_path)
    calculated = demo.calculated
    panels = Panels.of(calculated.content.price_records, list(demo.calculations), calculated.theme, plots.store)
    write_history(panels, plots, folder)
    assert folder.names == ["history.html", "history-2.html", "history-3.html", "history-4.html"]
    pages = [(folder.making / name).read_bytes() for name in folder.names]
    told = [plot.title.split(": cost")[0] for page in pages for plot in plots_of(page)]
    assert told == [listing.title for listing in demo.calculated.listings]
    for number, page in enumerate(pages):
        links = [link.get("href") for link in read_page(page).select("nav.parts a")]
        assert links == [name for name in folder.names if name != folder.names[number]]
