"""When the bench log changes a rate: not for small changes, doubtful rates or measures in step; and what is lost."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path

import numpy as np
import pytest

from catalog_builder.planning.estimated_rates import Rate, Study, estimate_rates
from catalog_builder.planning.takings import takings_of
from catalog_builder.records.content import Content, read_content
from tests import studio
from tests.bench_log import BATCHES, laid, measured, timed

CUT = {"steps.cut": 'title = "Cut"\nbatch = 1\npiece = 2'}
PIECES = {name: 2 * sum(sizes.values()) for name, sizes in BATCHES.items()}


def only_study(content: Content) -> Study:
    """What the log teaches of the one step, or of the solder."""
    (found,) = estimate_rates(content.studio, content.materials.rows, content.log, studio.calculations(content)).studies
    return found


@pytest.mark.parametrize(("used", "changes"), [(2.01, []), (1.99, []), (2.02, ["piece"]), (1.98, ["piece"])])
def test_less_than_six_parts_in_a_thousand_is_no_change(used: float, changes: list[str]) -> None:
    """Rates are written in three digits, which round by up to a two-hundredth: 2.01 for 2 says nothing new."""
    study = Study("cut", ("steps", "cut"), "Cut", (Rate("piece", Decimal(2), used=used),), (), ())
    assert list(study.changes) == changes


def by_hand(content: Content) -> tuple[float, float]:
    """The set-up's rate and its standard error, by the textbook's formulas for a line through measured minutes.

    b = Sxy / Sxx, a = mean y - b mean x, s(a)^2 = s^2 (1/n + mean x^2 / Sxx), with x the pieces and y the minutes.
    """
    x = np.array([float(PIECES[timing.batch]) for timing in content.log.timings])
    y = np.array([float(timing.minutes) for timing in content.log.timings])
    spread = ((x - x.mean()) ** 2).sum()
    slope = ((x - x.mean()) * (y - y.mean())).sum() / spread
    first = y.mean() - slope * x.mean()
    left = y - first - slope * x
    variance = (left @ left) / (len(x) - 2) * (1 / len(x) + x.mean() ** 2 / spread)
    return float(first), float(np.sqrt(variance))


@pytest.mark.parametrize(("stray", "settled"), [(1.0, True), (4.5, True), (5.2, False), (6.5, False), (9.0, False)])
def test_a_rate_is_settled_once_its_error_is_half_of_it(tmp_path: Path, stray: float, settled: bool) -> None:
    """Minutes that stray from 10 a set-up and 3 a piece leave the set-up open once its error is over half of it."""
    ways = (1, -1, 1, 1, -1, -1, -1, 1)
    rows = [
        f"{name},cut,{10 + 3 * pieces + stray * way:.4f},"
        for (name, pieces), way in zip(PIECES.items(), ways, strict=True)
    ]
    content = timed(laid(tmp_path, CUT), rows)
    study, (first, error) = only_study(content), by_hand(content)
    assert study.rates[0].fitted == pytest.approx(first)
    assert study.rates[0].fitted_error == pytest.approx(error)
    assert (error <= 0.5 * first) is settled
    assert study.open == (() if settled else ("batch",))
    assert study.way == ("apart" if settled else "together")


@pytest.mark.parametrize(("off", "apart"), [(6, False), (120, True)])
def test_set_ups_in_step_with_pieces_are_not_told_apart(tmp_path: Path, off: int, apart: bool) -> None:
    """Set-ups that go with pieces to two parts in a hundred have a condition of about a hundred: over 30 is too much.

    The condition is that of columns of equal length, by numpy's singular values (Belsley, Kuh and Welsch, M).
    """
    set_ups = {
        name: 20 * pieces + off * (1 if place % 2 else -1) * (1 if pieces > 10 else 0)
        for place, (name, pieces) in enumerate(PIECES.items())
    }
    columns = np.array([list(set_ups.values()), list(PIECES.values())], dtype=float)
    singular = np.linalg.svd(columns / np.linalg.norm(columns, axis=1)[:, None], compute_uv=False)
    assert (singular[0] / singular[-1] > 30) is not apart
    assert singular[0] / singular[-1] < 300
    rows = [f"{name},cut,{set_ups[name] + 2 * PIECES[name]},{set_ups[name]}" for name in BATCHES]
    assert only_study(timed(laid(tmp_path, CUT), rows)).way == ("apart" if apart else "together")


def spooled(root: Path, loss: str, more: float) -> Study:
    """What spools teach that lost ``more`` times a metre's 60 g of seam and 30 g of rim, with a loss in percent."""
    project = laid(root)
    table = project / "content" / "materials.csv"
    head, *rows = table.read_text(encoding="utf-8").splitlines()
    rows = [f"{row},{loss if row.startswith('solder,') else ''}" for row in rows]
    table.write_text("\n".join([f"{head},loss_percent", *rows, ""]), encoding="utf-8")

    def grams(name: str) -> float:
        seam = measured(project, name, lambda variant: float(variant.measures.seam_m))
        rim = measured(project, name, lambda variant: float(variant.measures.rim_m))
        return 60 * seam + 30 * rim + measured(project, name, lambda variant: variant.suspension.body.share("joints"))

    spools = "".join(f"{name},900,{900 - more * grams(name):.9f}\n" for name in BATCHES)
    (project / "content" / "spools.csv").write_text(f"batch,before_g,after_g\n{spools}", encoding="utf-8")
    return only_study(read_content(project, studio.DAY))


def test_what_drips_is_no_part_of_the_bead(tmp_path: Path) -> None:
    """With a loss of 10 % a spool gives 1.1 g for each gram on the piece: the bead's grams a metre stay the same."""
    plain, dripped = spooled(tmp_path / "plain", "0", 1.0), spooled(tmp_path / "dripped", "10", 1.1)
    assert [rate.used for rate in dripped.rates] == pytest.approx([rate.used for rate in plain.rates], rel=1e-6)
    assert dripped.taken == pytest.approx(plain.taken)


def test_each_piece_sold_bears_its_tax(tmp_path: Path) -> None:
    """Three panes at 60 with 20 % included hold 30 of tax: 10 each."""
    stall = 'title = "Stall"\nshown_on = "stall"\nmarkup_percent = 50\ntax_percent = 20\ntax = "included"'
    project = studio.project(tmp_path, {"pane": studio.record()}, {"channels.stall": stall})
    with (project / "content" / "studio.toml").open("a", encoding="utf-8") as file:
        file.write(
            '\n[[markets]]\nname = "Fair"\nplace = "The ramp"\ndate = 2031-05-03\nhours = "noon"\ncode = "fair"\n'
        )
    sales = "market,product,finish,count,price\nfair,pane,bright,3,60\n"
    (project / "content" / "sales.csv").write_text(sales, encoding="utf-8")
    content = read_content(project, studio.DAY)
    (market,) = takings_of(content.studio, content.market_book, studio.calculations(content)).markets
    assert (market.takings, market.tax) == (Decimal(180), Decimal(30))
    assert market.left == 150
