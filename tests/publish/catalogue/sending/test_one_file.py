"""The whole catalogue as one file: it asks for nothing, leads nowhere that is not there, and fits into a mail."""

from __future__ import annotations

import re
from base64 import b64decode
from collections import Counter
from decimal import Decimal
from io import BytesIO
from pathlib import Path

import pytest
from bs4 import BeautifulSoup
from PIL import Image

from catalog_builder.build import build
from catalog_builder.mistake import MistakeError
from catalog_builder.publish.catalogue.sending.edition import sent_name
from catalog_builder.publish.catalogue.sending.embedding import embedded
from catalog_builder.publish.studio_calculation import quiet
from tests.publish.buyers import pounds
from tests.publish.demo import DAY, Demo, build_in, lay_out_known, reworded
from tests.publish.page import read_page, references, said, text_of

FILE = "to-send/withyslip-glass.html"


@pytest.fixture(scope="module")
def page(demo: Demo) -> BeautifulSoup:
    """The demo's catalogue in one file."""
    return read_page(demo.output / "catalogue" / FILE)


def test_it_loads_nothing(demo: Demo, page: BeautifulSoup) -> None:
    """Styles, letters and pictures are in the file: nothing names another file, and there is no script."""
    loaded = [said(tag, "src") for tag in page.select("[src]")] + [said(tag, "href") for tag in page.select("link")]
    away = [one[:80] for one in loaded if not one.startswith("data:")]
    assert away == [f"https://withyslip.example/{FILE}"]  # its own address, which no browser loads
    assert page.select("script, iframe, object, embed, link[rel=stylesheet]") == []
    text = (demo.output / "catalogue" / FILE).read_text(encoding="utf-8")
    addresses = re.findall(r"url\(\s*[\"']?([^\"')]{1,40})", text)
    assert len(addresses) >= 4
    assert [one for one in addresses if not one.startswith(("data:", "#"))] == []
    assert "@import" not in text


def test_its_links_lead_to_its_own_parts_or_to_the_site(page: BeautifulSoup) -> None:
    """A link leads to a part that is there once, to the studio's site, or to its mail."""
    names = Counter(said(tag, "id") for tag in page.select("[id]"))
    assert [name for name, count in names.items() if count > 1] == []
    links = [one for one in references(page) if not one.startswith("data:")]
    inside = {one[1:] for one in links if one.startswith("#")}
    assert inside <= set(names)
    assert len(inside) > 20
    rest = [one for one in links if not one.startswith("#")]
    assert [one for one in rest if not one.startswith(("mailto:", "https://withyslip.example/"))] == []


def test_it_names_the_studio_and_its_day(demo: Demo, page: BeautifulSoup) -> None:
    """Whoever gets the file sent reads whose it is and of which day its prices are."""
    assert text_of(page.title or page) == "Withyslip Glass: the catalogue of 25 November 2026"
    assert [text_of(one) for one in page.select("h1")] == ["Withyslip Glass"]
    assert "Edition of 25 November 2026" in text_of(page)
    home = read_page(demo.output / "catalogue" / "index.html")
    assert {FILE, FILE.replace("html", "pdf")} <= set(references(home))


def test_it_holds_every_product_with_every_price(demo: Demo, page: BeautifulSoup) -> None:
    """Each product stands in the file once, with a row for each variant and its own-site price."""
    assert len(page.select("article.piece")) == len(demo.calculated.listings)
    for listing in demo.calculated.listings:
        (piece,) = page.select(f"#piece-{listing.slug}")
        prices = [text_of(cell) for cell in piece.select("td.is-price > span")]
        assert prices == [pounds(one.prices["online"].printed) for one in demo.variants(listing.slug)]
        assert text_of(piece.select("h3")[0]) == listing.title


def test_every_caution_can_be_read(demo: Demo, page: BeautifulSoup) -> None:
    """A caution stands with all pieces or with its own; a piece leads to those that hold for all."""
    labels = demo.calculated.theme.labels["cautions"]
    shared = text_of(page.select("#care")[0])
    for listing in demo.calculated.listings:
        (piece,) = page.select(f"#piece-{listing.slug}")
        assert all(labels[code] in shared or labels[code] in text_of(piece) for code in listing.cautions)
        assert piece.select('a[href="#care"]')


def test_its_pictures_are_whole(page: BeautifulSoup) -> None:
    """Every picture in the file is one, as large as the page says."""
    count = 0
    for picture in page.select("main img"):
        kind, _, data = said(picture, "src").partition(";base64,")
        raw = b64decode(data, validate=True)
        if kind == "data:image/webp":
            with Image.open(BytesIO(raw)) as image:
                image.load()
                assert image.size == (int(said(picture, "width")), int(said(picture, "height")))
                assert image.format == "WEBP"
            count += 1
        else:
            assert raw.startswith(b"<svg "), kind
    assert count >= 15


