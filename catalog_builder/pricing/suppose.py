"""What if: content with supposed prices and rates, no file touched."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace
from decimal import Decimal

from catalog_builder.mistake import Mistake, MistakeError, Place, listed, nearest
from catalog_builder.records.content import Content
from catalog_builder.records.materials import MaterialPrice, Materials

_FORM = re.compile(r"\s*([a-z0-9_-]+)\s*=\s*([+-]?)\s*(\d+(?:\.\d+)?)\s*(%?)\s*")
MOST = 1_000_000_000
RATES = {"rate": "hourly_rate", "overheads": "overheads_a_year"}


def suppose(content: Content, text: str) -> Content:
    """Change a price or a rate in thought.

    ``text`` is a name, =, and an amount or a change: ``glass=+15%`` for every glass, ``solder-60-40=28.50`` for a pack,
    ``rate=22`` for the hourly rate, ``overheads=-200`` for the yearly overheads.

    Raises:
        MistakeError: the text is not of that form, or nothing has that name.
    """
    match = _FORM.fullmatch(text)
    if match is None:
        raise _mistake(text, f"{text!r} is not a supposition", "such as glass=+15%, solder-60-40=28.50 or rate=22")
    name, sign, number, percent = match.groups()
    if name in RATES:
        field = RATES[name]
        now = getattr(content.studio.bench, field)
        bench = content.studio.bench.model_copy(update={field: _changed(now, sign, Decimal(number), percent, text)})
        return replace(content, studio=content.studio.model_copy(update={"bench": bench}))
    rows = content.materials.rows
    meant = [material for material, row in sorted(rows.items()) if name in (material, row.kind)]
    if not meant:
        known = {*rows, *(row.kind for row in rows.values()), *RATES}
        guess = nearest(name, known)
        mend = f"did you mean {guess!r}?" if guess else "write the name of a material, a kind of material, or a rate"
        raise _mistake(text, f"nothing is named {name!r}", f"one of: {listed(known, most=60)}", mend)
    prices: dict[str, tuple[MaterialPrice, ...]] = dict(content.materials.prices)
    for material in meant:
        price = content.materials.price(material, content.day)
        if price is not None:
            amount = _changed(price.price, sign, Decimal(number), percent, text)
            prices[material] = (MaterialPrice(material, content.day, amount, f"supposed: {text.strip()}"),)
    return replace(content, materials=_with_prices(content.materials, prices))


def _changed(now: Decimal, sign: str, number: Decimal, percent: str, text: str) -> Decimal:
    change = now * number / 100 if percent else number
    if not sign and percent:
        raise _mistake(text, f"{text!r} does not say whether it goes up or down", "+15% or -15%")
    amount = now + change if sign == "+" else now - change if sign == "-" else number
    if amount > MOST:
        raise _mistake(text, f"{text!r} would make a price that cannot be", f"a price up to {MOST}")
    if amount < 0:
        raise _mistake(text, f"{text!r} would make a price less than nothing", "a price from zero up")
    return amount


def _with_prices(materials: Materials, prices: Mapping[str, tuple[MaterialPrice, ...]]) -> Materials:
    return Materials(materials.rows, prices)


def _mistake(text: str, wrong: str, expected: str, mend: str = "write it in that form") -> MistakeError:
    return MistakeError([Mistake(place=Place(path=f"--suppose {text}"), wrong=wrong, expected=expected, mend=mend)])
