"""A catalogue of as many products as a test asks for, made of a few that were drawn; only its lists are written."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

from catalog_builder.build import calculate
from catalog_builder.offer import Listing
from catalog_builder.publish.audiences import catalogue_content
from catalog_builder.publish.catalogue.finder_parts import FinderParts
from catalog_builder.publish.catalogue.listing_view import CatalogueContent
from catalog_builder.publish.catalogue.site_pages import SitePages
from catalog_builder.publish.output.unwritten_folder import UnwrittenFolder
from catalog_builder.publish.studio_calculation import quiet
from catalog_builder.publish.studio_pictures import make_pictures
from tests import studio

WORDS = ("Amber", "Bracken", "Cobble", "Dune", "Ember", "Fern", "Gravel")


def few(root: Path) -> CatalogueContent:
    """Three panes in two series, two finishes and two choices of glass."""
    other = "{left: slate, right: slate}"
    records = {
        "pane-a": studio.record(),
        "pane-b": studio.record(glass=other).replace("series: panes", "series: doors"),
        "pane-c": studio.record().replace("finishes: [bright]", "finishes: [bright, black]"),
    }
    records = {name: text.replace("title: Pane", f"title: {name.capitalize()}") for name, text in records.items()}
    tables = {
        "finishes.black": 'title = "Black"',
        "series.doors": 'title = "Doors"\nsummary = "Panes of doors."',
    }
    calculated = calculate(studio.project(root, records, tables), studio.DAY, quiet)
    return catalogue_content(calculated, make_pictures(calculated, 1, quiet))


def titled(number: int, model: Listing) -> str:
    """Give the title of a copy of a product."""
    return f"{WORDS[number % len(WORDS)]} {model.title} {number}"


def many(content: CatalogueContent, count: int, title_of: Callable[[int, Listing], str] = titled) -> CatalogueContent:
    """Give a catalogue of so many products: copies of the few, each with a title, an address and a day of its own."""
    listings, pictures = [], {}
    for number in range(count):
        model = content.listings[number % len(content.listings)]
        slug = f"{model.slug}-{number}"
        added = content.day - timedelta(days=count - number)
        listings.append(replace(model, slug=slug, title=title_of(number, model), added=added, formerly=()))
        pictures[slug] = content.pictures[model.slug]
    return replace(content, listings=tuple(listings), pictures=pictures)


def lists_of(content: CatalogueContent, pages: Iterable[str] | None = None) -> UnwrittenFolder:
    """Give the pages that list products, or some of them, the parts that the finder loads, and the theme's files."""
    folder, site = UnwrittenFolder(), SitePages(content)
    site.parts_version = FinderParts(site.finder).write(folder)
    for path in pages if pages is not None else site.overview_paths():
        site.write(folder, path)
    for name, data in content.theme.assets():
        folder.write(name, data)
    return folder


def write_lists(content: CatalogueContent, root: Path, pages: Iterable[str] | None = None) -> Path:
    """Write them under a folder, with the drawn picture of each product; give the folder."""
    folder = lists_of(content, pages)
    for name in folder.makers:
        path = root / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(folder.read(name) or b"")
    (root / "pictures").mkdir(exist_ok=True)
    drawn: dict[str, Path] = {}
    for slug, pictures in content.pictures.items():
        path = root / "pictures" / f"{slug}.svg"
        if pictures.key in drawn:
            path.hardlink_to(drawn[pictures.key])
        else:
            path.write_text(pictures.drawn, encoding="utf-8")
            drawn[pictures.key] = path
    return root


def slugs_in(html: str) -> list[str]:
    """Give the products whose cards stand in a text of HTML, in order."""
    return re.findall(r'<h\d><a href="(?:\.\./)?products/([a-z0-9-]+)\.html', html)
