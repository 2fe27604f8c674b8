"""Slips with cautions: each product's on the slip that goes with it, legible, and true where they are cut."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import replace
from itertools import product
from pathlib import Path
from typing import Literal

import pypdfium2
import pypdfium2.raw as pdfium
import pytest

from catalog_builder.build import build, calculate
from catalog_builder.offer import Listing
from catalog_builder.publish.stall.slips import MOST_NAMES, slip_sheet, slips_of
from catalog_builder.publish.studio_calculation import StudioCalculation, quiet
from catalog_builder.publish.theme.caution_lines import caution_lines
from catalog_builder.publish.theme.loading import Theme
from catalog_builder.records.studio_tables.studio_keys import StudioKeys
from tests import studio
from tests.publish.printed import Printed, pages_of

Paper = Literal["A4", "Letter"]
# ISO 216, and ANSI/ASME Y14.1 in inches (both from memory): width and height in mm.
PAPERS: Mapping[Paper, tuple[float, float]] = {"A4": (210, 297), "Letter": (8.5 * 25.4, 11 * 25.4)}
# What a rule and a pair of scissors can tell apart.
CUT_MM = 0.2
MARGIN_MM = 10.0
# What printers at home leave blank at the least; common practice, no source.
BLANK_MM = 5.0
# The least size of letters that is read without trouble; common practice, no source.
LEAST_PT = 8.0


def record(title: str, keys: str = "", finish: str = "bright") -> str:
    """A product's record by its title."""
    text = studio.record(keys=keys).replace("title: Pane", f"title: {title}")
    return text.replace("finishes: [bright]", f"finishes: [{finish}]")


RECORDS = {
    "pane": record("Pane"),
    "quarrel": record("Quarrel"),
    "lozenge": record("Lozenge", finish="black"),
    "roundel": record("Roundel", "solder: plain-tin"),
    "lunette": record("Lunette", 'cautions: ["Its horns are sharp."]'),
    "tablet": record("Tablet", "width: 420 mm\nhang: {by: chain, length: 900 mm}"),
}
TABLES = {
    "finishes.black": 'title = "Black patina"',
    "hanging": "safety_factor = 1",
    "cautions": 'also = ["Dust it dry."]',
}
MATERIALS = {"plain-tin": {"kind": "solder", "pack_size": "250", "pack_unit": "g", "alloy": "Sn97Cu3"}}


@pytest.fixture(scope="module")
def calculated(tmp_path_factory: pytest.TempPathFactory) -> StudioCalculation:
    """A studio with leaded, lead-free, patinated, wide and chained pieces, and one with a caution of its own."""
    root = studio.project(tmp_path_factory.mktemp("slips"), RECORDS, TABLES, MATERIALS)
    return calculate(root, studio.DAY, quiet)


def printed(calculated: StudioCalculation, paper: Paper = "A4") -> bytes:
    """The slips on a paper."""
    keys = calculated.content.studio.studio.model_copy(update={"paper": paper})
    return pdf(keys, calculated.listings, calculated.theme)


def pdf(keys: StudioKeys, listings: Sequence[Listing], theme: Theme) -> bytes:
    """The slips of listings as a PDF."""
    return slip_sheet(keys, slips_of(listings, theme), theme, studio.DAY).pdf()


def words(page: Printed) -> str:
    """A page's words with single blanks."""
    return " ".join(page.text().split())


def test_each_set_of_cautions_has_a_slip(calculated: StudioCalculation) -> None:
    """Products with the same cautions share a slip; lead-free, patina, weight and own cautions part them."""
    assert [slip.titles for slip in slips_of(calculated.listings, calculated.theme)] == [
        ("Pane", "Quarrel"),
        ("Lozenge",),
        ("Lunette",),
        ("Roundel",),
        ("Tablet",),
    ]


@pytest.mark.parametrize("paper", list(PAPERS))
def test_every_caution_of_a_product_is_on_its_slip(calculated: StudioCalculation, paper: Paper) -> None:
    """On the page that names a product, each of its cautions stands as often as there are slips."""
    pages = [words(page) for page in pages_of(printed(calculated, paper))]
    assert len(pages) == 5
    for listing in calculated.listings:
        (page,) = [page for page in pages if listing.title in page.split("–")[0].split("Goes with: ")[1]]
        for line in caution_lines(listing, calculated.theme):
            assert page.count(line) == page.count("Goes with: ") == 4, f"{listing.title}: {line}"
        assert page.count("https://sedge.example/care.html") == 4
        assert page.count("Sedge and Lantern") == 4
        assert page.count("wenna@sedge.example") == 4


def ticks(page: Printed) -> list[tuple[float, float, float, float]]:
    """The boxes of the cut marks on a page: short straight lines."""
    return [one.box for one in page.strokes if max(one.box[2] - one.box[0], one.box[3] - one.box[1]) < 4]


