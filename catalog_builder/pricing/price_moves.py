"""Repricing: which prices the policy would move, by how much, and why. Private."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from catalog_builder.mistake import Finding, Place
from catalog_builder.pricing.book import ChannelPrice
from catalog_builder.pricing.calculation import VariantCalculation
from catalog_builder.pricing.change import Basis, Cause, split
from catalog_builder.pricing.policy import Rule, rule_of
from catalog_builder.records.content import Content
from catalog_builder.records.reading.source import Source
from catalog_builder.records.reading.validation import admit
from catalog_builder.records.selling.price_book import BookKeys, read_lines, written_lines
from catalog_builder.units import minor_digits

# A hold that ends within this many days is told.
ENDING_DAYS = 14


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


def moves_from_book(content: Content, calculations: Sequence[VariantCalculation]) -> tuple[PriceMove, ...]:
    """Find the prices of the book that the policy of the day would move by more than the band."""
    digits = minor_digits(content.studio.studio.currency)
    moved = []
    for one in calculations:
        for name, standing in one.standings.items():
            if standing.moved:
                causes = _causes(content, one, name, standing, digits)
                old, new = standing.published.printed, standing.policy.printed
                moved.append(PriceMove(one, name, old, new, standing.held, causes))
    return tuple(moved)


def moves_between(
    contents: tuple[Content, Content], before: Sequence[VariantCalculation], after: Sequence[VariantCalculation]
) -> tuple[PriceMove, ...]:
    """Find the prices that a supposed change would move, from what is published to what the policy would print.

    As with real changes, a price of the book stands while the policy's is within the band.
    """
    digits = minor_digits(contents[0].studio.studio.currency)
    later = {one.offer.sku: one for one in after}
    moved = []
    for one in before:
        other = later.get(one.offer.sku)
        if other is None:
            continue
        for name, standing in one.standings.items():
            then = other.standings[name]
            old, new = standing.published.printed, then.policy.printed
            if then.moved or (then.entry is None and old != new):
                bases = (
                    Basis(one.lines, rule_of(contents[0].studio.channels, name), old),
                    Basis(other.lines, rule_of(contents[1].studio.channels, name), new),
                )
                moved.append(PriceMove(other, name, old, new, standing.held, split(*bases, digits)))
    return tuple(moved)


def rows_to_write(
    content: Content, calculations: Sequence[VariantCalculation], why: str | None
) -> tuple[BookKeys, ...]:
    """Give the rows that the maker's word adds: prices that the book has not, and those that moved and are not held.

    Raises:
        MistakeError: the words beside them are none that can be written.
    """
    channels = content.studio.channels
    rows = []
    for one in calculations:
        made_of: str | None = _written(one)
        for name, standing in one.standings.items():
            if standing.to_write:
                rule = rule_of(channels, name)
                values = {
                    "date": content.day,
                    "variant": one.offer.sku,
                    "channel": name,
                    "price": standing.policy.printed,
                    "times": _short(rule.times),
                    "plus": _short(rule.plus),
                    "why": why,
                    "made_of": made_of,
                    "seal": None,
                }
                rows.append(admit(BookKeys, values, Source("--why", ""), lambda _: None))
                made_of = None
    return tuple(rows)


def book_findings(
    content: Content, calculations: Sequence[VariantCalculation], moved: Sequence[PriceMove]
) -> list[Finding]:
    """Find what the book and the day disagree about."""
    book, day = content.book, content.day
    place = Place(path="content/price_book.csv")
    findings = list(book.findings)
    waiting = [one for one in moved if not one.held]
    if waiting:
        findings.append(
            Finding(
                code="B01",
                place=place,
                text=f"today's costs would move {len(waiting)} prices of the book; the book's are published",
                advice="`catalog-builder reprice` shows which and why; with --record it writes the new ones",
            )
        )
    later = sorted({row.date for row in book.rows if row.date > day})
    if later:
        findings.append(
            Finding(
                code="B02",
                place=place,
                text=f"the book holds prices from {later[0]} on, after {day}",
                advice="they come into force on their day; nothing is to be done if that is meant",
            )
        )
    strange = sorted({row.channel for row in book.rows} - set(content.studio.channels))
    if strange:
        findings.append(
            Finding(
                code="B07",
                place=place,
                text=f"the book has prices of channels that studio.toml does not know: {', '.join(strange)}",
                advice="correct the name in rows written by hand; rows of a channel that is gone are history",
            )
        )
    known = {one.offer.sku for one in calculations}
    gone = sorted({row.variant for row in book.rows} - known)
    if gone:
        findings.append(
            Finding(
                code="B03",
                place=place,
                text=f"{len(gone)} variants of the book are not offered any more, such as {gone[0]}",
                advice="leave their rows: they are history",
            )
        )
    findings.extend(_held(content, moved))
    return findings


def _held(content: Content, moved: Sequence[PriceMove]) -> list[Finding]:
    findings = []
    for product in content.products:
        until = product.keys.hold_until
        if until is None:
            continue
        place = product.source.place(product.line("hold_until"))
        mine = [one for one in moved if one.held and one.calculation.product is product]
        if mine:
            most = max((one.by for one in mine), key=abs)
            asks = f"up to {abs(most)} {'more' if most > 0 else 'less'} an item"
            findings.append(
                Finding(
                    code="B05",
                    place=place,
                    text=f"{product.keys.title}: held until {until}; today's costs ask for {asks}",
                    advice="let it run out, or take the hold off",
                )
            )
        days = (until - content.day).days
        if 0 <= days <= ENDING_DAYS:
            ends = {0: "today", 1: "tomorrow"}.get(days, f"in {days} days")
            findings.append(
                Finding(
                    code="B06",
                    place=place,
                    text=f"{product.keys.title}: the hold on its prices ends {ends}",
                    advice="reprice after that day, or hold them longer",
                )
            )
    return findings


def _causes(
    content: Content, one: VariantCalculation, name: str, standing: ChannelPrice, digits: int
) -> tuple[Cause, ...]:
    entry = standing.entry
    made_of = content.book.made_of(entry) if entry is not None else None
    if entry is None or made_of is None:
        return (Cause("unknown", "", standing.policy.printed - standing.published.printed),)
    old = Basis(read_lines(made_of), Rule(entry.times, entry.plus), standing.published.printed)
    # Today's lines are taken as the book would write them, so that its own rounding is no cause.
    new = Basis(read_lines(_written(one)), rule_of(content.studio.channels, name), standing.policy.printed)
    return split(old, new, digits)


def _written(one: VariantCalculation) -> str:
    """Write the lines of today's cost as the book does."""
    return written_lines([(line.key, line.quantity, line.unit, line.unit_price) for line in one.cost.lines])


def _short(number: Decimal) -> Decimal:
    return number.quantize(Decimal("1e-10")).normalize()
