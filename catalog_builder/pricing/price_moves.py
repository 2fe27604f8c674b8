"""Repricing: which prices the policy would move, by how much, and why. Private."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import TYPE_CHECKING

from catalog_builder.mistake import Finding, Place
from catalog_builder.phrase import Money, Value, phrase
from catalog_builder.pricing.book import ChannelPrice
from catalog_builder.pricing.calculation import VariantCalculation
from catalog_builder.pricing.change import Basis, Cause, split_change
from catalog_builder.pricing.policy import Rule, rule_of
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
    digits = minor_digits(studio.studio.currency)
    return tuple(
        PriceMove(
            variant,
            name,
            standing.published.printed,
            standing.policy.printed,
            standing.held,
            _causes(book, rule_of(studio.channels, name), variant, standing, digits),
        )
        for variant in calculations
        for name, standing in variant.standings.items()
        if standing.moved
    )


def moves_between(
    studios: tuple[Studio, Studio], before: Sequence[VariantCalculation], after: Sequence[VariantCalculation]
) -> tuple[PriceMove, ...]:
    """Find the prices that a supposed change would move, from what is published to what the policy would print.

    As with real changes, a price of the book stands while the policy's is within the band.
    """
    prices = _price_table(before).merge(_price_table(after), on=["variant", "channel"], suffixes=("_before", "_after"))
    changed = prices["policy_after"] != prices["published_before"]
    changed = prices["moved_after"] | (prices["unbooked_after"] & changed)
    digits = minor_digits(studios[0].studio.currency)
    moves = []
    for row in prices[changed].to_dict("records"):
        channel, variant = row["channel"], row["calculation_after"]
        rules = [rule_of(studio.channels, channel) for studio in studios]
        old = Basis(row["calculation_before"].lines, rules[0], row["published_before"])
        new = Basis(variant.lines, rules[1], row["policy_after"])
        causes = split_change(old, new, digits)
        moves.append(PriceMove(variant, channel, old.printed, new.printed, row["held_before"], causes))
    return tuple(moves)


def _price_table(calculations: Sequence[VariantCalculation]) -> pd.DataFrame:
    """Give a row for each variant and channel; prices stay Decimal."""
    import pandas as pd

    columns = ["variant", "channel", "calculation", "published", "policy", "moved", "unbooked", "held"]
    rows = (
        (variant.offer.sku, name, variant, each.published.printed, each.policy.printed, each.moved, each.entry is None,
         each.held)
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
    rows = []
    for variant in calculations:
        # Of the rows of a variant only the first says what its cost is made of: the lines are the longest cell.
        made_of: str | None = _written(variant, studio.studio.currency)
        for name, standing in variant.standings.items():
            if standing.to_write:
                rule = rule_of(studio.channels, name)
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
                made_of = None
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
    book: PriceBook, rule: Rule, variant: VariantCalculation, standing: ChannelPrice, digits: int
) -> tuple[Cause, ...]:
    entry = standing.entry
    made_of = book.made_of(entry) if entry is not None else None
    if entry is None or made_of is None:
        return (Cause("unknown", "", standing.policy.printed - standing.published.printed),)
    old = Basis(read_lines(made_of), Rule(entry.times, entry.plus), standing.published.printed)
    # Today's lines are taken as the book would write them, so that its own rounding is no cause.
    new = Basis(read_lines(_written(variant, "")), rule, standing.policy.printed)
    return split_change(old, new, digits)


def _written(variant: VariantCalculation, currency: str) -> str:
    """Write the lines of today's cost as the book does."""
    return written_lines(
        [(line.key, line.quantity, line.unit, line.unit_price) for line in variant.cost.lines], currency
    )


def _short(number: Decimal) -> Decimal:
    return number.quantize(Decimal("1e-10")).normalize()
