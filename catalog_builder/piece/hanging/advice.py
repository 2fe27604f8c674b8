"""What the bench should know of how a piece hangs."""

from __future__ import annotations

from collections.abc import Iterator

from catalog_builder.mistake import Finding
from catalog_builder.pattern.sizes import titled
from catalog_builder.piece.hanging.strength import newtons
from catalog_builder.piece.hanging.suspension import Suspension
from catalog_builder.piece.hanging.wind import GALE_M_S, push_n, swing_degrees
from catalog_builder.records.product import Product

# Common practice, no source.
TILT_TOLD_DEGREES = 2.0
LEAN_TOLD_DEGREES = 5.0


def hanging_findings(product: Product, suspension: Suspension, size: str = "") -> Iterator[Finding]:
    """Find pieces that tilt or lean, that are wide or heavy, or that hang in the wind."""
    place, title = product.drawing.place(None), titled(product, "", size)
    if abs(suspension.tilt_degrees) > TILT_TOLD_DEGREES:
        side = "right" if suspension.tilt_degrees > 0 else "left"
        several = len(suspension.rings) > 1
        advice = "move the ring to a seam's end nearer to the middle of the weight, or use two rings"
        yield Finding(
            code="H01",
            place=place,
            text=f"{title}: it will hang tilted by {abs(suspension.tilt_degrees):.1f} degrees; "
            f"its weight lies to the {side} of {'the middle between its rings' if several else 'the ring'}",
            advice="move the rings so that the weight lies midway between them" if several else advice,
        )
    if suspension.heavy:
        yield Finding(
            code="H02",
            place=place,
            text=f"{title}: {suspension.body.mass_g:.0f} g and {suspension.span_mm:.0f} mm across",
            advice="stiffen the rim, and let someone qualified look at how and where it is hung",
        )
    if abs(suspension.lean_degrees) > LEAN_TOLD_DEGREES:
        way = "forward" if suspension.lean_degrees > 0 else "back"
        yield Finding(
            code="H03",
            place=place,
            text=f"{title}: its parts weigh {way} of the ring; the main part will lean by "
            f"{abs(suspension.lean_degrees):.1f} degrees",
            advice="set the parts at angles that balance, or hang it by a wire that reaches over its middle",
        )
    if product.keys.hang.outdoors:
        push, weight = push_n(suspension.area_mm2), newtons(suspension.body.mass_g)
        yield Finding(
            code="H04",
            place=place,
            text=f"{title}: outdoors a gale ({GALE_M_S:.0f} m/s) pushes it with about {push:.1f} N, "
            f"{push / weight:.1f} times its weight; it swings up to {swing_degrees(push, weight):.0f} degrees",
            advice="hold it at the bottom too, clear of panes and walls, and say that it comes in before a storm",
        )
