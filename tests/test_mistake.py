"""Mistakes are collected, so that the maker reads all of them at once."""

from __future__ import annotations

import pytest

from catalog_builder.mistake import MistakeError, Mistakes, Place


def refuse(name: str) -> str:
    """Refuse every name but one."""
    if name == "good":
        return name
    raise MistakeError.at(Place(path=name), wrong="it is wrong", expected="another", mend="change it", marked="x")


def test_mistakes_are_raised_together_in_order_of_their_places_and_each_once() -> None:
    """A block that raises one ends there; what follows it runs all the same."""
    mistakes = Mistakes()
    reached = []
    for name in ("b", "good", "a", "b"):
        with mistakes.collect():
            reached.append(refuse(name))
    mistakes.add(Place(path="a", line=2), wrong="it is wrong", expected="another", mend="change it", spot=(1.0, 2.0))
    assert reached == ["good"]
    assert len(mistakes) == 4
    with pytest.raises(MistakeError) as raised:
        mistakes.raise_if_any()
    assert [str(mistake.place) for mistake in raised.value.mistakes] == ["a", "a:2", "b"]
    assert [mistake.marked for mistake in raised.value.mistakes] == ["x", None, "x"]


def test_a_step_gives_its_value_or_nothing() -> None:
    """Other errors than mistakes are not collected."""
    mistakes = Mistakes()
    assert mistakes.attempt(refuse, "good") == "good"
    mistakes.raise_if_any()
    assert mistakes.attempt(refuse, name="bad") is None
    assert [mistake.place.path for mistake in mistakes] == ["bad"]
    with pytest.raises(ZeroDivisionError):
        mistakes.attempt(divmod, 1, 0)
