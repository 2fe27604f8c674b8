"""What the log teaches: rates that made it are found again, and what it cannot tell is said."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path

import pytest

from catalog_builder.build import calculate
from catalog_builder.planning.estimated_rates import EstimatedRates, Study, estimate_rates, places
from catalog_builder.publish.studio_calculation import quiet
from catalog_builder.records.content import Content, read_content
from tests import studio
from tests.bench_log import BATCHES, laid, measured, timed

CUT = {"steps.cut": 'title = "Cut"\nbatch = 10\npiece = 2\nedge_m = 0'}


def learned(content: Content) -> EstimatedRates:
    """What a content's log teaches."""
    return estimate_rates(content.studio, content.materials.rows, content.log, studio.calculations(content))


def study(content: Content, name: str) -> Study:
    """What it teaches of one step."""
    (chosen,) = (each for each in learned(content).studies if each.name == name)
    return chosen


def minutes(project: Path, batch: str, rates: tuple[float, float, float], set_ups: int = 1) -> float:
    """The minutes of a batch by rates for each set-up, each piece and each metre of edge."""
    pieces = measured(project, batch, lambda variant: float(variant.measures.piece))
    edge = measured(project, batch, lambda variant: float(variant.measures.edge_m))
    return rates[0] * set_ups + rates[1] * pieces + rates[2] * edge


def test_rates_that_made_the_log_are_found_again(tmp_path: Path) -> None:
    """Eight batches that took just what rates say give those rates back, set-ups counted as they were logged."""
    project = laid(tmp_path, CUT)
    rates = (22.0, 1.25, 3.5)
    set_ups = {name: 1 + place % 3 for place, name in enumerate(BATCHES)}
    rows = [f"{name},cut,{minutes(project, name, rates, set_ups[name]):.9f},{set_ups[name]}" for name in BATCHES]
    cut = study(timed(project, rows), "cut")
    assert cut.way == "apart"
    assert [rate.fitted for rate in cut.rates] == pytest.approx(rates, rel=1e-6)
    assert cut.expected == pytest.approx(cut.taken)
    assert cut.explained == pytest.approx(1)
    assert {key: float(value) for key, value in cut.changes.items()} == {"batch": 22, "piece": 1.25, "edge_m": 3.5}


def test_only_rates_that_the_step_names_are_fitted(tmp_path: Path) -> None:
    """A rate that stands as nothing is asked of the log; one that does not stand is not."""
    project = laid(tmp_path, {"steps.cut": 'title = "Cut"\npiece = 2\ndm2 = 0'})
    cut = study(timed(project, [f"{name},cut,30," for name in BATCHES]), "cut")
    assert [rate.key for rate in cut.rates] == ["piece", "dm2"]


def test_rates_in_step_are_moved_by_one_factor(tmp_path: Path) -> None:
    """A pane has two pieces whatever its size, so that items and pieces cannot be told apart: both move together."""
    project = laid(tmp_path, {"steps.cut": 'title = "Cut"\nitem = 4\npiece = 2'})
    count = {name: sum(made.values()) for name, made in BATCHES.items()}
    cut = study(timed(project, [f"{name},cut,{count[name] * 8 * 1.25}," for name in BATCHES]), "cut")
    assert (cut.way, cut.open) == ("together", ("item", "piece"))
    assert [rate.used for rate in cut.rates] == pytest.approx([5, 2.5])
    assert [rate.fitted for rate in cut.rates] == [None, None]
    assert cut.expected == pytest.approx(cut.taken)


@pytest.mark.parametrize(
    ("count", "way", "wanted"), [(1, "few", 5), (4, "together", 2), (5, "together", 1), (6, "apart", 0)]
)
def test_three_rates_need_six_timings(tmp_path: Path, count: int, way: str, wanted: int) -> None:
    """Three rates are told apart from three timings more than there are rates: six settle them, fewer say how many."""
    project = laid(tmp_path, CUT)
    names = list(BATCHES)[:count]
    study_of_cut = study(timed(project, [f"{name},cut,{minutes(project, name, (22, 1.25, 3.5), 1 + place % 3):.9f},"
                                         f"{1 + place % 3}" for place, name in enumerate(names)]), "cut")  # fmt: skip
    assert (study_of_cut.way, study_of_cut.more_batches) == (way, wanted)
    assert bool(study_of_cut.changes) is (count > 1)


def test_a_loose_rate_is_open(tmp_path: Path) -> None:
    """Where the clock strays by more than a set-up takes, the set-up is not settled, and all rates move together."""
    project = laid(tmp_path, {"steps.cut": 'title = "Cut"\nbatch = 1\npiece = 2'})
    stray = (14, -11, 9, -16, 12, -8, 15, -13)
    rows = [
        f"{name},cut,{minutes(project, name, (1, 3, 0)) + more:.3f}," for name, more in zip(BATCHES, stray, strict=True)
    ]
    cut = study(timed(project, rows), "cut")
    assert (cut.way, cut.open) == ("together", ("batch",))
    assert cut.more_batches > 0
    factors = {float(rate.used or 0) / float(rate.now) for rate in cut.rates}
    assert max(factors) == pytest.approx(min(factors))
    assert 1.3 < max(factors) < 1.6


def test_days_of_a_step_are_added_up(tmp_path: Path) -> None:
    """A step that went on the next day is one timing: minutes and set-ups of both days."""
    project = laid(tmp_path, CUT)
    log = project / "content" / "bench_log.csv"
    log.write_text("date,batch,step,minutes\n2031-03-02,b1,cut,15\n2031-03-01,b1,cut,40\n", encoding="utf-8")
    (timing,) = read_content(project, studio.DAY).log.timings
    assert (timing.minutes, timing.set_ups) == (Decimal(55), 2)


