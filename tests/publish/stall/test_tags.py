"""Price tags: where they stand on the paper, what can be read on them, and where their codes lead."""

from __future__ import annotations

import json
import re
from collections import Counter
from datetime import date
from pathlib import Path
from urllib.parse import urlsplit

import numpy as np
import pypdfium2.raw as pdfium
import pytest
import zxingcpp
from click.testing import CliRunner, Result

from catalog_builder.build import calculate
from catalog_builder.cli import main
from catalog_builder.commands.tags import TagRequest, set_tags
from catalog_builder.publish.stall.tag_layout import LEAST_MODULE_MM, MOST_MODULE_MM, encode
from catalog_builder.publish.stall.tag_sheet import Tags
from catalog_builder.publish.studio_calculation import quiet
from catalog_builder.publish.theme.standing_words import standing_words
from catalog_builder.records.content import read_content
from catalog_builder.records.selling.label_sheet import LabelSheet, packaged_sheets
from tests.book import by_hand, only
from tests.publish.buyers import pounds, row, sides
from tests.publish.demo import Demo
from tests.publish.page import read_page
from tests.publish.printed import MM, Printed, pages_of
from tests.studio import DAY as STUDIO_DAY
from tests.studio import TABLES, project, record, studio_text

# What a printer at home and a rule at the stall can tell apart.
RULE_MM = 0.2
DOTS_AN_INCH = 400
PACKED = """product,size,finish,glass,count
noon-sun,small,copper,low,3
seahorse,,copper,eelgrass,2
noon-sun,large,black,noon,1
"""
# ISO/IEC 18004, capacity table: bytes that a code of a version holds at level M. 1 to 6 as published tables quote
# them and a library's bit table gives them; 7 to 10 from memory.
BYTES_AT_M = (14, 26, 42, 62, 84, 106, 122, 152, 180, 213)


def tags(folder: Path, *arguments: str, day: date = STUDIO_DAY) -> Result:
    """Run the command in this process."""
    return CliRunner().invoke(main, ["tags", "--folder", str(folder), "--day", day.isoformat(), *arguments])


def set_for(demo: Demo, asked: TagRequest) -> Tags:
    """The demo's tags, set and not written: its folders stay as the build left them."""
    _, tags = set_tags(demo.calculated, asked)
    assert tags is not None
    return tags


def printed(folder: Path) -> list[Printed]:
    """The pages of the tags."""
    return pages_of((folder / "site_output" / "stall" / "tags.pdf").read_bytes())


def codes_on(page: Printed) -> list[tuple[str, float, float, float, dict[str, str]]]:
    """What an independent decoder reads off a page: the text, left, top and width in mm, and what it says of it."""
    picture = page.page.render(scale=DOTS_AN_INCH / 72, grayscale=True).to_numpy()
    found = []
    for one in zxingcpp.read_barcodes(picture.reshape(picture.shape[:2])):
        corner, other = one.position.top_left, one.position.top_right
        mm = 25.4 / DOTS_AN_INCH
        found.append(
            (
                one.text,
                corner.x * mm,
                corner.y * mm,
                (other.x - corner.x) * mm,
                json.loads(json.dumps(one.extra)),
            )
        )
    return sorted(found, key=lambda code: (round(code[2]), code[1]))


