"""The page for lost visitors: a host shows it at any address, and it still stands."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from functools import partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from io import BytesIO
from pathlib import Path

import pytest
from playwright.sync_api import expect

from catalog_builder.build import build
from catalog_builder.publish.studio_calculation import quiet
from tests.browser.conftest import Opener
from tests.publish.demo import DAY, Demo, lay_out_known, reworded

pytestmark = pytest.mark.browser
SHOWN = """() => ({
  family: getComputedStyle(document.querySelector("h1")).fontFamily.split(",")[0].replaceAll('"', ""),
  letters: [...document.fonts].some((one) => one.status === "loaded"),
  pictures: [...document.querySelectorAll(".pane img")].map((one) => one.complete && one.naturalWidth > 0),
})"""


class Lost(SimpleHTTPRequestHandler):
    """Serves a folder under a path, and the catalogue's own page for all that is not there."""

    def __init__(self, path: str, folder: Path, *rest: object) -> None:
        self.under, self.folder = path, folder
        super().__init__(*rest, directory=str(folder))  # type: ignore[arg-type]

    def send_head(self) -> BytesIO:
        """Answer with a file of the folder, or with the page for lost visitors and code 404."""
        inside = self.path.removeprefix(self.under).partition("?")[0]
        file = self.folder / (inside or "index.html")
        found = self.path.startswith(self.under) and file.is_file()
        data = (file if found else self.folder / "404.html").read_bytes()
        self.send_response(200 if found else 404)
        self.send_header("Content-Type", self.guess_type(str(file)) if found else "text/html")
        self.send_header("Content-Length", str(len(data)))
        self.end_headers()
        return BytesIO(data)

    def log_message(self, format: str, *args: object) -> None:
        """Say nothing of each request."""


@pytest.fixture(scope="module", params=["/", "/glass/shop/"])
def stand(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[str, str]]:
    """A host of this machine and the path under which a small catalogue stands on it."""
    path = str(request.param)
    project = lay_out_known(tmp_path_factory.mktemp("lost") / "studio", "two-waxcaps", "shore-crab")
    old = 'address = "https://withyslip.example/"'
    reworded(project / "content" / "studio.toml", (old, f'address = "https://withyslip.example{path}"'))
    build(project, DAY, 2, quiet)
    folder = project / "site_output" / "catalogue"
    with ThreadingHTTPServer(("127.0.0.1", 0), partial(Lost, path, folder)) as server:
        threading.Thread(target=server.serve_forever, daemon=True).start()
        yield f"http://127.0.0.1:{server.server_address[1]}", path
        server.shutdown()


@pytest.mark.parametrize("scripts", [True, False], ids=["scripts", "no-scripts"])
@pytest.mark.parametrize("where", ["gone.html", "products/gone.html", "a/b/c/d/", "a/404/b?x=1"])
def test_page_stands_at_any_address(open_page: Opener, stand: tuple[str, str], where: str, scripts: bool) -> None:
    """At the front or deep down, the page has its style, letters and pictures, and its links lead on."""
    host, path = stand
    page = open_page(host + path + where, scripts=scripts)
    expect(page.get_by_role("heading", level=1)).to_have_text("Nothing hangs at this address")
    if scripts:
        page.evaluate("for (const one of document.images) one.loading = 'eager'")
        page.wait_for_load_state("networkidle")
        found = page.evaluate(SHOWN)
        assert (found["family"], found["letters"]) == ("Ysabeau Office", True)
        assert found["pictures"]
        assert all(found["pictures"])
    else:
        assert page.locator("h1").evaluate("one => getComputedStyle(one).fontWeight") == "300"
        picture = page.locator(".pane picture img").first
        picture.scroll_into_view_if_needed()
        expect(picture).not_to_have_js_property("naturalWidth", 0)
    page.locator(".pane-words a").first.click()
    expect(page.locator("body.page-series")).to_be_visible()
    assert page.url.startswith(f"{host}{path}series/")


def test_page_stands_in_its_folder(demo: Demo, open_page: Opener) -> None:
    """Opened from its folder, the page leads to the pages beside it."""
    page = open_page((demo.output / "catalogue" / "404.html").as_uri())
    page.evaluate("for (const one of document.images) one.loading = 'eager'")
    page.wait_for_load_state("networkidle")
    assert all(page.evaluate(SHOWN)["pictures"])
    page.locator(".pane-words a").first.click()
    expect(page.locator("body.page-series")).to_be_visible()
    assert page.url.startswith("file:")
