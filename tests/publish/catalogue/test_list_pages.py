"""Long lists go over several pages: every product stands on one of them, and none of them grows with the studio."""

from __future__ import annotations

import json
import re
from dataclasses import replace
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest

from catalog_builder.publish.catalogue import finder_parts
from catalog_builder.publish.catalogue.list_page import SHOWN, ListPage, list_pages, list_path
from catalog_builder.publish.catalogue.listing_view import CatalogueContent, newest_first
from catalog_builder.publish.catalogue.site_pages import SitePages
from catalog_builder.publish.output.unwritten_folder import UnwrittenFolder
from catalog_builder.records.reading.values import stands_in_addresses
from tests.publish.catalogue.long_lists import few, lists_of, many, slugs_in
from tests.publish.page import read_page, said, text_of

# What a page may weigh as text, and a part of the finder's data, in bytes; a phone's browser warns of more elements.
MOST_BYTES_OF_PAGE, MOST_BYTES_OF_PART, MOST_ELEMENTS = 80_000, 100_000, 800


@pytest.fixture(scope="module")
def content(tmp_path_factory: pytest.TempPathFactory) -> CatalogueContent:
    """Three products that were drawn."""
    return few(tmp_path_factory.mktemp("lists") / "studio")


@pytest.fixture(scope="module")
def large(content: CatalogueContent) -> CatalogueContent:
    """A catalogue whose lists take several pages."""
    return many(content, 2 * SHOWN + 10)


@pytest.fixture(scope="module")
def lists(large: CatalogueContent) -> UnwrittenFolder:
    """Its pages and parts."""
    return lists_of(large)


def text(folder: UnwrittenFolder, name: str) -> str:
    """Read a file."""
    return (folder.read(name) or b"").decode()


def part(folder: UnwrittenFolder, name: str) -> Any:
    """Read a part as the page's script is handed it."""
    called, _, data = text(folder, f"pieces/{name}.js").removeprefix("takePart(").partition(",")
    assert json.loads(called) == name
    return json.loads(data.rstrip().removesuffix(");"))


@pytest.mark.parametrize(("count", "pages"), [(0, 1), (SHOWN, 1), (SHOWN + 1, 2), (10_000, 209)])
def test_pages_hold_every_product_once(large: CatalogueContent, count: int, pages: int) -> None:
    """Products are shared out in their order, and the first page stands at the list's own address."""
    listings = [large.listings[0]] * count
    found = list_pages("series/panes.html", listings)
    assert len(found) == pages
    assert sum(len(page.listings) for page in found) == count
    assert found[0].own_path == "series/panes.html"
    assert {list_path(page.own_path) for page in found} == {"series/panes.html"}
    # No record can have such a name, so that no other page is overwritten.
    assert not any(stands_in_addresses(Path(page.own_path).stem) for page in found[1:])


@pytest.mark.parametrize("count", [2, 9, 209, 300])
def test_every_page_is_a_few_links_away(large: CatalogueContent, count: int) -> None:
    """From the first page, links of numbers lead to any other in ten steps or fewer; no page has more than 15 links."""
    views = {number: ListPage("find.html", number, count, ()).view(large.theme) for number in range(1, count + 1)}
    ways = {number: [int(link.text) for run in view.runs for link in run] for number, view in views.items()}
    assert all(len(way) <= 15 and number in way for number, way in ways.items())
    reached, steps = {1}, 0
    while len(reached) < count:
        reached |= {other for number in reached for other in ways[number]}
        steps += 1
    assert steps <= 10
    for number, view in views.items():
        assert (view.before is None) == (number == 1)
        assert (view.after is None) == (number == count)
        assert [link.text for run in view.runs for link in run if link.current] == [str(number)]
        assert all(int(second.text) == int(first.text) + 1 for run in view.runs for first, second in pairwise(run))


