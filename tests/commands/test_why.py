"""The command `why`: a cost in columns that no number breaks, and a word on prices that newer ones follow."""

from __future__ import annotations

import re
from datetime import timedelta
from pathlib import Path

import pytest

from catalog_builder.build import calculate
from catalog_builder.commands.reprice import read_report
from catalog_builder.commands.why import explain
from catalog_builder.publish.studio_calculation import quiet
from tests.book import dearer, record, rewritten
from tests.studio import DAY, project
from tests.studio import record as pane

MIXED = "1 material has the price of 20 May 2031, though it has a newer one; the hourly rate, fees and overheads"


@pytest.mark.parametrize("rate", ["30", "99999999"])
def test_columns_never_run_into_each_other(tmp_path: Path, rate: str) -> None:
    """Each number stands apart from its neighbours by two spaces, and each column ends at one place."""
    rewritten(project(tmp_path, {"pane": pane()}), 'hourly_rate = "30"', f'hourly_rate = "{rate}"')
    lines = explain(tmp_path, DAY, "pane").splitlines()
    head = next(number for number, line in enumerate(lines) if line.startswith("Channel"))
    table = [re.split(r" {2,}", line) for line in lines[head : head + 4]]
    assert [len(cells) for cells in table] == [6] * 4
    assert len({len(line) for line in lines[head : head + 4]}) == 1
    costs = [line for line in lines[:head] if line.startswith("  ") and not line.startswith("      ")]
    assert all(re.fullmatch(r"  \S.*?  +\S.*?  ×  +\S.*?  +\S+", line) for line in costs)
    assert len({len(line) for line in costs}) == 1


def test_a_look_back_says_which_prices_are_of_the_day(tmp_path: Path) -> None:
    """Material prices are of the day, and rates are not: the build's findings, `why` and `reprice` all say it."""
    dearer(project(tmp_path, {"pane": pane()}), "reed", "18.00", DAY + timedelta(days=1))
    record(tmp_path)
    (finding,) = (each for each in calculate(tmp_path, DAY, quiet).worded_findings if each.code == "C07")
    assert finding.text.startswith(MIXED)
    assert explain(tmp_path, DAY, "pane").startswith(MIXED)
    assert next(read_report(tmp_path, DAY, (), quiet).lines()).startswith(MIXED)
    later = DAY + timedelta(days=1)
    assert "C07" not in {each.code for each in calculate(tmp_path, later, quiet).findings}
    assert "newer" not in explain(tmp_path, later, "pane")
