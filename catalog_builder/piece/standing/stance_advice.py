"""Findings on how a piece stands: that it tips easily, that its rod has little solder, the wind, a tealight's heat."""

from __future__ import annotations

from collections.abc import Iterator

from catalog_builder.mistake import Finding
from catalog_builder.pattern.sizes import titled
from catalog_builder.phrase import Phrase, Value, quantity
from catalog_builder.piece.hanging.suspension import Suspension
from catalog_builder.piece.hanging.wind import GALE_M_S
from catalog_builder.piece.standing.tipping import STEADY_DEGREES
from catalog_builder.records.product import Product

# Of a rod's soldered length so much should lie along solder: common practice, no source.
_LEAST_CONTACT = 0.5


def standing_findings(product: Product, suspension: Suspension, size: str = "") -> Iterator[Finding]:
    """Find pieces that tip easily, rods that lie on too little solder, and what a wind below a gale tips or bends."""
    stance, title = suspension.stance, titled(product, "", size)
    if stance is None:
        return
    if stance.tipping is not None and stance.tipping.degrees < STEADY_DEGREES:
        yield _finding(
            product,
            "H08",
            "tips",
            title=title,
            angle=quantity(stance.tipping.degrees, "degrees", 1),
            side=Phrase(f"findings_standing.{stance.tipping.side}"),
            least=quantity(STEADY_DEGREES, "degrees"),
        )
    if stance.soldered_mm and stance.contact_mm < _LEAST_CONTACT * stance.soldered_mm:
        contact, soldered = quantity(stance.contact_mm, "mm"), quantity(stance.soldered_mm, "mm")
        yield _finding(product, "H09", "rod", title=title, contact=contact, soldered=soldered)
    if stance.wind_m_s is not None and stance.wind_m_s < GALE_M_S:
        wind, gale = quantity(stance.wind_m_s, "m/s", 1), quantity(GALE_M_S, "m/s")
        key = "wind_tips" if stance.tipping is not None else "wind_bends"
        yield _finding(product, "H10", key, title=title, speed=wind, gale=gale)
    if product.keys.hang.tealight:
        yield _finding(product, "H11", "tealight", title=title)


def _finding(product: Product, code: str, key: str, **values: Value) -> Finding:
    return Finding.of(code, product.drawing.place(None), f"findings_standing.{key}", **values)
