"""The marking page: it shows what the program has read of a drawing, and is made anew when one of these changes."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from bs4 import BeautifulSoup

from catalog_builder.cache.store import Store
from catalog_builder.pricing.calculation import VariantCalculation
from catalog_builder.publish.bench.marking.marking_page import write_marking_pages
from catalog_builder.publish.output.folder import Folder
from catalog_builder.records.content import Content
from tests import studio
from tests.piece.hanging.test_proposal import strips
from tests.publish.bench.writing import bench_folder, writer_of

# Half a pane: two fields side by side, the second open, a third below across the fold, a curved wire.
HALF = """
<path d="M50 0 H0 V60 H50"/><path d="M20 0 V30 M0 30 H50"/>
<line data-mark="fold" x1="50" y1="0" x2="50" y2="60"/>
<text x="10" y="15" data-glass="left">1</text>
<text x="25" y="45" data-glass="right">2</text>
<circle data-mark="ring" cx="0" cy="30" r="1"/>
"""
MARKS = """
marks:
  open: [[40, 15]]
  pieces:
    - {at: [5, 5], grain: 30}
  wires:
    - {points: [[25, 60], [30, 66], [40, 60]]}
  joins: []
"""


def write_pages(found: Content, variants: list[VariantCalculation], store: Store, folder: Folder) -> int:
    """Write the marking pages of a studio."""
    glasses, assembler = found.materials.of_kind("glass"), studio.assembler(found)
    return write_marking_pages(glasses, variants, assembler, writer_of(found), store, folder)


def page_in(root: Path, text: str) -> tuple[BeautifulSoup, dict[str, Any]]:
    """The marking page of the usual studio with a record, and what its script reads."""
    found = studio.content(root, text)
    folder = bench_folder(root / "output")
    assert write_pages(found, studio.calculations(found), Store(root / "no" / "made"), folder) == 1
    (path,) = (root / "output").rglob("marking/pane.html")
    page = BeautifulSoup(path.read_text(encoding="utf-8"), "html.parser")
    script = page.select_one("#record")
    assert script is not None
    return page, json.loads(script.text)


def test_a_page_shows_what_the_program_has_read(tmp_path: Path) -> None:
    """Each piece has its number, glass, grain and the piece across the fold; open fields and own marks too."""
    page, record = page_in(tmp_path, studio.record(HALF, keys=MARKS.strip()))
    (drawing,) = record["drawings"]
    fields = [
        (field["number"], field["side"], field["glass"], field["grain"], field["open"], field["drawn"])
        for field in drawing["fields"]
    ]
    assert fields == [
        ("1", "L", "left", 30, False, True),
        ("1", "R", "left", 150, False, False),
        ("2", "", "right", None, False, True),
        ("", "", None, None, True, True),
    ]
    assert [field["twin"] for field in drawing["fields"]] == [1, 0, None, None]
    assert [field["entry"] for field in drawing["fields"]] == [0, None, None, None]
    assert [field["opened"] for field in drawing["fields"]] == [None, None, None, 0]
    assert drawing["rings"] == [[0, 30], [100, 30]]
    assert drawing["own"]["wires"] == [{"points": [[25, 60], [30, 66], [40, 60]]}]
    assert [0, 30, "rim"] in drawing["spots"]
    assert [25, 60, "wire"] in drawing["spots"]
    assert [text.text for text in page.select("svg.drawing text")] == ["1L", "1R", "2", ""]


@pytest.mark.parametrize(
    ("text", "kinds"),
    [
        (studio.record(), {"ring"}),
        (strips(20, 80), {"loop"}),
        (strips(20, 51, 80, keys="hang: {by: loop}"), {"loop", "ring"}),
    ],
)
def test_proposals_hold_when_they_are_taken(text: str, kinds: set[str], tmp_path: Path) -> None:
    """A place that the page proposes is one on which the program hangs the piece, by the hardware that it names."""
    _, record = page_in(tmp_path / "a", text)
    proposals = record["drawings"][0]["proposals"]
    assert {proposal["by"] for proposal in proposals} >= kinds
    head, separator, body = text.replace("hang: {by: loop}", "").partition("\n---\nTwo panes.")
    for number, proposal in enumerate(proposals):
        rings = f"marks: {{rings: {proposal['rings']}, wires: {[{'points': way} for way in proposal['wires']]}}}"
        keys = f"hang: {{by: {proposal['by']}}}\n{rings}".replace("'", "")
        hung = studio.suspension(studio.content(tmp_path / str(number), f"{head}\n{keys}{separator}{body}"))
        # A loop's eye stands half its width of 10 mm above the rim.
        away = np.hypot(*(np.array(hung.rings) - proposal["rings"]).T)
        assert away == pytest.approx(5 if proposal["by"] == "loop" else 0, abs=0.01)
        assert hung.hung_by == proposal["by"]


def test_a_page_is_made_anew_when_its_record_or_a_price_changes(tmp_path: Path) -> None:
    """The page names the record that it shows, so that a later change is noticed; prices are the build's."""
    _, before = page_in(tmp_path / "a", studio.record())
    _, other = page_in(tmp_path / "b", studio.record().replace("Two panes.", "Two fine panes."))
    assert before["seen"] != other["seen"]
    assert {**before, "seen": ""} == {**other, "seen": ""}
    found = studio.content(tmp_path / "c", studio.record(), prices="reed,2031-01-01,500.00\n")
    variants, folder = studio.calculations(found), bench_folder(tmp_path / "c" / "output")
    store = Store(tmp_path / "no" / "made")
    write_pages(found, variants, store, folder)
    path = next((tmp_path / "c" / "output").rglob("marking/pane.html"))
    assert f"€{variants[0].cost.total:.2f}" in path.read_text(encoding="utf-8")
    assert f"€{variants[0].cost.total:.2f}" not in json.dumps(before, ensure_ascii=False)


def test_words_of_a_record_open_no_tag(tmp_path: Path) -> None:
    """A title or glass word with markup in it stays a text, also in what the script reads."""
    text = studio.record(glass='{"<b>": reed, right: slate}').replace('data-glass="left"', 'data-glass="&lt;b>"')
    page, record = page_in(tmp_path, text.replace("title: Pane", "title: '</script><img src=x>'"))
    assert page.select("img, b") == []
    assert {field["glass"] for field in record["drawings"][0]["fields"]} == {"<b>", "right"}
    heading = page.select_one("h1")
    assert heading is not None
    assert heading.text == "</script><img src=x>"
