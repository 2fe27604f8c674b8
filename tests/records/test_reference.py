"""The list of keys holds every key of the models that read content/."""

from __future__ import annotations

import pytest

from catalog_builder.records.material import Material
from catalog_builder.records.materials import PriceRow
from catalog_builder.records.product import ProductKeys
from catalog_builder.records.reading.values import Record
from catalog_builder.records.reference import reference
from catalog_builder.records.selling.boxes import PackingBox
from catalog_builder.records.selling.channel import Channel, PricePoint
from catalog_builder.records.selling.postage import PostageBand
from catalog_builder.records.studio import Studio


def inner(annotation: object) -> set[type[Record]]:
    """The models that an annotation holds."""
    if isinstance(annotation, type) and issubclass(annotation, Record):
        return {annotation}
    return {model for part in getattr(annotation, "__args__", ()) for model in inner(part)}


def reached(*models: type[Record]) -> set[type[Record]]:
    """Every model that a file may hold, however deep."""
    every: set[type[Record]] = set()
    waiting = list(models)
    while waiting:
        model = waiting.pop()
        if model not in every:
            every.add(model)
            waiting.extend(part for field in model.model_fields.values() for part in inner(field.annotation))
    return every


ALL = sorted(
    reached(ProductKeys, Studio, Material, PriceRow, PackingBox, PostageBand), key=lambda model: model.__name__
)


@pytest.mark.parametrize("model", ALL, ids=lambda model: model.__name__)
def test_every_key_is_listed_with_its_meaning(model: type[Record]) -> None:
    """A key of any model has a line of its own, and a description; the tables of studio.toml are headings."""
    text = reference()
    for name, field in model.model_fields.items():
        assert field.description, f"{model.__name__}.{name} has no description"
        row = f"- `{name}`: {field.description}"
        heading = f"[{name}" in text or f"[[{name}" in text
        assert row in text or (model is Studio and heading), f"{model.__name__}.{name} is not listed"


def test_models_that_hold_others_are_reached() -> None:
    """The walk through the models finds those within lists and tables, so that the check above is whole."""
    assert {Channel, PricePoint} <= set(ALL)
    assert len(ALL) > 15
