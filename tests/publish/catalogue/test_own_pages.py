"""Terms and further pages of the studio's own: where they stand, where links lead to them, and what is taken out."""

from __future__ import annotations

from pathlib import Path

import pytest

from catalog_builder.build import build
from catalog_builder.publish.studio_calculation import quiet
from tests.publish.page import pages_in, read_page, said, text_of
from tests.publish.sheet import pdf_text
from tests.studio import DAY, TABLES, project, record

TERMS = "## Paying\n\nHalf is due when I begin.\n\n## Commissions\n\n- where it will hang\n"
IMPRINT = "---\ntitle: Imprint\n---\nWritten by Wenna. <script>alert(1)</script><img src=x>\n"
STORY = "---\ntitle: The ferry shed\n---\nIt was a shed for ferries.\n"


def laid(root: Path, theme: str) -> Path:
    """A studio with terms and two pages of its own, built in a theme."""
    project(root, {"pane": record()}, {"studio": f'{TABLES["studio"]}theme = "{theme}"'})
    content = root / "content"
    (content / "pages").mkdir()
    for name, text in (("terms.md", TERMS), ("pages/imprint.md", IMPRINT), ("pages/story.md", STORY)):
        (content / name).write_text(text, encoding="utf-8")
    build(root, DAY, 1, quiet)
    return root / "site_output" / "catalogue"


@pytest.fixture(scope="module", params=["daylight", "limewash"])
def catalogue(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The catalogue in each of the themes."""
    return laid(tmp_path_factory.mktemp("studio"), request.param)


def test_every_page_links_to_them_at_its_foot(catalogue: Path) -> None:
    """The terms come first, then the pages by the names of their files; each link leads to a file."""
    for path in pages_in(catalogue):
        if path.parent.name == "to-send":
            continue  # what its links lead to is looked at below
        links = [(text_of(link), said(link, "href")) for link in read_page(path).select("footer a")]
        root = "../" * (len(path.relative_to(catalogue).parts) - 1)
        own = [
            (text, href.removeprefix(root)) for text, href in links if text in ("Terms", "Imprint", "The ferry shed")
        ]
        assert own == [
            ("Terms", "terms.html"),
            ("Imprint", "pages/imprint.html"),
            ("The ferry shed", "pages/story.html"),
        ], path


def test_a_page_has_its_title_and_its_text_and_nothing_that_runs(catalogue: Path) -> None:
    """It goes the way of every text in Markdown: cleaned of scripts and of pictures from elsewhere."""
    page = read_page(catalogue / "pages" / "imprint.html")
    assert [text_of(heading) for heading in page.select("h1")] == ["Imprint"]
    assert text_of(page.select("title")[0]) == "Imprint · Sedge and Lantern"
    assert "Written by Wenna." in text_of(page.select("main")[0])
    assert not page.select("main script, main img")
    assert [text_of(link) for link in page.select('footer a[aria-current="page"]')] == ["Imprint"]


def test_the_terms_stand_beside_the_way_to_ask(catalogue: Path) -> None:
    """A product's page and the page on the maker lead to them; their headings are kept."""
    for name in ("products/pane.html", "about.html"):
        page = read_page(catalogue / name)
        (link,) = [link for link in page.select("main a") if "returns" in text_of(link)]
        assert (catalogue / name).parent.joinpath(said(link, "href")).resolve() == catalogue / "terms.html"
    terms = read_page(catalogue / "terms.html")
    assert [text_of(heading) for heading in terms.select("main h1, main h2")] == ["Terms", "Paying", "Commissions"]


def test_the_list_of_pages_names_them(catalogue: Path) -> None:
    """Search engines read of all three."""
    listed = (catalogue / "sitemap.xml").read_text(encoding="utf-8")
    for name in ("terms.html", "pages/imprint.html", "pages/story.html"):
        assert f"<loc>https://sedge.example/{name}</loc>" in listed


def test_what_is_sent_holds_the_terms(catalogue: Path) -> None:
    """The one file has them as a part, and leads to the other pages on the web; the look book prints them."""
    (path,) = (catalogue / "to-send").glob("*.html")
    page = read_page(path)
    assert "Half is due when I begin." in text_of(page.select("#terms")[0])
    assert [said(link, "href") for link in page.select("footer a") if text_of(link) == "Imprint"] == [
        "https://sedge.example/pages/imprint.html"
    ]
    assert {"#terms"} == {said(link, "href") for link in page.select("article a") if text_of(link) == "Terms"}
    (book,) = (catalogue / "to-send").glob("*.pdf")
    assert "Half is due when I begin." in pdf_text(book)


def test_without_them_nothing_speaks_of_them(tmp_path: Path) -> None:
    """A studio that writes neither has no page and no link."""
    project(tmp_path, {"pane": record()})
    build(tmp_path, DAY, 1, quiet)
    catalogue = tmp_path / "site_output" / "catalogue"
    assert not (catalogue / "terms.html").exists()
    assert not (catalogue / "pages").exists()
    for path in pages_in(catalogue):
        assert "terms" not in path.read_text(encoding="utf-8").lower(), path
