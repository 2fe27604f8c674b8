"""What a price that is asked for would leave, and what would have to change for it to pay, for the terminal."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from pathlib import Path

from catalog_builder.build import calculate
from catalog_builder.commands.why import aligned, heading, named_variants
from catalog_builder.mistake import MistakeError, Place, listed, suggestion
from catalog_builder.phrase import Money, Number, Phrase, Value, phrase, quantity
from catalog_builder.pricing.calculation import VariantCalculation
from catalog_builder.pricing.suppositions.given_price import Alteration, GivenPrice, Remainder
from catalog_builder.pricing.suppositions.other_making import OtherMakings
from catalog_builder.publish.product_calculation import ProductCalculator
from catalog_builder.publish.studio_calculation import StudioCalculation, quiet
from catalog_builder.publish.theme.phrasing import Phrasing
from catalog_builder.records.studio import Studio
from catalog_builder.units import minor_digits

MOST = 1_000_000_000
_ALONE = "write the number alone"


def answer(project: Path, day: date, name: str, asked: str, channel_name: str | None) -> str:
    """Answer what a price leaves of a variant in every channel, and what would have to change for it to pay in one.

    ``name`` is a variant's code, or the folder of a product, whose first variant is taken. ``channel_name`` is the
    catalogue's channel where it is not given.

    Raises:
        MistakeError: the records have mistakes, nothing has that name, or the price or the channel cannot be.
    """
    calculated = calculate(project, day, quiet)
    studio, variants = calculated.content.studio, named_variants(calculated.calculations, name)
    digits = minor_digits(studio.studio.currency)
    printed = _amount(asked, digits)
    question = _Question(studio, printed, _channel(studio, channel_name), digits)
    variant = variants[0]
    same = [each for each in calculated.calculations if each.product.slug == variant.product.slug]
    lines = [*heading(variant, day, calculated.phrasing), *_leavings(variant, question, calculated.phrasing), ""]
    lines += _changes(_makings(calculated, variant, same), question, calculated.phrasing)
    return "\n".join(lines)


@dataclass(frozen=True, slots=True)
class _Question:
    studio: Studio
    printed: Decimal
    channel: str
    digits: int

    def given(self, channel: str = "") -> GivenPrice:
        """Give the price in a channel; in the one that is asked about where none is named."""
        chosen = self.studio.channels[channel or self.channel]
        return GivenPrice(chosen, self.printed, self.studio.bench, self.digits)


def _makings(
    calculated: StudioCalculation, variant: VariantCalculation, variants: Sequence[VariantCalculation]
) -> OtherMakings:
    calculator = ProductCalculator.of(calculated.content, calculated.kept.store)
    return OtherMakings(variant, variants, calculator.assembler, calculator.pricer)


def _leavings(variant: VariantCalculation, question: _Question, phrasing: Phrasing) -> Iterator[str]:
    """Say what every channel leaves of the price."""
    labels, card, wording = phrasing.labels["asked_price"], phrasing.labels["bench"], phrasing.wording
    yield phrasing.say(phrase("asked_price.asked", price=Money(question.printed)))
    yield ""
    rows: list[tuple[str, ...]] = [(card["channel"], card["kept"], labels["profit"], card["hour"], labels["minutes"])]
    for name, channel in question.studio.channels.items():
        left = question.given(name).leaves(variant.cost)
        earning = left.earning
        money = [wording.money(amount) for amount in (earning.left_after_fees, earning.profit, earning.an_hour)]
        rows.append((channel.title, *money, wording.number(left.minutes, 1)))
    yield from aligned(rows)
    bench = question.studio.bench
    yield ""
    yield phrasing.say(
        phrase(
            "asked_price.takes",
            minutes=Number(variant.cost.minutes, 1),
            materials=Money(variant.cost.total - variant.cost.of("labour", "overhead")),
            rate=Money(bench.hourly_rate),
            overheads=Money(bench.overhead_an_hour),
        )
    )


def _changes(makings: OtherMakings, question: _Question, phrasing: Phrasing) -> Iterator[str]:
    variant, given = makings.variant, question.given()
    left = given.leaves(variant.cost)
    asked: dict[str, Value] = {"channel": given.channel.title, "price": Money(given.printed)}
    if left.pays:
        yield phrasing.say(
            phrase("asked_price.pays", spare=Number(left.minutes - variant.cost.minutes, 1), **asked),
        )
    else:
        yield phrasing.say(phrase("asked_price.lacks", amount=Money(-left.earning.profit), **asked))
        yield from (f"  {phrasing.say(each)}" for each in _needed(makings, left, given))
    target = given.target_cost
    if target is not None and target < variant.cost.total:
        values = {"cost": Money(max(target, Decimal(0))), "now": Money(variant.cost.total)}
        yield phrasing.say(phrase("asked_price.target", channel=given.channel.title, **values))
    others = [
        *(("size", variant.product.keys.size_title(each.new), each) for each in makings.sizes(given)),
        *(("finish", question.studio.finishes[each.new].title, each) for each in makings.finishes(given)),
        *(("glass", _glass_title(variant, each.new), each) for each in makings.glasses(given)),
    ]
    if others:
        yield from ("", phrasing.say(phrase("asked_price.others", **asked)))
        yield from aligned(tuple(_other_rows(others, phrasing)))


def _needed(makings: OtherMakings, left: Remainder, given: GivenPrice) -> Iterator[Phrase]:
    """Say what alone would make the price pay, or how far it goes."""
    minutes = left.cost.minutes
    if left.minutes > 0:
        values = {"minutes": Number(minutes - left.minutes, 1), "allowed": Number(left.minutes, 1)}
        yield phrase("asked_price.fewer_minutes", now=Number(minutes, 1), **values)
    else:
        yield phrase("asked_price.no_minutes", materials=Money(left.materials))
    if -left.earning.profit <= left.materials:
        yield phrase("asked_price.less_material", amount=Money(-left.earning.profit), now=Money(left.materials))
    alone: tuple[tuple[str, Alteration[int] | None], ...] = (
        ("batch", makings.batch(given)),
        ("width", makings.width(given)),
        ("pieces", makings.pieces(given)),
    )
    for kind, each in alone:
        if each is None:
            continue
        old, new, by = (_measure(kind, number) for number in (each.old, each.new, abs(each.new - each.old)))
        key = f"asked_price.{kind}" if each.remainder.pays else f"asked_price.{kind}_short"
        yield phrase(key, old=old, new=new, by=by, hour=Money(each.remainder.earning.an_hour))
    yield phrase("asked_price.floor", floor=Money(left.earning.floor))


def _measure(kind: str, number: int) -> Value:
    return quantity(number, "mm") if kind == "width" else number


def _other_rows(
    others: Sequence[tuple[str, str, Alteration[str]]], phrasing: Phrasing
) -> Iterator[tuple[str, str, str, str, str]]:
    labels, card, wording = phrasing.labels["asked_price"], phrasing.labels["bench"], phrasing.wording
    yield ("", phrasing.labels["commands"]["why_cost"], card["minutes"], labels["profit"], card["hour"])
    for kind, title, each in others:
        left = each.remainder
        yield (
            f"  {phrasing.say(phrase(f'asked_price.other_{kind}', name=title))}",
            wording.money(left.cost.total),
            wording.number(left.cost.minutes, 1),
            wording.money(left.earning.profit),
            wording.money(left.earning.an_hour),
        )


def _glass_title(variant: VariantCalculation, choice: str) -> str:
    return variant.product.keys.glass[choice].title or choice


def _amount(text: str, digits: int) -> Decimal:
    form = r"\d{1,10}" + (rf"(\.\d{{1,{digits}}})?" if digits else "")
    amount = Decimal(text) if re.fullmatch(form, text) else Decimal(0)
    if not 0 < amount <= MOST:
        pointed = text.replace(",", ".")
        raise MistakeError.at(
            Place(path=f"--at {text}"),
            wrong=f"{text!r} is not a price",
            expected=f"a number over 0, such as 45, with up to {digits} digits behind the point",
            mend=f"use a decimal point: {pointed}" if "," in text and re.fullmatch(form, pointed) else _ALONE,
        )
    return amount


def _channel(studio: Studio, name: str | None) -> str:
    chosen = studio.channel_on("catalogue") if name is None else name
    if chosen not in studio.channels:
        raise MistakeError.at(
            Place(path=f"--channel {chosen}"),
            wrong=f"there is no channel {chosen!r}",
            expected=f"one of: {listed(studio.channels)}",
            mend=suggestion(chosen, studio.channels, "write the name of a table [channels.NAME] of studio.toml"),
        )
    return chosen
