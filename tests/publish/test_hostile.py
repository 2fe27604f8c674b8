"""Text in the records is text: whatever it looks like, no page runs it and no printed sheet chokes on it."""

from __future__ import annotations

import csv
import re
from datetime import date
from decimal import Decimal
from io import BytesIO, StringIO
from pathlib import Path
from zipfile import ZipFile

import pytest
from lxml import etree
from openpyxl import load_workbook

import catalog_builder
from catalog_builder.publish.output.harmless import harmless
from catalog_builder.publish.output.workbook import Cell, as_csv, as_workbook
from catalog_builder.publish.theme.loading import marked_up
from catalog_builder.records.content import read_content
from tests.book import record
from tests.publish.demo import Demo, build_in, lay_out_known
from tests.publish.hostile import ALT, GLASS, NUMBER, PRODUCT, SUMMARY, TITLE, lay_out_hostile
from tests.publish.page import meta, pages_in, read_page, references, said, structured_data, text_of
from tests.publish.sheet import pdf_text
from tests.studio import DAY, project
from tests.studio import record as text_of_record


@pytest.fixture(scope="module")
def hostile(tmp_path_factory: pytest.TempPathFactory) -> Demo:
    """One product whose every text tries to be more than text, built."""
    return build_in(lay_out_hostile(tmp_path_factory.mktemp("hostile") / "studio"))


# The theme's own line in the head of a product's page, before its picker's script comes.
CAN_CHOOSE = 'document.documentElement.classList.add("can-choose");'


def test_only_the_themes_scripts_run(hostile: Demo) -> None:
    """A page has the theme's own scripts and data for machines, and no other script, frame, style or handler."""
    for path in pages_in(hostile.output):
        page = read_page(path)
        for script in page.select("script"):
            own = script.string or ""
            themes = re.match(r"(\.\./)?assets/", said(script, "src")) or "404(" in own or own == CAN_CHOOSE
            assert said(script, "type") in ("application/ld+json", "application/json") or themes, path
        inside = "" if path.name == "404.html" else "base, style, "
        wrong = page.select(f"{inside}iframe, object, embed, main form:not(#chooser, #finder), meta[http-equiv]")
        assert wrong == [], path
        handlers = [name for tag in page.find_all(True) for name in tag.attrs if name.lower().startswith("on")]
        assert handlers == [], path


def test_no_link_runs_anything_or_loads_from_elsewhere(hostile: Demo) -> None:
    """No page links to a script or to data, and none loads anything from another host."""
    for path in pages_in(hostile.output):
        page = read_page(path)
        for reference in references(page):
            assert not re.match(r"\s*(javascript|data|vbscript):", reference, re.IGNORECASE), (
                f"{path.name}: {reference}"
            )
        for tag in page.select("[src], link[rel=stylesheet]"):
            assert "elsewhere" not in said(tag, "src") + said(tag, "href"), path


def test_title_and_summary_are_shown_as_they_are_written(hostile: Demo) -> None:
    """A product's title and summary come out of the page, its metadata and its data as they went in."""
    page = read_page(hostile.output / "catalogue" / "products" / f"{PRODUCT}.html")
    data = structured_data(page)
    heading, lede = page.select_one("h1"), page.select_one(".lede")
    assert heading is not None
    assert lede is not None
    assert (text_of(heading), text_of(lede)) == (TITLE, SUMMARY)
    assert (data["name"], data["description"]) == (TITLE, SUMMARY)
    assert meta(page, "og:title") == f"{TITLE} · Withyslip Glass"
    assert meta(page, "description") == SUMMARY


def test_choice_of_glass_is_shown_as_it_is_written(hostile: Demo) -> None:
    """The words of a choice of glass are text in the table, in the picker and in the data for machines."""
    page = read_page(hostile.output / "catalogue" / "products" / f"{PRODUCT}.html")
    assert GLASS in {text_of(cell) for cell in page.select("td.is-glass")}
    assert GLASS in {said(field, "value") for field in page.select('input[name="glass"]')}
    assert any(GLASS in one["name"] for one in structured_data(page)["hasVariant"])


