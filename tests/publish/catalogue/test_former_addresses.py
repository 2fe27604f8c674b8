"""Pages at the addresses that products had before: they lead on without a script, also from a printed tag."""

from __future__ import annotations

from pathlib import Path

import pytest
from bs4 import BeautifulSoup

from catalog_builder.build import build
from catalog_builder.publish.studio_calculation import quiet
from tests.studio import DAY, project, record


@pytest.fixture(scope="module")
def catalogue(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The catalogue of a studio whose product had two names before."""
    root = tmp_path_factory.mktemp("studio")
    project(root, {"light": record(keys="formerly: [pane, window]")})
    build(root, DAY, 1, quiet)
    return root / "site_output" / "catalogue"


@pytest.mark.parametrize("name", ["pane", "window"])
def test_the_page_leads_on(catalogue: Path, name: str) -> None:
    """It names the new address to machines, goes there by itself, and has a link for those whose browser does not."""
    page = BeautifulSoup((catalogue / "products" / f"{name}.html").read_text(encoding="utf-8"), "html.parser")
    assert page.select_one('link[rel="canonical"]')["href"] == "https://sedge.example/products/light.html"  # type: ignore[index]
    assert page.select_one('meta[http-equiv="refresh"]')["content"] == "0; url=light.html"  # type: ignore[index]
    (link,) = page.select("main a")
    assert (link["href"], link.text) == ("light.html", "Pane")
    assert (catalogue / "products" / str(link["href"])).is_file()
    assert not page.select("main script")


def test_machines_are_shown_the_new_address_alone(catalogue: Path) -> None:
    """The list of pages, the front page and the feed name the product once, where it is now."""
    for name in ("sitemap.xml", "index.html", "feed.xml", "find.html"):
        text = (catalogue / name).read_text(encoding="utf-8")
        assert "products/light.html" in text
        assert "products/pane.html" not in text
        assert "products/window.html" not in text
