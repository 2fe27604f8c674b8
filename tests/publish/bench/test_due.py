"""What is due comes with its day and what to do, and goes when it is settled."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path

import pytest

from catalog_builder.build import calculate
from catalog_builder.mistake import Place, WordedFinding
from catalog_builder.planning.market_preparation import market_days
from catalog_builder.publish.bench.batches import plan_of
from catalog_builder.publish.bench.costs.cost_index import FrontPage, write_index
from catalog_builder.publish.bench.due import Due, DueBasis, Weight, due_lines, whatever_is_due
from catalog_builder.publish.studio_calculation import quiet
from catalog_builder.records.content import read_content
from tests.batch import planned_studio
from tests.book import by_hand, dearer, record, recorded
from tests.english import english
from tests.publish.bench.writing import bench_folder, writer_of
from tests.publish.demo import Demo
from tests.publish.page import read_page, said, text_of
from tests.studio import DAY, project
from tests.studio import record as pane

SOON, LATER = DAY + timedelta(days=14), DAY + timedelta(days=15)
MARKET = '\n[[markets]]\nname = "Reed day"\nplace = "The ramp"\ndate = 2031-06-07\nhours = "10:00"\ncode = "reeds"\n'


def basis_of(root: Path, day: date = DAY) -> DueBasis:
    """What earlier stages give on a day."""
    calculated = calculate(root, day, quiet)
    content, calculations = calculated.content, calculated.calculations
    return DueBasis(
        day=content.day,
        ready=content.ready.counts,
        book=content.book,
        quotes=content.quotes,
        reductions=content.reductions,
        calculations=calculations,
        moved=calculated.moved,
        plans=[plan_of(content.planning_records, plan, calculations) for plan in content.plans],
        days=market_days(content.price_records, content.market_book.lists, calculations),
        finding_count=len(calculated.findings),
    )


def dues(root: Path, weight: Weight, day: date = DAY) -> list[Due]:
    """What of a kind is due."""
    basis = basis_of(root, day)
    return [due for due in whatever_is_due(basis, writer_of(read_content(root, day))) if due.weight == weight]


def said_of(root: Path, weight: Weight, day: date = DAY) -> list[tuple[date, str, list[str]]]:
    """What of a kind is due: its day, its words, and the papers that it leads to."""
    return [
        (due.day, " ".join(map(english, due.sentences)), [paper.href for paper in due.papers])
        for due in dues(root, weight, day)
    ]


@pytest.fixture
def root(tmp_path: Path) -> Path:
    """A studio with one product of one variant."""
    return project(tmp_path, {"pane": pane()})


def put(root: Path, name: str, text: str) -> None:
    """Write a file of content."""
    path = root / "content" / name
    path.parent.mkdir(exist_ok=True)
    path.write_text(text, encoding="utf-8")


def with_market(root: Path) -> Path:
    """Add a market on 7 June."""
    studio = root / "content" / "studio.toml"
    studio.write_text(studio.read_text(encoding="utf-8") + MARKET, encoding="utf-8")
    return root


def test_prices_that_moved_are_due_until_they_are_recorded(tmp_path: Path) -> None:
    """Dearer glass moves the price in all three channels, one of them on a tag; once recorded, nothing is due."""
    root = recorded(tmp_path)
    assert dues(root, Weight.PRICES) == []
    dearer(root, "reed", "60.00")
    text = (
        "Today's costs move 3 prices. Look at why, then record them with catalog-builder reprice --record. "
        "After that, print 1 tag for the stall again."
    )
    assert said_of(root, Weight.PRICES) == [(DAY, text, ["repricing.html"])]
    assert record(root, why="dearer glass") == 3
    assert dues(root, Weight.PRICES) == []


def test_a_held_price_is_not_due(tmp_path: Path) -> None:
    """A price that the record holds moves nothing."""
    root = recorded(tmp_path)
    put(root, "products/pane/product.md", pane(keys="hold_until: 2031-12-31"))
    dearer(root, "reed", "60.00")
    assert dues(root, Weight.PRICES) == []


@pytest.mark.parametrize(("day", "count"), [(DAY, 0), (SOON, 1), (LATER, 0)])
def test_prices_of_the_book_are_due_when_they_come_into_force_soon(root: Path, day: date, count: int) -> None:
    """A price of the book is due before its day, up to 14 days ahead."""
    rows = [f"2031-05-01,pane--bright,{channel},21.00" for channel in ("online", "stall", "trade")]
    by_hand(root, *rows, f"{day},pane--bright,stall,29.00", "2031-05-30,gone--bright,stall,12.00")
    text = "1 price of the price book comes into force: publish on that day. Print 1 tag for the stall again."
    expected = [(day, text, ["history.html"])][:count]
    assert [due for due in said_of(root, Weight.PRICES) if "book" in due[1]] == expected


def test_a_plan_says_what_runs_short_until_it_is_bought(tmp_path: Path) -> None:
    """A plan of two panes without stock needs a pack of each of its materials; with stock of all, nothing is due."""
    root = planned_studio(tmp_path)
    (batch,) = basis_of(root).plans
    names = [need.material.title for need in batch.needs]
    assert {"reed", "slate", "solder"} < set(names)
    ((day, text, papers),) = said_of(root, Weight.SHOPPING)
    assert (day, papers) == (date(2031, 5, 21), ["batches/spring/index.html#shopping"])
    # Each pack is 12.00.
    assert text.startswith(f"For the next batch, “Spring fair”, {len(names)} materials run short. To buy, in packs: 1")
    assert "1\u00a0× reed, 1\u00a0× slate" in text
    assert text.endswith(f"€{12 * len(names)}.00 in all.")
    assert said_of(root, Weight.SHOPPING, date(2031, 5, 23))[0][0] == date(2031, 5, 23)
    assert dues(root, Weight.SHOPPING, date(2031, 5, 28)) == []
    rows = "".join(f"{need.material.material},{need.needed:f},{need.material.unit}\n" for need in batch.needs)
    put(root, "stock.csv", f"material,amount,unit\n{rows}")
    assert dues(root, Weight.SHOPPING) == []


def test_the_next_market_says_what_lacks_until_it_is_made(root: Path) -> None:
    """Of five on the list three lie ready and two lack; when five lie ready they are packed; then it is over."""
    with_market(root)
    put(root, "markets/reeds.csv", "product,count,box\npane,4,A\npane,1,B\n")
    place, papers = date(2031, 6, 7), ["markets/reeds/papers.html"]
    listed = "Reed day: 5 pieces are on the packing list. "
    see = "How many lie ready has not been counted: see catalog-builder guide ready."
    assert said_of(root, Weight.MARKET) == [(place, listed + see, papers)]
    put(root, "ready.csv", "date,product,count\n2031-05-19,pane,3\n")
    lacking = "Ready: 3. Still to make, or to take off the list: 2, which are 2\u00a0× Pane."
    assert said_of(root, Weight.MARKET) == [(place, listed + lacking, papers)]
    put(root, "ready.csv", "date,product,count\n2031-05-19,pane,6\n")
    assert said_of(root, Weight.MARKET) == [(place, f"{listed}All of it lies ready: pack it.", papers)]
    assert dues(root, Weight.MARKET, date(2031, 6, 8)) == []


@pytest.mark.parametrize(("count", "made"), [(1, "1 of these is"), (9, "2 of these are")])
def test_what_a_batch_makes_before_the_market_is_said(tmp_path: Path, count: int, made: str) -> None:
    """A batch that is ready by then makes what lacks, and no more of it than lacks."""
    root = with_market(planned_studio(tmp_path, count=count))
    put(root, "markets/reeds.csv", "product,count,box\npane,5,\n")
    put(root, "ready.csv", "date,product,count\n2031-05-19,pane,3\n")
    ((_, text, _),) = said_of(root, Weight.MARKET)
    assert text.endswith(f"2\u00a0× Pane. {made} in a batch that is to be ready by then.")
    ((_, text, _),) = said_of(root, Weight.MARKET, date(2031, 5, 28))
    assert text.endswith("2\u00a0× Pane.")


def test_a_market_without_a_list_says_how_to_write_it(root: Path) -> None:
    """Where pieces lie ready, the command makes the list of them."""
    with_market(root)
    text = "Reed day has no packing list yet."
    assert said_of(root, Weight.MARKET) == [(date(2031, 6, 7), text, ["#designs"])]
    put(root, "ready.csv", "date,product,count\n2031-05-19,pane,3\n")
    command = "3 pieces lie ready: catalog-builder market reeds --from-ready writes the list."
    assert said_of(root, Weight.MARKET) == [(date(2031, 6, 7), f"{text} {command}", ["#designs"])]


def test_reductions_are_due_when_they_begin_or_end_soon(root: Path) -> None:
    """One that began is due on its last day; one that begins in 14 days on its first; a day later it is not yet."""
    head = "product,channel,first_day,last_day,reason,percent,earlier\n"
    rows = "pane,stall,2031-05-10,2031-05-25,sale,10,90\npane,stall,{day},2031-07-01,sale,10,90\n"
    cards = ["cards/pane--bright.html"]
    end = "The reduced price of 1 variant ends at the close of the day. "
    end += "Publish on the day after, and print price sheet and tags again."
    begin = "The reduced price of 1 variant begins. Publish on that day, and print price sheet and tags again."
    by_hand(root, *(f"2031-01-01,pane--bright,{channel},90.00" for channel in ("online", "stall", "trade")))
    put(root, "reductions.csv", head + rows.format(day=SOON))
    assert said_of(root, Weight.REDUCTION) == [(date(2031, 5, 25), end, cards), (SOON, begin, cards)]
    put(root, "reductions.csv", head + rows.format(day=LATER))
    assert said_of(root, Weight.REDUCTION) == [(date(2031, 5, 25), end, cards)]
    assert [due[0] for due in said_of(root, Weight.REDUCTION, date(2031, 5, 26))] == [LATER]
    assert dues(root, Weight.REDUCTION, LATER + timedelta(days=1)) == []
    put(root, "reductions.csv", (head + rows.format(day=LATER)).replace("stall", "online"))
    assert said_of(root, Weight.REDUCTION)[0][1].endswith("Publish on the day after.")


@pytest.mark.parametrize("count", [0, 1, 2])
def test_findings_are_due_while_there_are_some(root: Path, count: int) -> None:
    """Findings lead to their list; without one there is no such line."""
    basis = replace(basis_of(root), finding_count=count)
    words = {
        1: "1 thing is worth a look. What to do stands beside it.",
        2: "2 things are worth a look. What to do stands beside each.",
    }
    lines = due_lines(basis, writer_of(read_content(root, basis.day)))
    assert [line.text for line in lines] == ([words[count]] if count else [])
    assert [paper.href for line in lines for paper in line.papers] == ["#findings"][:count]


def test_lines_stand_by_day_and_then_by_weight(tmp_path: Path) -> None:
    """On the market's day the market comes first, then the batch, prices and reductions."""
    root = with_market(planned_studio(tmp_path))
    day = date(2031, 6, 7)
    plan = root / "content" / "batches" / "spring.toml"
    plan.write_text(plan.read_text("utf-8").replace("2031-05-21", "2031-06-07").replace("2031-05-27", "2031-06-09"))
    rows = [f"2031-05-01,pane--bright,{channel},90.00" for channel in ("online", "stall", "trade")]
    by_hand(root, *rows, f"{day},pane--bright,online,99.00")
    put(
        root,
        "reductions.csv",
        f"product,channel,first_day,last_day,reason,percent,earlier\npane,stall,{day},{day},sale,10,90\n",
    )
    basis = basis_of(root, date(2031, 6, 1))
    lines = [(due.day, due.weight) for due in whatever_is_due(basis, writer_of(read_content(root, basis.day)))]
    turns = [Weight.REDUCTION, Weight.REDUCTION]
    expected = [(day, weight) for weight in (Weight.MARKET, Weight.SHOPPING, Weight.PRICES, *turns)]
    assert [line for line in lines if line[0] == day] == expected
    assert lines == sorted(lines)
    assert [line.day for line in due_lines(basis, writer_of(read_content(root, basis.day)))][
        -1
    ] == "Saturday, 7 June 2031"


