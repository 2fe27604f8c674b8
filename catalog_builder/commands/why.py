"""Why a price is what it is, line by line, for the terminal."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date
from pathlib import Path

from catalog_builder.build import calculate
from catalog_builder.mistake import MistakeError, Place, listed, suggestion
from catalog_builder.phrase import phrase
from catalog_builder.pricing.calculation import VariantCalculation
from catalog_builder.pricing.consistency import OLD_PRICES
from catalog_builder.publish.bench.costs.cost_card import card_groups, channel_lines
from catalog_builder.publish.bench.costs.price_notes import price_notes
from catalog_builder.publish.studio_calculation import quiet
from catalog_builder.publish.theme.phrasing import Phrasing
from catalog_builder.records.studio import Studio


def explain(project: Path, day: date, name: str) -> str:
    """Give the whole calculation of a variant by its code, or of a product's first variant by its folder's name.

    Raises:
        MistakeError: the records have mistakes, or nothing has that name.
    """
    calculated = calculate(project, day, quiet)
    studio, variants = calculated.content.studio, named_variants(calculated.calculations, name)
    phrasing = calculated.phrasing
    notes = [finding.text for finding in calculated.worded_findings if finding.code == OLD_PRICES]
    words = {variant.offer.sku: variant.offer.words for variant in calculated.calculations}
    prices = (phrasing.say(note) for note in price_notes(variants[0], words, studio, own_rules=True))
    lines = [*notes, *_lines(variants[0], day, studio, phrasing), "", *prices]
    others = [variant.offer.sku for variant in variants[1:]]
    if others:
        lines.append(phrasing.say(phrase("commands.why_others", variants=", ".join(others))))
    return "\n".join(lines)


def named_variants(calculations: Sequence[VariantCalculation], name: str) -> list[VariantCalculation]:
    """Give the variants that a code or the name of a product's folder means.

    Raises:
        MistakeError: nothing has that name.
    """
    variants = [variant for variant in calculations if name in (variant.offer.sku, variant.product.slug)]
    if not variants:
        raise _unknown(name, calculations)
    return variants


def _unknown(name: str, calculations: Sequence[VariantCalculation]) -> MistakeError:
    products = {variant.product.slug for variant in calculations}
    known = products | {variant.offer.sku for variant in calculations}
    return MistakeError.at(
        Place(path="content/products"),
        wrong=f"there is no product or variant {name!r}",
        expected=f"one of: {listed(products, most=40)}, or the code of a variant",
        mend=suggestion(name, known, "write the name of the product's folder"),
    )


def _lines(variant: VariantCalculation, day: date, studio: Studio, phrasing: Phrasing) -> Iterator[str]:
    wording, labels, card = phrasing.wording, phrasing.labels["commands"], phrasing.labels["bench"]
    yield from heading(variant, day, phrasing)
    groups = list(card_groups(variant, phrasing))
    cells = [(f"  {row.name}", row.quantity, "×", row.unit_price, row.amount) for group in groups for row in group.rows]
    cost = (labels["why_cost"], "", "", "", wording.money(variant.cost.total))
    minutes = (labels["why_minutes"], "", "", "", wording.number(variant.cost.minutes, 1))
    *of_cost, total_line, minutes_line = aligned([*cells, cost, minutes])
    cost_lines = iter(of_cost)
    for group in groups:
        yield group.heading
        for row in group.rows:
            yield next(cost_lines)
            yield f"      {row.source}"
    yield from (total_line, minutes_line, "")
    columns = ("channel", "price", "kept", "margin", "hour", "floor")
    rows = [
        (line.title, line.price, line.kept, line.margin, line.hour, line.floor)
        for line in channel_lines(variant, studio, wording)
    ]
    yield from aligned([tuple(card[column] for column in columns), *rows])


def heading(variant: VariantCalculation, day: date, phrasing: Phrasing) -> Iterator[str]:
    """Say which variant is spoken of, on which day, and an empty line."""
    yield f"{variant.product.keys.title}: {variant.offer.words}   ({variant.offer.sku})"
    yield phrasing.say(phrase("commands.why_basis", day=day, batch=variant.batch))
    yield ""


def aligned(rows: Sequence[tuple[str, ...]]) -> Iterator[str]:
    """Set rows in columns as wide as their longest text, the first to the left and the others to the right."""
    widths = [max(map(len, column)) for column in zip(*rows, strict=True)]
    for first, *others in rows:
        cells = (f"{text:>{width}}" for text, width in zip(others, widths[1:], strict=True))
        yield "  ".join((f"{first:<{widths[0]}}", *cells))
