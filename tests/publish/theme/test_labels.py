"""Languages: each has every word, and a catalogue in one language has no word of another."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

import pytest
from babel.dates import format_date
from babel.numbers import format_currency

from catalog_builder.publish.theme.labels import braces
from tests.publish.demo import DAY, ROOT, Demo, build_in, lay_out, reworded
from tests.publish.page import pages_in, read_page, said, text_of

THEMES = ROOT / "themes"
# Attributes that are read by people, in a page or of it.
READ = ("alt", "aria-label", "content", "placeholder", "title")
LANGUAGES = sorted(path.relative_to(THEMES) for path in THEMES.glob("*/labels/*.toml") if path.stem != "en")


def labels(path: Path) -> dict[tuple[str, str], str]:
    """The words of a file by table and key."""
    tables = tomllib.loads(path.read_text(encoding="utf-8"))
    return {(table, key): text for table, words in tables.items() for key, text in words.items()}


def both(path: Path) -> tuple[dict[tuple[str, str], str], dict[tuple[str, str], str]]:
    """The words of a language, and those of the same theme in English."""
    return labels(THEMES / path), labels((THEMES / path).with_name("en.toml"))


def test_each_theme_has_german() -> None:
    """Both themes that come with the program speak English and German."""
    assert {str(path) for path in LANGUAGES} >= {"daylight/labels/de.toml", "limewash/labels/de.toml"}


@pytest.mark.parametrize("path", LANGUAGES, ids=str)
def test_language_has_the_same_words_in_the_same_order(path: Path) -> None:
    """A language's file has the tables and keys of the English one, in its order, so that they can be read together."""
    own, english = both(path)
    assert list(own) == list(english)
    assert all(text.strip() for text in own.values())


@pytest.mark.parametrize("path", LANGUAGES, ids=str)
def test_language_has_the_same_braces(path: Path) -> None:
    """What the program fills in stands in every language's words."""
    own, english = both(path)
    assert {key: braces(text) for key, text in own.items()} == {key: braces(text) for key, text in english.items()}


@pytest.fixture(scope="module")
def german(tmp_path_factory: pytest.TempPathFactory) -> Demo:
    """Two of the demo's products in German, in euros."""
    project = lay_out(tmp_path_factory.mktemp("german") / "studio", "queen-scallop", "net-loft-panel")
    changes = ('language = "en-GB"', 'language = "de-DE"'), ('currency = "GBP"', 'currency = "EUR"')
    reworded(project / "content" / "studio.toml", *changes)
    return build_in(project)


def public(demo: Demo) -> list[Path]:
    """Every page that the public sees, and the one file to send."""
    return [
        *pages_in(demo.output / "catalogue"),
        *(demo.output / "catalogue" / "to-send").glob("*.html"),
        demo.output / "stall" / "price_sheet.html",
    ]


def test_german_pages_say_that_they_are_german(german: Demo) -> None:
    """A reader's software is told the language of every page."""
    assert {read_page(path).select("html")[0].get("lang") for path in public(german)} == {"de-DE"}


def test_german_pages_have_no_english_label(german: Demo) -> None:
    """No text or attribute of a public page is a label in English that German words otherwise."""
    own, english = both(Path("daylight/labels/de.toml"))
    # A word that is one in both languages, or that the demo's own English texts may hold, tells nothing.
    told = {text for key, text in english.items() if text not in own.values() and len(text) > 3 and not braces(text)}
    assert len(told) > 100
    left = []
    for path in public(german):
        page = read_page(path)
        texts = {text.strip() for text in page.find_all(string=True)}
        texts |= {
            said(tag, name) for tag in page.find_all(True) for name in tag.attrs if name in READ or "data-" in name
        }
        left += [f"{path.name}: {text}" for text in sorted(texts & (told - {"Glass"}))]
    assert left == []


def test_german_numbers_money_and_dates(german: Demo) -> None:
    """Prices have a comma and the sign behind, days their month in words, as CLDR gives them for German."""
    page = read_page(german.output / "catalogue" / "products" / "queen-scallop.html")
    shown = [text_of(cell) for cell in page.select("table.choices td.is-price")]
    wanted = [
        " ".join(format_currency(one.prices["online"].printed, "EUR", locale="de_DE").split())
        for one in german.variants("queen-scallop")
    ]
    assert shown == wanted
    assert all(re.fullmatch(r"\d+,\d\d €", price) for price in shown)
    dates = text_of(read_page(german.output / "catalogue" / "dates.html"))
    market = min(one.date for one in german.calculated.content.studio.markets if one.date >= DAY)
    assert format_date(market, "full", locale="de_DE") in dates
    sheet = text_of(read_page(german.output / "stall" / "price_sheet.html"))
    assert f"Preise vom {format_date(DAY, 'long', locale='de_DE')}" in sheet
