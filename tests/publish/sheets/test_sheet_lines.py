"""The lines of a size on a price sheet: what does not change the price is not named."""

from __future__ import annotations

import pytest

from catalog_builder.publish.sheets.price_sheet import SheetPrice, size_lines


def line(words: str, price: str, reduction: str = "") -> SheetPrice:
    """A line of a sheet."""
    return SheetPrice(words=words, price=price, reduction=reduction)


@pytest.mark.parametrize(
    ("prices", "lines"),
    [
        # Finishes across, glasses down: black red, black blue, copper red, copper blue.
        (("18", "18", "18", "18"), [("", "18")]),
        (("18", "18", "20", "20"), [("black", "18"), ("copper", "20")]),
        (("18", "20", "18", "20"), [("red", "18"), ("blue", "20")]),
        (("18", "20", "20", "20"), [("black, red", "18"), ("black, blue", "20"), ("copper", "20")]),
        (("18", "20", "20", "18"), [("black, red", "18"), ("black, blue", "20"), ("copper, red", "20"),
                                    ("copper, blue", "18")]),
    ],
)  # fmt: skip
def test_two_finishes_in_two_glasses(prices: tuple[str, ...], lines: list[tuple[str, str]]) -> None:
    """One price is one line; else the finish is named, the glass, or both, whichever makes a difference."""
    choices = [(finish, glass) for finish in ("black", "copper") for glass in ("red", "blue")]
    found = size_lines({choice: (price, "") for choice, price in zip(choices, prices, strict=True)})
    assert list(found) == [line(words, price) for words, price in lines]


def test_glasses_of_one_price_share_a_line() -> None:
    """Where one finish is offered, glasses that cost the same stand together."""
    prices = {("black", "red"): ("18", ""), ("black", "blue"): ("20", ""), ("black", "green"): ("18", "")}
    assert list(size_lines(prices)) == [line("red, green", "18"), line("blue", "20")]


def test_a_reduced_price_stands_alone() -> None:
    """A glass that is reduced to the price of another has its own line, as an earlier price stands beside it."""
    prices = {("black", "red"): ("18", ""), ("black", "blue"): ("18", "was 20"), ("black", "green"): ("18", "")}
    assert list(size_lines(prices)) == [line("red, green", "18"), line("blue", "18", "was 20")]
