"""How much of a pattern the public sees: a drawing in colour, its lines and numbers too, or nothing of it at all."""

from __future__ import annotations

import re
from io import BytesIO
from pathlib import Path

import pytest
from PIL import Image

from catalog_builder.build import build, calculate
from catalog_builder.cache.build_state import BuildSummary
from catalog_builder.publish.studio_calculation import quiet
from tests.publish.demo import bytes_of
from tests.publish.page import read_page, said, structured_data, text_of
from tests.publish.photos import COLOURS, apart, quarters, saved
from tests.studio import DAY, PANE, PANE_RING, TABLES, project, record

PHOTO = "photos:\n  - {file: sill.jpg, alt: On a sill}"
NUMBERED = 'data-glass="left">1<'
SET = """---
title: Two panes
summary: A pair.
series: panes
added: 2031-01-02
made_of:
  - {product: pane, count: 2}
---
Two.
"""


def built(root: Path, keys: str = "", studio: str = "", pair: bool = False) -> tuple[Path, BuildSummary]:
    """A studio with one pane, two seams long, and perhaps a pair of it."""
    drawing = (PANE + PANE_RING).replace(NUMBERED, 'data-glass="left">Q7731<')
    project(root, {"pane": record(drawing, keys=keys)}, {"studio": TABLES["studio"] + studio})
    (root / "content/products/pane/sill.jpg").write_bytes(saved(quarters((600, 400)), "JPEG"))
    if pair:
        (root / "content/sets/pair").mkdir(parents=True)
        (root / "content/sets/pair/set.md").write_text(SET, encoding="utf-8")
    return root / "site_output", build(root, DAY, 1, quiet)


def codes(summary: BuildSummary) -> list[str]:
    """The findings on pictures."""
    return [finding.code for finding in summary.findings if finding.code.startswith("P")]


@pytest.mark.parametrize("keys", ["", "show_pattern: in colour"])
def test_usually_it_is_a_drawing_in_colour_without_numbers(tmp_path: Path, keys: str) -> None:
    """No public file holds a number of a piece, a glass word, a mark or its lines beside their sizes."""
    output, _ = built(tmp_path, keys)
    page = read_page(output / "catalogue/products/pane.html")
    assert page.select(".slide")
    assert page.select(".pattern") == []
    # The seam runs down the middle; the drawing of how it hangs shows the rim alone.
    assert len(page.select(".hanging svg path")) > 0
    assert "M50 0l0 60" not in str(page.select_one(".hanging svg"))
    drawn = (output / "catalogue/pictures/pane.svg").read_text(encoding="utf-8")
    assert "M50 0" in drawn
    assert re.findall(r"<text|data-|Q7731|left|right", drawn) == []
    for audience in ("catalogue", "stall"):
        for name, data in bytes_of(output / audience).items():
            assert not name.endswith((".html", ".svg", ".xml")) or b"Q7731" not in data, name


@pytest.mark.parametrize(("keys", "studio"), [("show_pattern: yes", ""), ("", 'show_pattern = "yes"\n')])
def test_with_yes_it_is_numbered_too(tmp_path: Path, keys: str, studio: str) -> None:
    """The record says so, or the studio for all its records."""
    output, _ = built(tmp_path, keys, studio)
    page = read_page(output / "catalogue/products/pane.html")
    assert {text_of(number) for number in page.select(".pattern svg text")} == {"Q7731", "2"}
    assert "M50 0" in str(page.select_one(".hanging svg"))
    one_file = next((output / "catalogue/to-send").glob("*.html"))
    assert {text_of(number) for number in read_page(one_file).select(".pattern svg text")} == {"Q7731", "2"}


@pytest.mark.parametrize("value", ["no", "false"])
def test_with_no_the_photo_stands_everywhere(tmp_path: Path, value: str) -> None:
    """Not one public file holds the seam: not the page, the cards, the one file, the sheet of prices or a preview."""
    output, summary = built(tmp_path, f"show_pattern: {value}\n{PHOTO}")
    assert codes(summary) == []
    catalogue = output / "catalogue"
    assert [path.name for path in (catalogue / "pictures").glob("*.svg")] == []
    page = read_page(catalogue / "products/pane.html")
    assert [said(image, "alt") for image in page.select(".slide img")] == ["On a sill"]
    assert page.select(".pattern") == []
    assert [Path(name).name for name in structured_data(page)["image"]] == ["pane-1-600.jpg"]
    sheet = read_page(output / "stall/price_sheet.html")
    assert [said(image, "href")[:23] for image in sheet.select(".drawing image")] == ["data:image/jpeg;base64,"]
    for audience in ("catalogue", "stall"):
        for name, data in bytes_of(output / audience).items():
            if name.endswith((".html", ".svg", ".xml")):
                assert b"M50 0" not in data, name
                assert b"pane.svg" not in data, name


