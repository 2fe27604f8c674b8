"""What if: materials, the studio's rules and batches with supposed numbers, no file changed."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from decimal import Decimal

from catalog_builder.mistake import MistakeError, Place
from catalog_builder.pricing.suppositions.assumptions import Assumptions
from catalog_builder.pricing.suppositions.supposed_rules import suppose_rule, unknown
from catalog_builder.records.materials import MaterialPrice
from catalog_builder.units import minor_digits, rounded

_FORM = re.compile(r"\s*([a-z0-9_.-]+)\s*=\s*(?:([+-]?)\s*(\d+(?:\.\d+)?)\s*(%?)|(up|nearest|down))\s*")
MOST = 1_000_000_000


def suppose(assumed: Assumptions, text: str) -> Assumptions:
    """Give what is assumed as it would be if a price, a rate, a rule or the minutes of a step changed.

    ``text`` is a name, =, and an amount or a change: ``glass=+15%`` for every glass, ``solder-60-40=28.50`` for a pack,
    ``rate=22`` for the hourly rate, ``channels.stall.fee_percent=+1`` for a key as ``studio.toml`` has it. Changes
    start from what is in force on the assumed day.

    Raises:
        MistakeError: the text is not of that form, nothing has that name, or it cannot have that value.
    """
    match = _FORM.fullmatch(text)
    if match is None:
        pointed = text.replace(",", ".")
        mend = f"use a decimal point: {pointed}" if _FORM.fullmatch(pointed) else "write it in that form"
        expected = "such as glass=+15%, solder-60-40=28.50 or rate=22"
        raise MistakeError.at(_place(text), wrong=f"{text!r} is not a supposition", expected=expected, mend=mend)
    name, sign, number, percent, word = match.groups()
    if bool(word) != (name.rpartition(".")[2] == "rounding"):
        raise MistakeError.at(
            _place(text),
            wrong=f"{text!r} gives {'a word' if word else 'a number'} to {name}",
            expected="a number or a change of one" if word else "up, nearest or down",
            mend=f"write {name}={'+5%' if word else 'nearest'}, for example",
        )
    amendment = _Amendment(text, sign or "", Decimal(number or 0), bool(percent))
    supposed = _with_materials(assumed, name, amendment) if not word else None
    supposed = supposed or suppose_rule(assumed, name, amendment.of, word or "", text)
    if supposed is None:
        rows = assumed.materials.rows
        raise unknown(assumed, name, text, {*rows, *(row.kind for row in rows.values())})
    return supposed


def supposed_prices(before: Assumptions, after: Assumptions) -> tuple[MaterialPrice, ...] | None:
    """Give the prices of materials that were supposed; None where something else was supposed too."""
    if (before.studio, before.products) != (after.studio, after.products):
        return None
    prices = ((after.materials.price(name, after.day), before.materials.price(name, before.day))
              for name in sorted(after.materials.rows))  # fmt: skip
    return tuple(new for new, old in prices if new is not None and old is not None and new.price != old.price)


@dataclass(frozen=True, slots=True)
class _Amendment:
    text: str
    sign: str
    number: Decimal
    percent: bool

    def of(self, current: Decimal | None) -> Decimal:
        """Give the amount in place of the present one.

        Raises:
            MistakeError: there is nothing to change, or the amount cannot be.
        """
        if not self.sign and self.percent:
            raise self._refused("does not say whether it goes up or down", "+15% or -15%")
        if self.sign and current is None:
            raise self._refused("is a change of a key that is not there", "an amount, such as 20")
        current = current or Decimal(0)
        change = current * self.number / 100 if self.percent else self.number
        amount = current + change if self.sign == "+" else current - change if self.sign == "-" else self.number
        if amount > MOST:
            raise self._refused("would make a price that cannot be", f"a price up to {MOST}")
        if amount < 0:
            raise self._refused("would make a price less than nothing", "a price from zero up")
        return amount

    def _refused(self, wrong: str, expected: str) -> MistakeError:
        mend = "write it in that form"
        return MistakeError.at(_place(self.text), wrong=f"{self.text!r} {wrong}", expected=expected, mend=mend)


def _with_materials(assumed: Assumptions, name: str, amendment: _Amendment) -> Assumptions | None:
    """Give other prices to a material, or to all of a kind; None where none is named so. A pack's price is rounded."""
    materials, digits = assumed.materials, minor_digits(assumed.studio.studio.currency)
    names = [material for material, row in sorted(materials.rows.items()) if name in (material, row.kind)]
    if not names:
        return None
    prices = dict(materials.prices)
    for material in names:
        price = materials.price(material, assumed.day)
        if price is not None:
            amount = rounded(amendment.of(price.price), digits)
            row = f"--suppose {amendment.text.strip()}"
            prices[material] = (MaterialPrice(material, assumed.day, amount, row),)
    return replace(assumed, materials=replace(materials, prices=prices))


def _place(text: str) -> Place:
    return Place(path=f"--suppose {text}")
