"""A large studio's papers come in parts, and what is sent holds the newest: nothing is lost, little is made again."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
import pypdfium2
import pytest
from PIL import Image

from catalog_builder.build import build
from catalog_builder.cache.build_state import BuildSummary
from catalog_builder.publish.bench import change_sheet, earnings
from catalog_builder.publish.catalogue.sending import edition, sent
from catalog_builder.publish.catalogue.sending.look_book import look_book
from catalog_builder.publish.sheets import pagination as part
from catalog_builder.publish.sheets import pdf as setting
from catalog_builder.publish.sheets import typeset
from catalog_builder.publish.sheets.pagination import SheetPart, in_parts
from catalog_builder.publish.stall import slips
from catalog_builder.publish.studio_calculation import quiet
from tests import studio
from tests.publish.demo import bytes_of, give_photos
from tests.publish.page import read_page, references, said, text_of
from tests.publish.photos import saved

TITLES = [f"Pane {letter}" for letter in "ABCDE"]
EDITION = "catalogue/to-send/sedge-and-lantern"


def laid(root: Path) -> Path:
    """A studio of five panes, each added a day after the one before it, with shops to sell to."""
    products = {
        f"pane-{place}": studio.record()
        .replace("title: Pane", f"title: {title}")
        .replace("2031-01-02", f"2031-01-{10 + place}")
        for place, title in enumerate(TITLES)
    }
    shops = 'title = "Shops"\nshown_on = "shops"\nmarkup_percent = 20'
    return studio.project(root, products, {"channels.trade": shops})


def lower_bounds(patch: pytest.MonkeyPatch) -> None:
    """Set bounds that five designs go over."""
    patch.setattr(part, "PART", 2)
    patch.setattr(earnings, "PLOTTED", 2)
    patch.setattr(sent, "MOST_SENT", 3)
    patch.setattr(edition, "MOST_SENT", 3)
    patch.setattr(slips, "SLIPS", 1)
    patch.setattr(slips, "MOST_NAMES", 2)
    patch.setattr(change_sheet, "LINES", 2)


@pytest.fixture
def small(monkeypatch: pytest.MonkeyPatch) -> None:
    """Bounds that five designs go over."""
    lower_bounds(monkeypatch)


@dataclass(frozen=True, slots=True)
class InParts:
    """The studio published within such bounds, and what its build said; tests read it, and change nothing in it."""

    root: Path
    summary: BuildSummary


@pytest.fixture(scope="module")
def in_parts_published(tmp_path_factory: pytest.TempPathFactory) -> Iterator[InParts]:
    """The studio in parts, published once."""
    with pytest.MonkeyPatch.context() as patch:
        lower_bounds(patch)
        root = laid(tmp_path_factory.mktemp("parts"))
        summary = published(root)
    before = bytes_of(root)
    yield InParts(root, summary)
    assert bytes_of(root) == before, "a test changed what others read"


@pytest.fixture
def asked(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """The names of the printed sheets that were set, but for pattern sheets."""
    found = list[str]()
    noted(monkeypatch, "compile_here", found)
    noted(monkeypatch, "compile_in_process", found)
    return found


def noted(monkeypatch: pytest.MonkeyPatch, name: str, found: list[str]) -> None:
    """Note each sheet that is set in one of the two ways, and set it here."""

    def set_it(wanted: Mapping[str, Any]) -> bytes:
        found.append(Path(wanted["input"]).name)
        return setting.compile_here(wanted)

    monkeypatch.setattr(f"catalog_builder.publish.sheets.typeset.{name}", set_it)


def published(root: Path) -> BuildSummary:
    """Build a studio, with one worker."""
    return build(root, studio.DAY, 1, quiet)


def read_pdf(path: Path) -> str:
    """All words of a PDF, with single spaces."""
    return " ".join(" ".join(page.get_textpage().get_text_bounded() for page in pypdfium2.PdfDocument(path)).split())


def parts(root: Path, name: str) -> list[Path]:
    """The files of a paper's parts, in order."""
    path = root / "site_output" / name
    return [path, *sorted(path.parent.glob(f"{path.stem}-[0-9]{path.suffix}"))]


@pytest.mark.parametrize(("things", "most", "sizes"), [(0, 2, [0]), (2, 2, [2]), (3, 2, [2, 1]), (5, 5, [5])])
def test_parts_hold_everything_once(things: int, most: int, sizes: Sequence[int]) -> None:
    """Parts are filled one after the other; of nothing there is one, and empty."""
    found = in_parts(range(things), most)
    assert [len(ones) for _, ones in found] == sizes
    assert [one for _, ones in found for one in ones] == list(range(things))
    assert [one for one, _ in found] == [SheetPart(number, len(sizes)) for number in range(1, len(sizes) + 1)]


