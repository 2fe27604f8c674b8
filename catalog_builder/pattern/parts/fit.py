"""What the bench should know of how parts fit: forms that do not close, and copies that pass through each other."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence

import numpy as np

from catalog_builder.mistake import Finding
from catalog_builder.pattern.parts.copies import Copy
from catalog_builder.pattern.parts.crossing import crossings
from catalog_builder.pattern.parts.meeting import JoinGap
from catalog_builder.pattern.sizes import Sized, titled
from catalog_builder.pattern.svg.curve import Points
from catalog_builder.phrase import Number, Value, phrase, quantity
from catalog_builder.records.product import Product
from catalog_builder.units import exact


def fit_findings(product: Product, sized: Sized, copies: Sequence[Copy], gaps: Iterable[JoinGap]) -> Iterator[Finding]:
    """Find edges that nearly meet, the widest gap of each two parts, and parts that pass through each other."""
    if len(copies) < 2:
        return
    names = _Naming(product, sized, copies)
    widest: dict[tuple[str, str], JoinGap] = {}
    for gap in sorted(gaps, key=lambda gap: -gap.apart_mm):
        widest.setdefault(names.pair(gap.copies), gap)
    for gap in widest.values():
        apart = quantity(gap.apart_mm, "mm", 1)
        yield names.finding("G10", "does_not_close", gap.copies, gap.at, apart=apart)
    glass = {name: pattern.glass for name, pattern in sized.patterns.items()}
    crossed: set[tuple[str, str]] = set()
    for crossing in crossings(copies, [glass[copy.name] for copy in copies]):
        if names.pair(crossing.copies) not in crossed:
            crossed.add(names.pair(crossing.copies))
            yield names.finding("G11", "pass_through", crossing.copies, crossing.at)


class _Naming:
    """Names copies and places on them in findings."""

    def __init__(self, product: Product, sized: Sized, copies: Sequence[Copy]) -> None:
        self._product, self._sized, self._copies = product, sized, copies

    def pair(self, numbers: tuple[int, int]) -> tuple[str, str]:
        """Give the names of two copies' drawings in alphabetical order, the main one without a name first."""
        first, second = sorted(self._copies[number].name for number in numbers)
        return first, second

    def finding(self, code: str, key: str, numbers: tuple[int, int], at: Points, **values: Value) -> Finding:
        """Make a finding about two copies, at the line of the record where the second one of them stands."""
        number = max(numbers)
        copy, scale = self._copies[number], self._sized.patterns[self._copies[number].name].scale
        x, y = (copy.place.flat(np.asarray(at)[None])[0] / scale).tolist()
        words: Mapping[str, Value] = {
            "title": titled(self._product, "", self._sized.size),
            "first": self._named(min(numbers)),
            "second": self._named(number),
            "x": Number(exact(x, 0) + 0),
            "y": Number(exact(y, 0) + 0),
            **values,
        }
        return Finding.of(
            code, self._product.source.place(self._product.line("parts", copy.name)), f"findings_space.{key}", **words
        )

    def _named(self, number: int) -> Value:
        name = self._copies[number].name
        return phrase("findings_space.part", name=name) if name else phrase("findings_space.main")
