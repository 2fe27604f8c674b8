"""Money, measures and dates in the reader's own way, by CLDR."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass, replace
from datetime import date
from decimal import ROUND_CEILING, ROUND_HALF_UP, Decimal
from functools import lru_cache

from babel import Locale
from babel.dates import format_date
from babel.numbers import format_currency, format_decimal, format_percent, get_currency_symbol

from catalog_builder.phrase import Quantity, Unit
from catalog_builder.records.studio_tables.studio_keys import StudioKeys
from catalog_builder.units import G_PER, MM_PER, exact, minor_digits, raised, rounded

# SI brochure, 9th edition, 5.4.3: a space between number and symbol, but none before the sign of degrees.
_UNIT_SYMBOLS: dict[Unit, str] = {
    "mm": "mm",
    "m": "m",
    "mm2": "mm²",
    "dm2": "dm²",
    "g": "g",
    "kg": "kg",
    "g/m": "g/m",
    "ml": "ml",
    "min": "min",
    "h": "h",
    "degrees": "°",
    "N": "N",
    "m/s": "m/s",
    "each": "",
}

# The unit of lengths that buyers read, and the digits behind its point.
_MEASURES = {"metric": ("mm", 0), "centimetres": ("cm", 1), "imperial": ("in", 1)}


@lru_cache
def _locale(language: str) -> Locale:
    return Locale.parse(language, sep="-")


@dataclass(frozen=True, slots=True)
class Wording:
    """A studio's currency, language and units; ``zero_cents`` keeps the digits of a whole amount: 135.00."""

    currency: str
    language: str
    units: str
    zero_cents: bool = True

    @classmethod
    def of(cls, studio: StudioKeys) -> Wording:
        """Take them from the studio's record, for bills and for the bench: amounts with all their digits."""
        return cls(studio.currency, studio.language, studio.units)

    @classmethod
    def for_buyers(cls, studio: StudioKeys) -> Wording:
        """Take them from the studio's record, for pages, tags and price sheets."""
        return cls(studio.currency, studio.language, studio.units, studio.show_zero_cents)

    @property
    def locale(self) -> Locale:
        """The language as CLDR knows it."""
        return _locale(self.language)

    def money(self, amount: Decimal) -> str:
        """An amount of the studio's currency, rounded half up where it has more digits than that.

        A whole amount loses its digits where ``zero_cents`` is not set.
        """
        digits = minor_digits(self.currency)
        shown = rounded(amount, digits)
        if not self.zero_cents and shown == shown.to_integral_value():
            digits = 0
        return self._amount(shown, f"0.{'0' * digits}".rstrip("."))

    def round_money(self, amount: Decimal) -> str:
        """A whole amount of the studio's currency without its digits, any other with all of them."""
        return replace(self, zero_cents=False).money(amount)

    def fine_money(self, amount: Decimal) -> str:
        """An amount with up to four digits more than the currency has, for the price of a gram or a millilitre."""
        return self._amount(amount, f"0.{'0' * minor_digits(self.currency)}####")

    def _amount(self, amount: Decimal, digits: str) -> str:
        """An amount in CLDR's standard pattern, with other digits."""
        return _amount(amount, digits, self.currency, self.language)

    def number(self, amount: Decimal, places: int) -> str:
        """A number with up to some digits behind the point."""
        return _number(amount, places, self.language)

    def percent(self, share: Decimal) -> str:
        """A share as a whole percentage."""
        return format_percent(share.quantize(Decimal("0.01"), rounding=ROUND_HALF_UP), locale=self.locale)

    def fine_percent(self, share: Decimal) -> str:
        """A share as a percentage with up to two digits behind the point."""
        return _fine_percent(share, self.language)

    def quantity(self, value: Quantity) -> str:
        """A quantity in the unit that it is calculated in, written as the language writes it.

        Units are those of the bench, metric everywhere: what buyers read in inches and ounces goes through ``size``,
        ``length`` and ``mass``.
        """
        if value.unit == "share":
            return self.fine_percent(value.amount)
        number = self.number(value.amount, value.places)
        symbol = _UNIT_SYMBOLS[value.unit]
        return f"{number}{symbol}" if symbol == "°" else f"{number} {symbol}".rstrip()

    def symbol(self, unit: Unit) -> str:
        """The symbol of a unit; empty for what is counted."""
        return _UNIT_SYMBOLS[unit]

    def size(self, *sides_mm: float) -> str:
        """Width by height, by depth if it is given: to the millimetre, or to a tenth of an inch."""
        unit, places = _MEASURES[self.units]
        shown = (self.number(exact(side / float(MM_PER[unit]), places), places) for side in sides_mm)
        return f"{' × '.join(shown)} {unit}"

    def length(self, length_mm: float) -> str:
        """A length: to the millimetre, or to a tenth of an inch."""
        return self.size(length_mm)

    def lengths(self, least_mm: float, most_mm: float) -> str:
        """The least and the most of some lengths, as one where they read alike."""
        unit, places = _MEASURES[self.units]
        ends = (self.number(exact(end / float(MM_PER[unit]), places), places) for end in (least_mm, most_mm))
        return f"{'–'.join(dict.fromkeys(ends))} {unit}"

    def mass(self, mass_g: float, within_g: float) -> str:
        """A mass as finely as it is known: to the largest step of 1, 2, 5, 10 ... that is not above ``within_g``.

        The step is at least 1 g, or a tenth of an ounce.
        """
        if self.units == "imperial":
            step = max(_step(within_g / float(G_PER["oz"])), Decimal("0.1"))
            return f"{self.number(max(_stepped(exact(mass_g / float(G_PER['oz']), 4), step), step), 1)} oz"
        step = max(_step(within_g), Decimal(1))
        return f"{self.number(max(_stepped(exact(mass_g, 3), step), step), 0)} g"

    def fine_mass(self, mass_g: float) -> str:
        """A mass to a tenth of a gram, or to a hundredth of an ounce."""
        if self.units == "imperial":
            return f"{self.places(mass_g / float(G_PER['oz']), 2)} oz"
        return f"{self.places(mass_g, 1)} g"

    def rough(self, mass_g: float) -> str:
        """An uncertainty, rounded up to one digit that counts."""
        unit, amount = ("oz", mass_g / float(G_PER["oz"])) if self.units == "imperial" else ("g", mass_g)
        if amount <= 0:
            return f"0 {unit}"
        step = Decimal(10) ** math.floor(math.log10(amount))
        whole = (exact(amount, 6) / step).to_integral_value(rounding=ROUND_CEILING) * step
        return f"{self.number(whole, 3)} {unit}"

    def places(self, amount: float, places: int) -> str:
        """A number with just so many digits behind the point."""
        return format_decimal(exact(amount, places), format=f"#,##0.{'0' * places}", locale=self.locale)

    def parcel(self, sides_mm: tuple[float, float, float]) -> str:
        """Three sides, each up to the next centimetre or half inch: a parcel may not be larger than is said."""
        unit, step = ("in", Decimal("0.5")) if self.units == "imperial" else ("cm", Decimal(1))
        sides = (raised(exact(side, 3) / MM_PER[unit], step) for side in sides_mm)
        return unbroken(f"{' × '.join(self.number(side, 1) for side in sides)} {unit}")

    def parcel_mass(self, mass_g: float) -> str:
        """A mass up to the next 10 g or ounce: a parcel may not be heavier than is said."""
        unit, step = ("oz", Decimal(1)) if self.units == "imperial" else ("g", Decimal(10))
        return unbroken(f"{self.number(raised(exact(mass_g, 3) / G_PER[unit], step), 0)} {unit}")

    def load(self, mass_g: float) -> str:
        """A mass to be carried: to a tenth of a kilogram or of a pound."""
        unit = "lb" if self.units == "imperial" else "kg"
        return f"{self.places(mass_g / float(G_PER[unit]), 1)} {unit}"

    def angle(self, degrees: float) -> str:
        """An angle to the whole degree."""
        return f"{self.number(exact(abs(degrees), 0), 0)}°"

    def day(self, day: date) -> str:
        """A date in full."""
        return format_date(day, format="full", locale=self.locale)

    def plain_day(self, day: date) -> str:
        """A date without its weekday."""
        return format_date(day, format="long", locale=self.locale)

    def month(self, day: date) -> str:
        """A month and year."""
        return format_date(day, format="MMMM y", locale=self.locale)


