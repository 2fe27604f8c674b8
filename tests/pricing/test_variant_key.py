"""What a variant is known by in the keys of the bench's papers: all of it but what buyers alone read."""

from __future__ import annotations

from dataclasses import fields, replace
from decimal import Decimal
from pathlib import Path

from catalog_builder.cache.store import key_of
from catalog_builder.pricing.calculation import VariantCalculation
from tests.studio import MATERIALS, calculations, content, record


def variant_of(root: Path, **text: str) -> VariantCalculation:
    """Calculate the only variant of a studio."""
    (variant,) = calculations(content(root, record(**text)))
    return variant


def test_every_field_counts(tmp_path: Path) -> None:
    """Another value of any field gives another key; the record and the piece are known by parts of their own."""
    variant = variant_of(tmp_path)
    known = {each.name for each in fields(variant)} - {"product", "assembled"}
    others = {name: replace(variant, **{name: "other"}) for name in known}  # type: ignore[arg-type]
    assert {name for name, other in others.items() if key_of(other) != key_of(variant)} == known
    piece = replace(variant, assembled=replace(variant.assembled, key="other"))
    assert key_of(piece) != key_of(variant)


def test_a_key_of_the_record_counts_unless_it_is_for_buyers(tmp_path: Path) -> None:
    """A changed summary leaves the key as it is; a changed title or market price does not."""
    variant = variant_of(tmp_path)

    def changed(**keys: object) -> VariantCalculation:
        product = replace(variant.product, keys=variant.product.keys.model_copy(update=keys))
        return replace(variant, product=product)

    assert key_of(changed(summary="Other words.")) == key_of(variant)
    assert key_of(changed(title="Other")) != key_of(variant)
    assert key_of(changed(market_price=Decimal(9))) != key_of(variant)


def test_a_line_of_the_cost_counts(tmp_path: Path) -> None:
    """Another quantity, price or row of a material gives another key."""
    variant = variant_of(tmp_path)
    line, *rest = variant.cost.lines
    for change in ({"quantity": Decimal(99)}, {"unit_price": Decimal(99)}, {"source": "other"}, {"key": "other"}):
        cost = replace(variant.cost, lines=(replace(line, **change), *rest))
        assert key_of(replace(variant, cost=cost)) != key_of(variant)


def test_the_words_of_a_line_count(tmp_path: Path) -> None:
    """A material's title and its pack stand on papers: another title gives another key, though no figure moved."""
    (known,) = calculations(content(tmp_path / "a", materials=MATERIALS))
    renamed = {**MATERIALS, "reed": {**MATERIALS["reed"], "title": "Reed of another name"}}
    (other,) = calculations(content(tmp_path / "b", materials=renamed))
    (same,) = calculations(content(tmp_path / "c", materials=MATERIALS))
    assert other.cost.total == known.cost.total
    assert key_of(same) == key_of(known) != key_of(other)
