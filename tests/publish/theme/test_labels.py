"""Languages: each has every word, and a catalogue in one language has no word of another."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from babel.dates import format_date
from babel.numbers import format_currency

from catalog_builder.mistake import MistakeError
from catalog_builder.publish.catalogue.offer_terms import AVAILABILITY
from catalog_builder.publish.theme.labels import braces, read_labels
from catalog_builder.publish.theme.spelling import respell
from catalog_builder.records.reading.source import Source
from catalog_builder.records.studio_tables.caution import BenchCautions, Cautions
from tests.publish.demo import DAY, Demo, build_in, lay_out_known, reworded
from tests.publish.page import pages_in, read_page, said, text_of
from tests.publish.theme.label_files import (
    LANGUAGES,
    REGIONS,
    THEMES,
    base_of,
    faults,
    labels_of,
    spelling_of,
    tables_of,
)
from tests.publish.theme.label_use import unread_labels

# Attributes that are read by people, in a page or of it.
READ = ("alt", "aria-label", "content", "placeholder", "title")


def test_each_theme_has_the_same_languages() -> None:
    """Both themes that come with the program speak English, German, French and Spanish."""
    languages = ("de", "es", "fr")
    assert {str(path) for path in LANGUAGES} == {
        f"{theme}/labels/{language}.toml" for theme in ("daylight", "limewash") for language in languages
    }


@pytest.mark.parametrize("path", LANGUAGES, ids=str)
def test_language_has_the_same_words_in_the_same_order(path: Path) -> None:
    """A language's file has the tables and keys of the English one, in its order, so that they can be read together."""
    own = labels_of(path)
    assert list(own) == list(labels_of(path.with_name("en.toml")))
    assert all(text.strip() for text in own.values())


@pytest.mark.parametrize("path", LANGUAGES, ids=str)
def test_language_has_the_same_braces(path: Path) -> None:
    """What the program fills in stands in every language's words."""
    own, english = labels_of(path), labels_of(path.with_name("en.toml"))
    assert {key: braces(text) for key, text in own.items()} == {key: braces(text) for key, text in english.items()}


@pytest.mark.parametrize("path", REGIONS, ids=str)
def test_region_holds_only_what_it_words_otherwise(path: Path) -> None:
    """Each line of a region's file has other words than its language as the region spells it, with the same braces."""
    own, base, spelling = labels_of(path), labels_of(base_of(path)), spelling_of(path)
    assert own or spelling
    assert {key: braces(text) for key, text in own.items()} == {key: braces(base[key]) for key in own}
    assert [key for key, text in own.items() if text == respell(base[key], spelling)] == []


def test_swiss_german_keeps_in_step_with_german() -> None:
    """Swiss German differs from German by ss for ß alone: Swiss federal spelling guide, 3rd edition (from memory)."""
    german = {
        table: {key: text.replace("ß", "ss") for key, text in words.items()}
        for table, words in tables_of(Path("daylight/labels/de.toml")).items()
    }
    assert read_labels([THEMES / "daylight"], "de-CH", Source("content/studio.toml", "")) == german
    assert german["columns"]["packed"] == "Paketmass"


def test_american_english_spells_every_label_its_way() -> None:
    """No British spelling is left, nor is a word spelled by halves: The Chicago Manual of Style (from memory)."""
    american = read_labels([THEMES / "limewash", THEMES / "daylight"], "en-US", Source("content/studio.toml", ""))
    texts = [re.sub(r"{\w+}", "", text) for words in american.values() for text in words.values()]
    wrong = re.compile(r"colour|grey|catalogue|centre|metre|centerd|aluminium|jewell|licence", re.IGNORECASE)
    assert sorted({match[0] for text in texts for match in wrong.finditer(text)}) == []


def test_the_check_of_label_files_finds_nothing_to_add() -> None:
    """``python -m tests.publish.theme.label_files`` has nothing to say of the themes that come with the program."""
    assert list(faults()) == []


def test_every_label_is_read() -> None:
    """No label stands in the files that no page, sheet or sentence shows."""
    values = {*Cautions.codes(), *BenchCautions.codes(), *(word.replace(" ", "_") for word in AVAILABILITY)}
    labels = [(table, key) for table, key in labels_of(Path("daylight/labels/en.toml")) if key not in values]
    assert unread_labels(labels) == []
    assert unread_labels([("home", "never_read"), ("home", "never_read_one")]) == [
        "home.never_read",
        "home.never_read_one",
    ]


@pytest.mark.parametrize(
    ("language", "expected"),
    [
        ("de-CH", "Dies müssen 50 mm sein, Grösse gross"),
        ("de-AT", "Dies müssen 50 mm sein, Größe groß"),
        ("de", "Dies müssen 50 mm sein, Größe groß"),
    ],
)
def test_a_region_is_a_variant_of_its_language(tmp_path: Path, language: str, expected: str) -> None:
    """A region's lines go over those of its language, and all others stand."""
    labels = tmp_path / "themes" / "own" / "labels"
    labels.mkdir(parents=True)
    (labels / "en.toml").write_text('[a]\nfirst = "This must be 50 mm"\nsecond = "large"\n', encoding="utf-8")
    (labels / "de.toml").write_text('[a]\nfirst = "Dies müssen 50 mm sein"\nsecond = "Größe groß"\n', encoding="utf-8")
    (labels / "de-CH.toml").write_text('[a]\nsecond = "Grösse gross"\n', encoding="utf-8")
    words = read_labels([labels.parent], language, Source("content/studio.toml", ""))
    assert ", ".join(words["a"].values()) == expected


