"""What machines read of the catalogue: structured data by schema.org, and the sitemap."""

from __future__ import annotations

import json
from collections.abc import Sequence
from decimal import Decimal
from xml.sax.saxutils import escape

from markupsafe import Markup

from catalog_builder.offer import Listing, Offer
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


def product_data(listing: Listing, address: str, images: Sequence[str], currency: str, studio: str) -> Markup:
    """Describe a product with its variants as JSON-LD: ProductGroup, Product and Offer of schema.org."""
    data = {
        "@context": "https://schema.org/",
        "@type": "ProductGroup",
        "name": listing.title,
        "description": listing.summary,
        "url": address,
        "image": list(images),
        "productGroupID": listing.slug,
        "brand": {"@type": "Brand", "name": studio},
        "hasVariant": [_variant(listing, offer, address, images, currency) for offer in listing.offers],
    }
    text = json.dumps(data, ensure_ascii=False, separators=(",", ":"))
    # Inside a script element only these could end it or open markup.
    safe = text.replace("<", "\\u003c").replace(">", "\\u003e").replace("&", "\\u0026")
    return Markup(safe)  # noqa: S704


def _variant(listing: Listing, offer: Offer, address: str, images: Sequence[str], currency: str) -> dict[str, object]:
    words = [word for word in (offer.size, offer.finish, offer.glass) if word]
    return {
        "@type": "Product",
        "sku": offer.sku,
        "name": f"{listing.title}: {', '.join(words)}" if words else listing.title,
        "description": listing.summary,
        "image": images[0],
        "weight": {"@type": "QuantitativeValue", "value": round(offer.mass_g), "unitCode": "GRM"},
        "width": _mm(offer.width_mm),
        "height": _mm(offer.hung_height_mm),
        **({"depth": _mm(offer.depth_mm)} if offer.in_the_round else {}),
        "offers": {
            "@type": "Offer",
            "price": plain_price(offer.online_price, currency),
            "priceCurrency": currency,
            "availability": AVAILABILITY[listing.availability],
            "url": address,
        },
    }


def _mm(length: float) -> dict[str, object]:
    return {"@type": "QuantitativeValue", "value": round(length), "unitCode": "MMT"}


def sitemap(addresses: Sequence[str]) -> str:
    """List the pages' addresses by the protocol of sitemaps.org, version 0.9."""
    urls = "".join(f"<url><loc>{escape(address)}</loc></url>\n" for address in addresses)
    return (
        '<?xml version="1.0" encoding="UTF-8"?>\n'
        f'<urlset xmlns="http://www.sitemaps.org/schemas/sitemap/0.9">\n{urls}</urlset>\n'
    )