def _step(within: float) -> Decimal:
    """Give the largest of 1, 2 and 5 times a power of ten that is not above an amount."""
    if within <= 0:
        return Decimal(0)
    power = Decimal(10) ** math.floor(math.log10(within))
    return max(factor * power for factor in (1, 2, 5) if factor * power <= exact(within, 9) or factor == 1)


def unbroken(text: str) -> str:
    """A text that no line break parts."""
    return text.replace(" ", "\u00a0")


def _stepped(amount: Decimal, step: Decimal) -> Decimal:
    return (amount / step).quantize(Decimal(1), rounding=ROUND_HALF_UP) * step


@lru_cache(maxsize=20_000)
def _number(amount: Decimal, places: int, language: str) -> str:
    pattern = f"#,##0.{'#' * places}" if places else "#,##0"
    return str(format_decimal(amount, format=pattern, locale=_locale(language)))


@lru_cache(maxsize=20_000)
def _fine_percent(share: Decimal, language: str) -> str:
    locale = _locale(language)
    pattern = locale.percent_formats[None].pattern.replace("#,##0", "#,##0.##")
    return str(format_percent(share, format=pattern, locale=locale))


# The same prices stand on many pages.
@lru_cache(maxsize=20_000)
def _amount(amount: Decimal, digits: str, currency: str, language: str) -> str:
    locale = _locale(language)
    pattern = locale.currency_formats["standard"].pattern.replace("0.00", digits)
    # UTS 35, Numbers, currencySpacing: a no-break blank parts a code of letters from the digits beside it.
    symbol = get_currency_symbol(currency, locale)
    if symbol[-1].isalpha():
        pattern = re.sub("¤(?=[#0])", "¤\u00a0", pattern)
    if symbol[0].isalpha():
        pattern = re.sub("(?<=[#0])¤", "\u00a0¤", pattern)
    return str(format_currency(amount, currency, format=pattern, locale=locale, currency_digits=False))