def test_a_region_spells_every_label_of_its_language(tmp_path: Path) -> None:
    """It holds for the words of all themes, the longest letters first; braces, code and the region's own lines stay."""
    base, own = (tmp_path / "themes" / name / "labels" for name in ("base", "own"))
    base.mkdir(parents=True)
    own.mkdir(parents=True)
    words = '[a]\nfirst = "{colour} of colours"\nsecond = "grey, `colour`"\nthird = "Colour"\n'
    (base / "en.toml").write_text(words, encoding="utf-8")
    (base / "en-US.toml").write_text(
        '[spelling]\ncolour = "color"\ncolours = "colors"\n[a]\nthird = "colour!"\n', encoding="utf-8"
    )
    (own / "en.toml").write_text('[a]\nfourth = "all {colour} colours, grey"\n', encoding="utf-8")
    (own / "en-US.toml").write_text('[spelling]\ngrey = "gray"\n', encoding="utf-8")
    labels = read_labels([own.parent, base.parent], "en-US", Source("content/studio.toml", ""))
    assert labels == {
        "a": {
            "first": "{colour} of colors",
            "second": "gray, `colour`",
            "third": "colour!",
            "fourth": "all {colour} colors, gray",
        }
    }


@pytest.mark.parametrize(
    ("name", "line", "expected"),
    [
        ("de", '"ß" = "ss"', (4, "a language has no spelling beside its own words", "spelling")),
        ("de-CH", '"ẞ" = "SS"', (2, "spelling: no label of the language holds 'ẞ'", "ẞ")),
        ("de-CH", '"" = "ss"', (None, "spelling: these are no letters that can be replaced", '""')),
        ("de-CH", '"ß" = "{ss}"', (2, "spelling: these are no letters that can be replaced", "ß")),
        ("de-CH", '"ß" = 5', (2, "spelling.ß: this is no label", "ß")),
    ],
)
def test_wrong_spelling_is_a_mistake(
    tmp_path: Path, name: str, line: str, expected: tuple[int | None, str, str]
) -> None:
    """A table of letters that cannot be replaced is named by its line."""
    labels = tmp_path / "themes" / "own" / "labels"
    labels.mkdir(parents=True)
    (labels / "en.toml").write_text('[a]\nfirst = "Size"\nsecond = "large"\n', encoding="utf-8")
    (labels / "de.toml").write_text('[a]\nfirst = "Größe"\nsecond = "groß"\n', encoding="utf-8")
    with (labels / f"{name}.toml").open("a", encoding="utf-8") as file:
        file.write(f"[spelling]\n{line}\n")
    with pytest.raises(MistakeError) as caught:
        read_labels([labels.parent], "de-CH", Source("content/studio.toml", ""))
    mistake = caught.value.mistakes[0]
    assert (mistake.place.path, mistake.place.line, mistake.wrong, mistake.marked) == (
        f"themes/own/labels/{name}.toml",
        *expected,
    )


def test_a_region_alone_must_be_whole(tmp_path: Path) -> None:
    """A region without a file of its language is held to every word."""
    labels = tmp_path / "themes" / "own" / "labels"
    labels.mkdir(parents=True)
    (labels / "en.toml").write_text('[a]\nfirst = "One"\nsecond = "Two"\n', encoding="utf-8")
    (labels / "fr-CA.toml").write_text('[a]\nsecond = "Deux"\n', encoding="utf-8")
    with pytest.raises(MistakeError) as caught:
        read_labels([labels.parent], "fr-CA", Source("content/studio.toml", ""))
    assert [mistake.wrong for mistake in caught.value.mistakes] == ["words are missing, 1 in all: a.first"]


@pytest.fixture(scope="module")
def german(tmp_path_factory: pytest.TempPathFactory) -> Demo:
    """Two of the demo's products in German, in euros."""
    project = lay_out_known(tmp_path_factory.mktemp("german") / "studio", "queen-scallop", "net-loft-panel")
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
    own, english = (labels_of(Path(f"daylight/labels/{language}.toml")) for language in ("de", "en"))
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
    """Prices have the sign behind, sizes and days their month in words, as CLDR gives them for German."""
    page = read_page(german.output / "catalogue" / "products" / "queen-scallop.html")
    shown = [text_of(cell) for cell in page.select("table.choices td.is-price")]
    wanted = [
        " ".join(format_currency(one.prices["online"].printed, "EUR", locale="de_DE").split()).replace(",00", "")
        for one in german.variants("queen-scallop")
    ]
    assert shown == wanted
    assert all(re.fullmatch(r"\d+(,\d\d)? €", price) for price in shown)
    assert all("mm breit" in text_of(cell) for cell in page.select("table.choices td.is-glass_size"))
    dates = text_of(read_page(german.output / "catalogue" / "dates.html"))
    market = min(one.date for one in german.calculated.content.studio.markets if one.date >= DAY)
    assert format_date(market, "full", locale="de_DE") in dates
    sheet = text_of(read_page(german.output / "stall" / "price_sheet.html"))
    assert f"Preise vom {format_date(DAY, 'long', locale='de_DE')}" in sheet
