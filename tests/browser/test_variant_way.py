"""A buyer's way with a phone: from a tag's code to the variant, on to another glass, to the enquiry, and back."""

from __future__ import annotations

from pathlib import Path
from urllib.parse import unquote

import pytest
from playwright.sync_api import Page, expect

from catalog_builder.build import build, calculate
from catalog_builder.offer import Listing, Offer
from catalog_builder.publish.audiences import catalogue_content
from catalog_builder.publish.catalogue.site import early_files
from catalog_builder.publish.catalogue.site_pages import SitePages
from catalog_builder.publish.stall.tag_sheet import TagOrder, address_of
from catalog_builder.publish.studio_calculation import quiet
from catalog_builder.publish.studio_pictures import make_pictures
from tests.browser.axe_rules import violations
from tests.browser.conftest import Opener
from tests.publish.demo import DAY as DEMO_DAY
from tests.publish.demo import PICTURED, Demo, lay_out_known, reworded
from tests.publish.page import read_page
from tests.studio import DAY, project, record

pytestmark = pytest.mark.browser
PHONE = {"width": 390, "height": 844}
# What stands wholly on the first screen, and how many screens the page is long.
FIRST_SCREEN = """() => {
  const whole = (one) => {
    const box = one?.getBoundingClientRect();
    return Boolean(box) && box.height > 0 && box.top >= 0 && box.bottom <= innerHeight;
  };
  const seen = (one) => [...document.querySelectorAll(one)].some(whole);
  return {
    name: seen("h1"),
    picture: seen(".slide picture img, .slide .choice-drawing"),
    price: seen("#asked-price"),
    ask: seen("#enquire"),
    screens: document.documentElement.scrollHeight / innerHeight,
  };
}"""
# How far things jumped while the page came in, as browsers count it (Layout Instability, WICG).
SHIFT = """() => new Promise((done) => {
  let sum = 0;
  new PerformanceObserver((list) => {
    for (const entry of list.getEntries()) if (!entry.hadRecentInput) sum += entry.value;
  }).observe({ type: "layout-shift", buffered: true });
  document.fonts.ready.then(() => requestAnimationFrame(() => setTimeout(() => done(sum), 150)));
})"""


def listing_of(demo: Demo, slug: str) -> Listing:
    """Give a product of the demo as it is offered."""
    return next(listing for listing in demo.calculated.listings if listing.slug == slug)


def place(demo: Demo, host: str, slug: str, offer: Offer) -> str:
    """Give what a tag's code leads to, on the host of the tests."""
    content = demo.calculated.content
    order = TagOrder(listing_of(demo, slug), offer, 1)
    address = address_of(content.studio.studio, order, content.label_sheets["a4-2x7"])
    return address.replace(content.studio.studio.address, f"{host}catalogue/")


def asked(page: Page) -> str:
    """Read what the enquiry says."""
    return unquote(page.locator("#enquire").get_attribute("href") or "")


def look(page: Page) -> str:
    """Read how the drawing is coloured and how large it is."""
    return tidy(page.locator(".gallery").get_attribute("style"))


def tidy(style: str | None) -> str:
    """Write declarations of CSS in one way, as browsers set blanks between them."""
    return "".join((style or "").split()).rstrip(";")


def test_a_tags_code_leads_on_to_the_enquiry_and_back(demo: Demo, open_page: Opener, host: str) -> None:
    """The page shows the tag's variant; picture, price, address and enquiry follow the choice; Back undoes it."""
    listing = listing_of(demo, PICTURED)
    tagged = listing.offers[-1]
    other = next(
        offer
        for offer in listing.for_sale
        if offer.glass != tagged.glass and (offer.size, offer.finish) == (tagged.size, tagged.finish)
    )
    page = open_page(place(demo, host, PICTURED, tagged), **PHONE)
    assert page.evaluate("document.title").startswith(listing.title)
    expect(page.locator("#asked-price")).to_contain_text(f"{tagged.online_price:.0f}")
    for part in ("size", "finish", "glass"):
        expect(page.locator(f'input[name="{part}"]:checked')).to_have_value(getattr(tagged, part))
    assert page.evaluate("scrollY") == 0
    before = look(page)
    page.locator(f'.picks label:has(input[name="glass"][value="{other.glass}"])').click()
    expect(page.locator("#asked-price")).to_contain_text(f"{other.online_price:.0f}")
    assert page.url.endswith(f"#{other.anchor}")
    assert look(page) != before
    assert look(page) == tidy(page.locator(f'[id="{other.anchor}"]').get_attribute("data-look"))
    expect(page.locator(".is-drawing .choice-drawing")).to_be_in_viewport()
    enquiry = asked(page)
    for word in (listing.title, other.glass, other.sku, f"{other.online_price:.0f}", listing.page_of(other)):
        assert word in enquiry
    page.go_back()
    expect(page.locator('input[name="glass"]:checked')).to_have_value(tagged.glass)
    assert look(page) == before
    assert tagged.sku in asked(page)
    assert violations(page) == []


def test_every_variant_has_a_place_of_its_own(demo: Demo, open_page: Opener, host: str) -> None:
    """Each address of a product's variants shows that variant, and its place on the page holds its own price."""
    listing = listing_of(demo, "first-drop-of-rain")
    page = open_page(place(demo, host, listing.slug, listing.offers[0]))
    assert len({offer.anchor for offer in listing.offers}) == len(listing.offers)
    for offer in listing.offers:
        page.evaluate("hash => { location.hash = hash; }", offer.anchor)
        expect(page.locator("tr.is-chosen")).to_have_attribute("id", offer.anchor)
        expect(page.locator("tr.is-chosen .is-price")).to_contain_text(f"{offer.online_price:.0f}")
        expect(page.locator("#enquire")).to_have_attribute("href", page.evaluate(
            "id => document.getElementById(id).querySelector('.is-ask a').href", offer.anchor
        ))  # fmt: skip


