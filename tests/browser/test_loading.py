"""While pictures are on their way: their place is kept, their colour is seen, and nothing jumps."""

from __future__ import annotations

from collections.abc import Iterator
from io import BytesIO
from pathlib import Path
from urllib.parse import urlsplit
from urllib.request import url2pathname

import pytest
from PIL import Image
from playwright.sync_api import Browser, Page

from catalog_builder.publish.pictures.photo import LONG_EDGES
from tests.browser.conftest import Opener
from tests.browser.host import serving
from tests.browser.kinds import CATALOGUE, KINDS, address
from tests.browser.profiles import Profiles, Screen
from tests.publish.demo import PICTURED, Demo, build_in, give_photos, lay_out_known, reworded
from tests.publish.photos import COLOURS, apart, quarters, saved

pytestmark = pytest.mark.browser

# How much of the view has jumped since the page began, a share of its height and width (Layout Instability API).
SHIFTS = """() => new Promise((done) => {
  let sum = 0;
  new PerformanceObserver((list) => list.getEntries().forEach((one) => { sum += one.value; }))
    .observe({ type: "layout-shift", buffered: true });
  setTimeout(() => done(sum), 200);
})"""
DOWN = """async () => {
  for (let y = 0; y < document.documentElement.scrollHeight; y += 300) {
    scrollTo(0, y);
    await new Promise((done) => setTimeout(done, 40));
  }
}"""
FETCHED = """async () => {
  for (const image of document.images) image.loading = "eager";
  await Promise.all([...document.images].map((image) => image.decode().catch(() => null)));
  return [...document.images].filter((one) => /\\.(webp|jpg)$/.test(one.currentSrc) && one.getClientRects().length)
    .map((one) => ({ src: one.currentSrc, width: one.clientWidth, height: one.clientHeight }));
}"""
WAITING = """images => images.filter((one) => one.getClientRects().length).map((one) => {
  const box = one.getBoundingClientRect(), style = getComputedStyle(one);
  const edges = parseFloat(style.borderLeftWidth) * 2;
  return { came: one.naturalWidth > 0, shape: (box.width - edges) / (box.height - edges),
           wanted: one.width && one.getAttribute("width") / one.getAttribute("height"),
           colour: style.backgroundColor, cropped: style.objectFit === "cover" };
})"""


@pytest.fixture(scope="module")
def slow_host(demo: Demo) -> Iterator[str]:
    """A host whose letters and pictures come after the page has been seen without them."""
    with serving(demo.output, late=(".woff2", ".webp", ".jpg", ".svg")) as root:
        yield root


@pytest.mark.parametrize("width", [390, 1280])
@pytest.mark.parametrize("kind", KINDS)
def test_nothing_jumps(slow_host: str, profiles: Profiles, kind: str, width: int) -> None:
    """From the first sight of a page to its foot, next to nothing jumps while letters and pictures come in late."""
    page = profiles.page(Screen(width, 900, zoom=1, scheme="light", moving=True, scripts=True), fresh=False)
    page.goto(slow_host + KINDS[kind])
    page.evaluate(DOWN)
    # Good is up to 0.1 (web vitals); a page with all its places kept stays far below.
    shifts = page.evaluate(SHIFTS)
    profiles.tidy()
    assert shifts < 0.02


@pytest.mark.parametrize("kind", CATALOGUE)
def test_no_picture_is_far_larger_than_it_is_shown(demo: Demo, open_page: Opener, kind: str) -> None:
    """On a phone with three dots a pixel, no photo that a page fetches has twice the dots that it is shown with."""
    page = open_page(address(demo, kind), width=3 * 390, height=3 * 844, zoom=3)
    shown: dict[str, tuple[int, int]] = {}
    for picture in page.evaluate(FETCHED):
        # One that is shown large and small is fetched once, for the large place.
        shown[picture["src"]] = max(shown.get(picture["src"], (0, 0)), (picture["width"], picture["height"]))
    for source, (width, height) in shown.items():
        with Image.open(url2pathname(urlsplit(source).path)) as photo:
            # A photo that is cropped has more of one side than its place.
            excess = min(photo.width / (3 * width), photo.height / (3 * height))
            assert excess <= 2 or max(photo.size) <= min(LONG_EDGES), (source, width, height)


def without_photos(browser: Browser, where: str) -> Page:
    """Open a page whose photos never come."""
    page = browser.new_context(viewport={"width": 1280, "height": 900}, reduced_motion="reduce").new_page()
    page.route("**/*.{jpg,webp}", lambda _: None)
    page.goto(where, wait_until="domcontentloaded")
    page.wait_for_function("() => document.fonts.status === 'loaded'")
    return page


def test_place_and_colour_are_there_before_the_photo(host: str, browser: Browser) -> None:
    """Before a photo has come, its place has the photo's own shape and is filled with its mean colour."""
    page = without_photos(browser, host + KINDS["product-with-photos"])
    photos = page.locator('img[src$=".jpg"]')
    boxes = photos.evaluate_all(WAITING)
    assert len(boxes) >= 6
    for box in boxes:
        assert not box["came"]
        assert box["cropped"] or abs(box["shape"] / box["wanted"] - 1) < 0.02, box
        assert box["colour"] not in ("rgba(0, 0, 0, 0)", "transparent")
    seen = Image.open(BytesIO(photos.first.screenshot())).convert("RGB")
    middle = seen.getpixel((seen.width // 2, seen.height // 2))
    wanted = tuple(sum(colour[part] for colour in COLOURS) // 4 for part in range(3))
    assert isinstance(middle, tuple)
    assert apart(middle, wanted) <= 4
    page.context.close()


@pytest.fixture(scope="module")
def aimed(tmp_path_factory: pytest.TempPathFactory) -> Demo:
    """A product with one photo twice: once its left is to stay in view, once its right."""
    project = lay_out_known(tmp_path_factory.mktemp("aimed") / "studio", PICTURED)
    wide = saved(quarters((1500, 500)), "JPEG")
    give_photos(project, PICTURED, {"left.jpg": wide, "right.jpg": wide})
    record = project / "content" / "products" / PICTURED / "product.md"
    reworded(record, ("left.jpg,", "left.jpg, focus: [0.1, 0.5],"), ("right.jpg,", "right.jpg, focus: [0.9, 0.5],"))
    return build_in(project)


def test_crop_keeps_the_focus_in_view(aimed: Demo, open_page: Opener, tmp_path: Path) -> None:
    """Where a page crops a photo to a square, what the record's focus names stays in view."""
    page = open_page((aimed.output / "catalogue" / "products" / f"{PICTURED}.html").as_uri())
    for number, left in ((1, True), (2, False)):
        thumb = page.locator(f".thumbs li:nth-child({number}) img")
        thumb.scroll_into_view_if_needed()
        page.wait_for_function("one => one.complete && one.naturalWidth > 0", arg=thumb.element_handle())
        file = tmp_path / f"{number}.png"
        thumb.screenshot(path=file)
        with Image.open(file) as shown:
            seen = shown.convert("RGB")
        at = [seen.getpixel((seen.width // 2, seen.height * part // 4)) for part in (1, 3)]
        wanted = (COLOURS[0], COLOURS[2]) if left else (COLOURS[1], COLOURS[3])
        assert all(isinstance(one, tuple) and apart(one, two) <= 12 for one, two in zip(at, wanted, strict=True)), at
