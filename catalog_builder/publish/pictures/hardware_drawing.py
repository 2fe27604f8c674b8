"""The hardware that a piece hangs by, drawn: its rings, and what is above them."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import assert_never

from catalog_builder.piece.hanging.suspension import Suspension
from catalog_builder.piece.rim_loop import EYE_MM
from catalog_builder.publish.pictures.sketch import Place, Sketch
from catalog_builder.publish.pictures.svg_text import digits
from catalog_builder.records.hardware_kind import HardwareKind


def draw_hardware(sketch: Sketch, suspension: Suspension, rings: Sequence[Place], front: bool) -> float:
    """Draw rings and the hardware above them at its own size; give the height of the place that holds it all."""
    radius = suspension.ring_mm / 2
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
        case HardwareKind.HOOK | HardwareKind.SWIVEL | HardwareKind.SUCTION_HOOK | HardwareKind.MAGNET as kind:
            return _on_each(sketch, suspension, tops, highest, _OUTLINES[kind])
        case HardwareKind.SCREW_EYE:
            return _screws(sketch, visible, highest)
        case HardwareKind.CORD | HardwareKind.CHAIN as kind:
            dash = "2 1.2" if kind is HardwareKind.CHAIN else ""
            return _through(sketch, tops, _apex(suspension, tops[0], highest, front), dash)
        case HardwareKind.STAND | HardwareKind.STAKE | HardwareKind.CLIP:
            raise ValueError(f"nothing hangs by a {suspension.hung_by}")
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


def _suction_hook(foot: Place, height: float) -> tuple[str, float]:
    """Give the path of a suction hook: a bend that holds a ring, and the cup from its side, flat on the pane."""
    (x, y), bend = foot, height / 6
    cup = 2 * bend
    hook = f"M{digits(x - bend)} {digits(y - bend)}a{digits(bend)} {digits(bend)} 0 0 0 {digits(2 * bend)} 0"
    shaft = f"V{digits(y - height + 2 * cup)}"
    bowl = f"m{digits(-cup)} 0h{digits(2 * cup)}l{digits(-cup / 2)} {digits(-2 * cup)}h{digits(-cup)}Z"
    return hook + shaft + bowl, cup + bend


def _magnet(foot: Place, height: float) -> tuple[str, float]:
    """Give the path of a magnet hook: a bend that holds a ring, and the magnet's pot with its two poles."""
    (x, y), bend = foot, height / 6
    hook = f"M{digits(x - bend)} {digits(y - bend)}a{digits(bend)} {digits(bend)} 0 0 0 {digits(2 * bend)} 0"
    pot = f"v{digits(-bend)}m{digits(-3 * bend)} 0h{digits(4 * bend)}v{digits(-4 * bend)}h{digits(-4 * bend)}Z"
    poles = f"m{digits(2 * bend)} 0v{digits(-4 * bend)}"
    return hook + pot + poles, 3 * bend


def _screws(sketch: Sketch, rings: Sequence[Place], highest: float) -> float:
    """Draw the thread of each screw eye, in the frame below its eye."""
    for x, y in rings:
        step = 0.3 * sketch.text_mm
        for turn in range(4):
            sketch.line([(x - step / 2, y + turn * step), (x + step / 2, y + (turn + 0.5) * step)], 1.2)
    return highest


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
    ring_mm = suspension.ring_mm
    return (x, y - ring_mm) if front else (top[0], highest - suspension.rise_mm)


_OUTLINES: Mapping[HardwareKind, Callable[[Place, float], tuple[str, float]]] = {
    HardwareKind.HOOK: _hook,
    HardwareKind.SWIVEL: _swivel,
    HardwareKind.SUCTION_HOOK: _suction_hook,
    HardwareKind.MAGNET: _magnet,
}