@pytest.mark.parametrize("paper", list(PAPERS))
def test_cut_marks_stand_where_the_slips_end(calculated: StudioCalculation, paper: Paper) -> None:
    """The marks part the paper between its margins into four equal slips, each cut marked at both of its ends."""
    width, height = PAPERS[paper]
    for page in pages_of(printed(calculated, paper)):
        assert (page.width, page.height) == pytest.approx((width, height), abs=0.1)
        across = [(left + right) / 2 for left, top, right, bottom in ticks(page) if bottom - top > right - left]
        down = [(top + bottom) / 2 for left, top, right, bottom in ticks(page) if right - left > bottom - top]
        wanted_across = [MARGIN_MM, width / 2, width - MARGIN_MM]
        wanted_down = [MARGIN_MM, height / 2, height - MARGIN_MM]
        assert sorted(across) == pytest.approx([x for x in wanted_across for _ in "ab"], abs=CUT_MM)
        assert sorted(down) == pytest.approx([y for y in wanted_down for _ in "ab"], abs=CUT_MM)


@pytest.mark.parametrize("paper", list(PAPERS))
def test_words_keep_clear_of_the_cuts(calculated: StudioCalculation, paper: Paper) -> None:
    """No letter lies within 3 mm of a cut, and nothing at all in the outermost 5 mm of the paper."""
    width, height = PAPERS[paper]
    cuts = [MARGIN_MM, width / 2, width - MARGIN_MM], [MARGIN_MM, height / 2, height - MARGIN_MM]
    for page in pages_of(printed(calculated, paper)):
        ink = page.ink.copy()
        edge = int(BLANK_MM * 10)
        ink[edge:-edge, edge:-edge] = False
        assert not ink.any()
        inside = page.ink[
            int(MARGIN_MM * 10) + 2 : -int(MARGIN_MM * 10) - 2, int(MARGIN_MM * 10) + 2 : -int(MARGIN_MM * 10) - 2
        ]
        for axis, places in enumerate(cuts):
            at = int((places[1] - MARGIN_MM) * 10)
            band = inside[:, at - 30 : at + 30] if axis == 0 else inside[at - 30 : at + 30]
            assert not band.any()


def letter_sizes(data: bytes) -> Counter[float]:
    """The sizes in points of every run of words in a PDF."""
    sizes: Counter[float] = Counter()
    for page in pypdfium2.PdfDocument(data):
        textpage = page.get_textpage()
        for index in range(textpage.count_chars()):
            sizes[round(pdfium.FPDFText_GetFontSize(textpage.raw, index), 2)] += 1
    return sizes


def test_letters_are_large_enough(calculated: StudioCalculation) -> None:
    """No word of a slip is under 8 points."""
    sizes = letter_sizes(printed(calculated))
    assert sum(sizes.values()) > 1000
    # The reader gives line ends that it adds itself the size of one.
    assert min(size for size in sizes if size != 1.0) >= LEAST_PT


def test_slips_are_black_on_white(calculated: StudioCalculation) -> None:
    """Nothing is coloured, so that any printer prints it."""
    for page in pypdfium2.PdfDocument(printed(calculated)):
        picture = page.render(scale=2).to_numpy()
        assert (picture.max(axis=2) - picture.min(axis=2)).max() == 0


def test_more_words_make_larger_slips(calculated: StudioCalculation) -> None:
    """Long additions make two slips a page, then one, then words that run on; none is cut off."""
    kinds = {}
    for count in (0, 4, 16, 40):
        added = tuple(f"Number {n}. " + "Mind it well and long. " * 14 + f"Ends {n}." for n in range(count))
        listings = [replace(calculated.listings[0], added_cautions=added)]
        data = pdf(calculated.content.studio.studio, listings, calculated.theme)
        pages = [words(page) for page in pages_of(data)]
        whole = " ".join(pages)
        slips = whole.count("Goes with: ")
        kinds[count] = (len(pages), slips)
        for line in added:
            assert whole.count(line.split(". ")[-1]) >= slips, line
        assert min(size for size in letter_sizes(data) if size != 1.0) >= LEAST_PT
    assert kinds[0] == (1, 4)
    assert kinds[4][1] == 2
    assert kinds[16] == (1, 1)
    assert kinds[40][0] > 1


def test_every_product_of_many_is_on_one_slip(calculated: StudioCalculation) -> None:
    """More products than a slip can name are shared out over several slips with the same cautions."""
    one = calculated.listings[0]
    titles = [f"Pane {first}{second}" for first, second in product("abcdefgh", repeat=2)]
    slips = slips_of([replace(one, title=title) for title in reversed(titles)], calculated.theme)
    assert [title for slip in slips for title in slip.titles] == titles
    assert max(len(slip.titles) for slip in slips) == MOST_NAMES
    assert {slip.cautions for slip in slips} == {caution_lines(one, calculated.theme)}


def test_same_content_gives_the_same_bytes(calculated: StudioCalculation) -> None:
    """Slips made twice are the same to the byte, in whatever order the products come."""
    keys, theme = calculated.content.studio.studio, calculated.theme
    assert pdf(keys, calculated.listings, theme) == pdf(keys, calculated.listings[::-1], theme)


def test_build_puts_the_slips_with_the_stall_sheets(calculated: StudioCalculation, tmp_path: Path) -> None:
    """Publishing writes the slips beside the price sheet, as they are made here."""
    root = studio.project(tmp_path, RECORDS, TABLES, MATERIALS)
    build(root, studio.DAY, 1, quiet)
    assert (root / "site_output/stall/care_slips.pdf").read_bytes() == printed(calculated)
