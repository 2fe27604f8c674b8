"""What machines read of the catalogue: structured data by schema.org, and the sitemap."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from xml.sax.saxutils import escape

from markupsafe import Markup

from catalog_builder.offer import Listing, Offer, Standing
from catalog_builder.publish.catalogue.offer_terms import offer_terms
from catalog_builder.publish.pictures.glass.colour_word import colour_word
from catalog_builder.records.selling.market_date import Market
from catalog_builder.records.studio_tables.studio_keys import StudioKeys


def in_script(data: object) -> Markup:
    """Write data as JSON that can stand in a script element: only these signs could end it or open markup."""
    text = json.dumps(data, ensure_ascii=False, separators=(",", ":"))
    return Markup(text.replace("<", "\\u003c").replace(">", "\\u003e").replace("&", "\\u0026"))  # noqa: S704


def linked_data(*things: Mapping[str, object]) -> Markup:
    """Write things as one JSON-LD text; nothing where there is nothing."""
    return in_script({"@context": "https://schema.org/", "@graph": things}) if things else Markup()


@dataclass(frozen=True, slots=True, kw_only=True)
class Described:
    """What a product's description needs beside its listing.

    Its page's address, its pictures' addresses, its series' title, and the theme's words for how it is made, for a
    footprint and for colours of glass.
    """

    address: str
    images: tuple[str, ...]
    series: str
    technique: str
    footprint: str
    colours: Mapping[str, str]


def product_group(listing: Listing, about: Described, studio: StudioKeys) -> dict[str, object]:
    """Describe a product with its variants: ProductGroup, Product and Offer of schema.org.

    A finish is told as the material, since of what variants can differ in search engines read size, colour, material
    and pattern alone (developers.google.com/search/docs/appearance/structured-data/product-variants, variesBy).
    """
    group: dict[str, object] = {
        "@type": "ProductGroup",
        "name": listing.title,
        "description": listing.summary,
        "url": about.address,
        "image": list(about.images),
        "productGroupID": listing.slug,
        "category": about.series,
        "material": [*listing.glass_names, *([listing.frame] if listing.frame else []), about.technique],
        "brand": {"@type": "Brand", "name": studio.name},
        "releaseDate": listing.added.isoformat(),
    }
    varies = [
        f"https://schema.org/{name}"
        for name, values in (
            ("size", {offer.size for offer in listing.offers}),
            ("color", {_colour(offer, about) for offer in listing.offers}),
            ("pattern", {offer.glass for offer in listing.offers}),
            ("material", {offer.finish for offer in listing.offers}),
        )
        if len(values) > 1
    ]
    if varies:
        group["variesBy"] = varies
    group["hasVariant"] = [_variant(listing, offer, about, studio) for offer in listing.offers]
    return group


def _variant(listing: Listing, offer: Offer, about: Described, studio: StudioKeys) -> dict[str, object]:
    address = studio.address + listing.page_of(offer)
    product = {
        "@type": "Product",
        "sku": offer.sku,
        "inProductGroupWithID": listing.slug,
        "name": f"{listing.title}: {offer.words}" if offer.words else listing.title,
        "description": listing.summary,
        "url": address,
        "image": about.images[0],
        "size": offer.size,
        "color": _colour(offer, about),
        "pattern": offer.glass,
        "material": offer.finish,
        "weight": {"@type": "QuantitativeValue", "value": round(offer.mass_g), "unitCode": "GRM"},
        **({} if listing.parts else _measures(offer, about)),
        "offers": {
            "@type": "Offer",
            **offer_terms(offer, studio),
            **_included(listing, studio),
            "itemCondition": "https://schema.org/NewCondition",
            "url": address,
            "seller": _maker(studio),
        },
    }
    return {key: value for key, value in product.items() if value}


def _colour(offer: Offer, about: Described) -> str:
    """Name up to three colours, the largest part first, with a slash between them.

    Source: support.google.com/merchants/answer/6324487, the colour attribute, whose property is Product.color.
    """
    words = dict.fromkeys(colour_word(colour) for colour in offer.glass_colours)
    return "/".join([about.colours[word] for word in words][:3])


def _measures(offer: Offer, about: Described) -> dict[str, object]:
    if offer.standing is not None:
        return _standing(offer.standing, about)
    return {
        "width": _mm(offer.hung_width_mm),
        "height": _mm(offer.hung_height_mm),
        **({"depth": _mm(offer.depth_mm)} if offer.in_the_round else {}),
    }


def _standing(standing: Standing, about: Described) -> dict[str, object]:
    """Give the sides of what stands, and its footprint as a further property, in mm."""
    sides: dict[str, object] = {
        "width": _mm(standing.width_mm),
        "height": _mm(standing.height_mm),
        "depth": _mm(standing.depth_mm),
    }
    if standing.footprint_mm is None:
        return sides
    width, depth = (round(side) for side in standing.footprint_mm)
    value = {"value": f"{width} × {depth}", "unitCode": "MMT"}
    return {**sides, "additionalProperty": [{"@type": "PropertyValue", "name": about.footprint, **value}]}


def _included(listing: Listing, studio: StudioKeys) -> dict[str, object]:
    """Name the pieces of a set (includesObject and TypeAndQuantityNode of schema.org); C62 is UN/CEFACT's for one."""
    pieces = [
        {
            "@type": "TypeAndQuantityNode",
            "amountOfThisGood": part.count,
            "unitCode": "C62",
            "typeOfGood": {
                "@type": "Product",
                "name": part.title,
                "sku": part.offer.sku,
                "url": f"{studio.address}products/{part.slug}.html#{part.offer.anchor}",
            },
        }
        for part in listing.parts
    ]
    return {"includesObject": pieces} if pieces else {}


