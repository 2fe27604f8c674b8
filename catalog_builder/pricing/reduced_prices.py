"""Reductions put into force: the reduced price takes the place of the published one from its first to its last day."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal

from catalog_builder.mistake import Finding, Mistakes
from catalog_builder.offer import AskedPrice, ShownReduction
from catalog_builder.phrase import Money, Value, phrase
from catalog_builder.pricing.calculation import VariantCalculation, asked_price
from catalog_builder.pricing.earlier_price import DAYS, ReducedAmount, reduced_amounts
from catalog_builder.pricing.policy import Price, floor_of, printed_price, read_earning
from catalog_builder.pricing.ready_stock import variant_of
from catalog_builder.records.selling.price_book import PriceBook
from catalog_builder.records.selling.reductions import Reduction, Reductions
from catalog_builder.records.studio import Studio
from catalog_builder.records.variant import Variant
from catalog_builder.units import minor_digits, rounded


@dataclass(frozen=True, slots=True)
class Reducer:
    """What reductions rest on: the studio's channels, its price book and the table of reductions."""

    studio: Studio
    book: PriceBook
    reductions: Reductions

    def amounts(self, sku: str, variant: Variant, channel: str) -> list[tuple[Reduction, ReducedAmount | None]]:
        """Give every reduction of a variant in a channel with what it prints."""
        rows = self.reductions.of.get((variant, channel), ())
        digits = minor_digits(self.studio.studio.currency)

        def recorded(day: date) -> Decimal | None:
            entry = self.book.last(sku, channel, day)
            return None if entry is None else max(rounded(entry.price, digits), Decimal(1).scaleb(-digits))

        return list(zip(rows, reduced_amounts(recorded, rows, digits), strict=True))

    def on(self, sku: str, variant: Variant, day: date) -> dict[str, ReducedAmount]:
        """Give what is reduced on a day, by channel."""
        return {
            channel: amount
            for channel in self.studio.channels
            for row, amount in self.amounts(sku, variant, channel)
            if amount is not None and row.holds_on(day)
        }

    def asked(self, prices: Mapping[str, Price], channel: str, reduced: Mapping[str, ReducedAmount]) -> AskedPrice:
        """Give what the buyer of a channel is asked for, with the earlier price where it is reduced."""
        amount = reduced.get(channel)
        if amount is None:
            return asked_price(self.studio, prices, channel)
        asked = asked_price(self.studio, {channel: self._price(channel, amount)}, channel)
        row = amount.reduction
        shown = ShownReduction(amount.earlier, row.percent, row.reason, row.last_day, row.note)
        return replace(asked, reduction=shown)

    def _price(self, channel: str, amount: ReducedAmount) -> Price:
        return printed_price(self.studio.channels[channel], amount.printed, minor_digits(self.studio.studio.currency))

    def reduced(self, variant: VariantCalculation, day: date) -> VariantCalculation:
        """Give a variant with the reductions of a day in its prices, its earnings and its offer."""
        reduced = self.on(variant.offer.sku, variant_of(variant), day)
        if not reduced:
            return variant
        digits, rate = minor_digits(self.studio.studio.currency), self.studio.bench.hourly_rate
        prices = {name: self._price(name, amount) for name, amount in reduced.items()}
        channels = self.studio.channels
        earnings = {
            name: read_earning(channels[name], each, variant.cost, rate, digits) for name, each in prices.items()
        }
        online, stall = (
            self.asked(variant.prices, self.studio.channel_on(audience), reduced) for audience in ("catalogue", "stall")
        )
        return replace(
            variant,
            reduced=prices,
            earnings={**variant.earnings, **earnings},
            offer=replace(variant.offer, online=online, stall=stall),
        )


def with_reductions(
    reducer: Reducer, variants: Sequence[VariantCalculation], day: date, findings: list[Finding]
) -> list[VariantCalculation]:
    """Put the reductions of a day into force, adding what the maker should know of those that are not over.

    Raises:
        MistakeError: a reduction has no earlier price, is none, or goes under the floor price without being told to.
    """
    mistakes = Mistakes()
    for variant in variants if reducer.reductions.of else ():
        for channel in reducer.studio.channels:
            for row, amount in reducer.amounts(variant.offer.sku, variant_of(variant), channel):
                if row.last_day >= day:
                    findings += _checked(reducer, variant, row, amount, day, mistakes)
    mistakes.raise_if_any()
    return [reducer.reduced(variant, day) for variant in variants]


def _checked(
    reducer: Reducer,
    variant: VariantCalculation,
    row: Reduction,
    amount: ReducedAmount | None,
    day: date,
    mistakes: Mistakes,
) -> Iterator[Finding]:
    sku, name = variant.offer.sku, row.channel
    if amount is None:
        if row.holds_on(day):
            mistakes.add(
                row.place,
                wrong=f"the earlier price of {sku} in {name} is not known: the book has none of the 30 days before",
                expected="a price of the book before the first day, or one in the column `earlier`",
                mend="write the lowest price of the 30 days before under `earlier`; next time record prices first",
            )
        return
    channel, digits = reducer.studio.channels[name], minor_digits(reducer.studio.studio.currency)
    standing = variant.standings[name].published.printed
    if amount.printed >= amount.earlier or (row.holds_on(day) and amount.printed >= standing):
        lowest = amount.earlier if amount.printed >= amount.earlier else standing
        mistakes.add(
            row.place,
            wrong=f"the reduced price of {sku} in {name}, {amount.printed}, is not under {lowest}",
            expected="a price under the lowest of the 30 days before, and under the one without the reduction",
            mend="lower it, or take the reduction out",
        )
    floor = floor_of(channel, variant.cost.total, digits)
    if amount.printed < floor and not row.under_floor:
        mistakes.add(
            row.place,
            wrong=f"the reduced price of {sku} in {name}, {amount.printed}, is under the floor price of {floor}",
            expected="a price that covers the cost and the fees, or `yes` under `under_floor`",
            mend="take less off, or write yes under under_floor if you mean it",
        )
    elif amount.printed < floor:
        yield _finding("R01", row, "under_floor", variant=sku, channel=channel.title, floor=Money(floor))
    if amount.days < DAYS:
        yield _finding("R02", row, "few_days", variant=sku, channel=channel.title, count=amount.days)


def _finding(code: str, row: Reduction, key: str, **values: Value) -> Finding:
    text = phrase(f"reduced.{key}", **values)
    return Finding(code=code, place=row.place, text=text, advice=phrase(f"reduced.{key}_advice"))
