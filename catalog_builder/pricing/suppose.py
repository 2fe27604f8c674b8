"""What if: materials and rates with supposed prices, no file changed."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import date
from decimal import Decimal

from catalog_builder.mistake import Mistake, MistakeError, Place, listed, nearest
from catalog_builder.records.materials import MaterialPrice, Materials
from catalog_builder.records.studio import Studio

_FORM = re.compile(r"\s*([a-z0-9_-]+)\s*=\s*([+-]?)\s*(\d+(?:\.\d+)?)\s*(%?)\s*")
MOST = 1_000_000_000
RATES = {"rate": "hourly_rate", "overheads": "overheads_a_year"}


def suppose(studio: Studio, materials: Materials, day: date, text: str) -> tuple[Studio, Materials]:
    """Give the studio and its materials as they would be if a price or a rate changed.

    ``text`` is a name, =, and an amount or a change: ``glass=+15%`` for every glass, ``solder-60-40=28.50`` for a pack,
    ``rate=22`` for the hourly rate, ``overheads=-200`` for the yearly overheads. Changes start from the prices in force
    on ``day``.

    Raises:
        MistakeError: the text is not of that form, or nothing has that name.
    """
    match = _FORM.fullmatch(text)
    if match is None:
        pointed = text.replace(",", ".")
        mend = f"use a decimal point: {pointed}" if _FORM.fullmatch(pointed) else "write it in that form"
        raise _mistake(
            text, f"{text!r} is not a supposition", "such as glass=+15%, solder-60-40=28.50 or rate=22", mend
        )
    name, sign, number, percent = match.groups()
    if name in RATES:
        field = RATES[name]
        rate = _changed(getattr(studio.bench, field), sign, Decimal(number), percent, text)
        bench = studio.bench.model_copy(update={field: rate})
        return studio.with_bench(bench), materials
    rows = materials.rows
    names = [material for material, row in sorted(rows.items()) if name in (material, row.kind)]
    if not names:
        known = {*rows, *(row.kind for row in rows.values()), *RATES}
        guess = nearest(name, known)
        mend = f"did you mean {guess!r}?" if guess else "write the name of a material, a kind of material, or a rate"
        raise _mistake(text, f"nothing is named {name!r}", f"one of: {listed(known, most=60)}", mend)
    prices = dict(materials.prices)
    for material in names:
        price = materials.price(material, day)
        if price is not None:
            amount = _changed(price.price, sign, Decimal(number), percent, text)
            prices[material] = (MaterialPrice(material, day, amount, f"--suppose {text.strip()}"),)
    return studio, replace(materials, prices=prices)


def _changed(current: Decimal, sign: str, number: Decimal, percent: str, text: str) -> Decimal:
    change = current * number / 100 if percent else number
    if not sign and percent:
        raise _mistake(text, f"{text!r} does not say whether it goes up or down", "+15% or -15%")
    amount = current + change if sign == "+" else current - change if sign == "-" else number
    if amount > MOST:
        raise _mistake(text, f"{text!r} would make a price that cannot be", f"a price up to {MOST}")
    if amount < 0:
        raise _mistake(text, f"{text!r} would make a price less than nothing", "a price from zero up")
    return amount


def _mistake(text: str, wrong: str, expected: str, mend: str = "write it in that form") -> MistakeError:
    return MistakeError([Mistake(place=Place(path=f"--suppose {text}"), wrong=wrong, expected=expected, mend=mend)])