@pytest.mark.parametrize(
    "name", ["stall/price_sheet.pdf", "bench/trade_price_sheet.pdf", "bench/trade_list.pdf", "bench/discounts.pdf"]
)
def test_sheets_come_in_parts(in_parts_published: InParts, name: str) -> None:
    """Each design stands in one part, in the order of the sheet, and every part says which it is."""
    root = in_parts_published.root
    texts = [read_pdf(path) for path in parts(root, name)]
    assert [[title for title in TITLES if title in text] for text in texts] == [TITLES[:2], TITLES[2:4], TITLES[4:]]
    assert all(f"Part {number} of 3" in text for number, text in enumerate(texts, 1))


@pytest.mark.parametrize("name", ["stall/price_sheet.html", "bench/discounts.html", "bench/index.html"])
def test_pages_come_in_parts(in_parts_published: InParts, name: str) -> None:
    """A page of a part leads to all the others, tells which it is, and names what each begins with."""
    root = in_parts_published.root
    paths = parts(root, name)
    assert len(paths) == 3
    for number, path in enumerate(paths):
        page = read_page(path)
        links = page.select("nav.parts li > *")
        others = [said(link, "href") for link in links if link.name == "a"]
        assert others == [one.name for one in paths if one != path]
        assert [text_of(link).rsplit(" ", 1)[1] for link in links] == ["A", "C", "E"]
        assert [link.has_attr("aria-current") for link in links] == [place == number for place in range(3)]
        assert f"Part {number + 1} of 3" in text_of(page)
        shown = " ".join(text_of(table) for table in page.select("table"))
        assert [title for title in TITLES if title in shown] == TITLES[number * 2 : number * 2 + 2]
    bench = references(read_page(root / "site_output" / "bench" / "index.html"))
    trade = [path.name for name in ("trade_price_sheet", "trade_list") for path in parts(root, f"bench/{name}.pdf")]
    assert [one for one in bench if one.startswith("trade")] == trade


def test_pay_comes_in_parts_and_its_plot_shows_both_ends(in_parts_published: InParts) -> None:
    """Every variant is ranked once over all pages, places run on, and the plot has the best and the worst."""
    root = in_parts_published.root
    pages = [read_page(path) for path in parts(root, "bench/earnings.html")]
    rows = [row for page in pages for row in page.select('[aria-labelledby="in-stall"] tbody tr:not(.group)')]
    assert [text_of(row.select("td")[0]) for row in rows] == ["1", "2", "3", "4", "5"]
    assert [text_of(row.select("th")[0]) for row in rows] == TITLES
    assert [len(page.select("section.beside")) for page in pages] == [1, 0, 0]
    plot = text_of(pages[0].select("section.beside")[0])
    assert [title for title in TITLES if title in plot] == ["Pane A", "Pane E"]
    assert "the 1 that earn the most" in plot


def test_every_design_has_a_slip_in_some_part(in_parts_published: InParts) -> None:
    """Slips of a large studio are cut into files of their own, and each design is named in one of them."""
    root = in_parts_published.root
    texts = [read_pdf(path) for path in parts(root, "stall/care_slips.pdf")]
    assert [[title for title in TITLES if title in text] for text in texts] == [TITLES[:2], TITLES[2:4], TITLES[4:]]


def test_what_is_sent_holds_the_newest_and_says_so(in_parts_published: InParts) -> None:
    """A catalogue to send that holds not all pieces says which, and where all are; the maker is told."""
    root, told = in_parts_published.root, in_parts_published.summary.findings
    (finding,) = [one for one in told if one.code == "E03"]
    assert "newest 3 of 5 products" in finding.text
    page, book = read_page(root / "site_output" / f"{EDITION}.html"), read_pdf(root / "site_output" / f"{EDITION}.pdf")
    assert [text_of(one) for one in page.select("article.piece h3")] == TITLES[:1:-1]
    for text in (text_of(page), book):
        assert "The newest 3 of 5 pieces. All of them: https://sedge.example/" in text
        assert "Pane A" not in text
        assert "Pane E" in text
    home = text_of(read_page(root / "site_output" / "catalogue" / "products" / "pane-0.html"))
    assert "The newest 3 pieces in one file" in home