def test_a_name_that_has_gone_leads_to_what_is_nearest(demo: Demo, open_page: Opener, host: str) -> None:
    """An address with a name that the record has no longer shows the variant that has its other names."""
    offer = listing_of(demo, PICTURED).offers[-1]
    first, *others = offer.anchor.split("--")
    page = open_page(f"{host}catalogue/products/{PICTURED}.html#{'--'.join(['grand-' + first, *others])}")
    shown = page.locator("tr.is-chosen").get_attribute("id") or ""
    assert set(others) < set(shown.split("--"))


def test_a_variant_is_reached_without_scripts(demo: Demo, open_page: Opener) -> None:
    """Without scripts the address of a variant opens the table at its row, with its price and its way to ask."""
    offer = listing_of(demo, PICTURED).offers[-1]
    path = demo.output / "catalogue" / "products" / f"{PICTURED}.html"
    page = open_page(f"{path.as_uri()}#{offer.anchor}", **PHONE, scripts=False)
    row = page.locator("tr:target")
    expect(row).to_be_in_viewport()
    expect(row.locator(".is-price")).to_contain_text(f"{offer.online_price:.0f}")
    assert offer.sku in unquote(row.locator(".is-ask a").get_attribute("href") or "")


def test_a_photo_is_enlarged_by_keys(open_page: Opener, host: str) -> None:
    """A photo opens over the page, grows and shrinks, and Escape leads back to it; nothing is wrong for anybody."""
    page = open_page(f"{host}catalogue/products/{PICTURED}.html")
    link = page.locator("a.enlarge").first
    link.focus()
    page.keyboard.press("Enter")
    dialog = page.locator("dialog.large")
    expect(dialog).to_be_visible()
    image = dialog.locator("img")
    width = image.evaluate("one => one.getBoundingClientRect().width")
    page.keyboard.press("+")
    assert image.evaluate("one => one.getBoundingClientRect().width") > width
    page.keyboard.press("-")
    assert image.evaluate("one => one.getBoundingClientRect().width") == pytest.approx(width)
    page.keyboard.press("ArrowRight")
    expect(dialog.locator("img")).not_to_have_attribute("src", link.get_attribute("href") or "")
    assert violations(page) == []
    page.keyboard.press("Escape")
    expect(dialog).to_be_hidden()


@pytest.fixture(scope="module")
def plain(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo's catalogue in the theme Limewash: its pages, its pictures and what they load, without its papers."""
    project = lay_out_known(tmp_path_factory.mktemp("plain") / "studio")
    reworded(project / "content" / "studio.toml", ('theme = "daylight"', 'theme = "limewash"'))
    calculated = calculate(project, DEMO_DAY, quiet)
    content = catalogue_content(calculated, make_pictures(calculated, 1, quiet))
    files = early_files(content, "index.html")
    SitePages(content).write(files)
    catalogue = project / "site_output" / "catalogue"
    for name in files.makers:
        path = catalogue / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(files.read(name) or b"")
    return catalogue


def lacking(demo: Demo, catalogue: Path, page: Page) -> dict[str, object]:
    """Give what the pages of products lack on the first screen of a phone, and those that are too long."""
    missing: dict[str, object] = {}
    paths = sorted((catalogue / "products").glob("*.html"))
    assert len(paths) >= len(demo.calculated.listings)
    for path in paths:
        page.goto(path.as_uri())
        seen = page.evaluate(FIRST_SCREEN)
        shift = page.evaluate(SHIFT)
        wrong = [name for name in ("name", "picture", "price", "ask") if not seen[name]]
        if wrong or seen["screens"] > 5 or shift >= 0.02:
            missing[path.stem] = (wrong, seen["screens"], shift)
    return missing


def test_first_screen_of_a_phone_sells(demo: Demo, open_page: Opener) -> None:
    """It holds name, picture, price and the way to ask; no page jumps, or is longer than five screens."""
    page = open_page((demo.output / "catalogue" / "index.html").as_uri(), **PHONE)
    assert lacking(demo, demo.output / "catalogue", page) == {}


def test_first_screen_of_a_phone_sells_in_the_plain_theme(demo: Demo, plain: Path, open_page: Opener) -> None:
    """The same in the theme that has the fewest means."""
    page = open_page((plain / "index.html").as_uri(), **PHONE)
    assert lacking(demo, plain, page) == {}


def test_a_former_address_takes_the_variant_along(tmp_path: Path, open_page: Opener) -> None:
    """A tag that was printed before its product was renamed still leads to its variant."""
    project(tmp_path, {"light": record(keys="formerly: [pane]")})
    build(tmp_path, DAY, 1, quiet)
    products = tmp_path / "site_output" / "catalogue" / "products"
    anchor = read_page(products / "light.html").select("table.choices tr[id]")[0]["id"]
    page = open_page(f"{(products / 'pane.html').as_uri()}#{anchor}")
    page.wait_for_url("**/light.html*")
    expect(page.locator("h1")).to_be_visible()
    assert page.url.endswith(f"light.html#{anchor}")
