"""What pages tell machines is in schema.org's vocabulary: types, properties, what they may hold, and members.

Source: schema.org's vocabulary as the npm package `schema-dts` 2.1.0 carries it; see data/README.md.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from tests.publish.demo import DAY, Demo
from tests.publish.page import linked_data, meta, pages_in, read_page, structured_data

VOCABULARY = json.loads((Path(__file__).parent / "data" / "schema_org.json").read_text(encoding="utf-8"))
TYPES: dict[str, Any] = VOCABULARY["types"]
MEMBERS: dict[str, list[str]] = VOCABULARY["members"]
ADDRESS = "https://withyslip.example/"
SPACE = "https://schema.org/"


def lineage(kind: str) -> Iterator[str]:
    """Give a type and all that it is a kind of."""
    yield kind
    for parent in TYPES[kind]["parents"]:
        yield from lineage(parent)


def ranges(kind: str, name: str) -> set[str]:
    """Give what a property of a type may hold; nothing where the type has no such property."""
    return {one for each in lineage(kind) for one in TYPES[each]["properties"].get(name, ())}


def faults(thing: Any, where: str) -> Iterator[str]:
    """Give all that is not in the vocabulary, in a line each."""
    kind = thing.get("@type")
    if kind is None:
        assert set(thing) == {"@id"}, where
        return
    if kind not in TYPES:
        yield f"{where}: no type {kind}"
        return
    for name, value in thing.items():
        if name.startswith("@"):
            continue
        allowed = ranges(kind, name)
        if not allowed:
            yield f"{where}: {kind} has no {name}"
            continue
        for one in value if isinstance(value, list) else [value]:
            yield from value_faults(one, allowed, f"{where}.{name}")


def value_faults(value: Any, allowed: set[str], where: str) -> Iterator[str]:
    """Give what a value may not be."""
    if isinstance(value, dict):
        kind = value.get("@type")
        if kind in TYPES and not allowed & set(lineage(kind)):
            yield f"{where}: {kind} is none of {sorted(allowed)}"
        yield from faults(value, where)
    elif isinstance(value, str):
        member = [name for name in MEMBERS if name in allowed]
        if member:
            if value.removeprefix(SPACE) not in MEMBERS[member[0]] or not value.startswith(SPACE):
                yield f"{where}: {value} is no {member[0]}"
        elif not allowed & {"Text", "URL", "Date", "DateTime", "Number"}:
            yield f"{where}: a text is none of {sorted(allowed)}"
    elif not allowed & {"Number", "Integer"}:
        yield f"{where}: a number is none of {sorted(allowed)}"


def test_all_is_in_the_vocabulary(demo: Demo) -> None:
    """Every type, property and member that a page names is schema.org's, and holds what it may hold."""
    seen = set()
    for path in pages_in(demo.output / "catalogue"):
        page = read_page(path)
        if page.select('script[type="application/ld+json"]'):
            for thing in linked_data(page)["@graph"]:
                seen.add(thing["@type"])
                assert list(faults(thing, path.name)) == []
    assert seen == {"ProductGroup", "BreadcrumbList", "Event", "Organization", "WebSite"}


@pytest.mark.parametrize(
    "thing",
    [
        {"@type": "Productgroup"},
        {"@type": "Product", "colour": "blue"},
        {"@type": "Offer", "availability": "InStock"},
        {"@type": "Event", "location": {"@type": "Offer"}},
        {"@type": "Product", "weight": 12},
    ],
)
def test_what_is_not_in_the_vocabulary_is_found(thing: dict[str, Any]) -> None:
    """The check tells a type, a property, a member and a value that schema.org does not have."""
    assert len(list(faults(thing, "x"))) == 1


def test_variants_say_how_they_differ(demo: Demo) -> None:
    """A group names what its variants differ in; each variant names its group, and no two are alike in all of it."""
    for listing in demo.calculated.listings:
        page = read_page(demo.output / "catalogue" / "products" / f"{listing.slug}.html")
        group = structured_data(page)
        variants = group["hasVariant"]
        assert {one["inProductGroupWithID"] for one in variants} == {group["productGroupID"]}
        names = ("size", "color", "pattern", "material")
        marks = [tuple(one.get(name) for name in names) for one in variants]
        assert len(set(marks)) == len(marks)
        varies = group.get("variesBy", ())
        differ = [len(set(column)) > 1 for column in zip(*marks, strict=True)]
        named = [f"{SPACE}{name}" in varies for name in names]
        assert named == differ, listing.slug
        assert "copper foil and solder" in group["material"]
        assert set(listing.glass_names) < set(group["material"])


def test_way_to_a_product_is_told(demo: Demo) -> None:
    """A product's page tells the way to it: the front page, its series, itself, each by a page that is there."""
    for listing in demo.calculated.listings:
        page = read_page(demo.output / "catalogue" / "products" / f"{listing.slug}.html")
        steps = structured_data(page, "BreadcrumbList")["itemListElement"]
        assert [step["position"] for step in steps] == [1, 2, 3]
        assert [step["item"]["@id"] for step in steps] == [
            ADDRESS,
            f"{ADDRESS}series/{listing.series}.html",
            meta(page, "og:url"),
        ]


def test_market_days_are_events(demo: Demo) -> None:
    """Each market day to come is an event with a name, a place, a first and a last day, as the records have it."""
    page = read_page(demo.output / "catalogue" / "dates.html")
    events = linked_data(page)["@graph"]
    known = demo.calculated.content.studio.markets
    markets = sorted((one for one in known if (one.until or one.date) >= DAY), key=lambda one: one.date)
    assert [one["name"] for one in events] == [one.name for one in markets]
    for event, market in zip(events, markets, strict=True):
        assert event["location"]["name"] == market.place
        assert date.fromisoformat(event["startDate"]) == market.date
        assert date.fromisoformat(event["endDate"]) == (market.until or market.date)


def test_studio_is_told_once(demo: Demo) -> None:
    """The front page tells who makes the glass and how to write to them; products name the same maker as seller."""
    studio = structured_data(read_page(demo.output / "catalogue" / "index.html"), "Organization")
    assert (studio["name"], studio["email"]) == ("Withyslip Glass", "hello@withyslip.example")
    assert (demo.output / "catalogue" / studio["logo"].removeprefix(ADDRESS)).is_file()
    group = structured_data(read_page(demo.output / "catalogue" / "products" / "seahorse.html"))
    assert {one["offers"]["seller"]["url"] for one in group["hasVariant"]} == {studio["url"]}
