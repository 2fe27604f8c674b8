"""A piece that stands, on every page and paper: that it stands, on what, how high, and what is dangerous of it."""

from __future__ import annotations

from pathlib import Path

import pytest

from catalog_builder.build import build
from catalog_builder.publish.studio_calculation import quiet
from tests.piece.standing.test_standing_piece import ADDED, tray
from tests.publish.page import read_page, said, structured_data, text_of
from tests.publish.printed import pages_of
from tests.studio import DAY, PANE, PANE_RING, project, record

RECORDS = {
    "panel": record(PANE, keys="hang: {by: stand, material: foot}").replace("title: Pane", "title: Panel"),
    "stake": record(PANE, keys="hang: {by: stake, length: 300 mm, material: rod}").replace(
        "title: Pane", "title: Leaf"
    ),
    "lantern": tray("{by: stand, down: back, tealight: true, material: pad}").replace("title: Pane", "title: Lantern"),
    "pane": record(PANE + PANE_RING),
}
SET = """---
title: Set of {0}
series: sets
added: 2031-01-03
summary: Two together.
made_of:
  - {{product: {0}, finish: bright, glass: plain}}
  - {{product: {1}, finish: bright, glass: plain}}
less_percent: 8
---
Two.
"""
SETS = {"on-the-sill": SET.format("panel", "stake"), "sill-and-window": SET.format("lantern", "pane")}
TABLES = {"series.sets": 'title = "Sets"\nsummary = "Sets."'}


@pytest.fixture(scope="module")
def output(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """What is published of a studio with things that stand and one that hangs."""
    root = project(tmp_path_factory.mktemp("standing"), RECORDS, TABLES, ADDED)
    for name, text in SETS.items():
        path = root / "content" / "sets" / name / "set.md"
        path.parent.mkdir(parents=True)
        path.write_text(text, encoding="utf-8")
    build(root, DAY, 1, quiet)
    return root / "site_output"


def words_of(output: Path, name: str) -> str:
    """The words of a product's page."""
    return text_of(read_page(output / "catalogue" / "products" / f"{name}.html"))


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("panel", "It stands 65 mm high on a footprint of 100 × 60 mm."),
        ("panel", "It is not made for a flame."),
        ("stake", "It stands 230 mm high above the soil. Push the rod 100 mm deep."),
        ("stake", "Push it in by the rod, never by the glass."),
        ("lantern", "It stands 45 mm high on a footprint of 92 × 52 mm."),
        ("lantern", "It is made for one tealight in its metal cup"),
    ],
)
def test_the_page_says_how_it_stands(output: Path, name: str, words: str) -> None:
    """It says how high and on what, and the cautions of its kind; nothing of hanging it up."""
    shown = words_of(output, name)
    assert words in shown
    assert "Size as it stands" in shown
    for hung in ("Size when hung", "Hang it", "hook"):
        assert hung not in shown.replace("a ring, hook, wire", "")


def test_what_hangs_says_nothing_of_standing(output: Path) -> None:
    """The pane beside them hangs as before."""
    shown = words_of(output, "pane")
    assert "Size when hung" in shown
    assert "footprint" not in shown
    assert "flame" not in shown


@pytest.mark.parametrize(
    ("name", "said_of_it", "not_said"),
    [
        (
            "on-the-sill",
            ("Standing", "Each piece stands by itself"),
            ("Hanging it", "hangs by itself", "Hang it", "hook "),
        ),
        ("sill-and-window", ("Each piece hangs or stands by itself", "your hook", "Try whether it stands firm"), ()),
    ],
)
def test_a_set_says_whether_its_pieces_stand(
    output: Path, name: str, said_of_it: tuple[str, ...], not_said: tuple[str, ...]
) -> None:
    """Of pieces that all stand nothing is said of hanging; where they differ, both is said."""
    shown = words_of(output, name)
    assert [words for words in said_of_it if words not in shown] == []
    assert [words for words in not_said if words in shown.replace("a ring, hook, wire", "")] == []


def test_a_set_that_stands_hangs_from_no_rod(output: Path) -> None:
    """Beside a piece that hangs, another stands below; of a set that stands all, nothing hangs."""
    standing, both = ((output / "catalogue" / "pictures" / f"{name}.svg").read_text(encoding="utf-8") for name in SETS)
    assert 'stroke="#8b8f8e" stroke-width="4"' not in standing
    assert 'stroke="#8b8f8e" stroke-width="4"' in both


def test_the_bench_reads_nothing_of_rings(output: Path) -> None:
    """The card of what stands speaks of the ground, not of loads on rings; its marking page asks for no ring."""
    (card,) = (output / "bench" / "cards").glob("panel--*.html")
    shown = text_of(read_page(card))
    assert "the line below is the ground" in shown
    assert "loads on the rings" not in shown
    asked = {
        name: [said(each, "data-question") for each in read_page(path).select("[data-question]")]
        for name, path in ((name, output / "bench" / "marking" / f"{name}.html") for name in ("panel", "pane"))
    }
    assert "ring" in asked["pane"]
    assert "ring" not in asked["panel"]


def test_structured_data(output: Path) -> None:
    """Machines read the sides as it stands, and its footprint."""
    group = structured_data(read_page(output / "catalogue" / "products" / "panel.html"))
    (variant,) = group["hasVariant"]
    assert [variant[side]["value"] for side in ("width", "height", "depth")] == [100, 65, 60]
    assert {"@type": "PropertyValue", "name": "Footprint", "value": "100 × 60", "unitCode": "MMT"} in variant[
        "additionalProperty"
    ]


def test_the_slip_has_its_cautions(output: Path) -> None:
    """Slips go along with what stands: on flames and tealights, on the rod and the soil."""
    slips = " ".join(page.text() for page in pages_of((output / "stall" / "care_slips.pdf").read_bytes()))
    for words in ("not made for a flame", "one tealight", "never by the glass", "qualified person"):
        assert words in " ".join(slips.split())


def test_how_far_it_tips_is_private(output: Path) -> None:
    """The card says at how many degrees it falls; no public page does."""
    (card,) = (output / "bench" / "cards").glob("panel--*.html")
    shown = text_of(read_page(card))
    assert "Tipped by 40.6° to the" in shown
    assert "foot: 2 feet, 24.0 g in all." in shown
    public = [*output.glob("catalogue/**/*.html"), *output.glob("catalogue/**/*.svg")]
    assert not [path for path in public if "40.6" in path.read_text(encoding="utf-8")]


def test_the_drawing_has_no_thread(output: Path) -> None:
    """The drawn picture of what stands hangs on no thread, and has its feet or its rod."""
    standing, hanging = (
        (output / "catalogue" / "pictures" / f"{name}.svg").read_text(encoding="utf-8") for name in ("stake", "pane")
    )
    assert 'stroke="#8b8f8e"' in hanging
    assert 'stroke="#8b8f8e"' not in standing
    assert 'stroke-width="3"' in standing
    pictures = read_page(output / "catalogue" / "products" / "stake.html").select(".is-standing picture img")
    # Those of the other two that stand, in its series; not that of the pane. Its own is drawn in the page.
    assert sorted(Path(said(picture, "src")).stem for picture in pictures) == ["lantern", "panel"]
