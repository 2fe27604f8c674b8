"""Why a price is what it is, line by line, for the terminal."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date
from pathlib import Path

from catalog_builder.build import calculate, quiet
from catalog_builder.mistake import Mistake, MistakeError, Place, listed, nearest
from catalog_builder.pricing.calculation import VariantCalculation
from catalog_builder.pricing.consistency import OLD_PRICES
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
    notes = [finding.text for finding in calculated.worded_findings if finding.code == OLD_PRICES]
    lines = [*notes, *_card(found[0], calculated.content, labels, calculated.phrasing)]
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
    groups = [
        (labels[group] if isinstance(labels, dict) else group, rows) for group, rows in card_groups(one, phrasing)
    ]
    cells = [(f"  {row.name}", row.quantity, "x", row.unit_price, row.amount) for _, rows in groups for row in rows]
    cost = ("Cost of one", "", "", "", wording.money(one.cost.total))
    *lines, total, minutes = _columns(
        [*cells, cost, ("Minutes at the bench", "", "", "", wording.number(one.cost.minutes, 1))]
    )
    of_cost = iter(lines)
    for title, rows in groups:
        yield title
        for row in rows:
            yield next(of_cost)
            yield f"      {row.source}"
    yield total
    yield minutes
    yield ""
    channels = channel_lines(one, content, wording)
    heads = ("Channel", "Price", "Kept", "Margin", "An hour", "Floor")
    yield from _columns(
        [heads, *((line.title, line.price, line.kept, line.margin, line.hour, line.floor) for line in channels)]
    )


def _columns(rows: Sequence[tuple[str, ...]]) -> list[str]:
    """Put rows into columns as wide as their widest cell, the first to the left and all others to the right."""
    widths = [max(map(len, column)) for column in zip(*rows, strict=True)]
    return [
        "  ".join(
            [row[0].ljust(widths[0]), *(cell.rjust(width) for cell, width in zip(row[1:], widths[1:], strict=True))]
        )
        for row in rows
    ]
