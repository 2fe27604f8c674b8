"""Weight and hanging on the published pages, and the sheets of parts, for the demo's two pieces in space."""

from __future__ import annotations

import re
from collections import Counter

import pypdfium2
import pytest

from catalog_builder.publish.theme.loading import read_theme
from catalog_builder.publish.theme.phrasing import Phrasing
from catalog_builder.publish.theme.wording import Wording
from catalog_builder.publish.weighing import weight_rows
from tests.publish.buyers import sides
from tests.publish.demo import Demo, build_in, lay_out_known
from tests.publish.page import pages_in, read_page, said, text_of

SPACE = ("spruce-in-the-round", "tern-on-the-turn")


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> Demo:
    """The demo with only its two pieces in space."""
    return build_in(lay_out_known(tmp_path_factory.mktemp("space"), *SPACE))


def test_ids_are_unique(built: Demo) -> None:
    """No two things on a page bear one name, though drawings stand beside each other."""
    pages = [*pages_in(built.output / "catalogue" / "products"), *pages_in(built.output / "bench" / "cards")]
    assert len(pages) > len(SPACE)
    for page in pages:
        names = Counter(said(tag, "id") for tag in read_page(page).find_all(id=True))
        assert [name for name, count in names.items() if count > 1] == []


def test_the_customer_reads_no_load(built: Demo) -> None:
    """The catalogue's drawing of how a piece hangs holds sizes alone; the bench's holds the load on the ring."""
    wording = Wording.of(built.calculated.content.studio.studio)
    for one in built.calculations:
        load = wording.fine_mass(one.suspension.ring_loads_g[0])
        card = read_page(built.output / "bench" / "cards" / f"{one.offer.sku}.html")
        (drawing,) = [svg for svg in card.select("svg") if "hanging-" in said(svg, "aria-labelledby")]
        assert load in [text_of(text) for text in drawing.select("text")]
        page = read_page(built.output / "catalogue" / "products" / f"{one.product.slug}.html")
        assert load not in text_of(page)


def test_weights_add_up(built: Demo) -> None:
    """The parts of a piece's weight on its card add up to the whole, within their rounding."""
    theme = read_theme(built.project, "daylight", "en-GB")
    content = built.calculated.content
    wording = Wording.of(content.studio.studio)
    for one in built.calculations:
        rows = weight_rows(content.materials.rows, one.made, one.suspension, Phrasing(theme.labels, wording))
        grams = [float(row.mass.removesuffix(" g")) for row in rows]
        assert sum(grams) == pytest.approx(one.suspension.mass_g, abs=0.05 * len(grams) + 1e-9)
        card = text_of(read_page(built.output / "bench" / "cards" / f"{one.offer.sku}.html"))
        assert wording.fine_mass(one.suspension.mass_g) in card
        for row in rows:
            assert row.name in card


def test_a_sheet_for_each_part(built: Demo) -> None:
    """Each part has a pattern sheet of its own that says how many to make, linked from the bench's first page."""
    links = [said(link, "href") for link in read_page(built.output / "bench" / "index.html").select("a")]
    for slug, size, part, count in (
        ("spruce-in-the-round", "small", "vane", 2),
        ("spruce-in-the-round", "large", "vane", 2),
        ("tern-on-the-turn", "", "right-wing", 1),
        ("tern-on-the-turn", "", "left-wing", 1),
    ):
        name = "--".join(word for word in (slug, size, part) if word)
        assert f"patterns/{name}.pdf" in links
        assert f"patterns/{name.removesuffix(f'--{part}')}.pdf" in links
        with pypdfium2.PdfDocument(built.output / "bench" / "patterns" / f"{name}.pdf") as document:
            text = "\n".join(page.get_textpage().get_text_bounded() for page in document)
        assert re.search(rf"{part.replace('-', ' ')}.*make {count}\b", " ".join(text.split()))


def test_depth_is_told(built: Demo) -> None:
    """A piece that stands in space is told by width, height and depth, on its page."""
    for one in built.calculations:
        page = text_of(read_page(built.output / "catalogue" / "products" / f"{one.product.slug}.html"))
        hung = one.suspension
        assert sides((hung.width_mm, hung.height_mm, hung.depth_mm)) in page