def cell_of(sheet: LabelSheet, x: float, y: float) -> int:
    """The cell that a place of the page lies in."""
    column, row = int((x - sheet.left) // sheet.across), int((y - sheet.top) // sheet.down)
    left, top = sheet.left + column * sheet.across, sheet.top + row * sheet.down
    assert left <= x <= left + sheet.width, "between two columns"
    assert top <= y <= top + sheet.height, "between two rows"
    return row * sheet.columns + column


def texts_by_cell(page: Printed, sheet: LabelSheet) -> dict[int, list[str]]:
    """The words in each cell, in the order of the PDF."""
    cells: dict[int, list[str]] = {}
    for words, x, y in page.runs:
        if words.strip():
            cells.setdefault(cell_of(sheet, x, y), []).append(words)
    return cells


@pytest.fixture(scope="module")
def packing(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A list of six tags of three variants."""
    path = tmp_path_factory.mktemp("list") / "packing.csv"
    path.write_text(PACKED, encoding="utf-8")
    return path


SHEETS = packaged_sheets()


@pytest.mark.parametrize("name", SHEETS)
def test_tags_stand_in_their_cells(demo: Demo, packing: Path, name: str) -> None:
    """On each sheet that comes along, words begin where the label does, to 0.2 mm, and no ink leaves its label."""
    sheet = SHEETS[name]
    tags = set_for(demo, TagRequest(name, packing=packing, first_cell=2))
    assert (tags.count, tags.sheets) == (6, 1)
    (page,) = pages_of(tags.pdfs[0])
    assert (page.width, page.height) == pytest.approx(sheet.paper_mm, abs=0.1)
    cells = texts_by_cell(page, sheet)
    assert sorted(cells) == [1, 2, 3, 4, 5, 6]
    rows, columns = np.nonzero(page.ink)
    corners = {
        cell: (sheet.left + cell % sheet.columns * sheet.across, sheet.top + cell // sheet.columns * sheet.down)
        for cell in cells
    }
    inside = np.zeros(len(rows), dtype=bool)
    starts = []
    for left, top in corners.values():
        within = (columns >= left * 10) & (columns <= (left + sheet.width) * 10)
        within &= (rows >= top * 10) & (rows <= (top + sheet.height) * 10)
        starts.append((columns[within].min() / 10 - left, rows[within].min() / 10 - top))
        inside |= within
    assert inside.all()
    # The same tag begins at the same place of every label: cells 1 to 3 hold the same one.
    assert np.ptp(np.array(starts[:3]), axis=0).max() <= RULE_MM
    assert all(2 - RULE_MM <= across <= 5 and down >= 2 - RULE_MM for across, down in starts)


def test_every_code_of_every_variant_is_read(demo: Demo) -> None:
    """The tags of the whole demo: an independent decoder reads every code, each as a page that is in the catalogue."""
    tags = set_for(demo, TagRequest(None))
    codes = [code[0] for page in pages_of(tags.pdfs[0]) for code in codes_on(page)]
    sold = {one.offer.sku for one in demo.calculations if one.product.keys.availability == "sold"}
    wanted = [one for one in demo.calculations if one.offer.sku not in sold]
    address = demo.calculated.content.studio.studio.address
    assert len(codes) == tags.count == len(wanted)
    listings = {listing.slug: listing for listing in demo.calculated.listings}
    assert sorted(codes) == sorted(address + listings[one.product.slug].page_of(one.offer) for one in wanted)
    pages = {urlsplit(code).path.lstrip("/") for code in codes}
    assert all((demo.output / "catalogue" / page).is_file() for page in pages)


@pytest.mark.parametrize("name", SHEETS)
def test_every_code_leads_to_a_page_of_the_catalogue(demo: Demo, packing: Path, name: str) -> None:
    """An independent decoder reads each code, at level M, as the address of its own product's page, which is there."""
    sheet = SHEETS[name]
    (page,) = pages_of(set_for(demo, TagRequest(name, packing=packing)).pdfs[0])
    found = codes_on(page)
    slugs = ["noon-sun"] * 3 + ["seahorse"] * 2 + ["noon-sun"]
    address = demo.calculated.content.studio.studio.address
    assert [text.partition("#")[0] for text, *_ in found] == [f"{address}products/{slug}.html" for slug in slugs]
    titles = {listing.slug: listing.title for listing in demo.calculated.listings}
    for (text, left, top, width, extra), slug in zip(found, slugs, strict=True):
        path = demo.output / "catalogue" / urlsplit(text).path.lstrip("/")
        assert titles[slug] in read_page(path).select("h1")[0].get_text()
        place = urlsplit(text).fragment
        assert place or name != "a4-2x7"
        assert not place or read_page(path).find(id=place) is not None
        assert extra["ECLevel"] == "M"
        modules = 17 + 4 * int(extra["Version"])
        module = width / modules
        assert LEAST_MODULE_MM - 0.01 <= module <= MOST_MODULE_MM + 0.01
        # The quiet zone of 4 modules is white all round, and within the label.
        quiet_mm = 4 * module
        cell_of(sheet, left - quiet_mm + RULE_MM, top - quiet_mm + RULE_MM)
        cell_of(sheet, left + width + quiet_mm - RULE_MM, top + width + quiet_mm - RULE_MM)
        box = [
            round(side * 10)
            for side in (left - quiet_mm, top - quiet_mm, left + width + quiet_mm, top + width + quiet_mm)
        ]
        ring = page.ink[box[1] + 1 : box[3] - 1, box[0] + 1 : box[2] - 1].copy()
        inner = round(quiet_mm * 10) - 2
        ring[inner:-inner, inner:-inner] = False
        assert not ring.any(), name


def test_tags_say_what_the_price_sheet_says(demo: Demo) -> None:
    """A tag for each variant holds its name, size, finish, glass, stall price and the studio, and there is one each."""
    tags = set_for(demo, TagRequest())
    assert tags.count == len(demo.calculations)
    assert tags.sheets == -(-tags.count // 24)
    wanted = Counter(
        " ".join(
            (
                one.product.keys.title,
                *((f"{one.offer.size}:",) if one.offer.size else ()),
                sides(one.offer.sides_mm),
                *filter(None, [standing_words(one.offer, demo.calculated.phrasing)]),
                row((one.offer.finish, one.offer.glass)),
                pounds(one.prices["stall"].printed),
                *(
                    [f"Lowest price of the 30 days before: {pounds(one.offer.stall.reduction.earlier)}."]
                    if one.offer.stall.reduction
                    else []
                ),
                demo.calculated.content.studio.studio.name,
            )
        )
        for one in demo.calculations
        if one.product.keys.availability != "sold"
    )
    sheet = SHEETS["a4-3x8"]
    read: Counter[str] = Counter()
    for page in pages_of(tags.pdfs[0]):
        for cell in range(sheet.count):
            left, top = sheet.corner(cell)
            box = {"left": left / MM, "right": (left + sheet.width) / MM}
            high = {"top": (page.height - top) / MM, "bottom": (page.height - top - sheet.height) / MM}
            words = page.page.get_textpage().get_text_bounded(**box, **high)
            read[" ".join(words.replace("\u00a0", " ").split())] += 1
    del read[""]
    assert read == wanted


def test_tags_are_black_and_their_letters_are_embedded(demo: Demo, packing: Path) -> None:
    """A tag is printed in black alone, and the letters of all its words are in the file."""
    (page,) = pages_of(set_for(demo, TagRequest(packing=packing)).pdfs[0])
    picture = page.page.render(scale=1).to_numpy()
    assert (picture.max(axis=2) - picture.min(axis=2)).max() == 0
    words = list(page.page.get_objects(filter=[pdfium.FPDF_PAGEOBJ_TEXT]))
    assert len(words) >= 6 * 5
    assert {pdfium.FPDFFont_GetIsEmbedded(pdfium.FPDFTextObj_GetFont(one.raw)) for one in words} == {1}


def test_the_same_day_gives_the_same_bytes(demo: Demo, packing: Path) -> None:
    """Set twice, tags are the same file to the byte."""
    asked = TagRequest(packing=packing, crop_marks=True)
    assert set_for(demo, asked).pdfs[0] == set_for(demo, asked).pdfs[0]


def test_tags_hold_nothing_private(demo: Demo) -> None:
    """No cost, floor price, trade price or earning of any variant can be read off its tag."""
    public = {one.prices["stall"].printed for one in demo.calculations}
    private = set()
    for one in demo.calculations:
        private |= {round(one.cost.total, 2), one.prices["trade"].printed}
        private |= {
            round(amount, 2) for earning in one.earnings.values() for amount in (earning.floor, earning.left_after_fees)
        }
    text = "\n".join(page.text() for page in pages_of(set_for(demo, TagRequest()).pdfs[0]))
    read = set(re.findall(r"£[\d,]+(?:\.\d\d)?", text))
    assert {pounds(amount) for amount in public} == read
    assert read & {pounds(amount) for amount in private - public} == set()


def test_crop_marks_are_in_line_with_every_edge(demo: Demo, packing: Path) -> None:
    """Marks stand outside the tags, to 0.2 mm in line with their edges, and where a home printer reaches."""
    sheet = SHEETS["a4-3x6"]
    (page,) = pages_of(set_for(demo, TagRequest("a4-3x6", packing=packing, crop_marks=True)).pdfs[0])
    boxes = [stroke.box for stroke in page.strokes]
    upright = sorted({round(left, 1) for left, top, right, bottom in boxes if right - left < 0.01})
    level = sorted({round(top, 1) for left, top, right, bottom in boxes if bottom - top < 0.01})
    assert upright == pytest.approx([15, 75, 135, 195], abs=RULE_MM)
    assert level == pytest.approx([13.5 + 45 * row for row in range(7)], abs=RULE_MM)
    assert len(boxes) == 2 * (4 + 7)
    for left, top, right, bottom in boxes:
        assert right < sheet.left or left > sheet.right or bottom < sheet.top or top > sheet.bottom
        assert min(left, top) >= 5 - RULE_MM
        assert right <= 205 + RULE_MM
        assert bottom <= 292 + RULE_MM


@pytest.mark.parametrize("version", range(1, 11))
def test_codes_are_no_larger_than_the_standard_asks(version: int) -> None:
    """ISO/IEC 18004: at level M a version holds so many bytes, one more takes the next; it is 17 + 4 v modules wide."""
    # Small letters have no place in the shorter modes, so that each is a byte.
    most = BYTES_AT_M[version - 1]
    code, next_code = encode("a" * most), encode("a" * (most + 1))
    assert (code.version, code.modules, code.whole) == (version, 17 + 4 * version, 25 + 4 * version)
    assert next_code.version == version + 1


def pane_studio(root: Path, title: str = "Pane") -> Path:
    """A studio with one product and one variant, whose stall price is known."""
    return project(root, {"pane": record().replace("title: Pane", f"title: {title}")})


def test_only_tags_whose_price_has_changed_since_a_day(tmp_path: Path) -> None:
    """Where the book's price of that day is the price now no tag is printed; where it differs or lacks, one is."""
    root = pane_studio(tmp_path)
    now = only(calculate(root, STUDIO_DAY, quiet)).offer.stall_price
    on_day = ("--since", "2031-03-01")
    assert tags(root, *on_day).output.startswith("1 tag on 1 sheet")
    by_hand(root, f"2031-02-01,pane--bright,stall,{now + 1}", f"2031-04-01,pane--bright,stall,{now}")
    assert tags(root, *on_day).output.startswith("1 tag on 1 sheet")
    (root / "site_output" / "stall" / "tags.pdf").unlink()
    result = tags(root, "--since", "2031-04-02")
    assert result.exit_code == 0
    assert "there is no tag to print" in result.output
    assert not (root / "site_output" / "stall" / "tags.pdf").exists()
    by_hand(root, f"2031-03-02,pane--bright,stall,{now}")
    assert tags(root, *on_day).output.startswith("1 tag on 1 sheet")


@pytest.mark.parametrize(
    "title",
    ["Pane", "A very long title " * 6, "Unparallelogrammatically" * 3, "Pane #panic[x] *$ <b> _@_ \\\\"],
    ids=["short", "many-words", "one-long-word", "signs"],
)
@pytest.mark.parametrize(
    "size", [("63.5 mm", "33.9 mm"), ("30 mm", "70 mm"), ("38 mm", "12 mm")], ids=["wide", "tall", "tiny"]
)
def test_no_title_is_cut(tmp_path: Path, title: str, size: tuple[str, str]) -> None:
    """However long a title and small a label, all its letters are there and no ink leaves the label."""
    root = pane_studio(tmp_path, f'"{title.strip()}"')
    (root / "content" / "labels").mkdir()
    (root / "content" / "labels" / "own.toml").write_text(
        'paper = "A4"\ncolumns = 2\nrows = 2\nleft = "20 mm"\ntop = "25 mm"\nacross = "80 mm"\ndown = "100 mm"\n'
        f'label_width = "{size[0]}"\nlabel_height = "{size[1]}"\n',
        encoding="utf-8",
    )
    result = tags(root, "--sheet", "own", "--copies", "2")
    assert result.exit_code == 0, result.output
    sheet = read_content(root, STUDIO_DAY).label_sheets["own"]
    (page,) = printed(root)
    outside = page.ink.copy()
    for cell in range(2):
        left, top = (round(side * 10) for side in sheet.corner(cell))
        outside[top : top + round(sheet.height * 10), left : left + round(sheet.width * 10)] = False
    assert not outside.any()
    letters = re.sub(r"\s", "", title.replace("\\\\", "\\"))
    assert re.sub(r"\s", "", page.text()).count(letters) == 2
    bare = size[1] == "12 mm"
    assert len(codes_on(page)) == (0 if bare else 2)
    assert ("T01 own: 1 of 1 designs has no code" in result.output) == bare


def test_a_label_at_the_papers_edge_is_printed_on_where_a_printer_reaches(tmp_path: Path) -> None:
    """On labels that fill the paper, all ink keeps 5 mm from its edge."""
    root = pane_studio(tmp_path)
    (root / "content" / "labels").mkdir()
    text = 'paper = "A4"\ncolumns = 3\nrows = 8\nleft = 0\ntop = 0\nlabel_width = "70 mm"\nlabel_height = "37.1 mm"\n'
    (root / "content" / "labels" / "filled.toml").write_text(text, encoding="utf-8")
    assert tags(root, "--sheet", "filled", "--copies", "24").exit_code == 0
    (page,) = printed(root)
    edge = page.ink.copy()
    # A dot for the border between two of them.
    edge[49:-51, 49:-51] = False
    assert len(codes_on(page)) == 24
    assert not edge.any()


def test_letter_paper_has_a_sheet_of_its_own(tmp_path: Path) -> None:
    """A studio that prints on Letter gets a sheet for it where it names none."""
    root = pane_studio(tmp_path)
    table = TABLES["studio"] + 'paper = "Letter"\n'
    (root / "content" / "studio.toml").write_text(studio_text({"studio": table}), encoding="utf-8")
    assert tags(root).output.startswith("1 tag on 1 sheet of letter-3x10 (Letter, 30 to a sheet).")
    (page,) = printed(root)
    # ANSI/ASME Y14.1: 8.5 by 11 in (from memory).
    assert (page.width, page.height) == pytest.approx((8.5 * 25.4, 11 * 25.4), abs=0.1)


@pytest.mark.parametrize(
    ("arguments", "told"),
    [
        (("--sheet", "a4-3x9"), "--sheet: there is no sheet 'a4-3x9'"),
        (("--first-cell", "25"), "--first-cell: the sheet 'a4-3x8' has no cell 25"),
        (("--sheet", "a4-2x7", "--crop-marks"), "--crop-marks: the margins of 'a4-2x7' have no room for crop marks"),
        (("--list", "LIST"), "list.csv:3: the product 'pain' is not in content/products"),
    ],
)
def test_what_cannot_be_printed_is_told(tmp_path: Path, arguments: tuple[str, ...], told: str) -> None:
    """A sheet, a cell, a margin or a row that is not there ends in words, and no tag is written."""
    root = pane_studio(tmp_path)
    (tmp_path / "list.csv").write_text("product,count\npane,1\npain,2\n", encoding="utf-8")
    given = [str(tmp_path / "list.csv") if word == "LIST" else word for word in arguments]
    result = tags(root, *given)
    assert result.exit_code == 1
    assert result.stderr.startswith(told)
    assert not (root / "site_output").exists()


def test_too_many_tags_are_refused(tmp_path: Path) -> None:
    """A slip of the finger in a count does not print a mountain of paper."""
    root = pane_studio(tmp_path)
    (tmp_path / "list.csv").write_text("product,count\npane,500\n", encoding="utf-8")
    result = tags(root, "--list", str(tmp_path / "list.csv"), "--copies", "11")
    assert result.stderr.startswith("--copies: 5500 tags would be printed")


def test_an_empty_list_is_told(tmp_path: Path) -> None:
    """A list with its columns and nothing under them is no list."""
    root = pane_studio(tmp_path)
    (tmp_path / "list.csv").write_text("product,count\n", encoding="utf-8")
    result = tags(root, "--list", str(tmp_path / "list.csv"))
    assert result.stderr.startswith("list.csv: the list has no rows")


def test_many_tags_come_in_several_files(demo: Demo, monkeypatch: pytest.MonkeyPatch) -> None:
    """Tags that fill more sheets than a file holds go on in the next one, each once and in its own place."""
    whole = set_for(demo, TagRequest())
    monkeypatch.setattr("catalog_builder.publish.stall.tag_sheet.SHEETS", 2)
    cut = set_for(demo, TagRequest())
    assert (cut.count, cut.sheets) == (whole.count, whole.sheets)
    assert len(cut.pdfs) == -(-whole.sheets // 2)
    texts = [page.text() for pdf in cut.pdfs for page in pages_of(pdf)]
    assert texts == [page.text() for page in pages_of(whole.pdfs[0])]
