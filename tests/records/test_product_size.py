"""Sizes of a record: a plain width, or a width with a title of its own that a key cannot print."""

from __future__ import annotations

from pathlib import Path

import pytest

from catalog_builder.build import calculate
from catalog_builder.mistake import MistakeError
from catalog_builder.publish.studio_calculation import quiet
from tests.studio import DAY, content, project, record


def test_a_size_may_have_a_title_of_its_own(tmp_path: Path) -> None:
    """It is what a buyer reads; the name stays in codes and tables, and a plain size reads as its name."""
    project(tmp_path, {"pane": record(keys="sizes: {extra-small: 50 mm, large: {width: 175 mm, title: Groß}}")})
    small, large = calculate(tmp_path, DAY, quiet).calculations
    assert [small.offer.size, large.offer.size] == ["Extra small", "Groß"]
    assert [small.offer.sku, large.offer.sku] == ["pane--extra-small--bright", "pane--large--bright"]
    assert [round(each.offer.width_mm) for each in (small, large)] == [50, 175]


def test_a_title_changes_no_measure(tmp_path: Path) -> None:
    """A size is made alike with a title and without one."""
    (titled,) = content(tmp_path / "titled", record(keys="sizes: {large: {width: 175 mm, title: Groß}}")).products
    (plain,) = content(tmp_path / "plain", record(keys="sizes: {large: 175 mm}")).products
    assert titled.keys.sizes["large"].width == plain.keys.sizes["large"].width == 175
    assert titled.keys.first_width_mm == plain.keys.first_width_mm == 175


@pytest.mark.parametrize(
    ("sizes", "wrong"),
    [
        ("{small: 12}", "sizes.small: 12 is not a length"),
        ("{small: [80 mm]}", "sizes.small: a list is not a length"),
        ("{small: {width: 12}}", "sizes.small.width: 12 is not a length"),
        ("{small: {title: Klein}}", "the key 'sizes.small.width' is missing"),
        ("{small: {width: 80 mm, titel: Klein}}", "the key 'titel' is not known in sizes.small"),
        (
            "{gross: 80 mm, large: {width: 90 mm, title: Gross}}",
            "sizes.large: the title 'Gross' is that of the size 'gross' too",
        ),
    ],
)
def test_what_is_wrong_is_said_where_it_stands(tmp_path: Path, sizes: str, wrong: str) -> None:
    """The line of the sizes is named, and the key within it."""
    with pytest.raises(MistakeError) as caught:
        content(tmp_path, record(keys=f"sizes: {sizes}"))
    (mistake,) = caught.value.mistakes
    assert mistake.wrong == wrong
    assert mistake.place.line == 10