def front_page(root: Path, front: FrontPage) -> str:
    """The text of the first page with a front."""
    folder = bench_folder(root / "out")
    write_index((), (), front, writer_of(read_content(root, DAY)), folder)
    return text_of(read_page(folder.making / "index.html").select("main")[0])


def test_the_page_says_that_nothing_is_due(root: Path) -> None:
    """Where nothing is due, one line says so."""
    basis = replace(basis_of(root), finding_count=0)
    front = FrontPage(due=due_lines(basis, writer_of(read_content(root, basis.day))))
    nothing = "What is due On 20 May 2031 nothing is due. Worth a look Nothing stands out."
    assert nothing in front_page(root, front)


def test_a_finding_is_a_sentence_with_what_to_do_and_its_file(root: Path) -> None:
    """A sentence begins with a capital and ends with a stop; the name of a file or a code stays as it is."""
    place = Place(path="content/ready.csv", line=3)
    findings = (
        WordedFinding(code="M02", place=place, text="pane--bright: 2 more sold", advice="count again"),
        WordedFinding(code="B02", place=place, text="the book has prices", advice="Wait."),
        WordedFinding(code="B01", place=place, text="today's costs move prices", advice="`reprice` shows which"),
    )
    page = front_page(root, FrontPage(findings=findings))
    assert "M02 pane--bright: 2 more sold. What to do: Count again. content/ready.csv:3" in page
    assert "B02 The book has prices. What to do: Wait." in page
    assert "B01 Today's costs move prices. What to do: reprice shows which." in page