def test_alt_text_and_numbers_are_shown_as_they_are_written(hostile: Demo) -> None:
    """What a photo shows, and what a piece is numbered, are text wherever they stand."""
    page = read_page(hostile.output / "catalogue" / "products" / f"{PRODUCT}.html")
    assert ALT in {said(picture, "alt") for picture in page.select(".slide img")}
    # The half drawing is unfolded, and tells its left from its right.
    numbers = {text_of(number) for number in page.select(".pattern svg text")}
    assert {f"{NUMBER}L", f"{NUMBER}R"} <= numbers


def test_drawings_within_pages_hold_only_what_is_drawn(hostile: Demo) -> None:
    """A drawing that stands in a page, of any audience, brings no script, page, style, link or picture with it."""
    kinds = {tag.name for path in pages_in(hostile.output) for tag in read_page(path).select("svg *")}
    assert {"path", "text", "title"} <= kinds
    assert kinds & {"script", "foreignobject", "foreignObject", "style", "a", "image", "animate", "set"} == set()


def test_good_markdown_stays(hostile: Demo) -> None:
    """Cleaning takes the harm out of a description and leaves its emphasis, its good link and its words."""
    for name in (f"products/{PRODUCT}.html", "about.html", "care.html"):
        prose = read_page(hostile.output / "catalogue" / name).select(".prose")[0]
        assert [text_of(word) for word in prose.select("em")][-1:] == ["warm"]
        assert "https://withyslip.example/care.html" in {said(link, "href") for link in prose.select("a")}
        assert "{{ studio.email }} and {% raw %}" in text_of(prose)
        assert "over everything" in text_of(prose)
        # The theme's own link to the studio's terms stands below what the studio wrote.
        assert not [tag for tag in prose.select("[style], [class]:not(.button)") if "soft" not in tag["class"]]


def test_drawings_hold_only_what_is_drawn(hostile: Demo) -> None:
    """The published drawing is well-formed, holds the title as text, and no script or picture of the record's."""
    file = hostile.output / "catalogue" / "pictures" / f"{PRODUCT}.svg"
    root = etree.parse(file).getroot()
    kinds = {etree.QName(tag).localname for tag in root.iter()}
    assert kinds <= {"svg", "title", "defs", "linearGradient", "radialGradient", "stop", "path", "g", "circle", "use"}
    assert root.findtext("{http://www.w3.org/2000/svg}title") == TITLE


def test_printed_sheet_shows_the_title_as_it_is_written(hostile: Demo) -> None:
    """Signs that the typesetter would read as commands are printed as signs."""
    stall = hostile.output / "stall"
    printed = re.sub(r"\s", "", pdf_text(stall / "price_sheet.pdf"))
    assert re.sub(r"\s", "", TITLE) in printed
    assert TITLE in {text_of(head) for head in read_page(stall / "price_sheet.html").select("h3")}


@pytest.mark.parametrize(
    ("text", "kept"),
    [
        ("=1+1", "'=1+1"),
        ("+44", "'+44"),
        ("-80 mm", "'-80 mm"),
        ("@SUM(A1)", "'@SUM(A1)"),
        ("\t=1", "'\t=1"),
        ("\r=1", "'\r=1"),
        ("\n=1", "'\n=1"),
        ("\0=1", "'\0=1"),
        ("\uff1d1+1", "'\uff1d1+1"),
        ("\uff0b1", "'\uff0b1"),
        ("\uff0d1", "'\uff0d1"),
        ("\uff20SUM(A1)", "'\uff20SUM(A1)"),
        ("Small = 80", "Small = 80"),
        ("", ""),
    ],
)
def test_no_text_becomes_a_formula(text: str, kept: str) -> None:
    r"""A text that a spreadsheet would take for a formula is led by an apostrophe; any other is left alone.

    Source: OWASP Application Security Verification Standard 5.0, 1.2.10, read in a copy; \r, \n and the wide forms
    of the signs are caution, no source.
    """
    assert harmless(text) == kept


