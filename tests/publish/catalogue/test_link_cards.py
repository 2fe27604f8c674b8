"""The cards beside links: as large as they say, with the name set in the theme's letters, whatever the name is."""

from __future__ import annotations

from dataclasses import replace
from io import BytesIO

import numpy as np
import pytest
from PIL import Image

from catalog_builder.publish.catalogue.link_card import card_look, pane_of
from catalog_builder.publish.pictures.album import Shot
from catalog_builder.publish.pictures.gallery import Pictures
from catalog_builder.publish.pictures.link_picture import SIZE, CardLook, Pane, make_card
from catalog_builder.publish.pictures.photo import Prints, Rendition
from tests.publish.demo import Demo
from tests.publish.page import meta, pages_in, read_page
from tests.publish.photos import COLOURS, quarters, saved

ADDRESS = "https://withyslip.example/"
PANE = Pane(saved(quarters((900, 900)), "JPEG"), (0.5, 0.5))
# The part of a card on which a name stands, in px.
NAME = (slice(150, 600), slice(20, 560))


@pytest.fixture(scope="module")
def look(demo: Demo) -> CardLook:
    """How the theme sets its cards."""
    return card_look(demo.calculated.theme)


def grey(card: bytes) -> np.ndarray[tuple[int, ...], np.dtype[np.uint8]]:
    """Give a card's brightness, row by row."""
    with Image.open(BytesIO(card)) as image:
        return np.asarray(image.convert("L"))


def ink(card: bytes) -> tuple[int, int, int, int]:
    """Give the left, top, right and bottom of what is dark where a name stands."""
    rows, columns = np.nonzero(grey(card)[NAME] < 110)
    return int(columns.min()), int(rows.min()), int(columns.max()), int(rows.max())


@pytest.mark.parametrize(
    ("sizes", "chosen"),
    [
        # The shorter side must fill a pane of 600 px; else the largest there is.
        (((480, 200), (960, 400), (1600, 667)), (1600, 667)),
        (((480, 360), (960, 720), (1600, 1200)), (960, 720)),
        (((320, 480), (640, 960), (1067, 1600)), (640, 960)),
        (((480, 360), (500, 375)), (500, 375)),
    ],
)
def test_a_card_shows_the_smallest_photo_that_fills_its_pane(
    sizes: tuple[tuple[int, int], ...], chosen: tuple[int, int]
) -> None:
    """A photo's size for a card is the first whose shorter side is long enough."""
    renditions = tuple(
        Rendition(width, height, lambda kind, size=(width, height): f"{kind} {size}".encode())  # type: ignore[misc]
        for width, height in sizes
    )
    shot = Shot(name="pane-1", alt="", focus=(0.3, 0.4), prints=Prints(renditions, "#000000"), shows=("",))
    pictures = Pictures(shots=(shot,), drawn_size=(1, 1), colour="#000000", key="", read_drawing=lambda _: b"drawn")
    assert pane_of(pictures) == Pane(f"jpeg {chosen}".encode(), (0.3, 0.4))
    drawn = Pictures(shots=(), drawn_size=(1, 1), colour="#000000", key="", read_drawing=lambda name: name.encode())
    assert pane_of(drawn) == Pane(b"preview", (0.5, 0.5))


def test_every_page_has_a_card_of_its_size(demo: Demo) -> None:
    """Each page names a card that is there, is 1200 by 630 px and is told in words to those who cannot see it."""
    seen = set()
    for path in pages_in(demo.output / "catalogue"):
        page = read_page(path)
        card = demo.output / "catalogue" / meta(page, "og:image").removeprefix(ADDRESS)
        with Image.open(card) as image:
            assert image.size == SIZE == (1200, 630)
            assert image.get_format_mimetype() == meta(page, "og:image:type") == "image/jpeg"
            assert not image.getexif()
        assert (meta(page, "og:image:width"), meta(page, "og:image:height")) == ("1200", "630")
        assert meta(page, "twitter:card") == "summary_large_image"
        assert "Withyslip Glass" in meta(page, "og:image:alt")
        seen.add(card)
    assert len(seen) == len(demo.calculated.listings) + 4 + 1
    assert set((demo.output / "catalogue" / "previews").rglob("*.jpg")) == seen


