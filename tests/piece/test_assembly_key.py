"""What a piece's making and hanging follow from is all in its key: whatever changes them changes the key."""

from __future__ import annotations

from pathlib import Path

import pytest

from catalog_builder.records.content import Content
from tests.parts import FIN, FIN_BOX, RIGHT_EDGE, parted
from tests.studio import TABLES, assembler, content, record

FIN_FILE = f'<svg xmlns="http://www.w3.org/2000/svg" {FIN_BOX}>\n{FIN}\n</svg>\n'


def key(studio: Content) -> str:
    """The key of a studio's one product."""
    return assembler(studio).key(studio.products[0])


@pytest.mark.parametrize(
    ("tables", "materials", "prices"),
    [
        # The safety factor may ask for other hardware, the limits for a stiffened rim.
        ({"hanging": "safety_factor = 6"}, {}, ""),
        ({"hanging": "safety_factor = 5\nstiffen_over_mm = 200"}, {}, ""),
        ({"making": f"{TABLES['making']}\nfoil_gap_mm = 1"}, {}, ""),
        ({}, {"slate": {"thickness_mm": "4"}}, ""),
        ({}, {"hook": {"mass_g": "3"}}, ""),
        # Of two rings, hooks, cords or chains that weigh alike the cheaper one is taken.
        ({}, {}, "ring-small,2030-06-01,13.00\n"),
        ({}, {}, "hook,2030-06-01,13.00\n"),
        ({}, {}, "cord,2030-06-01,13.00\n"),
        ({}, {}, "chain,2030-06-01,13.00\n"),
    ],
)
def test_what_changes_the_making_changes_the_key(
    tmp_path: Path, tables: dict[str, str], materials: dict[str, dict[str, str]], prices: str
) -> None:
    """Settings of making and hanging, materials, and prices of hardware are all part of the key."""
    before = content(tmp_path / "before")
    assert key(content(tmp_path / "same")) == key(before)
    assert key(content(tmp_path / "after", None, tables, materials, prices)) != key(before)


def test_a_price_of_glass_does_not_change_the_key(tmp_path: Path) -> None:
    """No price but that of hardware decides how a piece is made."""
    assert key(content(tmp_path / "a", prices="reed,2030-06-01,13.00\n")) == key(content(tmp_path / "b"))


@pytest.mark.parametrize("file", ["pane.svg", "fin.svg"])
def test_a_drawing_in_a_file_of_its_own_is_part_of_the_key(tmp_path: Path, file: str) -> None:
    """The record stays as it is when a drawing beside it is changed: the key takes in the drawings themselves."""
    text = parted(RIGHT_EDGE, {"fin": "set_at: [90], pattern: fin.svg"}, blocks="")
    header, _, drawing = text.partition("```svg\n")
    pane = drawing.partition("```")[0]
    text = header.replace("title: Pane\n", "title: Pane\npattern: pane.svg\n")
    keys = []
    for name, change in (("before", ""), ("after", "<!-- changed -->")):
        folder = tmp_path / name / "content" / "products" / "pane"
        folder.mkdir(parents=True)
        for other, svg in (("pane.svg", pane), ("fin.svg", FIN_FILE)):
            changed = svg.replace("</svg>", f"{change}</svg>") if other == file else svg
            (folder / other).write_text(changed, encoding="utf-8")
        keys.append(key(content(tmp_path / name, text)))
    assert keys[0] != keys[1]


def test_another_record_is_another_key(tmp_path: Path) -> None:
    """What the record says of size and hanging is part of the key."""
    plain = key(content(tmp_path / "plain"))
    assert key(content(tmp_path / "wide", record(keys="width: 120 mm"))) != plain
    assert key(content(tmp_path / "hooked", record(keys="hang: {by: hook}"))) != plain
