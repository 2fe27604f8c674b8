"""In a studio of another language nothing that is built is English, and numbers are written as that language does."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from functools import cache
from io import BytesIO
from itertools import chain
from pathlib import Path

import pytest
from babel import Locale
from babel.numbers import get_decimal_symbol
from bs4 import BeautifulSoup
from openpyxl import load_workbook

from catalog_builder.build import calculate
from catalog_builder.commands import batch, market, order, quote, rates, reprice, tags
from catalog_builder.commands.why import explain
from catalog_builder.publish.audiences import publish_audiences
from catalog_builder.publish.bench.costs.cost_card import Parcels, card_page
from catalog_builder.publish.studio_calculation import StudioCalculation, quiet
from catalog_builder.publish.studio_pictures import make_panels, make_pictures
from catalog_builder.publish.theme.loading import Theme, read_theme
from tests import studio
from tests.publish.bench.invented_studio import invented_studio
from tests.publish.bench.writing import writer_of
from tests.publish.demo import ROOT, Demo
from tests.publish.page import read_page
from tests.publish.printed import pages_of

LABELS = ROOT / "themes" / "daylight" / "labels"
LANGUAGES = sorted(path.stem for path in LABELS.glob("*.toml") if not path.stem.startswith("en"))
WORD = re.compile(r"[^\W\d_]{2,}")
# Names of files, keys, commands and steps, and the codes of variants and drawings, are the same in every language.
CODE = re.compile(
    r"`?\w+: \[[\w, ]+\]|\b[0-9A-F]{6}\b|\S*(?:[/_@]|--)\S*|\S+\.(?:toml|csv)\S*"
    r"|catalog-builder \w+|adopted = \w+|^\w+(?=  \()"
)
# Every word of the invented maker begins so, and no word of a label does.
MAKER = "zy"
# Kinds of files, symbols of units, and the currency as Swiss German writes it.
SAME_EVERYWHERE = {"pdf", "csv", "eur", "min", "mm", "cm", "dm", "kg", "ml"}
NUMBER_WITH_UNIT = r"{number}\s?(?:mm|cm|m|g|kg|dm²|cm²|ml|min|h|N|°|%|€)(?!\w)|(?:€|EUR)\s?{number}"


@pytest.fixture(scope="module", params=LANGUAGES)
def built(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Demo:
    """The invented studio, published in a language."""
    project = invented_studio(tmp_path_factory.mktemp("studio"), request.param)
    calculated = calculate(project, studio.DAY, quiet)
    return Demo(
        project,
        calculated,
        publish_audiences(calculated, make_pictures(calculated, 2, quiet), make_panels(calculated, 2, quiet), quiet),
    )


@cache
def labels_of(language: str) -> Mapping[str, Mapping[str, str]]:
    """The labels of a language."""
    return read_theme(ROOT, "daylight", language).labels


def texts_of(output: Path) -> Iterator[tuple[str, str]]:
    """Every text that is read on pages and papers: its file, and the words."""
    for path in sorted(output.rglob("*")):
        if path.suffix == ".html":
            yield from ((path.name, text) for text in texts_on(read_page(path)))
        elif path.suffix == ".pdf":
            yield from ((path.name, line) for page in pages_of(path.read_bytes()) for line in page.text().splitlines())
        elif path.suffix == ".xlsx":
            book = load_workbook(BytesIO(path.read_bytes()))
            yield from ((path.name, title) for title in book.sheetnames)
            cells = (cell for row in book.active.iter_rows(values_only=True) for cell in row)
            yield from ((path.name, cell) for cell in cells if isinstance(cell, str))


def texts_on(page: BeautifulSoup) -> Iterator[str]:
    """Every text on a page, drawings included, and the words that are read aloud."""
    for tag in page.find_all(True):
        if tag.name in ("style", "script", "code"):
            continue
        yield from (" ".join(text.split()) for text in tag.find_all(string=True, recursive=False) if text.strip())
        yield from (str(tag[name]) for name in ("aria-label", "alt", "title") if tag.has_attr(name))


def untyped(calculated: StudioCalculation) -> set[str]:
    """What stages give as a bare text, which by the rule of phrases is the maker's own."""
    lines = [line for one in calculated.calculations for line in one.cost.lines]
    parts = chain(
        ((line.name, line.pack, line.source, line.basis) for line in lines),
        ((time.basis,) for one in calculated.calculations for time in one.times),
    )
    return {part for each in parts for part in each if isinstance(part, str) and part}


def words_of(texts: Iterator[str] | list[str]) -> set[str]:
    """The words of texts, in small letters, without what is code."""
    return {word.lower() for text in texts for word in WORD.findall(CODE.sub(" ", text))}