def test_every_card_carries_its_name(demo: Demo) -> None:
    """On each product's card there is ink where the name stands, and it differs from every other card's."""
    shapes = set()
    for listing in demo.calculated.listings:
        card = (demo.output / "catalogue" / "previews" / "products" / f"{listing.slug}.jpg").read_bytes()
        left, top, right, bottom = ink(card)
        assert right - left > 80
        assert bottom - top > 40
        assert right < 520
        shapes.add((grey(card)[NAME] < 110).tobytes())
    assert len(shapes) == len(demo.calculated.listings)


@pytest.mark.parametrize(
    "name",
    [
        "Oak",
        "The heron that stands at the end of the long stone pier at low water, seen from the net loft in November",
        "Quaysidewindowlightcatcherswithoutanyblanksbetweenthem",
        "Świt nad żółtą łąką",
        "Утро над заливом",
        "Πρωινό στο λιμάνι",
        "Moon 🌙 over the hills",
    ],
)
def test_name_stays_on_its_side(look: CardLook, name: str) -> None:
    """A short name is set large, a long one wraps and shrinks, and none runs over the picture or off the card."""
    card = make_card([PANE], name, "Withyslip Glass", look)
    left, _, right, _ = ink(card)
    assert left >= 30
    assert right <= 520
    clear = grey(card)[20:, 566:570]
    assert int(clear.min()) == pytest.approx(int(clear.max()), abs=12)


def test_short_name_is_larger_than_a_long_one(look: CardLook) -> None:
    """The first line of a short name is taller than that of a long one."""
    short, long = (make_card([PANE], name, "", look) for name in ("Hill", "Hill " * 30))
    lines = []
    for card in (short, long):
        dark = np.any(grey(card)[NAME] < 110, axis=1)
        first = int(np.argmax(dark))
        lines.append(int(np.argmin(dark[first:])))
    assert lines[0] > 1.5 * lines[1]


@pytest.mark.parametrize("name", ["朝の港", "ميناء الصباح", "נמל", "हिमालय", "🌙🌊"])
def test_name_without_letters_leaves_the_picture_alone(look: CardLook, name: str) -> None:
    """Where no letters are at hand for a name, the picture fills the card, and no empty boxes stand on it."""
    with Image.open(BytesIO(make_card([PANE], name, "Withyslip Glass", look))) as image:
        corners = [image.getpixel((x, y)) for y in (200, 560) for x in (60, 1140)]
    for corner, colour in zip(corners, COLOURS, strict=True):
        assert isinstance(corner, tuple)
        assert max(abs(a - b) for a, b in zip(corner, colour, strict=True)) < 12


def test_picture_keeps_its_focus(look: CardLook) -> None:
    """A wide photo is cut to the side on which its focus lies."""
    photo = saved(quarters((1800, 600)), "JPEG")
    for focus, colours in (((0.0, 0.5), (COLOURS[0], COLOURS[2])), ((1.0, 0.5), (COLOURS[1], COLOURS[3]))):
        with Image.open(BytesIO(make_card([Pane(photo, focus)], "Oak", "", look))) as image:
            found = [image.getpixel((890, y)) for y in (150, 500)]
        for pixel, colour in zip(found, colours, strict=True):
            assert isinstance(pixel, tuple)
            assert max(abs(a - b) for a, b in zip(pixel, colour, strict=True)) < 12


@pytest.mark.parametrize("count", [1, 2, 3, 4, 6])
def test_series_shows_up_to_four(look: CardLook, count: int) -> None:
    """A series's card shows each of its first four pictures, parted by lead."""
    greys = (60, 110, 160, 210, 250, 90)
    panes = [Pane(saved(Image.new("RGB", (700, 700), (tone, tone, tone)), "JPEG"), (0.5, 0.5)) for tone in greys]
    card = grey(make_card(panes[:count], "Oak", "", look))[20:, 580:]
    areas = [int(np.count_nonzero(np.abs(card.astype(int) - tone) < 4)) for tone in greys]
    assert [area > 30_000 for area in areas] == [index < min(count, 4) for index in range(6)]


def test_theme_without_a_word_on_cards_has_them(demo: Demo) -> None:
    """A theme that says nothing of cards, and builds on none that does, still has cards with names."""
    theme = demo.calculated.theme
    bare = replace(theme, about=theme.about.model_copy(update={"card": None}))
    left, _, right, _ = ink(make_card([PANE], "Oak", "Withyslip Glass", card_look(bare)))
    assert right - left > 60
