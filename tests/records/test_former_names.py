"""``formerly`` written by hand: tables, plans, sets and the price book may still use the name that a folder had."""

from __future__ import annotations

from pathlib import Path

import pytest

from catalog_builder.build import calculate
from catalog_builder.mistake import MistakeError
from catalog_builder.publish.studio_calculation import quiet
from catalog_builder.records.content import read_content
from tests.book import by_hand
from tests.studio import DAY, project, record


def renamed(root: Path, text: str = "formerly: [pane]") -> Path:
    """A studio whose product had another name, which its files still use."""
    project(root, {"light": record(keys=text)})
    content = root / "content"
    (content / "ready.csv").write_text(f"date,product,count\n{DAY},pane,3\n", encoding="utf-8")
    (content / "batches").mkdir()
    (content / "batches" / "next.toml").write_text(
        f'title = "Next"\nbegins = {DAY}\nready_by = {DAY}\nhours_a_day = 5\n'
        'make = [{ product = "pane", count = 2 }]\n',
        encoding="utf-8",
    )
    return by_hand(root, "2031-01-01,pane--bright,online,77.00")


def test_files_may_still_use_the_former_name(tmp_path: Path) -> None:
    """A table, a plan and a price count for the product that has another name now."""
    content = read_content(renamed(tmp_path), DAY)
    assert [ordered.chosen for ordered in content.plans[0].ordered] == [("light", "", "bright", "plain")]
    assert content.book.history("light--bright", "online")[0].price == 77
    assert not content.book.history("pane--bright", "online")
    (variant,) = calculate(tmp_path, DAY, quiet).calculations
    assert variant.prices["online"].printed == 77
    assert variant.offer.ready == 3


def test_without_the_key_the_name_is_unknown(tmp_path: Path) -> None:
    """The same files, where nobody says what the folder was called before; only names of today are proposed."""
    with pytest.raises(MistakeError) as caught:
        read_content(renamed(tmp_path, "formerly: [window]"), DAY)
    assert {mistake.wrong for mistake in caught.value.mistakes} == {"the product 'pane' is not in content/products"}
    assert {mistake.expected for mistake in caught.value.mistakes} == {"one of: light"}


def test_a_set_may_not_take_a_former_name(tmp_path: Path) -> None:
    """Their pages would have one address."""
    folder = renamed(tmp_path) / "content" / "sets" / "pane"
    folder.mkdir(parents=True)
    (folder / "set.md").write_text(
        "---\ntitle: Two\nsummary: Two.\nseries: panes\nadded: 2031-01-02\nmade_of: [{product: pane, count: 2}]\n---\n",
        encoding="utf-8",
    )
    with pytest.raises(MistakeError, match="the set is called 'pane', as the product 'light' was formerly"):
        read_content(tmp_path, DAY)
