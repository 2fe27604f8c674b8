"""The plain theme can be used by everyone, and lays out the pages that it takes from the theme below."""

from __future__ import annotations

import pytest

from tests.browser.conftest import Opener
from tests.browser.test_access import violations
from tests.browser.test_opening import BEYOND, WIDTHS
from tests.publish.demo import Demo, build_in, lay_out, reworded

pytestmark = pytest.mark.browser

PAGES = (
    "catalogue/index.html",
    "catalogue/series/shore.html",
    "catalogue/products/queen-scallop.html",
    "catalogue/about.html",
    "catalogue/care.html",
    "catalogue/dates.html",
    "catalogue/404.html",
    "catalogue/to-send/withyslip-glass.html",
    "stall/price_sheet.html",
)


@pytest.fixture(scope="module")
def plain(tmp_path_factory: pytest.TempPathFactory) -> Demo:
    """Two products in the theme Limewash."""
    project = lay_out(tmp_path_factory.mktemp("plain") / "studio", "queen-scallop", "two-waxcaps")
    reworded(project / "content" / "studio.toml", ('theme = "daylight"', 'theme = "limewash"'))
    return build_in(project)


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("path", PAGES)
def test_axe_finds_nothing(plain: Demo, open_page: Opener, path: str, scheme: str) -> None:
    """No rule of axe is broken on any page, also on those whose template is the other theme's."""
    assert violations(open_page((plain.output / path).as_uri(), scheme=scheme)) == []


@pytest.mark.parametrize("path", PAGES)
def test_page_does_not_scroll_sideways(plain: Demo, open_page: Opener, path: str) -> None:
    """Every page fits a small phone, a phone, a tablet and a desk from side to side."""
    page = open_page((plain.output / path).as_uri())
    beyond = {}
    for width in WIDTHS:
        page.set_viewport_size({"width": width, "height": 800})
        beyond[width] = page.evaluate(BEYOND)
    assert beyond == {width: [] for width in WIDTHS}
