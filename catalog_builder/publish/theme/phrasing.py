"""Phrases in words: a label of the studio's language, filled with numbers, units and money as it writes them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from babel.lists import format_list

from catalog_builder.mistake import Finding, WordedFinding
from catalog_builder.phrase import Money, Number, Phrase, Quantity, Value
from catalog_builder.publish.theme.loading import Theme
from catalog_builder.publish.theme.wording import Wording
from catalog_builder.records.studio_tables.studio_keys import StudioKeys


@dataclass(frozen=True, slots=True)
class Phrasing:
    """Words phrases by the labels of a theme and the numbers of a studio."""

    labels: Mapping[str, Mapping[str, str]]
    wording: Wording

    @classmethod
    def of(cls, theme: Theme, studio: StudioKeys) -> Phrasing:
        """Take the labels of a theme and the numbers of a studio."""
        return cls(theme.labels, Wording.of(studio))

    @classmethod
    def for_buyers(cls, theme: Theme, studio: StudioKeys) -> Phrasing:
        """Take the same for pages, tags and price sheets."""
        return cls(theme.labels, Wording.for_buyers(studio))

    def say(self, phrase: Phrase) -> str:
        """Give a phrase in words.

        Raises:
            KeyError: there is no such label, or it names a value that the phrase does not bring.
        """
        table, _, key = phrase.key.partition(".")
        words, values = self.labels[table], dict(phrase.values)
        if key not in words:
            key = f"{key}_{self._number_form(values['count'])}"
        return words[key].format(**{name: self.show(value) for name, value in values.items()})

    def finding(self, finding: Finding) -> WordedFinding:
        """Give a finding in words."""
        text, advice = self.say(finding.text), self.say(finding.advice)
        return WordedFinding(code=finding.code, place=finding.place, text=text, advice=advice)

    def show(self, value: Value) -> str:
        """Give one value in words."""
        match value:
            case Phrase():
                return self.say(value)
            case Quantity():
                return self.wording.quantity(value)
            case Money():
                return self.wording.fine_money(value.amount) if value.fine else self.wording.money(value.amount)
            case Number():
                return self.wording.number(value.amount, value.places)
            case tuple():
                return format_list([self.show(part) for part in value], locale=self.wording.locale)
            case date():
                return self.wording.plain_day(value)
            case int():
                return self.wording.number(Decimal(value), 0)
            case str():
                return value

    def _number_form(self, count: Value) -> str:
        """Tell which form of a label a count takes, by CLDR's plural rules: French has the singular for 0 too."""
        number = count if isinstance(count, int) else count.amount if isinstance(count, Quantity | Number) else 0
        return "one" if self.wording.locale.plural_form(number) == "one" else "many"
