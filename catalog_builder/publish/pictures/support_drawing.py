"""What a piece stands on, drawn under it: its feet, rod or clip."""

from __future__ import annotations

from collections.abc import Iterator

from catalog_builder.piece.hanging.suspension import Suspension
from catalog_builder.publish.pictures.projection import View
from catalog_builder.publish.pictures.sketch import Place
from catalog_builder.publish.pictures.svg_text import digits
from catalog_builder.records.hardware_kind import HardwareKind

# Lines along a foot or a rod, each with its width in mm.
_Line = tuple[tuple[Place, ...], float]


def support_lines(suspension: Suspension, view: View) -> Iterator[_Line]:
    """Give the lines of feet, rod or clip as they are seen, each with its width in mm; nothing without them."""
    stance, held_by = suspension.stance, suspension.hanger
    if stance is None or held_by is None:
        return
    if stance.held_at is not None:
        x, y = stance.held_at
        if suspension.hung_by is HardwareKind.STAKE:
            begin, end = y - stance.soldered_mm, y - stance.soldered_mm + suspension.hanger_mm
            yield (view.point((x, begin, 0.0)), view.point((x, end, 0.0))), held_by.wire_mm
        else:
            long = float(held_by.length_mm or 0)
            for side in (-1, 1):
                jaw = [(x, y), (x + side * long / 5, y + long / 3), (x + side * long / 12, y + long)]
                yield tuple(view.point((*place, 0.0)) for place in jaw), long / 12
        return
    right, above, front = stance.centre_mm
    thick = float(held_by.length_mm or 0)
    for line in stance.footprint.feet if stance.footprint is not None else ():
        # The centre of mass is known both in the drawing and over the ground, so that it leads from one to the other.
        centre = view.point((*suspension.body.centre, suspension.body.forward))
        places = []
        for across, deep in line:
            x, y = view.standing_point((across - right, above - thick / 2, deep - front))
            places.append((centre[0] + x, centre[1] + y))
        yield tuple(places), thick


def support_box(suspension: Suspension, view: View) -> tuple[float, float, float, float]:
    """Give the box of feet, rod or clip as they are seen: left, top, right, bottom; empty without them."""
    inf = float("inf")
    boxes = [
        (x - wide / 2, y - wide / 2, x + wide / 2, y + wide / 2)
        for places, wide in support_lines(suspension, view)
        for x, y in places
    ]
    left, top, right, bottom = zip(*boxes, strict=True) if boxes else ((inf,), (inf,), (-inf,), (-inf,))
    return min(left), min(top), max(right), max(bottom)


def support_marks(suspension: Suspension, view: View, colour: str) -> str:
    """Draw feet, rod or clip in a colour."""
    return "".join(
        f'<path d="{path(places)}" fill="none" stroke="{colour}" stroke-width="{digits(wide)}" '
        'stroke-linecap="square" stroke-linejoin="round"/>'
        for places, wide in support_lines(suspension, view)
    )


def path(places: tuple[Place, ...]) -> str:
    """Give the path through places; of a single one a point, which a square cap shows."""
    return "M" + "L".join(f"{digits(x)} {digits(y)}" for x, y in (places if len(places) > 1 else places * 2))
