"""What machines read of the catalogue: structured data by schema.org, and the sitemap."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from xml.sax.saxutils import escape

from markupsafe import Markup

from catalog_builder.offer import AskedPrice, Listing, Offer
from catalog_builder.records.selling.market_date import Market
from catalog_builder.records.studio import StudioKeys
from catalog_builder.units import minor_digits

AVAILABILITY = {
    "made to order": "https://schema.org/MadeToOrder",
    "in stock": "https://schema.org/InStock",
    "one only": "https://schema.org/LimitedAvailability",
    "sold": "https://schema.org/SoldOut",
}


def plain_price(amount: Decimal, currency: str) -> str:
    """Write a price for machines: a point, no grouping, all the currency's digits; 1234.5 GBP is 1234.50."""
    return f"{amount:.{minor_digits(currency)}f}"


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

    Its page's address, its pictures' addresses, its series' title, and the theme's words for how it is made
    and for a finish.
    """

    address: str
    images: tuple[str, ...]
    series: str
    technique: str
    finish: str


def product_group(listing: Listing, about: Described, studio: StudioKeys) -> dict[str, object]:
    """Describe a product with its variants: ProductGroup, Product and Offer of schema.org."""
    group: dict[str, object] = {
        "@type": "ProductGroup",
        "name": listing.title,
        "description": listing.summary,
        "url": about.address,
        "image": list(about.images),
        "productGroupID": listing.slug,
        "category": about.series,
        "material": [*listing.glass_names, about.technique],
        "brand": {"@type": "Brand", "name": studio.name},
        "releaseDate": listing.added.isoformat(),
    }
    varies = [
        *(["https://schema.org/size"] if len({offer.size for offer in listing.offers}) > 1 else []),
        *(["https://schema.org/color"] if len({offer.glass for offer in listing.offers}) > 1 else []),
        *(
            [{"@type": "DefinedTerm", "name": about.finish}]
            if len({offer.finish for offer in listing.offers}) > 1
            else []
        ),
    ]
    if varies:
        group["variesBy"] = varies
    group["hasVariant"] = [_variant(listing, offer, about, studio) for offer in listing.offers]
    return group


def _variant(listing: Listing, offer: Offer, about: Described, studio: StudioKeys) -> dict[str, object]:
    product = {
        "@type": "Product",
        "sku": offer.sku,
        "inProductGroupWithID": listing.slug,
        "name": f"{listing.title}: {offer.words}" if offer.words else listing.title,
        "description": listing.summary,
        "image": about.images[0],
        "size": offer.size,
        "color": offer.glass,
        "weight": {"@type": "QuantitativeValue", "value": round(offer.mass_g), "unitCode": "GRM"},
        **({} if listing.parts else _measures(offer, about)),
        "offers": {
            "@type": "Offer",
            **_price(offer, studio.currency),
            "availability": AVAILABILITY[offer.availability],
            **_supply(offer),
            **_included(listing, studio),
            "itemCondition": "https://schema.org/NewCondition",
            "url": about.address,
            "seller": _maker(studio),
        },
    }
    return {key: value for key, value in product.items() if value}


def _measures(offer: Offer, about: Described) -> dict[str, object]:
    return {
        "width": _mm(offer.hung_width_mm),
        "height": _mm(offer.hung_height_mm),
        **({"depth": _mm(offer.depth_mm)} if offer.in_the_round else {}),
        "additionalProperty": {"@type": "PropertyValue", "name": about.finish, "value": offer.finish},
    }


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
                "url": f"{studio.address}products/{part.slug}.html",
            },
        }
        for part in listing.parts
    ]
    return {"includesObject": pieces} if pieces else {}


def _price(offer: Offer, currency: str) -> dict[str, object]:
    """Give what is asked for a variant; nothing where it is sold."""
    if offer.sold:
        return {}
    return {
        **_amount(offer.online_price, currency),
        **_specified(offer.online, currency),
    }


def _supply(offer: Offer) -> dict[str, object]:
    """Say how many lie ready, or how long it takes (inventoryLevel, deliveryLeadTime); C62 and DAY are UN/CEFACT's."""
    if offer.availability == "made to order" and offer.lead_days is not None:
        return {"deliveryLeadTime": {"@type": "QuantitativeValue", "value": offer.lead_days, "unitCode": "DAY"}}
    if offer.ready and not offer.sold:
        return {"inventoryLevel": {"@type": "QuantitativeValue", "value": offer.ready, "unitCode": "C62"}}
    return {}


def _specified(price: AskedPrice, currency: str) -> dict[str, object]:
    """Say whether a price holds the tax, where there is one, and what it was before it was reduced.

    By schema.org the first is a PriceSpecification; the second a UnitPriceSpecification whose priceType is
    StrikethroughPrice, with priceValidUntil for the last day of the reduction.
    """
    tax: dict[str, object] = {} if price.tax == "none" else {"valueAddedTaxIncluded": price.tax == "included"}
    told: list[dict[str, object]] = []
    if tax:
        told.append({"@type": "PriceSpecification", **_amount(price.printed, currency), **tax})
    if price.reduction is None:
        return {"priceSpecification": told[0]} if told else {}
    earlier = _amount(price.reduction.earlier, currency)
    kind = {"priceType": "https://schema.org/StrikethroughPrice"}
    told.append({"@type": "UnitPriceSpecification", **kind, **earlier, **tax})
    return {
        "priceSpecification": told if len(told) > 1 else told[0],
        "priceValidUntil": price.reduction.last_day.isoformat(),
    }


def _amount(amount: Decimal, currency: str) -> dict[str, object]:
    return {"price": plain_price(amount, currency), "priceCurrency": currency}


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
