"""Characters that no font has: no sheet is refused for one, a box stands for it, and a finding names its place."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from catalog_builder.build import calculate
from catalog_builder.publish.sheets.printable import BOX, boxed, boxed_all, missing_from
from catalog_builder.publish.studio_calculation import quiet
from catalog_builder.publish.theme.loading import Theme, read_theme
from tests.publish.demo import DAY, ROOT, Demo, build_in, lay_out_known, reworded
from tests.publish.page import read_page
from tests.publish.sheet import pdf_text

PRODUCT = "harbour-light"
EMOJI, HAN, FAMILY, HEART = "\U0001f98a", "\u65e5\u672c", "\U0001f469\u200d\U0001f467", "\u2764\ufe0f"
MARKED, COMPOSED, HEBREW, ARABIC = (
    "q\u0304",
    "e\u0301",
    "\u05e9\u05b8\u05dc\u05d5\u05dd",
    "\u0645\u0631\u062d\u0628\u0627",
)
# Turned about, tagged, of private use, no character, a line end of its own, wide, a lone mark.
STRANGE = "\u202eabc\u202c \U000e0041 \ue000  \u2028 \uff46 \U0001d538 \u0345"
ODD = f"{EMOJI} {HAN} {FAMILY} {HEART} {MARKED} {COMPOSED} {HEBREW} {ARABIC} {STRANGE}"


@pytest.fixture(scope="module")
def theme() -> Theme:
    """The theme of the demo."""
    return read_theme(ROOT, "daylight", "en")


@pytest.fixture(scope="module")
def odd(tmp_path_factory: pytest.TempPathFactory) -> Demo:
    """A product with odd characters in every text that is printed, built."""
    project = lay_out_known(tmp_path_factory.mktemp("odd") / "studio", PRODUCT)
    content = project / "content"
    record = content / "products" / PRODUCT / "product.md"
    text = record.read_text(encoding="utf-8")
    text = re.sub(r"(?m)^(title|summary): .*$", rf"\1: '\1 {ODD}'", text)
    text = text.replace("\n```svg", f"\nThe sea {ODD}, [here](https://\u65e5.example/{EMOJI})\u0007.\n\n```svg", 1)
    record.write_text(text, encoding="utf-8")
    studio = content / "studio.toml"
    keys = "name|maker|tagline|place|title|summary|terms|note"
    text = re.sub(rf'(?m)^({keys}) = "', rf"\g<0>{ODD} ", studio.read_text(encoding="utf-8"))
    studio.write_text(re.sub("(?m)^also = .*$", f'also = ["{ODD}"]', text), encoding="utf-8")
    reworded(content / "materials.csv", ("Tide green streaky,", f"Tide green {ODD},"), ("sea green streaky", ODD))
    for name in ("about", "care"):
        (content / f"{name}.md").write_text(f"# {ODD}\n\n{ODD}\n", encoding="utf-8")
    return build_in(project)


def test_sheets_are_set_with_boxes_and_pages_show_the_text_as_it_is(odd: Demo) -> None:
    """The emoji and the Chinese stand on the page; on the sheet boxes stand for them, and Hebrew stands there."""
    page = read_page(odd.output / "catalogue" / "products" / f"{PRODUCT}.html")
    assert f"title {EMOJI} {HAN}" in page.select("h1")[0].get_text()
    sheet = pdf_text(odd.output / "stall" / "price_sheet.pdf")
    assert f"title {BOX} {BOX * 2} {BOX * 2}" in sheet
    assert EMOJI not in sheet and HAN not in sheet
    assert "\u05dc" in sheet


def test_each_line_with_such_a_character_has_a_finding(odd: Demo) -> None:
    """It names the file, the line and the characters, also those of the studio, the tables and the texts."""
    findings = [finding for finding in odd.calculated.worded_findings if finding.code == "F01"]
    record = (odd.project / "content" / "products" / PRODUCT / "product.md").read_text(encoding="utf-8")
    lines = [number for number, line in enumerate(record.split("\n"), 1) if EMOJI in line]
    places = {(finding.place.path, finding.place.line): finding.text for finding in findings}
    assert len(lines) == 3
    assert all(f"{EMOJI} (U+1F98A)" in places[f"content/products/{PRODUCT}/product.md", line] for line in lines)
    files = {path for path, _ in places}
    assert {f"content/{name}" for name in ("studio.toml", "about.md", "care.md", "materials.csv")} <= files


def test_a_studio_in_latin_letters_has_none() -> None:
    """The demo has accents and dashes, and no such finding."""
    assert [finding for finding in calculate(ROOT, DAY, quiet).findings if finding.code == "F01"] == []


def test_a_label_that_cannot_be_printed_has_a_finding(tmp_path: Path) -> None:
    """The place is the line of the theme's own file."""
    project = lay_out_known(tmp_path / "studio", PRODUCT)
    label = project / "themes" / "daylight" / "labels" / "en.toml"
    lines = label.read_text(encoding="utf-8").split("\n")
    line = next(number for number, text in enumerate(lines) if text.startswith("title = "))
    lines[line] = f'title = "{EMOJI}"'
    label.write_text("\n".join(lines), encoding="utf-8")
    (finding,) = [finding for finding in calculate(project, DAY, quiet).findings if finding.code == "F01"]
    assert (finding.place.path, finding.place.line) == ("themes/daylight/labels/en.toml", line + 1)


def test_what_the_fonts_have_stays(theme: Theme) -> None:
    """Greek, Cyrillic, Hebrew, Arabic, a heart and an accent of two characters are set; marks alone are not."""
    assert (
        missing_from(f"Glas\u00f6\u00adfen \u03a9\u0436 \u05e9 {ARABIC} {HEART} {COMPOSED} \u2702 \u2013", theme)
        == set()
    )
    assert missing_from(f"{EMOJI}{HAN}{MARKED}\u0007\ufdd0", theme) == {EMOJI, *HAN, MARKED, "\u0007", "\ufdd0"}


def test_json_stays_what_it_is(theme: Theme) -> None:
    """Escapes and quotation marks stay, control characters become boxes, and an address stays one."""
    data = {"a": f'\\u0007 "x" \n\t{EMOJI}\\', "b": "\u0007\u0301", "href": f"https://\u65e5.example/{EMOJI}?a=%20"}
    assert json.loads(boxed(json.dumps(data, ensure_ascii=False), theme)) == {
        "a": f'\\u0007 "x" \n\t{BOX}\\',
        "b": BOX * 2,
        "href": "https://%E6%97%A5.example/%F0%9F%A6%8A?a=%20",
    }


def test_the_last_resort_keeps_latin_letters() -> None:
    """Where the typesetter fails over characters beside each other, all but Latin letters and signs become boxes."""
    assert (
        boxed_all("\u00e9\u0159 \u2013 \u2019 \u20ac 9 \u0436\u65e5")
        == f"\u00e9\u0159 \u2013 \u2019 \u20ac 9 {BOX * 2}"
    )
