"""A rebuild after an edit publishes what a build from nothing would: every file, every byte, and no file more."""

from __future__ import annotations

from pathlib import Path
from random import Random

import pytest

from tests.edits.kinds import KINDS
from tests.edits.rebuilding import Told, compared, first_difference, rebuild
from tests.edits.studio import Studio, lay_studio
from tests.publish.demo import bytes_of

# Edits of each stage of the way, and things that are no edits.
SHORT = (
    "price_row_changed",
    "nothing",
    "vertex",
    "photo_anew",
    "misspelt",
    "rename_folder",
    "same_size_and_date",
    "template",
    "kept_harmed",
)
# They need something that was published, are no change of bytes, or may choose what stands already.
NOT_OF_THE_RECORDS = {
    *("nothing", "touched", "older", "day_later", "kept_harmed"),
    *("published_removed", "published_changed", "published_written_through", "folder_removed", "price_by_hand"),
}
CHOOSING = {"availability", "batch_size", "series", "grain", "glass", "language", "theme", "units", "photo_order"}


def test_rebuilds_give_what_builds_from_nothing_give(tmp_path: Path) -> None:
    """After each of some edits, the output is byte for byte that of a build from nothing; a refused one leaves it.

    `python -m tests.edits 200` does the same with random edits of every kind.
    """
    steps = list(rebuild(tmp_path, iter(SHORT), len(SHORT), Random(20261125)))  # noqa: S311 - edits, not secrets
    assert [(step.kind, step.difference) for step in steps] == [(kind, "") for kind in SHORT]
    assert [step.kind for step in steps if step.refused] == ["misspelt"]


@pytest.fixture
def studio(tmp_path: Path) -> Studio:
    """The studio as it is laid out, not yet published."""
    return lay_studio(tmp_path / "studio")


@pytest.mark.parametrize("kind", sorted(KINDS.keys() - NOT_OF_THE_RECORDS - CHOOSING))
def test_an_edit_changes_something(studio: Studio, kind: str) -> None:
    """Every kind of edit of the records or the theme changes a file: a sequence of no edits would hold nothing."""
    before = bytes_of(studio.project)
    assert KINDS[kind](studio, Random(1))  # noqa: S311 - edits, not secrets
    assert bytes_of(studio.project) != before


def test_a_difference_is_shown() -> None:
    """What is missing, left over or other is named, the lines that differ in full."""
    assert first_difference({"a": b"1"}, {"a": b"1"}) == ""
    assert first_difference({}, {"a": b"1"}) == "a is missing"
    assert first_difference({"a": b"1"}, {}) == "a is left over"
    assert "-right line" in first_difference({"a": b"x\nwrong line"}, {"a": b"x\nright line"})
    assert "the first that differs at 1" in first_difference({"a": b"\xff\x00"}, {"a": b"\xff\x01"})


def test_words_that_differ_are_shown() -> None:
    """A rebuild that ends otherwise, or says other things, than a build from nothing is a difference."""
    right = Told(0, "", ("P01 one: no words\n     add some",))
    assert compared(right, right, here=False) == ""
    assert "ended with 1" in compared(Told(1, "", ()), right, here=False)
    assert "other findings" in compared(Told(0, "", ()), right, here=False)
    assert "other mistakes" in compared(Told(1, "a", ()), Told(1, "b", ()), here=True)
