"""Equal values are held once, and nothing that is calculated changes by it."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path

import pytest

from catalog_builder import build
from catalog_builder.cache.store import key_of
from catalog_builder.phrase import Number, phrase
from catalog_builder.pricing.shared_values import SharedValues, sharing_costs
from catalog_builder.publish.studio_calculation import quiet
from tests import studio


def test_equal_values_are_the_same_object() -> None:
    """Numbers, texts, tuples and phrases that look the same become one object, however deep they lie."""
    shared = SharedValues()
    first, second = (phrase("basis.plus", sum=phrase("basis.set_up", minutes=Number(Decimal("1.5"), 4))) for _ in "ab")
    assert first is not second
    assert shared.of(first) == first
    assert shared.of(first) is shared.of(second)
    assert shared.of(("a", Decimal(2))) is shared.of(("a", Decimal(2)))


@pytest.mark.parametrize(("one", "other"), [(Decimal("1.50"), Decimal("1.5")), (1, True), (1, 1.0), (0.0, -0.0)])
def test_values_that_look_different_stay_apart(one: object, other: object) -> None:
    """Values that only compare equal keep their own digits and their own type: keys are made of these."""
    shared = SharedValues()
    assert one == other
    assert [repr(shared.of((value,))) for value in (one, other)] == [repr((one,)), repr((other,))]


def test_costs_are_the_same_when_they_share_values(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A large studio's calculations are those of a small one, digit by digit, and take fewer objects."""
    records = {f"pane-{at}": studio.record().replace("title: Pane", f"title: Pane {at}") for at in range(3)}
    project = studio.project(tmp_path, records)
    plain = build.calculate(project, studio.DAY, quiet)
    monkeypatch.setattr(build, "MANY", 3)
    sharing = build.calculate(project, studio.DAY, quiet)
    for first, second in zip(plain.calculations, sharing.calculations, strict=True):
        assert key_of(first.cost, first.times, first.measures) == key_of(second.cost, second.times, second.measures)
        assert first.offer == second.offer
    assert len({id(each.times) for each in plain.calculations}) == 3
    assert len({id(each.times) for each in sharing.calculations}) == 1
    assert sharing_costs(plain.calculations, None) == list(plain.calculations)
