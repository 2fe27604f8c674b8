"""The command `batch`: it lays glass on the maker's word alone, publishes, and says what the plan takes."""

from __future__ import annotations

import csv
from io import StringIO
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from catalog_builder.cli import main
from catalog_builder.records.kept_layout import layout_path
from tests.batch import planned_studio
from tests.publish.page import read_page, text_of


def run(root: Path, *arguments: str) -> Result:
    """Run the command on a project as of the tests' day."""
    fixed = ("--folder", str(root), "--day", "2031-05-20", "--workers", "1")
    return CliRunner().invoke(main, ["batch", *arguments, *fixed])


@pytest.fixture(scope="module")
def laid(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Result]:
    """A small studio whose plan is laid for a second, and what the command said."""
    root = planned_studio(tmp_path_factory.mktemp("laid"), stock="material,amount\nsolder,1\n")
    return root, run(root, "spring", "--lay", "--seconds", "1")


def test_without_the_word_nothing_is_laid(tmp_path: Path) -> None:
    """The papers come all the same, with the sheets estimated; no layout is written."""
    root = planned_studio(tmp_path)
    result = run(root, "spring")
    assert result.exit_code == 0, result.output
    assert not layout_path(root, "spring").exists()
    assert "estimated by boxes, as no layout is kept" in result.output
    papers = {path.name for path in (root / "site_output" / "bench" / "batches" / "spring").iterdir()}
    assert papers == {"index.html", "shopping.csv"}


def test_on_the_word_a_layout_is_kept_and_printed(laid: tuple[Path, Result]) -> None:
    """The layout stands beside the plan, and the papers hold the cut sheets."""
    root, result = laid
    assert result.exit_code == 0, result.output
    assert layout_path(root, "spring").exists()
    assert "Spring fair: 2 items by 27 May 2031" in result.output
    assert "pieces 4, spares 0, glasses 2" in result.output
    assert "not adopted" in result.output
    assert (root / "site_output" / "bench" / "batches" / "spring" / "cut_sheets.pdf").read_bytes()[:5] == b"%PDF-"


def test_a_second_build_gives_the_same_bytes(laid: tuple[Path, Result]) -> None:
    """A kept layout is read, never computed again: the papers of a plan do not change by chance."""
    root, _ = laid
    folder = root / "site_output" / "bench" / "batches" / "spring"
    before = {path.name: path.read_bytes() for path in folder.iterdir()}
    assert run(root, "spring").exit_code == 0
    assert {path.name: path.read_bytes() for path in folder.iterdir()} == before


def test_the_page_and_the_list_agree(laid: tuple[Path, Result]) -> None:
    """The cost on the page is the sum of the shopping list, which names each material and how many packs of it."""
    folder = laid[0] / "site_output" / "bench" / "batches" / "spring"
    rows = list(csv.DictReader(StringIO((folder / "shopping.csv").read_text(encoding="utf-8-sig"))))
    total = sum(float(row["cost"]) for row in rows)
    page = text_of(read_page(folder / "index.html"))
    assert f"€{total:.2f}" in page
    assert {row["material"]: row["packs"] for row in rows}["solder"] == "0"
    assert all(float(row["cost"]) == int(row["packs"]) * 12 for row in rows)
    assert "7 days at the bench are left from 21 May 2031 on, 28 h of hands-on work." in page


def test_the_bench_leads_to_the_plan(laid: tuple[Path, Result]) -> None:
    """The bench's first page has a link to each plan, and nothing public has."""
    output = laid[0] / "site_output"
    links = [link["href"] for link in read_page(output / "bench" / "index.html").select("a[href]")]
    assert "batches/spring/index.html" in links
    public = [path for name in ("catalogue", "stall") for path in (output / name).rglob("*") if path.is_file()]
    assert [path for path in public if b"Spring fair" in path.read_bytes() or b"batches" in path.read_bytes()] == []


def test_a_plan_that_is_not_there_is_told(tmp_path: Path) -> None:
    """A name with a letter wrong is told with the nearest, and nothing is published."""
    root = planned_studio(tmp_path)
    for arguments in (("sprung",), ("sprung", "--lay")):
        result = run(root, *arguments)
        assert result.exit_code == 1
        assert "there is no plan 'sprung'" in result.stderr
        assert "did you mean 'spring'?" in result.stderr
    assert not [*(root / "site_output").glob("[!.]*")]


def test_glass_without_a_sheet_is_told(tmp_path: Path) -> None:
    """Glass that is sold by area alone can be priced, but not laid; the command says what is missing."""
    root = planned_studio(tmp_path)
    table = root / "content" / "materials.csv"
    table.write_text(table.read_text(encoding="utf-8").replace("200,130", ","), encoding="utf-8")
    result = run(root, "spring", "--lay")
    assert result.exit_code == 1
    assert "the glass reed has no sheet size" in result.stderr
    assert not layout_path(root, "spring").exists()
    assert run(root, "spring").exit_code == 0
