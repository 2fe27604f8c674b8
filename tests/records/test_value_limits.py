"""Where a value is refused: the limits themselves are still good."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest
from pydantic import TypeAdapter, ValidationError

from catalog_builder.mistake import MistakeError
from catalog_builder.records.content import read_content
from catalog_builder.records.reading.values import Length, Percent
from tests.batch import planned_studio

DAY = date(2031, 5, 20)
LENGTHS = TypeAdapter[float](Length)
PERCENTS = TypeAdapter[Decimal](Percent)


def test_a_length_of_ten_metres_is_the_longest() -> None:
    """Ten metres are accepted; a millimetre more is a mistake in typing."""
    assert LENGTHS.validate_python("10 m") == 10_000
    with pytest.raises(ValidationError, match="is too long"):
        LENGTHS.validate_python("10001 mm")


def test_a_share_stays_under_the_whole() -> None:
    """A fee, a discount or a loss of all there is would leave nothing."""
    assert PERCENTS.validate_python("99.99") == Decimal("99.99")
    with pytest.raises(ValidationError, match="not possible as a share"):
        PERCENTS.validate_python("100")


@pytest.mark.parametrize(("count", "taken"), [(200, True), (201, False)])
def test_offcuts_of_one_size_are_two_hundred_at_the_most(tmp_path: Path, count: int, taken: bool) -> None:
    """Two hundred rectangles of a size are accepted; more than that is a mistake in typing."""
    planned_studio(tmp_path, stock=f"material,amount,width_mm,height_mm\nreed,{count},50,60\n")
    if taken:
        assert len(read_content(tmp_path, DAY).stock.offcuts["reed"]) == count
    else:
        with pytest.raises(MistakeError, match="offcuts are counted in pieces"):
            read_content(tmp_path, DAY)