def known_words(language: str) -> set[str]:
    """Every word that pages and papers in a language may show: those of its labels and dates, and those of none."""
    locale = Locale.parse(language, sep="-")
    names = [
        name
        for kinds in (locale.months, locale.days)
        for widths in kinds.values()
        for forms in widths.values()
        for name in forms.values()
    ]
    labels = [re.sub(r"{\w+}", " ", text) for table in labels_of(language).values() for text in table.values()]
    return words_of(labels + names) | SAME_EVERYWHERE


def foreign(texts: list[tuple[str, str]], language: str) -> list[tuple[str, str]]:
    """The words on papers that are neither of the language nor the maker's, each with its file."""
    known = known_words(language)
    return sorted(
        {
            (file, word)
            for file, text in texts
            for word in words_of([text])
            if word not in known and not word.startswith(MAKER)
        }
    )


@pytest.fixture(scope="module")
def papers(built: Demo) -> list[tuple[str, str]]:
    """Every text of the catalogue, the stall, the bench, quotes and orders, the findings, and what commands print."""
    printed = list(printed_lines(built))
    findings = (part for finding in built.calculated.worded_findings for part in (finding.text, finding.advice))
    lines = chain((("findings", text) for text in findings), printed)
    return without_bare_texts(built, chain(texts_of(built.output), lines))


def printed_lines(built: Demo) -> Iterator[tuple[str, str]]:
    """Every line that commands print for the studio, each with the command; the last writes new rates into it."""
    project, day = built.project, studio.DAY
    learned = rates.read_report(project, day, (), quiet)
    quoted = quote.write_quote(project, day, "zyhall", quiet)
    ordered = order.confirm_order(project, day, "zyshop", quiet)
    printed = {
        "why": explain(project, day, "pane").splitlines(),
        "batch": batch.summary(built.calculated, "spring"),
        "market": market.prepare(project, day, "next", 2, quiet),
        "tags": tags.tag_lines(tags.print_tags(project, day, tags.TagRequest(), quiet)),
        "reprice": reprice.read_report(project, day, (), quiet).lines(),
        "quote": [*quoted.lines, *(part for each in quoted.findings for part in (each.text, each.advice))],
        "order": [*ordered.lines, *(part for each in ordered.findings for part in (each.text, each.advice))],
        "recorded": [reprice.recorded_words(built.calculated.phrasing, 2)],
        "rates": learned.lines(),
        "new rates": rates.use_rates(project, learned),
    }
    return ((command, line) for command, lines in printed.items() for line in lines)


def without_bare_texts(built: Demo, texts: Iterable[tuple[str, str]]) -> list[tuple[str, str]]:
    """Leave out what stages give as a bare text."""
    bare = sorted(untyped(built.calculated), key=len, reverse=True)
    pattern = re.compile("|".join(map(re.escape, bare)) or "(?!)")
    return [(file, pattern.sub(" ", text)) for file, text in texts]


def language_of(built: Demo) -> str:
    """The language of a studio."""
    return built.calculated.content.studio.studio.language


def test_every_word_is_of_the_language_or_the_makers(built: Demo, papers: list[tuple[str, str]]) -> None:
    """Pages, drawings, PDFs, workbooks, findings and commands hold no word that no label of the language has."""
    assert {Path(file).suffix for file, _ in papers} == {".html", ".pdf", ".xlsx", ""}
    assert len(papers) > 5000
    commands = {"why", "batch", "market", "tags", "reprice", "recorded", "rates", "new rates", "quote", "order"}
    pages = {
        "zypair.html",
        "panes.html",
        "terms.html",
        "zyimprint.html",
        "history.html",
        "zyframed.html",
        "zystake.html",
    }
    sheets = {
        "zyhall.pdf",
        "confirmation.pdf",
        "packing_list.pdf",
        "care_slips.pdf",
        "zysedge.pdf",
        "zybox--zywall.pdf",
    }
    assert {file for file, _ in papers} >= {"findings", *commands, *pages, *sheets}
    assert foreign(papers, language_of(built)) == []


def test_no_english_sentence_is_left(built: Demo, papers: list[tuple[str, str]]) -> None:
    """No run of three words or more of an English label stands on a paper, where the language says it otherwise."""
    labels = labels_of(language_of(built))
    sentences = {
        part.strip()
        for table, texts in labels_of("en").items()
        for key, text in texts.items()
        if text != labels[table][key]
        for part in re.split(r"{\w+}", text)
        if len(WORD.findall(part)) >= 3
    }
    assert len(sentences) > 200
    whole = "\n".join(text for _, text in papers)
    assert [sentence for sentence in sentences if sentence in whole] == []