@pytest.mark.parametrize("name", ["find", "series/panes", "series/doors"])
def test_pages_go_on_in_order(large: CatalogueContent, lists: UnwrittenFolder, name: str) -> None:
    """By the links to the next page one comes by every piece, the newest first, without a script."""
    path, seen, titles = f"{name}.html", list[str](), list[str]()
    while path:
        page = read_page(text(lists, path))
        seen += slugs_in(text(lists, path))
        titles.append(text_of(page.select("title")[0]))
        assert said(page.select('link[rel="canonical"]')[0], "href").endswith(path)
        following = [said(link, "href") for link in page.select('link[rel="next"]')]
        assert following == [said(link, "href") for link in page.select('.list-pages a[rel="next"]')]
        path = str(Path(name).parent / following[0]) if following else ""
    series = name.rpartition("/")[2]
    assert seen == [each.slug for each in newest_first(large.listings) if series in ("find", each.series)]
    assert len(set(titles)) == len(titles) == -(-len(seen) // SHOWN)


def test_only_the_first_page_has_the_form(lists: UnwrittenFolder) -> None:
    """Further pages of the finder lead to the form and load no script of it; the menu shows where one is."""
    first, second = (read_page(text(lists, name)) for name in ("find.html", "find--2.html"))
    assert [len(page.select("#finder")) for page in (first, second)] == [1, 0]
    assert [said(link, "src") for link in second.select("script[src]")] == []
    assert [said(link, "href") for link in second.select(".opening a")] == ["find.html"]
    assert said(second.select(".top nav [aria-current]")[0], "href") == "find.html"


def test_overviews_show_the_newest_of_each_series(large: CatalogueContent, content: CatalogueContent) -> None:
    """In a large studio an overview is handed six pieces of each series; in a small one all of them."""
    for studio, most in ((large, 6), (content, SHOWN)):
        shown = SitePages(studio)._all_series("")
        for series in shown:
            own = [each.slug for each in newest_first(studio.listings) if each.series == series.slug]
            assert [card.href for card in series.cards] == [f"products/{slug}.html" for slug in own[:most]]
            assert series.whole == (len(own) <= most)


def test_a_small_studio_has_whole_lists(content: CatalogueContent) -> None:
    """Where a list stands on a single page, nothing leads to others, and the page has all data."""
    small = many(content, SHOWN)
    folder = UnwrittenFolder()
    paths = SitePages(small).write(folder)
    assert [name for name in paths if "--" in name] == []
    assert [name for name in folder.makers if name.startswith("pieces/")] == []
    page = read_page(text(folder, "find.html"))
    assert page.select(".list-pages, #further, link[rel=next]") == []
    assert len(json.loads(page.select("#finder-data")[0].string or "")) == SHOWN


def test_parts_hold_what_the_page_of_a_small_studio_does(large: CatalogueContent, lists: UnwrittenFolder) -> None:
    """Words, choices and cards of the parts are those of each product, numbered from the oldest."""
    entries = [SitePages(large).finder.entry(each) for each in newest_first(large.listings)][::-1]
    choices = part(lists, "choices")
    assert [[choices["variants"][at] for at in own] for own in choices["pieces"]] == [
        list(entry.variants) for entry in entries
    ]
    vocabulary = part(lists, "words")
    having = list[Any]()
    for number in range(len(vocabulary["firsts"])):
        assert vocabulary["firsts"][number] == len(having)
        having += part(lists, f"words-{number}")
    assert vocabulary["words"] == sorted(vocabulary["words"])
    found: list[list[set[str]]] = [[set(), set(), set()] for _ in entries]
    for word, ranks in zip(vocabulary["words"], having, strict=True):
        for rank, steps in enumerate(ranks):
            at = 0
            for step in steps:
                at += step
                found[at][rank].add(word)
    assert found == [[set(finder_parts.plain(words).split()) for words in entry.words] for entry in entries]
    cards = list[Any]()
    for number in range(-(-len(entries) // 24)):
        cards += part(lists, f"cards-{number}")
    assert [slugs_in(html)[0] for html, _ in cards] == [entry.href[9:-5] for entry in entries]
    assert [tuple(places) for _, places in cards] == [entry.places for entry in entries]
    shown = re.sub(r"\s+", " ", text(lists, "find.html"))
    assert re.sub(r"\s+", " ", cards[-1][0]) in shown


def test_a_new_product_leaves_older_parts(large: CatalogueContent) -> None:
    """Cards of older products stay as they are when a product is added: only the last part changes."""
    before, after = (lists_of(replace(large, listings=large.listings[:count]), ()) for count in (100, 101))
    same = [text(before, f"pieces/cards-{at}.js") == text(after, f"pieces/cards-{at}.js") for at in range(5)]
    assert same == [True, True, True, True, False]


def test_no_page_and_no_part_grows_with_the_studio(content: CatalogueContent) -> None:
    """With 3,000 products every page that lists some, and every part, stays within what a phone takes at once."""
    huge = many(content, 3000)
    names = ("index.html", "find.html", "find--2.html", "series/panes.html", "series/panes--2.html", "404.html")
    folder = lists_of(huge, names)
    for name in names:
        page = text(folder, name)
        assert len(page.encode()) < MOST_BYTES_OF_PAGE, name
        assert len(read_page(page).select("*")) < MOST_ELEMENTS, name
    parts = [name for name in folder.makers if name.startswith("pieces/")]
    assert len(parts) > 3000 // 24
    assert max(len(text(folder, name).encode()) for name in parts) < MOST_BYTES_OF_PART


@pytest.mark.parametrize(("word", "read"), [("Éclair", "eclair"), ("LÄRCHE", "larche"), ("piñon", "pinon")])
def test_words_are_compared_without_accents(word: str, read: str) -> None:
    """A word is found whether its accents and capitals are typed or not."""
    assert finder_parts.plain(word) == read
