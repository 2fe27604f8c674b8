"""Every page leads where it says, opened from a folder or from a host."""

from __future__ import annotations

import re
from collections import Counter
from urllib.parse import urlsplit

from lxml import etree
from PIL import Image

from tests.publish.demo import PICTURED, Demo
from tests.publish.page import (
    linked_data,
    meta,
    pages_in,
    read_page,
    references,
    said,
    structured_data,
    target,
    text_of,
)

ADDRESS = "https://withyslip.example/"
# Members of ItemAvailability of schema.org, version 29 (from memory).
AVAILABLE = {
    "made to order": "MadeToOrder",
    "in stock": "InStock",
    "one only": "LimitedAvailability",
    "sold": "SoldOut",
}


def test_every_reference_leads_to_a_file(demo: Demo) -> None:
    """What pages of any audience link to or load is a file in the same audience's folder, or an address to mail."""
    count, broken = 0, []
    for audience in ("catalogue", "stall", "bench"):
        root = demo.output / audience
        for path in pages_in(root):
            page = read_page(path)
            for reference in references(page):
                parts = urlsplit(reference)
                # A small picture of a price sheet may hold its photo.
                if parts.scheme == "mailto" or reference.startswith((ADDRESS, "data:image/jpeg;base64,")):
                    continue
                file = target(path, reference)
                count += 1
                if parts.scheme or parts.netloc or reference.startswith("/") or not file.is_file():
                    broken.append(f"{path.name}: {reference}")
                elif not file.is_relative_to(root.resolve()):
                    broken.append(f"{path.name}: {reference} is outside the folder")
    assert broken == []
    assert count > 500


def test_every_part_of_a_page_that_is_named_is_there(demo: Demo) -> None:
    """A link to a part of a page finds it, labels find what they name, and no name stands twice in a page."""
    wrong = []
    for path in pages_in(demo.output):
        page = read_page(path)
        names = Counter(said(tag, "id") for tag in page.select("[id]"))
        wrong += [f"{path.name}: {name} stands {count} times" for name, count in names.items() if count > 1]
        wanted = {said(tag, "href")[1:] for tag in page.select('[href^="#"]')}
        for attribute in ("aria-labelledby", "aria-describedby", "aria-controls", "for"):
            wanted |= {word for tag in page.select(f"[{attribute}]") for word in said(tag, attribute).split()}
        wrong += [f"{path.name}: {name} is not there" for name in sorted(wanted - set(names))]
    assert wrong == []


def test_styles_load_files_that_are_there(demo: Demo) -> None:
    """Every file that a style sheet loads stands in the same folder; none is fetched from elsewhere."""
    seen = 0
    for path in sorted(demo.output.rglob("*.css")):
        for reference in re.findall(r"url\(\s*[\"']?([^\"')]+)", path.read_text(encoding="utf-8")):
            if not reference.startswith(("data:", "#")):
                assert target(path, reference).is_file(), f"{path.name}: {reference}"
                seen += 1
    assert seen >= 4


def test_every_page_describes_itself(demo: Demo) -> None:
    """Each page has its own address, a title, a description, a type and a picture for link previews."""
    addresses = []
    for path in pages_in(demo.output / "catalogue"):
        page = read_page(path)
        name = path.relative_to(demo.output / "catalogue").as_posix()
        address = ADDRESS + ("" if name == "index.html" else name)
        (canonical,) = page.select('link[rel="canonical"]')
        assert said(canonical, "href") == address
        assert meta(page, "og:url") == address
        assert meta(page, "og:type") == "website"
        assert meta(page, "og:title") == text_of(page.title or page)
        assert meta(page, "og:description") == meta(page, "description")
        assert 10 <= len(meta(page, "description")) <= 200
        picture = meta(page, "og:image")
        assert picture.startswith(ADDRESS)
        assert (demo.output / "catalogue" / picture.removeprefix(ADDRESS)).is_file(), picture
        addresses.append(address)
    # Four series, the six pages of every catalogue, and the demo's terms and imprint.
    assert len(set(addresses)) == len(demo.calculated.listings) + 4 + 6 + 2


def test_titles_of_pages_differ(demo: Demo) -> None:
    """No two pages of the catalogue share a title, and each has one heading of the first rank."""
    pages = [read_page(path) for path in pages_in(demo.output / "catalogue")]
    titles = Counter(text_of(page.title or page) for page in pages)
    assert [title for title, count in titles.items() if count > 1] == []
    assert {len(page.select("h1")) for page in pages} == {1}


def test_sitemap_lists_exactly_the_pages(demo: Demo) -> None:
    """The sitemap lists every page of the catalogue once, and nothing else; the page for lost visitors is none."""
    catalogue = demo.output / "catalogue"
    tree = etree.parse(catalogue / "sitemap.xml")
    listed = [str(loc.text) for loc in tree.iter("{http://www.sitemaps.org/schemas/sitemap/0.9}loc")]
    names = {path.relative_to(catalogue).as_posix() for path in pages_in(catalogue)} - {"404.html"}
    assert sorted(listed) == sorted(ADDRESS + name.replace("index.html", "") for name in names)
    robots = (catalogue / "robots.txt").read_text(encoding="utf-8").splitlines()
    assert f"Sitemap: {ADDRESS}sitemap.xml" in robots