def test_small_studio_gets_whole_papers(tmp_path: Path) -> None:
    """Under the bounds nothing is in parts, and nothing says so."""
    root = laid(tmp_path)
    assert not [one for one in published(root).findings if one.code.startswith("E")]
    output = root / "site_output"
    names = [path.name for folder in ("stall", "bench") for path in (output / folder).iterdir()]
    assert [name for name in names if re.search(r"-\d+\.(html|pdf)$", name)] == []
    pages = [*output.glob("*/*.html"), output / f"{EDITION}.html"]
    assert [path.name for path in pages if re.search("Part 1|The newest", text_of(read_page(path)))] == []


@pytest.mark.usefixtures("small")
def test_only_the_part_that_moved_is_set_again(
    tmp_path: Path, asked: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """A price that moves has its own part set again, and no other; what stands is not made."""
    root = laid(tmp_path)
    published(root)
    times = [path.stat().st_mtime_ns for path in parts(root, "stall/price_sheet.pdf")]
    record = root / "content" / "products" / "pane-0" / "product.md"
    record.write_text(record.read_text().replace("series:", "batch: 2\nseries:", 1))
    asked.clear()
    published(root)
    again = [path.stat().st_mtime_ns for path in parts(root, "stall/price_sheet.pdf")]
    assert [new == old for new, old in zip(again, times, strict=True)] == [False, True, True]
    # The oldest pane is not among the three that are sent.
    asked.remove("pattern_sheet.typ")
    assert sorted(asked) == ["discounts.typ", "price_sheet.typ", "price_sheet.typ", "trade_list.typ"]
    asked.clear()
    (root / "site_output" / "stall" / "price_sheet.pdf").unlink()
    (root / "site_output" / f"{EDITION}.pdf").unlink()
    monkeypatch.setattr(edition, "one_file", None)  # the page stands, and is not made
    published(root)
    assert sorted(asked) == ["look_book.typ", "price_sheet.typ"]


def test_likenesses_that_cannot_differ_are_tried_once(
    tmp_path: Path, asked: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Without photos no likeness makes a smaller book: it is set once, and the maker is told that it is too large."""
    root = laid(tmp_path)
    settings = root / "content" / "studio.toml"
    settings.write_text(settings.read_text() + "\n[sending]\nmost_mb = 1\n")
    monkeypatch.setattr(
        "catalog_builder.publish.catalogue.sending.edition.look_book", lambda *what: look_book(*what) + bytes(1_000_000)
    )
    told = published(root).findings
    assert [one.text.split(" is ")[0] for one in told if one.code == "E02"] == ["the look book"]
    assert asked.count("look_book.typ") == 1
    assert published(root).findings == told
    assert asked.count("look_book.typ") == 1


def test_a_document_is_the_same_wherever_it_is_set(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A document of many drawings, set in a process of its own, has the bytes that it would have had here."""
    root = laid(tmp_path)
    published(root)
    (sheet,) = parts(root, "stall/price_sheet.pdf")
    whole = sheet.read_bytes()
    sheet.unlink()
    monkeypatch.setattr(typeset, "APART", 1)
    monkeypatch.setattr(setting, "compile_here", None)
    published(root)
    assert sheet.read_bytes() == whole


@pytest.mark.usefixtures("small")
def test_the_parts_of_a_paper_are_set_apart(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Papers that come in parts leave nothing in memory; whole ones, such as pattern sheets, are set here."""
    here, apart = list[str](), list[str]()
    noted(monkeypatch, "compile_here", here)
    noted(monkeypatch, "compile_in_process", apart)
    published(laid(tmp_path))
    assert set(apart) == {"price_sheet.typ", "care_slips.typ", "discounts.typ", "trade_list.typ"}
    assert "pattern_sheet.typ" in here
    assert not set(here) & set(apart)


def test_photos_alone_may_be_too_large(tmp_path: Path, asked: list[str]) -> None:
    """A book whose photos alone are over what may be sent is not set at all: the next smaller one is."""
    root = laid(tmp_path)
    grains = np.random.default_rng(1).integers(0, 256, (1200, 1600, 3), np.uint8)
    give_photos(root, "pane-0", {"grains.jpg": saved(Image.fromarray(grains), "JPEG")})
    settings = root / "content" / "studio.toml"
    settings.write_text(settings.read_text() + "\n[sending]\nmost_mb = 1\n")
    told = [one.text for one in published(root).findings if one.code == "E01"]
    assert [text.split(" px")[0] for text in told if "look book" in text] == [
        "the look book shows every picture, photos up to 960"
    ]
    assert asked.count("look_book.typ") == 1
