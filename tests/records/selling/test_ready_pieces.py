"""What lies ready: counted, made since and sold since, worked out by hand."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from catalog_builder.mistake import MistakeError
from catalog_builder.records.content import Content, read_content
from catalog_builder.records.selling.ready_pieces import ReadyPieces
from catalog_builder.records.variant import Variant
from tests import studio

BRIGHT, MATT = Variant("pane", "", "bright", "plain"), Variant("pane", "", "matt", "plain")
MARKET = (
    '[[markets]]\nname = "Ferry fair"\nplace = "The ramp"\ndate = 2031-05-03\nuntil = 2031-05-04\nhours = "noon"\n'
    'code = "ferry"\n'
)


def laid(root: Path, day: date = studio.DAY, **tables: str) -> Content:
    """A studio with a pane in two finishes, a market of two days, and tables by their names."""
    text = studio.record().replace("finishes: [bright]", "finishes: [bright, matt]")
    project = studio.project(root, {"pane": text}, {"finishes.matt": 'title = "Matt"'})
    path = project / "content" / "studio.toml"
    path.write_text(f"{path.read_text(encoding='utf-8')}\n{MARKET}", encoding="utf-8")
    for name, rows in tables.items():
        (project / "content" / f"{name}.csv").write_text(rows, encoding="utf-8")
    return read_content(project, day)


def ready(root: Path, day: date = studio.DAY, **tables: str) -> ReadyPieces:
    """What lies ready on a day by those tables."""
    return laid(root, day, **tables).ready


READY = "date,product,finish,count\n"
SALES = "market,date,product,finish,count,price\n"
MADE = "batch,product,finish,count,ready_on\n"


def test_five_counted_three_made_and_four_sold_leave_four(tmp_path: Path) -> None:
    """5 counted on 1 May; a batch of 3 on 2 May; 3 sold at the fair and 1 by mail on 10 May: 5 + 3 - 3 - 1 = 4."""
    found = ready(
        tmp_path,
        ready=f"{READY}2031-05-01,pane,bright,5\n",
        bench_made=f"{MADE}A,pane,bright,3,2031-05-02\n",
        sales=f"{SALES}ferry,,pane,bright,3,40\n,2031-05-10,pane,bright,1,42\n",
    )
    assert (found.counts, found.oversold) == ({BRIGHT: 4}, {})


def test_a_count_holds_all_that_was_on_its_day(tmp_path: Path) -> None:
    """What was made or sold up to the end of the day of the count is in it; an older count no longer stands."""
    found = ready(
        tmp_path,
        ready=f"{READY}2031-04-01,pane,bright,9\n2031-05-10,pane,bright,2\n",
        bench_made=f"{MADE}A,pane,bright,3,2031-05-10\n",
        sales=f"{SALES}ferry,,pane,bright,3,40\n,2031-05-10,pane,bright,1,42\n",
    )
    assert found.counts == {BRIGHT: 2}


@pytest.mark.parametrize(
    ("day", "count"), [(date(2031, 5, 2), 6), (date(2031, 5, 3), 5), (date(2031, 5, 9), 5), (date(2031, 5, 10), 1)]
)
def test_what_is_ahead_does_not_count_yet(tmp_path: Path, day: date, count: int) -> None:
    """Sales of a market count from its first day, those elsewhere on theirs; a count to come does not stand yet."""
    found = ready(
        tmp_path,
        day,
        ready=f"{READY}2031-05-01,pane,bright,6\n2031-05-12,pane,bright,30\n",
        sales=f"{SALES}ferry,,pane,bright,1,40\n,2031-05-10,pane,bright,4,42\n",
    )
    assert found.counts == {BRIGHT: count}


def test_a_first_batch_needs_no_count(tmp_path: Path) -> None:
    """A variant that was never counted begins with what lay ready of a batch; what nobody counted stays unknown."""
    found = ready(tmp_path, bench_made=f"{MADE}A,pane,matt,3,2031-05-02\nA,pane,bright,3,\n")
    assert found.counts == {MATT: 3}


def test_more_sold_than_lay_ready_is_told_and_leaves_none(tmp_path: Path) -> None:
    """Two counted and three sold is a slip of somebody's: none lies ready, and one too many is known."""
    found = ready(
        tmp_path,
        ready=f"{READY}2031-05-01,pane,bright,2\n",
        sales=f"{SALES},2031-05-10,pane,bright,3,42\n,2031-05-10,pane,matt,3,42\n",
    )
    assert (found.counts, found.oversold) == ({BRIGHT: 0}, {BRIGHT: 1})


def test_a_tally_and_a_list_may_hold_0(tmp_path: Path) -> None:
    """A row of 0 is read and counts for nothing."""
    content = laid(tmp_path, ready=f"{READY}2031-05-01,pane,bright,0\n", sales=f"{SALES}ferry,,pane,bright,0,40\n")
    (tmp_path / "content" / "markets").mkdir()
    rows = "product,finish,count\npane,bright,0\npane,matt,2\n"
    (tmp_path / "content" / "markets" / "ferry.csv").write_text(rows, encoding="utf-8")
    again = read_content(tmp_path, studio.DAY)
    assert (content.ready.counts, content.market_book.sales) == ({BRIGHT: 0}, ())
    assert [(line.variant, line.count) for line in again.market_book.lists["ferry"]] == [(MATT, 2)]


@pytest.mark.parametrize(
    ("tables", "told"),
    [
        ({"ready": f"{READY}2031-05-01,pane,bright,-1\n"}, "count"),
        ({"ready": f"{READY}2031-05-01,pane,,1\n"}, "the finish of 'pane' is left open"),
        ({"ready": f"{READY}2031-05-01,pane,matt,1\n2031-05-01,pane,matt,2\n"}, "stands twice (first on line 2)"),
        ({"sales": f"{SALES},,pane,matt,1,40\n"}, "the sale has no market and no date"),
        ({"sales": f"{SALES}ferry,2031-05-03,pane,matt,1,40\n"}, "the sale has a market and a date"),
        ({"sales": f"{SALES},2031-05-32,pane,matt,1,40\n"}, "is not a date that can be read"),
    ],
)
def test_rows_that_are_wrong_are_told(tmp_path: Path, tables: dict[str, str], told: str) -> None:
    """Each is named with its line, and nothing is read past it."""
    with pytest.raises(MistakeError) as caught:
        laid(tmp_path, studio.DAY, **tables)
    (mistake,) = caught.value.mistakes
    assert told in mistake.wrong
    assert mistake.place.line in (2, 3)
    assert mistake.mend