def test_a_finishs_step_counts_its_own_pieces(tmp_path: Path) -> None:
    """Polishing of one finish is set against the pieces that have it, and the general step against the rest."""
    tables = {
        "finishes.matt": 'title = "Matt"',
        "finishes.matt.steps.cut": 'title = "Cut for matt"\nitem = 3',
        "steps.cut": 'title = "Cut"\nitem = 2',
    }
    text = studio.record().replace("finishes: [bright]", "finishes: [bright, matt]")
    project = studio.project(tmp_path, {"pane": text}, tables)
    rows = "".join(f"b{n},pane,bright,{n}\nb{n},pane,matt,{6 - n}\n" for n in (1, 2, 3, 4))
    (project / "content" / "bench_made.csv").write_text(f"batch,product,finish,count\n{rows}", encoding="utf-8")
    rows_timed = [row for n in (1, 2, 3, 4) for row in (f"b{n},cut,{5 * n},", f"b{n},matt.cut,{7 * (6 - n)},")]
    content = timed(project, rows_timed)
    for name, minutes_each in (("cut", 5.0), ("matt.cut", 7.0)):
        assert [rate.used for rate in study(content, name).rates] == pytest.approx([minutes_each])


def test_weighed_spools_give_grams_a_metre(tmp_path: Path) -> None:
    """Spools that lost 70 g a metre of seam and 25 g a metre of rim, joints besides, give both back."""
    project = laid(tmp_path)

    def grams(name: str) -> float:
        seam = measured(project, name, lambda variant: float(variant.measures.seam_m))
        rim = measured(project, name, lambda variant: float(variant.measures.rim_m))
        return 70 * seam + 25 * rim + measured(project, name, lambda variant: variant.suspension.body.share("joints"))

    rows = "".join(f"{name},900,{900 - grams(name):.9f}\n" for name in BATCHES)
    (project / "content" / "spools.csv").write_text(f"batch,before_g,after_g\n{rows}", encoding="utf-8")
    spools = study(read_content(project, studio.DAY), "spools")
    # Seam and rim of one shape of pane grow with its size together: nobody can part them.
    assert spools.way == "together"
    assert len(spools.taken) == len(BATCHES)
    upright = '<line x1="20" y1="0" x2="20" y2="60"/><line x1="35" y1="0" x2="35" y2="60"/>'
    marks = '<text x="28" y="30" data-glass="left">3</text>'
    other = studio.record(
        studio.PANE.replace('x="25" y="30"', 'x="10" y="30"') + upright + marks
        + '<text x="42" y="30" data-glass="left">4</text>' + studio.PANE_RING
    ).replace("title: Pane", "title: Rack")  # fmt: skip
    path = project / "content" / "products" / "rack" / "product.md"
    path.parent.mkdir()
    path.write_text(other, encoding="utf-8")
    with (project / "content" / "bench_made.csv").open("a", encoding="utf-8") as file:
        file.write("r1,rack,,4\nr2,rack,,9\n")
    variant = next(each for each in calculate(project, studio.DAY, quiet).calculations if each.product.slug == "rack")
    each = (
        70 * float(variant.measures.seam_m)
        + 25 * float(variant.measures.rim_m)
        + variant.suspension.body.share("joints")
    )
    with (project / "content" / "spools.csv").open("a", encoding="utf-8") as file:
        file.write(f"r1,900,{900 - 4 * each:.9f}\nr2,900,{900 - 9 * each:.9f}\n")
    content = read_content(project, studio.DAY)
    calculations = calculate(project, studio.DAY, quiet).calculations
    (spools,) = estimate_rates(content.studio, content.materials.rows, content.log, calculations).studies
    assert spools.way == "apart"
    assert [rate.used for rate in spools.rates] == pytest.approx([70, 25], rel=1e-6)


def test_spools_of_another_solder_are_left_out(tmp_path: Path) -> None:
    """A design with a solder of its own says nothing of the studio's."""
    more = {"tin": {"kind": "solder", "pack_size": "500", "pack_unit": "g", "alloy": "Sn99.3Cu0.7"}}
    project = studio.project(tmp_path, {"pane": studio.record(keys="solder: tin")}, materials=more)
    (project / "content" / "bench_made.csv").write_text("batch,product,count\nb1,pane,4\n", encoding="utf-8")
    (project / "content" / "spools.csv").write_text("batch,before_g,after_g\nb1,500,400\n", encoding="utf-8")
    assert learned(read_content(project, studio.DAY)).studies == ()


def test_a_variant_made_again_shows_its_curve(tmp_path: Path) -> None:
    """Three batches of 1, 1 and 2 that took 100, 60 and 96 minutes lie on Wright's curve at 80 %."""
    project = laid(tmp_path, batches={"b1": {"small": 1}, "b2": {"small": 1}, "b3": {"small": 2}, "b4": {"large": 2}})
    content = timed(project, ["b1,cut,100,", "b2,cut,60,", "b3,cut,96,", "b4,cut,50,"])
    (repeated,) = learned(content).repeated
    assert (repeated.variant.size, repeated.counts) == ("small", (1, 1, 2))
    assert (repeated.curve.first, repeated.curve.share) == pytest.approx((100, 0.8))


def test_without_a_log_nothing_is_learned(tmp_path: Path) -> None:
    """A studio that timed nothing has no rates to use."""
    rates = learned(studio.content(tmp_path))
    assert (rates.studies, rates.repeated) == ((), ())


@pytest.mark.parametrize(("amount", "digits"), [(152.3, 0), (25.23, 1), (6.93, 2), (0.266, 3), (0.0123, 4), (0.0, 2)])
def test_three_digits_count(amount: float, digits: int) -> None:
    """A rate is written with three digits that count: more is more than a clock can tell."""
    assert places(amount) == digits
