"""What an offer asks and grants, for machines: price, supply, postage and returns by schema.org."""

from __future__ import annotations

from decimal import Decimal

from catalog_builder.offer import AskedPrice, Offer
from catalog_builder.records.studio_tables.studio_keys import StudioKeys
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


def offer_terms(offer: Offer, studio: StudioKeys) -> dict[str, object]:
    """Give the terms of a variant's offer: the properties of Offer that a search engine asks for where they are known.

    Source: developers.google.com/search/docs/appearance/structured-data/merchant-listing.
    """
    return {
        **_price(offer, studio.currency),
        "availability": AVAILABILITY[offer.availability],
        **_supply(offer),
        **_shipping(offer, studio),
        **_returns(studio),
    }


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
    specifications: list[dict[str, object]] = []
    if tax:
        specifications.append({"@type": "PriceSpecification", **_amount(price.printed, currency), **tax})
    if price.reduction is None:
        return {"priceSpecification": specifications[0]} if specifications else {}
    earlier = _amount(price.reduction.earlier, currency)
    kind = {"priceType": "https://schema.org/StrikethroughPrice"}
    specifications.append({"@type": "UnitPriceSpecification", **kind, **earlier, **tax})
    return {
        "priceSpecification": specifications if len(specifications) > 1 else specifications[0],
        "priceValidUntil": price.reduction.last_day.isoformat(),
    }


def _amount(amount: Decimal, currency: str) -> dict[str, object]:
    return {"price": plain_price(amount, currency), "priceCurrency": currency}


def _shipping(offer: Offer, studio: StudioKeys) -> dict[str, object]:
    """Tell the postage of a variant where it is known, and where to: both are asked for (OfferShippingDetails)."""
    if offer.sold or studio.posts_to is None or offer.parcel is None or offer.parcel.postage is None:
        return {}
    rate = plain_price(offer.parcel.postage, studio.currency)
    details: dict[str, object] = {
        "@type": "OfferShippingDetails",
        "shippingRate": {"@type": "MonetaryAmount", "value": rate, "currency": studio.currency},
        "shippingDestination": {"@type": "DefinedRegion", "addressCountry": studio.posts_to},
    }
    return {"shippingDetails": details}


def _returns(studio: StudioKeys) -> dict[str, object]:
    """Tell how pieces may be sent back (MerchantReturnPolicy), and whether the buyer pays for it."""
    returns = studio.returns
    if returns is None:
        return {}
    policy: dict[str, object] = {"@type": "MerchantReturnPolicy", "applicableCountry": list(returns.countries)}
    if not returns.days:
        return {
            "hasMerchantReturnPolicy": {
                **policy,
                "returnPolicyCategory": "https://schema.org/MerchantReturnNotPermitted",
            }
        }
    fees = "ReturnFeesCustomerResponsibility" if returns.buyer_pays else "FreeReturn"
    return {
        "hasMerchantReturnPolicy": {
            **policy,
            "returnPolicyCategory": "https://schema.org/MerchantReturnFiniteReturnWindow",
            "merchantReturnDays": returns.days,
            "returnMethod": "https://schema.org/ReturnByMail",
            "returnFees": f"https://schema.org/{fees}",
        }
    }
