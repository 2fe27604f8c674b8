"""Findings on how a piece hangs: its tilt, its size and weight, its lean, and the wind."""

from __future__ import annotations

from collections.abc import Iterator

from catalog_builder.mistake import Finding
from catalog_builder.pattern.sizes import titled
from catalog_builder.phrase import Number, phrase, quantity
from catalog_builder.piece.hanging.ring_choice import LEVEL_MM, VISIBLE_TILT_DEGREES
from catalog_builder.piece.hanging.strength import newtons
from catalog_builder.piece.hanging.suspension import Suspension
from catalog_builder.piece.hanging.wind import GALE_M_S, push_n, swing_degrees
from catalog_builder.records.product import Product
from catalog_builder.units import exact

# From this angle on one sees it: common practice, no source.
VISIBLE_LEAN_DEGREES = 5.0


def hanging_findings(product: Product, suspension: Suspension, size: str = "") -> Iterator[Finding]:
    """Find pieces that tilt or lean, that are wide or heavy, on rings out of level, or in the wind."""
    place, title = product.drawing.place(None), titled(product, "", size)
    tilt, lean, rings = suspension.tilt_degrees, suspension.lean_degrees, len(suspension.rings)
    step = quantity(abs(suspension.right_lower_mm), "mm")
    if abs(tilt) > VISIBLE_TILT_DEGREES:
        uneven = _tilts_by_uneven_rings(suspension)
        key = "tilt_uneven" if uneven else "tilt_right" if tilt > 0 else "tilt_left"
        yield Finding(
            code="H01",
            place=place,
            text=phrase(
                f"findings_hanging.{key}",
                title=title,
                angle=quantity(abs(tilt), "degrees", 1),
                height=step,
                count=rings,
            ),
            advice=phrase(f"findings_hanging.tilt{'_uneven' if uneven else ''}_advice", count=rings),
        )
    if suspension.heavy and product.keys.frame is None:  # a frame stiffens the rim
        mass, span = quantity(suspension.body.mass_g, "g"), quantity(suspension.span_mm, "mm")
        yield Finding.of("H02", place, "findings_hanging.heavy", title=title, mass=mass, span=span)
    if abs(lean) > VISIBLE_LEAN_DEGREES:
        yield Finding(
            code="H03",
            place=place,
            text=phrase(
                "findings_hanging.lean_forward" if lean > 0 else "findings_hanging.lean_back",
                title=title,
                angle=quantity(abs(lean), "degrees", 1),
            ),
            advice=phrase("findings_hanging.lean_advice"),
        )
    if rings == 2 and suspension.rise_mm is None and abs(suspension.right_lower_mm) > LEVEL_MM:
        yield Finding(
            code="H05",
            place=place,
            text=phrase(
                "findings_hanging.uneven_left" if suspension.right_lower_mm > 0 else "findings_hanging.uneven_right",
                title=title,
                height=step,
            ),
            advice=phrase("findings_hanging.uneven_advice", height=step),
        )
    if product.keys.hang.outdoors:
        push, weight = push_n(suspension.area_mm2), newtons(suspension.body.mass_g)
        yield Finding.of(
            "H04",
            place,
            "findings_hanging.wind",
            title=title,
            speed=quantity(GALE_M_S, "m/s"),
            push=quantity(push, "N", 1),
            times=Number(exact(push / weight, 1), 1),
            angle=quantity(swing_degrees(push, weight), "degrees"),
        )


def _tilts_by_uneven_rings(suspension: Suspension) -> bool:
    """Whether two legs meet farther from above the middle of their rings than the centre of mass is from it."""
    if suspension.rise_mm is None:
        return False
    middle = (suspension.rings[0][0] + suspension.rings[1][0]) / 2
    return abs(suspension.pivot[0] - middle) > abs(suspension.body.centre[0] - middle)
