"""README.md: what it names is there, and the price that it works through is the program's."""

from __future__ import annotations

import re
from decimal import ROUND_CEILING, Decimal
from pathlib import Path

import pytest
from click.testing import CliRunner

from catalog_builder.cli import main
from catalog_builder.commands.guide.topics import TOPICS
from tests.publish.demo import ROOT, lay_out

TEXT = (ROOT / "README.md").read_text(encoding="utf-8")
# Rows of the worked price: the groups of a cost that each adds up.
ROWS = {
    "glass": ("Glass",),
    "solder": ("Solder",),
    "foil": ("Foil", "What holds it", "Consumables", "Packing"),
    "bench": ("Bench time",),
    "overheads": ("Overheads",),
}

ROWS_OF_PRICES = ("Own site", "Market stall", "Shops, trade terms")


def test_it_is_short() -> None:
    """It can be read at one sitting."""
    assert len(TEXT) <= 9000


def test_what_it_links_to_is_there() -> None:
    """Every picture and file that it links to lies in the repository."""
    paths = [path for path in re.findall(r"\]\(([^)]+)\)", TEXT) if not path.startswith("https://")]
    assert len(paths) >= 8
    assert [path for path in paths if not (ROOT / path).exists()] == []


def test_its_table_names_every_command_and_topic() -> None:
    """The table of what a maker wants to do leads to every command and to every topic."""
    table = TEXT.partition("\n| I want to")[2].partition("\n\n")[0]
    rows = [[cell.strip() for cell in row.strip("|").split("|")] for row in table.splitlines()[2:]]
    commands = {words.split()[0] for row in rows for words in re.findall(r"`([^`]+)`", row[2])}
    topics = {topic for row in rows for topic in row[3].split(", ") if topic}
    assert commands == set(main.commands) - {"begin", "guide"}
    assert topics == set(TOPICS)


@pytest.fixture(scope="module")
def explained(tmp_path_factory: pytest.TempPathFactory) -> str:
    """What `why` prints of the product whose price is worked through, on the day that is named."""
    project = lay_out(tmp_path_factory.mktemp("readme") / "demo", "harbour-light")
    result = CliRunner().invoke(
        main, ["why", "harbour-light", "--folder", str(project), "--day", "2026-11-25"], catch_exceptions=False
    )
    return result.output


def pounds(text: str) -> Decimal:
    """The last amount of a line."""
    return Decimal(re.findall(r"£([\d.]+)", text)[-1])


def test_its_worked_price_adds_up_to_what_the_program_says(explained: str) -> None:
    """Each row is the sum of the lines that `why` prints for it, and all rows add up to the cost."""
    group, sums = "", dict[str, Decimal]()
    for line in explained.partition("\n\n")[2].partition("Cost of one")[0].splitlines():
        if not line.startswith(" "):
            group = line
        elif "£" in line and not line.startswith("      "):
            sums[group] = sums.get(group, Decimal(0)) + pounds(line)
    rows = {row.split()[1].strip(",*"): pounds(row) for row in TEXT.splitlines() if re.match(r"\| .*£[\d.]+\W*$", row)}
    cost = rows.pop("cost")
    assert rows == {name: sum((sums[group] for group in groups), Decimal(0)) for name, groups in ROWS.items()}
    assert sum(rows.values()) == cost == pounds(next(iter(re.findall("Cost of one.*", explained))))


def test_its_price_is_worked_out_as_the_program_does(explained: str) -> None:
    """The formula of the text gives the numbers of the text, and these are the program's."""
    cost, each, fee, margin = Decimal("66.25"), Decimal("0.25"), Decimal("0.024"), Decimal("0.475")
    least, floor = (cost + each) / (1 - fee - margin), (cost + each) / (1 - fee)
    assert (f"{least:.2f}", f"{floor:.3f}") == ("132.73", "68.135")
    site, stall, shops = (re.findall(rf"^{name}  .*", explained, re.MULTILINE)[0] for name in ROWS_OF_PRICES)
    assert re.findall(r"£([\d.]+)", site)[:2] == ["150.00", "146.15"]
    assert pounds(site) == floor.quantize(Decimal("0.01"), ROUND_CEILING) == Decimal("68.14")
    assert "4 variants of this size have one price. Copper patina" in explained
    assert "by itself this one would be £135.00" in explained
    assert re.findall(r"£([\d.]+)", stall)[0] == "150.00"
    assert re.findall(r"£([\d.]+)", shops)[0] == "75.00"
    for number in ("2.4 %", "47.5 %", "66.25", "132.73", "£135.00", "68.135", "£150.00", "£146.15", "£68.14"):
        assert number in TEXT


def test_its_path_for_windows_and_for_others_name_the_same_commands() -> None:
    """Set-up is the same three steps on each system, one command a line."""
    (windows,) = re.findall(r"```bat\n(.*?)```", TEXT, flags=re.DOTALL)
    others = re.findall(r"```sh\n(.*?)```", TEXT, flags=re.DOTALL)[0]
    plain = windows.replace("py -3", "python3").replace(".venv\\Scripts\\", ".venv/bin/")
    assert plain == others
    assert Path(".venv/bin") == Path(others.splitlines()[2].split()[0]).parent
