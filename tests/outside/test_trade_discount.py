"""What a shop pays, against worked examples of trade discounts: a list price less a share of it is the net price.

Nova Scotia Community College, Math 1075, lesson 1, "Retailing - Discounts", example 1 (N). Vancouver Community College
Learning Centre, worksheet on trade discounts, 2013 (V). Both were read in stored copies of the pages. That a markup of
the net price by d / (1 - d) leads back to the list price is algebra (A).
"""

from __future__ import annotations

from decimal import Decimal

import pytest

from catalog_builder.records.selling.channel import Channel
from tests.costs import unbooked_prices


def priced(list_price: str, **trade: object) -> dict[str, Decimal]:
    """The prices of a site that asks for the list price, and of a trade channel beside it."""
    shared = {"title": "One", "shown_on": "private"}
    site = Channel.model_validate({**shared, "markup_percent": 0})
    shops = Channel.model_validate({**shared, "follows": "site", **trade})
    prices = unbooked_prices({"site": site, "shops": shops}, Decimal(list_price), 2)
    return {name: price.printed for name, price in prices.items()}


@pytest.mark.parametrize(
    ("list_price", "discount", "net"),
    [("200", "25", "150"), ("40", "20", "32"), ("90", "30", "63"), ("30", "30", "21")],
    ids=["N", "V-textbook", "V-jeans", "V-net-factor"],
)
def test_net_price(list_price: str, discount: str, net: str) -> None:
    """A trade channel at 100 less the discount, in percent of the list price, asks for the net price."""
    prices = priced(list_price, at_percent=100 - Decimal(discount), rounding="down")
    # The site sells at cost here, so that the list price is a plain number: the share goes under the floor price.
    assert prices == {"site": Decimal(list_price), "shops": Decimal(net)}


@pytest.mark.parametrize(("discount", "markup"), [("50", "100"), ("40", "66.67"), ("20", "25")])
def test_a_shops_markup_leads_back_to_the_list_price(discount: str, markup: str) -> None:
    """Half off is what a shop doubles; 40 % off asks for two thirds on top, 20 % for a quarter (A)."""
    net = priced("80", at_percent=100 - Decimal(discount))["shops"]
    assert net * (1 + Decimal(markup) / 100) == pytest.approx(Decimal(80), abs=Decimal("0.01"))
