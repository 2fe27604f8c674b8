"""Repricing: which prices the policy would move, by how much, and why. Private."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import TYPE_CHECKING

from catalog_builder.mistake import Finding, Place
from catalog_builder.phrase import Money, Value, phrase
from catalog_builder.pricing.book import ChannelPrice
from catalog_builder.pricing.calculation import VariantCalculation
from catalog_builder.pricing.change import Basis, Cause, split_change
from catalog_builder.pricing.policy import Rule
from catalog_builder.pricing.price_group import Origin
from catalog_builder.records.product import Product
from catalog_builder.records.reading.source import Source
from catalog_builder.records.reading.validation import validate
from catalog_builder.records.selling.price_book import BookKeys, PriceBook, currency_of, read_lines, written_lines
from catalog_builder.records.studio import Studio
from catalog_builder.units import minor_digits

if TYPE_CHECKING:
    import pandas as pd

# A hold that ends within this many days is a finding.
ENDING_DAYS = 14
# A finding names so many variants.
MOST_NAMED = 12
_BOOK = Place(path="content/price_book.csv")


@dataclass(frozen=True, slots=True)
class PriceMove:
    """A price that would change: in which channel, from what to what, why, and whether the record holds it."""

    calculation: VariantCalculation
    channel: str
    old: Decimal
    new: Decimal
    held: bool
    causes: tuple[Cause, ...]

    @property
    def by(self) -> Decimal:
        """New less old."""
        return self.new - self.old


def moves_from_book(
    studio: Studio, book: PriceBook, calculations: Sequence[VariantCalculation]
) -> tuple[PriceMove, ...]:
    """Find the prices of the book that the policy of the day would move by more than the band."""
    digits, by_sku = minor_digits(studio.studio.currency), _by_sku(calculations)
    return tuple(
        PriceMove(
            variant,
            name,
            standing.published.printed,
            standing.policy.printed,
            standing.held,
            _causes(book, standing, by_sku, digits),
        )
        for variant in calculations
        for name, standing in variant.standings.items()
        if standing.moved
    )


def moves_between(
    studio: Studio, before: Sequence[VariantCalculation], after: Sequence[VariantCalculation]
) -> tuple[PriceMove, ...]:
    """Find the prices that a supposed change would move, from what is published to what the policy would print.

    As with real changes, a price of the book stands while the policy's is within the band.
    """
    prices = _price_table(before).merge(_price_table(after), on=["variant", "channel"], suffixes=("_before", "_after"))
    changed = prices["policy_after"] != prices["published_before"]
    changed = prices["moved_after"] | (prices["unbooked_after"] & changed)
    digits = minor_digits(studio.studio.currency)
    variants_before, variants_after = _by_sku(before), _by_sku(after)
    moves = []
    for row in prices[changed].to_dict("records"):
        origin_before, origin_after = row["origin_before"], row["origin_after"]
        old = Basis(origin_lines(origin_before, variants_before), origin_before.rule, row["published_before"])
        new = Basis(origin_lines(origin_after, variants_after), origin_after.rule, row["policy_after"])
        causes, variant = split_change(old, new, digits), row["calculation_after"]
        moves.append(PriceMove(variant, row["channel"], old.printed, new.printed, row["held_before"], causes))
    return tuple(moves)


def _price_table(calculations: Sequence[VariantCalculation]) -> pd.DataFrame:
    """Give a row for each variant and channel; prices stay Decimal."""
    import pandas as pd

    columns = ["variant", "channel", "calculation", "published", "policy", "moved", "unbooked", "held", "origin"]
    rows = (
        (variant.offer.sku, name, variant, each.published.printed, each.policy.printed, each.moved, each.entry is None,
         each.held, each.origin)
        for variant in calculations
        for name, each in variant.standings.items()
    )  # fmt: skip
    return pd.DataFrame(rows, columns=columns)


def rows_to_write(
    studio: Studio, day: date, calculations: Sequence[VariantCalculation], why: str | None
) -> tuple[BookKeys, ...]:
    """Give the rows that recording adds: prices that the book has not, and those that moved and are not held.

    Raises:
        MistakeError: ``why`` cannot be written into the book.
    """
    rows, by_sku = [], _by_sku(calculations)
    for variant in calculations:
        written: str | None = None
        for name, standing in variant.standings.items():
            if standing.to_write:
                rule, lines = standing.origin.rule, _written(standing.origin, by_sku, studio.studio.currency)
                # Of rows with the same lines only the first says them: they are the longest cell.
                made_of, written = None if lines == written else lines, lines
                values = {
                    "date": day,
                    "variant": variant.offer.sku,
                    "channel": name,
                    "price": standing.policy.printed,
                    "times": _short(rule.times),
                    "plus": _short(rule.plus),
                    "why": why,
                    "made_of": made_of,
                    "seal": None,
                }
                rows.append(validate(BookKeys, values, Source("--why", ""), lambda _: None))
    return tuple(rows)


def book_findings(
    book: PriceBook, studio: Studio, day: date, calculations: Sequence[VariantCalculation], moves: Sequence[PriceMove]
) -> Iterator[Finding]:
    """Find where the book and the day disagree."""
    yield from book.findings
    waiting = sum(not move.held for move in moves)
    if waiting:
        yield _finding("B01", _BOOK, "prices_waiting", count=waiting)
    later = [row.date for row in book.rows if row.date > day]
    if later:
        yield _finding("B02", _BOOK, "prices_to_come", first=min(later), day=day)
    unknown = sorted({row.channel for row in book.rows} - set(studio.channels))
    if unknown:
        yield _finding("B07", _BOOK, "unknown_channels", channels=tuple(unknown))
    entries = {variant.offer.sku: [each.entry for each in variant.standings.values()] for variant in calculations}
    gone = sorted({row.variant for row in book.rows} - set(entries))
    if gone:
        yield _finding("B03", _BOOK, "variants_gone", count=len(gone), variants=tuple(gone[:MOST_NAMED]))
    unpriced = [sku for sku, rows in entries.items() if not any(rows)]
    if gone and unpriced:
        yield _finding("B03", _BOOK, "variants_new", count=len(unpriced), variants=tuple(unpriced[:MOST_NAMED]))
    foreign: dict[str, str] = {}
    for sku, rows in entries.items():
        recorded = [currency_of(book.made_of(row) or "") for row in rows if row is not None]
        foreign |= {currency: sku for currency in recorded if currency and currency != studio.studio.currency}
    for currency, sku in sorted(foreign.items()):
        values = {"old": currency, "new": studio.studio.currency, "variant": sku}
        yield _finding("B07", _BOOK, "other_currency", **values)


def hold_findings(
    products: Sequence[Product], day: date, calculations: Sequence[VariantCalculation], moves: Sequence[PriceMove]
) -> Iterator[Finding]:
    """Find held prices that today's costs would change, holds without a price to hold, and holds that end soon."""
    unpriced = Counter(
        each.product.slug for each in calculations for standing in each.standings.values() if standing.entry is None
    )
    for product in products:
        title, until = product.keys.title, product.keys.hold_until
        if until is None:
            continue
        place = product.source.place(product.line("hold_until"))
        held = [move.by for move in moves if move.held and move.calculation.product is product]
        if held:
            most = max(held, key=abs)
            key = "hold_asks_more" if most > 0 else "hold_asks_less"
            yield _finding("B05", place, key, title=title, until=until, amount=Money(abs(most)))
        days = (until - day).days
        if days >= 0 and unpriced[product.slug]:
            count = unpriced[product.slug]
            yield _finding("B09", place, "hold_without_price", title=title, until=until, count=count)
        if 0 <= days <= ENDING_DAYS:
            key = {0: "hold_ends_today", 1: "hold_ends_tomorrow"}.get(days, "hold_ends")
            yield _finding("B06", place, key, title=title, days=days)