def test_it_stays_under_its_bound(tmp_path: Path) -> None:
    """Where all pictures would make it too large, it shows smaller and fewer, and the maker is told."""
    project = lay_out_known(tmp_path / "studio", "queen-scallop")
    studio = project / "content" / "studio.toml"
    whole = build_in(project)
    sizes = {path.suffix: path.stat().st_size for path in (whole.output / "catalogue" / "to-send").iterdir()}
    assert max(sizes.values()) < 1_000_000
    assert not any(one.code.startswith("E") for one in whole.published.findings)
    # The least that may be asked for is 1 MB: as much as one product takes, so that six are needed to pass it.
    six = lay_out_known(tmp_path / "six", "queen-scallop", "noon-sun", "shore-crab", "oak-leaf", "first-drop-of-rain")
    studio = six / "content" / "studio.toml"
    studio.write_text(studio.read_text(encoding="utf-8") + "\n[sending]\nmost_mb = 1\n", encoding="utf-8")
    small = build_in(six)
    told = [one for one in small.published.findings if one.code == "E01"]
    assert {one.text.split(" shows")[0] for one in told} == {"the one-file catalogue", "the look book"}
    assert all(one.place.line for one in told)
    sizes = {path.suffix: path.stat().st_size for path in (small.output / "catalogue" / "to-send").iterdir()}
    assert all(size <= 1_000_000 for size in sizes.values()), sizes


@pytest.mark.parametrize(
    ("studio", "name"),
    [
        ("Withyslip Glass", "withyslip-glass"),
        ("Atelier Émail & Été", "atelier-email-ete"),
        ("硝子", "catalogue"),
        ("../..", "catalogue"),
        ("Ä" * 90, "a" * 60),
    ],
)
def test_file_bears_the_studios_name(studio: str, name: str) -> None:
    """The file's name is the studio's in plain letters, and never leads out of its folder."""
    assert sent_name(studio, "html") == f"to-send/{name}.html"


FILES = {"assets/a.css": b"p{background:url(b.svg)}", "assets/b.svg": b"<svg/>", "c.webp": b"RIFF"}


@pytest.mark.parametrize(
    ("html", "whole"),
    [
        (
            '<link rel="stylesheet" href="assets/a.css" media="print">',
            '<style media="print">\np{background:url("data:image/svg+xml;base64,PHN2Zy8+")}</style>',
        ),
        ('<img alt="a > b" src="c.webp">', '<img alt="a > b" src="data:image/webp;base64,UklGRg==">'),
        ('<script src="x.js" defer></script>', ""),
        ('<link rel="alternate" href="feed.xml">', ""),
        ('<a href="about.html#x">', '<a href="https://s.example/about.html#x">'),
        ('<a href="#x">', '<a href="#x">'),
        ('<a href="mailto:a@b.example">', '<a href="mailto:a@b.example">'),
        ('<link rel="icon" href="assets/b.svg">', '<link rel="icon" href="data:image/svg+xml;base64,PHN2Zy8+">'),
    ],
)
def test_what_a_page_loads_is_put_into_it(html: str, whole: str) -> None:
    """Styles and pictures are put in (data URIs by RFC 2397), scripts left out, other pages sought on the site."""
    assert embedded(html, FILES, "https://s.example/") == whole


def test_file_that_is_not_there_is_told(tmp_path: Path) -> None:
    """A theme whose page to send loads what it does not have is told so, and nothing is published."""
    project = lay_out_known(tmp_path / "studio", "two-waxcaps")
    template = project / "themes" / "daylight" / "templates" / "one_file.html"
    reworded(template, ("assets/one_file.css", "assets/one_flie.css"))
    with pytest.raises(MistakeError) as told:
        build(project, DAY, 1, quiet)
    (mistake,) = told.value.mistakes
    assert "assets/one_flie.css" in mistake.wrong
    assert mistake.place.path.endswith("templates/one_file.html")
    assert not (project / "site_output" / "catalogue").exists()


def test_bound_is_read_as_a_number(demo: Demo) -> None:
    """Seven million bytes become less than ten when mail writes them in base64, 4 for 3 in lines of 76 (RFC 2045)."""
    most = demo.calculated.content.studio.sending.most_mb
    assert most * Decimal(4) / 3 * 78 / 76 < 10