def breadcrumbs(steps: Sequence[tuple[str, str]]) -> dict[str, object]:
    """Describe the way to a page: names and addresses from the front page on (BreadcrumbList of schema.org)."""
    return {
        "@type": "BreadcrumbList",
        "itemListElement": [
            {"@type": "ListItem", "position": place, "name": name, "item": {"@id": address}}
            for place, (name, address) in enumerate(steps, 1)
        ],
    }


def _mm(length: float) -> dict[str, object]:
    return {"@type": "QuantitativeValue", "value": round(length), "unitCode": "MMT"}


def market_event(market: Market, studio: StudioKeys, address: str) -> dict[str, object]:
    """Describe a day on which the maker has a stall (Event of schema.org). ``address`` is the page that lists it."""
    return {
        "@type": "Event",
        "name": market.name,
        "description": ". ".join(text for text in (market.hours, market.note) if text),
        "startDate": market.date.isoformat(),
        "endDate": (market.until or market.date).isoformat(),
        "eventStatus": "https://schema.org/EventScheduled",
        "eventAttendanceMode": "https://schema.org/OfflineEventAttendanceMode",
        "location": {"@type": "Place", "name": market.place, "address": market.place},
        "image": f"{studio.address}previews/home.jpg",
        "url": address,
        "performer": _maker(studio),
    }


def studio_data(studio: StudioKeys, logo: str) -> tuple[dict[str, object], dict[str, object]]:
    """Describe the studio and its catalogue (Organization and WebSite of schema.org). ``logo`` may be empty."""
    organization: dict[str, object] = {
        **_maker(studio),
        "description": studio.tagline,
        "email": studio.email,
        "founder": {"@type": "Person", "name": studio.maker},
        "location": {"@type": "Place", "name": studio.place, "address": studio.place},
    }
    if logo:
        organization["logo"] = logo
    site: dict[str, object] = {
        "@type": "WebSite",
        "name": studio.name,
        "url": studio.address,
        "inLanguage": studio.language,
        "publisher": _maker(studio),
    }
    return organization, site


def _maker(studio: StudioKeys) -> dict[str, object]:
    return {"@type": "Organization", "name": studio.name, "url": studio.address}


def sitemap(pages: Sequence[tuple[str, date | None]]) -> str:
    """List pages by the protocol of sitemaps.org, version 0.9: addresses, with the day of the last change if known."""
    urls = "".join(
        f"<url><loc>{escape(address)}</loc>{f'<lastmod>{day.isoformat()}</lastmod>' if day else ''}</url>\n"
        for address, day in pages
    )
    return (
        '<?xml version="1.0" encoding="UTF-8"?>\n'
        f'<urlset xmlns="http://www.sitemaps.org/schemas/sitemap/0.9">\n{urls}</urlset>\n'
    )
