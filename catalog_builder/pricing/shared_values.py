"""Equal values of many products held once: most of what a cost is made of is the same for all of them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import fields, is_dataclass, replace
from datetime import date
from decimal import Decimal
from functools import lru_cache
from typing import Any

from catalog_builder.pricing.calculation import VariantCalculation

# From so many products on, what is saved (some 60 kB a product of 80) is worth the two milliseconds that it takes.
MANY = 2000
_PLAIN = frozenset({str, int, float, bool, type(None), Decimal, date})


class SharedValues:
    """Gives for equal values the same object. Values are equal where they look the same: 1.50 is not 1.5."""

    def __init__(self) -> None:
        self._known: dict[tuple[object, ...], Any] = {}

    def of(self, value: Any) -> Any:
        """Give the object that stands for a value: a plain one, a tuple, or a frozen data class of these."""
        kind = type(value)
        if kind in _PLAIN:
            return self._known.setdefault((kind, repr(value)), value)
        if kind is tuple:
            parts = tuple([self.of(part) for part in value])
            # What is known is never let go, so that a part's place in memory is a name for it.
            return self._known.setdefault((kind, *map(id, parts)), parts)
        if not is_dataclass(value):
            return value
        parts = tuple([self.of(getattr(value, name)) for name in _names(kind)])  # type: ignore[arg-type]
        key = (kind, *map(id, parts))
        if key not in self._known:
            self._known[key] = kind(*parts)
        return self._known[key]


@lru_cache
def _names(kind: Any) -> tuple[str, ...]:
    return tuple(field.name for field in fields(kind))


def sharing_costs(variants: Sequence[VariantCalculation], shared: SharedValues | None) -> list[VariantCalculation]:
    """Give variants whose measures, minutes and costs are made of shared values; as they are without any."""
    if shared is None:
        return list(variants)
    return [
        replace(each, measures=shared.of(each.measures), times=shared.of(each.times), cost=shared.of(each.cost))
        for each in variants
    ]
