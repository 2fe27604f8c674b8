"""The hardware that a piece hangs by, drawn: its rings, and what is above them."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import assert_never

from catalog_builder.piece.hanging.suspension import Suspension
from catalog_builder.piece.rim_loop import EYE_MM
from catalog_builder.publish.pictures.sketch import Place, Sketch
from catalog_builder.publish.pictures.svg_text import digits
from catalog_builder.records.hardware_kind import HardwareKind

# Drawn so where a ring's row gives no length.
USUAL_RING_MM = 6.0


def draw_hardware(sketch: Sketch, suspension: Suspension, rings: Sequence[Place], front: bool) -> float:
    """Draw rings and the hardware above them at its own size; give the height of the place that holds it all."""
    radius = float(suspension.ring.length_mm or USUAL_RING_MM) / 2
    # From the side one ring hides the other.
    visible = rings if front else rings[:1]
    for x, y in visible:
        sketch.circle((x, y - radius), radius)
    tops, highest = [(x, y - 2 * radius) for x, y in visible], min(y for _, y in rings) - 2 * radius
    match suspension.hung_by:
        case HardwareKind.RING:
            return highest
        case HardwareKind.LOOP:
            return _in_eyes(sketch, visible, highest)
        case HardwareKind.HOOK:
            return _on_each(sketch, suspension, tops, highest, _hook)
        case HardwareKind.SWIVEL:
            return _on_each(sketch, suspension, tops, highest, _swivel)
        case HardwareKind.CORD:
            return _through(sketch, tops, _apex(suspension, tops[0], highest, front), dash="")
        case HardwareKind.CHAIN:
            return _through(sketch, tops, _apex(suspension, tops[0], highest, front), dash="2 1.2")
        case kind:
            assert_never(kind)


def _in_eyes(sketch: Sketch, rings: Sequence[Place], highest: float) -> float:
    """Draw the eye of wire that each ring hangs in, below it."""
    for x, y in rings:
        sketch.circle((x, y + EYE_MM / 2), EYE_MM / 2)
    return highest


def _on_each(
    sketch: Sketch,
    suspension: Suspension,
    tops: Sequence[Place],
    highest: float,
    outline: Callable[[Place, float], tuple[str, float]],
) -> float:
    """Draw the same hardware on each ring; ``outline`` gives its path and half its width by its foot and height."""
    height = float(suspension.hanger.length_mm or 0) if suspension.hanger is not None else 0.0
    stroke = digits(1.4 * sketch.line_mm, 3)
    for x, y in tops:
        path, half = outline((x, y), height)
        sketch.put(f'<path d="{path}" stroke-width="{stroke}"/>', (x - half, y - height), (x + half, y))
    return highest - height


def _hook(foot: Place, height: float) -> tuple[str, float]:
    """Give the path of an S-hook that holds a ring at its lower bend."""
    (x, y), bend = foot, height / 4
    arc = f"A{digits(bend)} {digits(bend)} 0 1"
    path = (
        f"M{digits(x - bend)} {digits(y - bend)}{arc} 0 {digits(x)} {digits(y - 2 * bend)}"
        f"{arc} 1 {digits(x + bend)} {digits(y - 3 * bend)}"
    )
    return path, bend


def _swivel(foot: Place, height: float) -> tuple[str, float]:
    """Give the path of a swivel: an eye below and an eye above, each a third of its height, and a barrel between."""
    (x, y), eye = foot, height / 6
    arc = f"a{digits(eye)} {digits(eye)} 0 1 1"
    ring = f"{arc} 0 {digits(-2 * eye)}{arc} 0 {digits(2 * eye)}Z"
    eyes = f"M{digits(x)} {digits(y)}{ring}M{digits(x)} {digits(y - 4 * eye)}{ring}"
    barrel = f"M{digits(x - eye / 2)} {digits(y - 2 * eye)}h{digits(eye)}v{digits(-2 * eye)}h{digits(-eye)}Z"
    return eyes + barrel, eye


def _through(sketch: Sketch, tops: Sequence[Place], apex: Place, dash: str) -> float:
    """Draw a cord or chain from the top of each ring to the place where it hangs."""
    for top in tops:
        sketch.line([top, apex], 1.2, dash)
    sketch.circle(apex, 0.22 * sketch.text_mm, filled=True)
    return apex[1]


def _apex(suspension: Suspension, top: Place, highest: float, front: bool) -> Place:
    """Give where a cord or chain hangs: half its length above one ring, or where its legs over two meet."""
    if suspension.rise_mm is None:
        return top[0], top[1] - suspension.hanger_mm / 2
    x, y = suspension.pivot
    # The legs start at the tops of the rings, not at their feet, for which the pivot is calculated.
    ring_mm = float(suspension.ring.length_mm or USUAL_RING_MM)
    return (x, y - ring_mm) if front else (top[0], highest - suspension.rise_mm)
