"""The page on rates says what was learned, and draws each batch where it was reckoned and timed."""

from __future__ import annotations

import pytest

from catalog_builder.planning.estimated_rates import EstimatedRates, estimate_rates
from tests.publish.demo import Demo
from tests.publish.page import read_page, text_of
from tests.publish.plotted import plots_of, strays


def estimated(demo: Demo) -> EstimatedRates:
    """The rates that the demo's log gives."""
    content = demo.calculated.content
    return estimate_rates(content.studio, content.materials.rows, content.log, demo.calculations)


def test_each_step_of_the_log_has_its_rates_and_picture(demo: Demo) -> None:
    """A table row for each rate as it stands and as it would be used, and a mark for each batch in each series."""
    path = demo.output / "bench" / "rates.html"
    page = read_page(path)
    studies = estimated(demo).studies
    sections = page.select("section.study")
    plots = plots_of(path.read_bytes())
    assert len(studies) == len(sections) == len(plots) > 10
    for study, section, plot in zip(studies, sections, plots, strict=True):
        rows = [[text_of(cell) for cell in row.select("td")] for row in section.select("tbody tr")]
        assert [row[0] for row in rows] == [f"{rate.now:f}" for rate in study.rates]
        for rate, row in zip(study.rates, rows, strict=True):
            new = "–" if rate.new is None else str(rate.new)
            assert row[2].partition(" ± ")[0] == new
        marks = plot.marks("series-0")
        assert len(marks) == len(study.batches)
        if len(marks) > 2:
            assert strays([*study.expected, *study.expected], [x for x, _ in marks] * 2) < 0.1
            assert strays(list(study.taken), [y for _, y in marks]) < 0.1


def test_the_demo_shows_every_way(demo: Demo) -> None:
    """The demo's log settles some steps, moves some by a factor and is too short for one, and says so in words."""
    studies = {study.name: study for study in estimated(demo).studies}
    assert {study.way for study in studies.values()} == {"apart", "together", "few"}
    words = text_of(read_page(demo.output / "bench" / "rates.html"))
    for sentence in ("Each rate is settled by itself.", "So all rates are moved together", "Too few to say anything"):
        assert sentence in words


def test_a_batch_made_again_foretells_the_next(demo: Demo) -> None:
    """The noon sun was made three times; Wright's curve through its batches gives the minutes of as many more."""
    (found,) = estimated(demo).repeated
    made, minutes = sum(found.counts), sum(found.minutes)
    # By hand: the mean of all after the next batch, times their count, less what the curve says of those made so far.
    first, power = found.curve.first, found.curve.share
    assert 0.9 < power < 1
    assert found.curve.of(0, made) == pytest.approx(minutes, rel=0.05)
    assert first > minutes / made
    words = text_of(read_page(demo.output / "bench" / "rates.html"))
    assert f"{found.counts[-1]} more would take about {found.curve.of(made, found.counts[-1]):.0f} min" in words


def test_the_bench_leads_to_the_papers_that_are_there(demo: Demo) -> None:
    """The list of all names rates, takings and the next market's papers, and each link leads to a file."""
    page = read_page(demo.output / "bench" / "index.html")
    hrefs = [str(link.get("href")) for link in page.select(".papers a")]
    for wanted in ("rates.html", "takings.html", "markets/quay-december/papers.html"):
        assert wanted in hrefs
        assert (demo.output / "bench" / wanted).is_file()
