"""The commands for markets and rates, as a maker runs them."""

from __future__ import annotations

import re
from datetime import date
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from catalog_builder.cli import main
from tests import studio
from tests.bench_log import BATCHES, laid
from tests.book import by_hand, dearer, on_day
from tests.publish.page import read_page, text_of
from tests.publish.test_tax import paper

MARKETS = """
[[markets]]
name = "Ferry fair"
place = "The ramp"
date = 2031-06-07
hours = "noon"
code = "ferry"
change = [{ each = 5, count = 6 }, { each = "0.20", count = 5 }]

[[markets]]
name = "Reed day"
place = "The staithe"
date = 2031-07-05
hours = "all day"
"""


def run(command: str, project: Path, *arguments: str) -> Result:
    """Run a command on the usual day."""
    return CliRunner().invoke(main, [command, *arguments, "--folder", str(project), "--day", studio.DAY.isoformat()])


@pytest.fixture
def project(tmp_path: Path) -> Path:
    """A studio with two markets to come, a list for the first."""
    project = studio.project(tmp_path, {"pane": studio.record()})
    path = project / "content" / "studio.toml"
    path.write_text(path.read_text(encoding="utf-8") + MARKETS, encoding="utf-8")
    (project / "content" / "markets").mkdir()
    rows = "product,count,box\npane,3,red\npane,2,blue\n"
    (project / "content" / "markets" / "ferry.csv").write_text(rows, encoding="utf-8")
    return project


def test_the_next_market_is_told_whole(project: Path) -> None:
    """One command publishes, counts what to pack box by box, and names papers that are there."""
    result = run("market", project)
    assert result.exit_code == 0, result.output
    assert "Ferry fair, Saturday, 7 June 2031, noon. The ramp." in result.output
    assert re.search(r"Packing list: 5 pieces, \d\.\d kg, €[\d.,]+ at the stall's prices", result.output)
    assert re.search(r"Box red: 3, .*\n +3  Pane", result.output)
    assert "Float: 6 × €5.00 = €30.00" in result.output
    assert "Float in all: €31.00" in result.output
    files = re.findall(r"(/\S+\.pdf)", result.output)
    assert [Path(file).name for file in files] == ["papers.pdf", "price_sheet.pdf"]
    assert all(Path(file).is_file() for file in files)


def test_a_price_that_comes_into_force_before_the_market_stands_on_its_papers(project: Path) -> None:
    """Tally, price sheet and tags have the price of the market's day, and say the day; the stall's of today stays."""
    by_hand(project, "2031-05-01,pane--bright,stall,21.00", "2031-06-07,pane--bright,stall,29.00")
    result = run("market", project)
    assert "Packing list: 5 pieces" in result.output
    assert "€145.00 at the stall's prices" in result.output
    assert "Prices are those of 7 June 2031." in result.output
    folder = project / "site_output" / "bench" / "markets" / "ferry"
    assert str(folder / "price_sheet.pdf") in result.output
    tally = text_of(read_page(folder / "papers.html"))
    assert "€29.00" in tally
    assert "Prices are those of 7 June 2031." in tally
    sheet, tags = folder / "price_sheet.pdf", project / "site_output" / "stall" / "tags.pdf"
    assert "€29" in paper(sheet)
    assert "7 June 2031" in paper(sheet)
    assert "€21" in paper(project / "site_output" / "stall" / "price_sheet.pdf")
    result = run("tags", project, "--list", str(project / "content" / "markets" / "ferry.csv"))
    assert "Prices are those of 7 June 2031." in result.output
    assert paper(tags).count("€29") == 5


def test_a_market_without_a_list_has_its_own_price_sheet(project: Path) -> None:
    """Where a price changes before it, the sheet that the command names has the market's prices."""
    by_hand(project, "2031-05-01,pane--bright,stall,21.00", "2031-07-01,pane--bright,stall,29.00")
    result = run("market", project, "reed day")
    sheet = project / "site_output" / "bench" / "markets" / "2031-07-05" / "price_sheet.pdf"
    assert str(sheet) in result.output
    assert "€29" in paper(sheet)
    assert "markets/2031-07-05/price_sheet.pdf" in (project / "site_output" / "bench" / "index.html").read_text("utf-8")
    assert not (project / "site_output" / "bench" / "markets" / "ferry" / "price_sheet.pdf").exists()


