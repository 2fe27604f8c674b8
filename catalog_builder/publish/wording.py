"""Money, measures and dates in the reader's own way, by CLDR."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date
from decimal import ROUND_HALF_UP, Decimal
from functools import lru_cache

from babel import Locale
from babel.dates import format_date
from babel.numbers import format_currency, format_decimal, format_percent, get_currency_symbol

from catalog_builder.records.studio import StudioKeys
from catalog_builder.units import G_PER, MM_PER, exact, minor_digits, rounded


@lru_cache
def _locale(language: str) -> Locale:
    return Locale.parse(language, sep="-")


@dataclass(frozen=True, slots=True)
class Wording:
    """A studio's currency, language and units."""

    currency: str
    language: str
    units: str

    @classmethod
    def of(cls, studio: StudioKeys) -> Wording:
        """Take them from the studio's record."""
        return cls(studio.currency, studio.language, studio.units)

    @property
    def locale(self) -> Locale:
        """The language as CLDR knows it."""
        return _locale(self.language)

    def money(self, amount: Decimal) -> str:
        """An amount of the studio's currency, with all its digits, rounded half up where it has more."""
        digits = minor_digits(self.currency)
        return self._amount(rounded(amount, digits), f"0.{'0' * digits}".rstrip("."))

    def fine_money(self, amount: Decimal) -> str:
        """An amount with four more digits, for the price of a gram or a millilitre."""
        return self._amount(amount, "0.00####")

    def _amount(self, amount: Decimal, digits: str) -> str:
        """An amount in CLDR's standard pattern, with other digits."""
        pattern = self.locale.currency_formats["standard"].pattern.replace("0.00", digits)
        # UTS 35, Numbers, currencySpacing: a no-break blank parts a code of letters from the digits beside it.
        symbol = get_currency_symbol(self.currency, self.locale)
        if symbol[-1].isalpha():
            pattern = re.sub("¤(?=[#0])", "¤\u00a0", pattern)
        if symbol[0].isalpha():
            pattern = re.sub("(?<=[#0])¤", "\u00a0¤", pattern)
        return format_currency(amount, self.currency, format=pattern, locale=self.locale, currency_digits=False)

    def number(self, amount: Decimal, places: int) -> str:
        """A number with up to some digits behind the point."""
        return format_decimal(amount, format=f"#,##0.{'#' * places}" if places else "#,##0", locale=self.locale)

    def percent(self, share: Decimal) -> str:
        """A share as a whole percentage."""
        return format_percent(share.quantize(Decimal("0.01"), rounding=ROUND_HALF_UP), locale=self.locale)

    def size(self, width_mm: float, height_mm: float) -> str:
        """Width by height: to the millimetre, or to a tenth of an inch."""
        if self.units == "imperial":
            width, height = (self.number(exact(side / float(MM_PER["in"]), 1), 1) for side in (width_mm, height_mm))
            return f"{width} × {height} in"
        return f"{self.number(exact(width_mm, 0), 0)} × {self.number(exact(height_mm, 0), 0)} mm"

    def length(self, length_mm: float) -> str:
        """A length: to the millimetre, or to a tenth of an inch."""
        if self.units == "imperial":
            return f"{self.number(exact(length_mm / float(MM_PER['in']), 1), 1)} in"
        return f"{self.number(exact(length_mm, 0), 0)} mm"

    def mass(self, mass_g: float) -> str:
        """A mass as finely as it can be known: to 5 g under 100 g, to 10 g above, or to half and whole ounces."""
        if self.units == "imperial":
            ounces = mass_g / float(G_PER["oz"])
            step = Decimal("0.5") if ounces < 16 else Decimal(1)
            return f"{self.number(_stepped(exact(ounces, 3), step), 1)} oz"
        step = Decimal(5) if mass_g < 100 else Decimal(10)
        return f"{self.number(max(_stepped(exact(mass_g, 3), step), step), 0)} g"

    def angle(self, degrees: float) -> str:
        """An angle to the whole degree."""
        return f"{self.number(exact(abs(degrees), 0), 0)}°"

    def day(self, day: date) -> str:
        """A date in full."""
        return format_date(day, format="full" if self.language.startswith("en") else "long", locale=self.locale)

    def plain_day(self, day: date) -> str:
        """A date without its weekday."""
        return format_date(day, format="long", locale=self.locale)

    def month(self, day: date) -> str:
        """A month and year."""
        return format_date(day, format="MMMM y", locale=self.locale)


def _stepped(amount: Decimal, step: Decimal) -> Decimal:
    return (amount / step).quantize(Decimal(1), rounding=ROUND_HALF_UP) * step