def test_with_no_a_photo_of_another_variant_leads_too(tmp_path: Path) -> None:
    """Where no photo shows what is offered first, nothing is drawn in its place; each picture named is there."""
    keys = f"sizes: {{small: 60 mm, large: 90 mm}}\nshow_pattern: no\n{PHOTO[:-1]}, shows: {{size: large}}}}"
    output, summary = built(tmp_path, keys)
    catalogue = output / "catalogue"
    assert codes(summary) == []
    page = read_page(catalogue / "products/pane.html")
    assert {said(image, "alt") for image in page.select(".slide img")} == {"On a sill"}
    assert page.select(".slide svg") == []
    named = structured_data(page)["image"]
    assert [name for name in named if not (catalogue / "pictures" / Path(name).name).is_file()] == []
    with Image.open(BytesIO((catalogue / "previews/products/pane.jpg").read_bytes())) as image:
        pixels = image.convert("RGB").getpixel((700, 150))
    assert min(apart(pixels, colour) for colour in COLOURS) < 30  # type: ignore[arg-type]


def test_with_no_and_no_photo_strips_of_its_glass_stand_there_and_it_is_said(tmp_path: Path) -> None:
    """The two glasses cover a half each: half the picture is of either; a finding asks for a photo."""
    output, summary = built(tmp_path, "show_pattern: no")
    assert codes(summary) == ["P02"]
    (told,) = [finding for finding in summary.findings if finding.code == "P02"]
    assert told.text == "Pane: buyers see neither its pattern nor a photo, only strips of its glass"
    assert str(told.place).startswith("content/products/pane/product.md:")
    drawn = (output / "catalogue/pictures/pane.svg").read_text(encoding="utf-8")
    widths = {
        colour: float(width) for width, colour in re.findall(r'width="([\d.]+)" height="600" fill="(#\w+)"', drawn)
    }
    assert widths == pytest.approx({"#446655": 300, "#334455": 300}, abs=2)
    assert "path" not in drawn
    with Image.open(BytesIO((output / "catalogue/pictures/pane-drawn.jpg").read_bytes())) as image:
        ends = [image.convert("RGB").getpixel((at, 450)) for at in (20, 880)]
    assert apart(ends[0], (0x33, 0x44, 0x55)) < 12  # type: ignore[arg-type]
    assert apart(ends[1], (0x44, 0x66, 0x55)) < 12  # type: ignore[arg-type]
    page = read_page(output / "catalogue/products/pane.html")
    assert {said(image, "alt") for image in page.select(".slide img")} == {"", "The glass of Pane, as strips of colour"}


def test_a_set_shows_no_pattern_that_its_piece_does_not(tmp_path: Path) -> None:
    """A pair of hidden panes is strips too, and asks for a photo of its own."""
    output, summary = built(tmp_path, f"show_pattern: no\n{PHOTO}", pair=True)
    assert codes(summary) == ["P02"]
    drawn = (output / "catalogue/pictures/pair.svg").read_text(encoding="utf-8")
    assert "path" not in drawn
    assert drawn.count("<rect") == 2


def test_the_bench_has_its_pattern_whatever_is_shown(tmp_path: Path) -> None:
    """Pattern sheet and marking page are private, and whole."""
    output, _ = built(tmp_path, "show_pattern: no")
    assert list((output / "bench/patterns").glob("pane*.pdf"))
    assert "Q7731" in (output / "bench/marking/pane.html").read_text(encoding="utf-8")


def test_another_answer_is_refused(tmp_path: Path) -> None:
    """What may stand there is said."""
    from catalog_builder.mistake import MistakeError

    project(tmp_path, {"pane": record(keys="show_pattern: perhaps")})
    with pytest.raises(MistakeError) as caught:
        calculate(tmp_path, DAY, quiet)
    (mistake,) = caught.value.mistakes
    assert mistake.wrong == "show_pattern: 'perhaps' cannot be used here"
    assert mistake.expected == "one of: in colour, no, yes"
