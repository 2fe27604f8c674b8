"""One page of each kind that a build makes."""

from __future__ import annotations

from tests.publish.demo import PICTURED, Demo

CATALOGUE = {
    "home": "catalogue/index.html",
    "series": "catalogue/series/quay.html",
    "product": "catalogue/products/seahorse.html",
    "product-with-photos": f"catalogue/products/{PICTURED}.html",
    "find": "catalogue/find.html",
    "about": "catalogue/about.html",
    "care": "catalogue/care.html",
    "terms": "catalogue/terms.html",
    "own-page": "catalogue/pages/imprint.html",
    "dates": "catalogue/dates.html",
    "not-found": "catalogue/404.html",
}
PRIVATE = {
    "cost-index": "bench/index.html",
    "agreement": "bench/agreement.html",
    "discounts": "bench/discounts.html",
    "earnings": "bench/earnings.html",
    "history": "bench/history.html",
    "rates": "bench/rates.html",
    "takings": "bench/takings.html",
    "market-papers": "bench/markets/quay-december/papers.html",
    "repricing": "bench/repricing.html",
    "batch-plan": "bench/batches/december-markets/index.html",
    "marking": f"bench/marking/{PICTURED}.html",
    "cost-card": f"bench/cards/{PICTURED}--small--copper--riding.html",
}
SHEET = "stall/price_sheet.html"
# One file that is a whole catalogue, for those to whom it is sent.
SENT = "catalogue/to-send/withyslip-glass.html"
KINDS = {**CATALOGUE, "price-sheet": SHEET, "to-send": SENT, **PRIVATE}


def kind_of(path: str) -> str:
    """Give the kind of a page by its path: pages in a folder of an audience's are of one kind, others are their own."""
    folder = path.rpartition("/")[0]
    return folder if "/" in folder else path


def address(demo: Demo, kind: str) -> str:
    """Give the address of a page as it lies in its folder."""
    return (demo.output / KINDS[kind]).as_uri()
