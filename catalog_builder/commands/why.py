"""Why a price is what it is, line by line, for the terminal."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date
from pathlib import Path

from catalog_builder.build import calculate, quiet
from catalog_builder.mistake import Mistake, MistakeError, Place, listed, nearest
from catalog_builder.pricing.calculation import VariantCalculation
from catalog_builder.publish.bench.bench_papers import card_groups, channel_lines
from catalog_builder.publish.theme.phrasing import Phrasing
from catalog_builder.records.content import Content


def explain(project: Path, day: date, name: str) -> str:
    """Give the whole reckoning of a variant by its code, or of a product's first variant by its folder's name.

    Raises:
        MistakeError: the records have mistakes, or nothing has that name.
    """
    calculated = calculate(project, day, quiet)
    labels = calculated.theme.labels["groups"]
    found = [one for one in calculated.calculations if name in (one.offer.sku, one.product.slug)]
    if not found:
        raise _unknown(name, calculated.calculations)
    lines = _card(found[0], calculated.content, labels, calculated.phrasing)
    others = [one.offer.sku for one in found[1:]]
    more = f"\nOther variants: {', '.join(others)}" if others else ""
    return "\n".join(lines) + more


def _unknown(name: str, calculations: Sequence[VariantCalculation]) -> MistakeError:
    products = {one.product.slug for one in calculations}
    guess = nearest(name, products | {one.offer.sku for one in calculations})
    return MistakeError(
        [
            Mistake(
                place=Place(path="content/products"),
                wrong=f"there is no product or variant {name!r}",
                expected=f"one of: {listed(products, most=40)}, or the code of a variant",
                mend=f"did you mean {guess!r}?" if guess else "write the name of the product's folder",
            )
        ]
    )


def _card(one: VariantCalculation, content: Content, labels: object, phrasing: Phrasing) -> Iterator[str]:
    wording = phrasing.wording
    yield f"{one.product.keys.title}: {one.offer.words}   ({one.offer.sku})"
    yield f"as of {content.day}, out of a batch of {one.batch}"
    yield ""
    for group, rows in card_groups(one, phrasing):
        yield labels[group] if isinstance(labels, dict) else group
        for row in rows:
            yield f"  {row.name:<34.34}{row.quantity:>14} x {row.unit_price:<20}{row.amount:>10}"
            yield f"      {row.source}"
    yield f"{'Cost of one':<36}{wording.money(one.cost.total):>45}"
    yield f"{'Minutes at the bench':<36}{wording.number(one.cost.minutes, 1):>45}"
    yield ""
    yield f"{'Channel':<26}{'Price':>11}{'Kept':>11}{'Margin':>9}{'An hour':>11}{'Floor':>11}"
    for line in channel_lines(one, content, wording):
        yield f"{line.title:<26.26}{line.price:>11}{line.kept:>11}{line.margin:>9}{line.hour:>11}{line.floor:>11}"