def test_the_demo_begins_with_what_is_due(demo: Demo) -> None:
    """The due lines stand before any table, in order of days, and each leads to a paper that is there."""
    bench = demo.output / "bench"
    page = read_page(bench / "index.html")
    assert page.select("main h2")[0]["id"] == "due"
    lines = page.select(".due > li")
    days = [said(line.select("time")[0], "datetime") for line in lines]
    assert days == sorted(days)
    assert days[-1] == "2026-12-05"
    for link in (link for line in lines for link in line.select("a")):
        name, _, anchor = said(link, "href").partition("#")
        paper = read_page(bench / name) if name else page
        assert not anchor or paper.select(f"#{anchor}")
    assert all(line.select("a") for line in lines)
    assert len(page.select(".findings li")) == len(demo.published.findings)


@pytest.mark.parametrize(
    ("until", "due"),
    [
        (LATER, None),
        (SOON, (SOON, "The quote “hall” for Mrs Reed holds until this day:")),
        (DAY, (DAY, "The quote “hall” for Mrs Reed holds until this day:")),
        (DAY - timedelta(days=1), (DAY, "The quote “hall” for Mrs Reed lapsed on May 19, 2031:")),
        (DAY - timedelta(days=15), None),
    ],
)
def test_a_quote_is_due_while_it_lapses(root: Path, until: date, due: tuple[date, str] | None) -> None:
    """Two weeks before its last day and two weeks after; then its file is left to the maker."""
    dated = DAY - timedelta(days=30)
    items = 'items = [{product = "pane", finish = "bright", glass = "plain"}]\n'
    put(root, "quotes/hall.toml", f'buyer = "Mrs Reed"\ndated = {dated}\nuntil = {until}\n{items}')
    quotes = said_of(root, Weight.QUOTE)
    assert len(quotes) == (due is not None)
    if due is not None:
        assert quotes[0][0] == due[0]
        assert quotes[0][1].startswith(due[1])
