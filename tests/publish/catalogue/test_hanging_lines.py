"""What a product's page says of how it hangs: which side is lower, which way it leans, which hook is higher."""

from __future__ import annotations

from pathlib import Path

import pytest

from catalog_builder.build import build
from catalog_builder.publish.studio_calculation import quiet
from tests import studio
from tests.parts import MIDDLE, parted
from tests.piece.hanging.test_advice import DEEP, MIRRORED, OFF, OFF_RING, SLANTED
from tests.publish.page import read_page, text_of

SLANTED_BOX = 'width="100mm" height="80mm" viewBox="0 0 100 80"'
RECORDS = {
    "straight": studio.record(),
    "right": studio.record(OFF + OFF_RING),
    "left": studio.record(OFF.replace("40", "60") + OFF_RING.replace("40", "60")),
    "front": parted(MIDDLE, {"fin": "set_at: [90]"}, blocks=DEEP),
    "back": parted(MIDDLE, {"fin": "set_at: [270]"}, blocks=DEEP),
    "higher-left": studio.record(SLANTED, SLANTED_BOX, keys="sizes: {small: 50 mm, large: 100 mm}"),
    "higher-right": studio.record(MIRRORED, SLANTED_BOX, keys="hang: {by: hook}"),
    "chain": studio.record(SLANTED, SLANTED_BOX, keys="hang: {by: chain, length: 150 mm}"),
}


@pytest.fixture(scope="module")
def pages(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The product pages of a studio whose pieces hang in as many ways."""
    records = {name: text.replace("title: Pane", f"title: Pane {name}") for name, text in RECORDS.items()}
    root = studio.project(tmp_path_factory.mktemp("hanging"), records)
    build(root, studio.DAY, 1, quiet)
    return root / "site_output/catalogue/products"


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("straight", "It should hang level."),
        ("right", "its right side lower"),
        ("left", "its left side lower"),
        ("front", "its lower part towards the back: parts that stand out in front"),
        ("back", "its lower part towards the front: parts that stand out at the back"),
        ("higher-left", "Its left ring sits higher than its right one, by Small 6 mm, Large 12 mm."),
        ("higher-right", "Its right ring sits higher than its left one, by 12 mm."),
        ("chain", "hang tilted to the side by about"),
    ],
)
def test_a_page_says_how_its_piece_hangs(pages: Path, name: str, words: str) -> None:
    """Words follow side and direction of a tilt or lean; a piece is called level only where it is."""
    lines = [text_of(line).replace("\u00a0", " ") for line in read_page(pages / f"{name}.html").select("section li")]
    assert any(words in line for line in lines), lines
    assert ("It should hang level." in lines) is (name == "straight")


@pytest.mark.parametrize(("name", "cautioned"), [("higher-left", True), ("higher-right", True), ("chain", False)])
def test_hooks_out_of_level_are_a_caution(pages: Path, name: str, cautioned: bool) -> None:
    """Rings out of level that each need a hook have a caution; on a chain they need none."""
    assert ("two rings at unequal heights" in (pages / f"{name}.html").read_text(encoding="utf-8")) is cautioned