def test_every_table_that_is_written_is_harmless() -> None:
    """Cells and the names of columns come out led by an apostrophe; numbers below zero stay numbers."""
    rows: list[dict[str, Cell]] = [{"=cmd|'/c calc'!A0": "@SUM(A1)", "amount": Decimal("-3.50"), "count": -2}]
    kept = [["'=cmd|'/c calc'!A0", "amount", "count"], ["'@SUM(A1)", "-3.50", "-2"]]
    assert list(csv.reader(StringIO(as_csv(rows).decode("utf-8-sig")))) == kept
    sheet = load_workbook(BytesIO(as_workbook(rows, "Prices", date(2031, 5, 20), 1))).active
    assert sheet is not None
    assert [[cell.value for cell in row] for row in sheet.iter_rows()] == [kept[0], ["'@SUM(A1)", -3.5, -2]]
    assert {cell.data_type for row in sheet.iter_rows() for cell in row} == {"s", "n"}


def test_words_for_the_price_book_are_harmless(tmp_path: Path) -> None:
    """What the maker writes beside a price stands in the book as text, and the seal is over what stands there."""
    root = project(tmp_path, {"pane": text_of_record()})
    record(root, why="=1+1")
    book = read_content(root, DAY).book
    assert {row.why for row in book.rows} == {"'=1+1"}
    assert book.findings == ()


def writers_of_tables() -> dict[str, str]:
    """Every module that writes CSV or a workbook, with its text."""
    package = Path(catalog_builder.__file__).parent
    texts = {path.relative_to(package).as_posix(): path.read_text(encoding="utf-8") for path in package.rglob("*.py")}
    return {name: text for name, text in texts.items() if re.search(r"csv\.(Dict)?[wW]riter|to_csv|to_excel", text)}


def test_whoever_writes_a_table_makes_its_texts_harmless() -> None:
    """A new table is written through the workbook, or its texts are made harmless where it is written.

    The price book takes names, numbers and the words of the maker, which are made harmless where they come in. A
    proposed packing list and rows of material prices hold nothing but names, days and numbers.
    """
    careless = {name for name, text in writers_of_tables().items() if "harmless(" not in text}
    names_alone = {"planning/packing_proposal.py", "records/keeping/price_keeping.py"}
    assert careless == {"records/selling/price_book.py", *names_alone}


def test_formula_in_a_title_is_text_in_the_price_lists(tmp_path: Path) -> None:
    """A product named like a formula is text in the CSV, and no formula in the workbook."""
    project = lay_out_known(tmp_path / "studio", PRODUCT)
    record = project / "content" / "products" / PRODUCT / "product.md"
    text = re.sub(r"^title: .*$", "title: '=HYPERLINK(\"x\")'", record.read_text(encoding="utf-8"), flags=re.MULTILINE)
    record.write_text(text, encoding="utf-8")
    demo = build_in(project)
    lines = (demo.output / "bench" / "price_list.csv").read_text(encoding="utf-8-sig").splitlines()
    assert all(",\"'=HYPERLINK(" in line for line in lines[1:])
    with ZipFile(demo.output / "bench" / "price_list.xlsx") as book:
        sheet = etree.fromstring(book.read("xl/worksheets/sheet1.xml"))
    # A cell's value is <v>, a formula <f>: ECMA-376 Part 1, 18.3.1.
    kinds = {etree.QName(tag).localname for tag in sheet.iter()}
    assert "v" in kinds
    assert "f" not in kinds


@pytest.mark.parametrize(
    ("text", "html"),
    [
        ("Two *warm* words", "<p>Two <em>warm</em> words</p>"),
        ("<script>alert(1)</script>", ""),
        ("a<script>alert(1)</script>b", "<p>ab</p>"),
        ('<a href="javascript:x">y</a>', '<p><a rel="noopener">y</a></p>'),
        ("1 < 2 & 3 > 2", "<p>1 &lt; 2 &amp; 3 &gt; 2</p>"),
        ("<!-- unseen -->", ""),
    ],
)
def test_markdown_is_cleaned(text: str, html: str) -> None:
    """Markdown becomes plain HTML: markup that could do harm is dropped, signs are shown as signs."""
    assert str(marked_up(text)).strip() == html
