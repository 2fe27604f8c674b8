"""Pages, styles and drawings are written as the standards ask: the Nu HTML checker finds no fault in them."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from tests.browser.checkers import CheckersMissingError, hold_checkers, markup_faults
from tests.publish.demo import Demo

pytestmark = pytest.mark.browser

# What the checker's CSS reader does not know, though the standards have it.
UNKNOWN_TO_IT = (
    r"“animation-timeline”: Property “animation-timeline” doesn't exist",  # Scroll-driven Animations 1, 3.3
    r"“paint-order”: Property “paint-order” doesn't exist",  # SVG 2, 13.8
    r"“background”: “var\(--tint\)” is not a “\*invalid\*” value",  # a share in color-mix(): CSS Variables 1, 3
)


@pytest.fixture(scope="module", autouse=True)
def checker() -> None:
    """The checker; where it is not there, every test that needs it fails and says so."""
    try:
        hold_checkers()
    except CheckersMissingError as fault:
        pytest.fail(str(fault), pytrace=False)


def files_of(demo: Demo, ending: str) -> list[Path]:
    """Give all published files of a kind, of all three audiences."""
    return sorted(demo.output.rglob(f"*.{ending}"))


@pytest.mark.parametrize(("ending", "least"), [("html", 100), ("svg", 16), ("css", 6)])
def test_nothing_is_found_in_the_files(demo: Demo, ending: str, least: int) -> None:
    """No published page, drawing or style of any audience holds an error or anything to be warned of."""
    files = files_of(demo, ending)
    found = [line.replace(demo.output.as_uri(), "") for line in markup_faults(files, ending)]
    assert len(files) >= least
    assert [line for line in found if not any(re.search(pattern, line) for pattern in UNKNOWN_TO_IT)] == []


@pytest.mark.parametrize(
    ("ending", "text"),
    [
        ("html", "<!doctype html><html lang=en><title>A page</title><p><div></p><img src=x>"),
        ("svg", '<svg xmlns="http://www.w3.org/2000/svg"><path stroke-width="wide"/><p/></svg>'),
        ("css", "p { colour: red }"),
    ],
)
def test_checker_does_find_faults(tmp_path: Path, ending: str, text: str) -> None:
    """The checker that finds nothing in the published files does find what is wrong in a faulty one."""
    file = tmp_path / f"faulty.{ending}"
    file.write_text(text, encoding="utf-8")
    assert any("error" in line for line in markup_faults([file], ending))