def test_dearer_material_before_the_market_counts_where_the_book_has_no_price(project: Path) -> None:
    """Without a book the market's prices are those that a build of its day would have."""
    dearer(project, "reed", "30.00", date(2031, 6, 1))
    run("market", project)
    tally = text_of(read_page(project / "site_output" / "bench" / "markets" / "ferry" / "papers.html"))
    assert f"€{on_day(project, date(2031, 6, 7)).offer.stall_price}" in tally
    assert on_day(project).offer.stall_price < on_day(project, date(2031, 6, 7)).offer.stall_price


@pytest.mark.parametrize("name", ["2031-07-05", "reed DAY"])
def test_another_market_goes_by_its_day_or_name(project: Path, name: str) -> None:
    """A market without a code is called by its first day; one without a list says where the list belongs."""
    result = run("market", project, name)
    assert result.exit_code == 0, result.output
    assert "Write content/markets/2031-07-05.csv" in result.output


def test_an_unknown_market_is_told_before_anything_is_made(project: Path) -> None:
    """A name that no market to come has ends with 2, with a guess, and publishes nothing."""
    result = run("market", project, "fery")
    assert result.exit_code == 2
    assert "Did you mean 'ferry'?" in result.stderr
    assert not [*(project / "site_output").glob("[!.]*")]


def test_no_market_to_come_is_told(tmp_path: Path) -> None:
    """A studio without markets is told so."""
    result = run("market", studio.project(tmp_path, {"pane": studio.record()}))
    assert result.exit_code == 2
    assert "studio.toml has no market on 2031-05-20 or later." in result.stderr


def test_rates_are_shown_and_used_only_on_the_makers_word(tmp_path: Path) -> None:
    """Looking changes nothing; --use writes the rates, says what they do, and has nothing to write a second time."""
    project = laid(tmp_path, {"steps.cut": 'title = "Cut"\nitem = 4'})
    count = {name: sum(made.values()) for name, made in BATCHES.items()}
    log = project / "content" / "bench_log.csv"
    rows = "".join(f"2031-03-01,{name},cut,{count[name] * 5}\n" for name in BATCHES)
    log.write_text(f"date,batch,step,minutes\n{rows}", encoding="utf-8")
    path = project / "content" / "studio.toml"
    before = path.read_text(encoding="utf-8")
    shown = run("rates", project, "cut")
    assert shown.exit_code == 0, shown.output
    assert re.search(r"for each item +4 +5\.00 ± 0\.00 +5\.00 ± 0\.00", shown.output)
    assert path.read_text(encoding="utf-8") == before
    used = run("rates", project, "--use")
    assert used.exit_code == 0, used.output
    assert path.read_text(encoding="utf-8") == before.replace("item = 4", "item = 5")
    assert "An average variant took 4.8 min" in used.output
    assert "now it takes 6 min and" in used.output
    again = run("rates", project, "--use")
    assert again.exit_code == 1
    assert "the log says nothing that studio.toml does not say already" in again.stderr


def test_a_step_that_the_log_does_not_hold_is_told(tmp_path: Path) -> None:
    """An unknown step ends with 2; with no log at all the command says which files to keep."""
    project = laid(tmp_path)
    assert run("rates", project, "cut").exit_code == 2
    result = run("rates", project)
    assert result.exit_code == 0
    assert "content/bench_log.csv" in result.output


def test_a_list_is_written_from_what_lies_ready(project: Path) -> None:
    """Two of four that nobody has seen are packed, and the papers have them; a list that is there is left alone."""
    path = project / "content" / "markets" / "ferry.csv"
    path.unlink()
    (project / "content" / "ready.csv").write_text("date,product,count\n2031-05-01,pane,4\n", encoding="utf-8")
    result = run("market", project, "--from-ready")
    assert result.exit_code == 0, result.output
    assert path.read_text(encoding="utf-8") == "product,size,finish,glass,count,box\npane,,bright,plain,2,\n"
    assert "content/markets/ferry.csv was written from what lies ready: 2 pieces." in result.output
    assert re.search(r"^ +2  Pane", result.output, re.MULTILINE)
    again = run("market", project, "--from-ready")
    assert again.exit_code == 2
    assert "content/markets/ferry.csv is there already." in again.output


def test_without_a_count_no_list_is_written(project: Path) -> None:
    """Where nothing is counted, the command says so, and goes on without a list."""
    result = run("market", project, "2031-07-05", "--from-ready")
    assert result.exit_code == 0, result.output
    assert "Nothing is counted as ready to send in content/ready.csv" in result.output
    assert not (project / "content" / "markets" / "2031-07-05.csv").exists()