def test_widths_of_photos_are_true(demo: Demo) -> None:
    """Each photo that a page offers in several widths is as wide as it says, and is of the kind it says."""
    page_path = demo.output / "catalogue" / "products" / f"{PICTURED}.html"
    seen: dict[str, set[int]] = {"image/webp": set(), "image/jpeg": set()}
    for source in read_page(page_path).select("source"):
        for candidate in said(source, "srcset").split(", "):
            reference, width = candidate.split()
            with Image.open(target(page_path, reference)) as image:
                assert f"{image.width}w" == width
                assert image.get_format_mimetype() == said(source, "type")
            seen[said(source, "type")].add(int(width.removesuffix("w")))
    assert all({1600, 960, 480, 400} <= widths for widths in seen.values()), seen


def test_sizes_of_pictures_are_true(demo: Demo) -> None:
    """Every picture says its width and height as its file has them, so that a page does not jump while it loads."""
    count = 0
    for path in pages_in(demo.output / "catalogue"):
        for picture in read_page(path).select("main img"):
            file = target(path, said(picture, "src"))
            assert picture.has_attr("alt"), f"{path.name}: {file.name}"
            if file.suffix == ".svg":
                root = etree.parse(file).getroot()
                real = tuple(round(float(root.get(side, "0"))) for side in ("width", "height"))
            else:
                with Image.open(file) as image:
                    real = image.size
            assert (int(said(picture, "width")), int(said(picture, "height"))) == real, f"{path.name}: {file.name}"
            count += 1
    assert count > 50


def test_one_picture_of_a_page_is_told_to_those_who_cannot_see_it(demo: Demo) -> None:
    """A product's first picture has words for it: the record's for a photo, the theme's for a drawing."""
    for listing in demo.calculated.listings:
        page = read_page(demo.output / "catalogue" / "products" / f"{listing.slug}.html")
        first = page.select(".slide")[0]
        if "is-drawing" in said(first, "class"):
            (drawn,) = first.select("[role=img]")
            assert said(drawn, "aria-label").startswith(f"{listing.title} in the chosen size, glass and finish.")
        else:
            words = said(first.select("picture img")[0], "alt")
            assert words == "Four quarters of colour" if listing.slug == PICTURED else len(words) > 15


def test_structured_data_has_what_a_product_needs(demo: Demo) -> None:
    """A product's data for machines names it, shows it and lists its variants (ProductGroup, schema.org)."""
    for listing in demo.calculated.listings:
        page = read_page(demo.output / "catalogue" / "products" / f"{listing.slug}.html")
        data = structured_data(page)
        assert linked_data(page)["@context"] == "https://schema.org/"
        assert (data["name"], data["description"]) == (listing.title, listing.summary)
        assert data["url"] == f"{ADDRESS}products/{listing.slug}.html"
        assert data["productGroupID"] == listing.slug
        assert data["brand"] == {"@type": "Brand", "name": "Withyslip Glass"}
        photos = page.select(".slide .is-photo")
        drawn_first = bool(page.select(".slide:first-child.is-drawing"))
        assert len(data["image"]) == len(photos) + drawn_first
        assert data["image"][0].endswith("-drawn.jpg") == drawn_first
        for picture in data["image"]:
            assert (demo.output / "catalogue" / picture.removeprefix(ADDRESS)).is_file(), picture


def test_structured_data_has_an_offer_for_each_variant(demo: Demo) -> None:
    """Each variant's offer has price, currency, availability and address; its size and mass have units by code."""
    for listing in demo.calculated.listings:
        page = read_page(demo.output / "catalogue" / "products" / f"{listing.slug}.html")
        variants = structured_data(page)["hasVariant"]
        assert [one["sku"] for one in variants] == [one.sku for one in listing.offers]
        for one, offer in zip(variants, listing.offers, strict=True):
            assert one["@type"] == "Product"
            assert one["name"].startswith(listing.title)
            assert one["offers"]["@type"] == "Offer"
            assert one["offers"].get("priceCurrency") == (None if offer.sold else "GBP")
            assert one["offers"]["availability"] == f"https://schema.org/{AVAILABLE[offer.availability]}"
            assert one["url"] == one["offers"]["url"] == ADDRESS + listing.page_of(offer)
            assert page.find(id=offer.anchor) is not None
            # UNECE Recommendation 20, which schema.org's unitCode follows: GRM gram, MMT millimetre (from memory).
            assert {one[side]["unitCode"] for side in ("width", "height")} == {"MMT"}
            assert one["weight"]["unitCode"] == "GRM"
