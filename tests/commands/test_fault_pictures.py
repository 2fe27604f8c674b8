"""A drawing that is wrong is drawn with the spots ringed."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from click.testing import CliRunner
from lxml import etree

from catalog_builder.cli import main
from catalog_builder.commands.begin import lay_out

RECORD = "content/products/rowan-leaf/product.md"


@pytest.fixture
def gap(tmp_path: Path) -> Path:
    """A project whose leaf has a vein that ends 2 mm short of the edge, at x 60, y 40."""
    lay_out(tmp_path)
    record = tmp_path / RECORD
    text = record.read_text(encoding="utf-8")
    assert "M35 52 C44 50 54 46 62 40" in text
    record.write_text(text.replace("M35 52 C44 50 54 46 62 40", "M35 52 C44 50 54 46 60 40"), encoding="utf-8")
    return tmp_path


@pytest.mark.parametrize("command", ["publish", "check"])
def test_the_spot_is_ringed_where_the_message_says(gap: Path, command: str) -> None:
    """The message names x 60, y 40; the picture has a ring there, and its path is told."""
    result = CliRunner().invoke(main, [command, "--folder", str(gap)])
    assert "at x 60.0 mm, y 40.0 mm of the drawing" in result.stderr
    assert "The places are ringed in site_output/bench/faults/rowan-leaf.svg\n" in result.stderr
    assert result.stdout == ""
    picture = (gap / "site_output/bench/faults/rowan-leaf.svg").read_bytes()
    circles = etree.fromstring(picture).iter("{http://www.w3.org/2000/svg}circle")
    assert [(circle.get("cx"), circle.get("cy")) for circle in circles] == [("60.00", "40.00")]


def test_pictures_of_faults_go_with_the_next_good_build(gap: Path) -> None:
    """Once the drawing is mended, the next build leaves no picture of a fault, and carries none over."""
    CliRunner().invoke(main, ["publish", "--folder", str(gap)])
    record = gap / RECORD
    text = record.read_text(encoding="utf-8")
    record.write_text(text.replace("46 60 40", "46 62 40"), encoding="utf-8")
    result = CliRunner().invoke(main, ["publish", "--folder", str(gap)])
    assert result.exit_code == 0
    assert not re.search("Carried over", result.stdout)
    assert not (gap / "site_output/bench/faults").exists()


def texts_of(picture: Path) -> list[str]:
    """All that is written in a picture."""
    return [text.text or "" for text in etree.fromstring(picture.read_bytes()).iter("{http://www.w3.org/2000/svg}text")]


def test_pieces_have_the_numbers_of_the_messages(tmp_path: Path) -> None:
    """Where the pieces can be told, the picture numbers those that are drawn, as the message calls them."""
    lay_out(tmp_path)
    record = tmp_path / RECORD
    text = record.read_text(encoding="utf-8")
    record.write_text(text.replace('data-glass="base">2<', ">2<"), encoding="utf-8")
    result = CliRunner().invoke(main, ["check", "--folder", str(tmp_path)])
    assert "the piece 2 has no glass word" in result.stderr
    written = texts_of(tmp_path / "site_output/bench/faults/rowan-leaf.svg")
    assert written[:4] == ["1R", "2", "3R", "A"]
    assert written[4].startswith("A: the piece 2 has no glass word, at x ")


def test_spots_are_lettered_as_they_are_listed(gap: Path) -> None:
    """Letters stand for spots, as numbers stand for pieces; long messages are broken to the picture's width."""
    record = gap / RECORD
    text = record.read_text(encoding="utf-8")
    record.write_text(text.replace("M35 88 C42 86 49 83 54 78", "M35 88 C42 86 49 83 51 79"), encoding="utf-8")
    CliRunner().invoke(main, ["check", "--folder", str(gap)])
    written = texts_of(gap / "site_output/bench/faults/rowan-leaf.svg")
    assert written[:2] == ["A", "B"]
    assert [line[:2] for line in written[2:] if line[1:2] == ":"] == ["A:", "B:"]
    assert max(map(len, written)) < 65