def test_numbers_have_the_languages_decimal_sign(built: Demo, papers: list[tuple[str, str]]) -> None:
    """A number with a unit or a currency has no decimal point where the language writes a comma, and some a comma."""
    comma = get_decimal_symbol(Locale.parse(language_of(built), sep="-"))
    other = "." if comma == "," else ","
    wrong = re.compile(NUMBER_WITH_UNIT.format(number=rf"\d{re.escape(other)}\d{{1,2}}"))
    right = re.compile(NUMBER_WITH_UNIT.format(number=rf"\d{re.escape(comma)}\d{{1,2}}"))
    assert [(file, text) for file, text in papers if wrong.search(text)] == []
    assert len([text for _, text in papers if right.search(text)]) > 100


@pytest.mark.parametrize("table", ["bench", "groups", "weighing", "shares"])
def test_a_label_that_is_passed_by_is_found(built: Demo, table: str) -> None:
    """A cost card with one table of English labels is found to be foreign; with the language's own it is not."""
    language, own = language_of(built), writer_of(built.calculated.content).theme
    english = own.worded({**own.labels, table: labels_of("en")[table]})
    assert foreign(card_texts(built, own), language) == []
    assert foreign(card_texts(built, english), language)


def card_texts(built: Demo, theme: Theme) -> list[tuple[str, str]]:
    """The texts of the variant's cost card, as a theme words it."""
    content = built.calculated.content
    writer, parcels = replace(writer_of(content), theme=theme), Parcels(boxes=True, postage=True)
    page = card_page(built.calculations[0], content.materials.rows, parcels, "", (), writer)
    return without_bare_texts(built, (("card", text) for text in texts_on(read_page(page))))


# What builds the papers of the bench; and texts in it that no reader sees: names in the cache's calls.
SOURCES = [
    *sorted((ROOT / "catalog_builder" / "publish" / "bench").rglob("*.py")),
    *(
        ROOT / "catalog_builder" / name
        for name in (
            *("publish/weighing.py", "publish/weighing_stance.py", "publish/drawn_models.py"),
            *(f"commands/{name}.py" for name in ("why", "order", "reprice")),
        )
    ),
]
UNSEEN = {"it hangs", "cost lines", "pattern sheet"}
# Functions whose numbers a program reads: CSV, SVG, keys of a record.
FOR_PROGRAMS = {"change_csv", "shopping_rows", "shares", "_short", "_hang"}


def texts_in_code(tree: ast.AST) -> Iterator[str]:
    """The texts of a module that may reach a paper: not its docstrings, and not its mistakes, which stay English."""
    docstrings = {
        id(node.body[0].value)
        for node in ast.walk(tree)
        if isinstance(node, ast.Module | ast.ClassDef | ast.FunctionDef) and isinstance(node.body[0], ast.Expr)
    }
    mistakes = {
        id(inner)
        for node in ast.walk(tree)
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name | ast.Attribute)
        if (node.func.id if isinstance(node.func, ast.Name) else ast.unparse(node.func)).startswith("Mistake")
        for inner in ast.walk(node)
    }
    for node in ast.walk(tree):
        if isinstance(node, ast.Constant) and isinstance(node.value, str) and id(node) not in docstrings | mistakes:
            yield node.value


def _no_markup(text: str) -> str:
    """Leave out tags, and the attributes that nobody reads."""
    unread = r'\b(xmlns|viewBox|class|role|aria-hidden|aria-labelledby|id|d|style)="[^"]*"?'
    return re.sub(r"</?\w+|/?>", "", re.sub(unread, "", text))


@pytest.mark.parametrize("path", SOURCES, ids=[path.stem for path in SOURCES])
def test_no_sentence_and_no_hand_made_number_stands_in_code(path: Path) -> None:
    """Words stand in labels, and numbers go through the studio's wording; code builds neither."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    sentences = [text for text in texts_in_code(tree) if re.search(r"[A-Za-z]{2,},? [a-z]{2,}", _no_markup(text))]
    assert [text for text in sentences if text not in UNSEEN and ".*" not in text] == []
    for function in (node for node in ast.walk(tree) if isinstance(node, ast.FunctionDef)):
        formats = [
            ast.unparse(part)
            for part in ast.walk(function)
            if isinstance(part, ast.FormattedValue)
            and part.format_spec is not None
            and re.search(r"[fge%]'?$", ast.unparse(part.format_spec))
        ]
        assert not formats or function.name in FOR_PROGRAMS, formats