# Findings of one kind have one advice, whatever form their text has.
_ADVICE = {
    "hold_asks_more": "hold_asks",
    "hold_asks_less": "hold_asks",
    "hold_ends_today": "hold_ends",
    "hold_ends_tomorrow": "hold_ends",
}


def _finding(code: str, place: Place, key: str, **values: Value) -> Finding:
    text = phrase(f"findings_pricing.{key}", **values)
    return Finding(code=code, place=place, text=text, advice=phrase(f"findings_pricing.{_ADVICE.get(key, key)}_advice"))


def _causes(
    book: PriceBook, standing: ChannelPrice, by_sku: Mapping[str, VariantCalculation], digits: int
) -> tuple[Cause, ...]:
    entry, origin = standing.entry, standing.origin
    made_of = book.made_of(entry) if entry is not None else None
    if entry is None or made_of is None:
        return (Cause("unknown", "", standing.policy.printed - standing.published.printed),)
    old = Basis(read_lines(made_of), Rule(entry.times, entry.plus), standing.published.printed)
    # Today's lines are taken as the book would write them, so that its own rounding is no cause.
    new = Basis(read_lines(_written(origin, by_sku, "")), origin.rule, standing.policy.printed)
    return split_change(old, new, digits)


def _by_sku(calculations: Sequence[VariantCalculation]) -> dict[str, VariantCalculation]:
    return {variant.offer.sku: variant for variant in calculations}


def origin_lines(origin: Origin, by_sku: Mapping[str, VariantCalculation]) -> dict[str, tuple[Decimal, Decimal]]:
    """Give quantity and unit price of each line of the cost that a price follows from, by its key.

    Where the costs of several variants have a part in it, each gives that part of its quantities.
    """
    lines: dict[str, tuple[Decimal, Decimal]] = {}
    for sku, part in origin.parts:
        for key, (quantity, unit_price) in by_sku[sku].lines.items():
            before = lines.get(key, (Decimal(0), unit_price))[0]
            lines[key] = (before + part * quantity, unit_price)
    return lines


def _written(origin: Origin, by_sku: Mapping[str, VariantCalculation], currency: str) -> str:
    """Write the lines of the cost that a price follows from as the book does."""
    units = {line.key: line.unit for sku, _ in origin.parts for line in by_sku[sku].cost.lines}
    lines = origin_lines(origin, by_sku).items()
    return written_lines([(key, quantity, units[key], price) for key, (quantity, price) in lines], currency)


def _short(number: Decimal) -> Decimal:
    return number.quantize(Decimal("1e-10")).normalize()
