"""A piece as it hangs: weight, balance, rings and what holds them, and its whole height.

All lengths are mm, masses g; y grows downwards.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from shapely import Point

from catalog_builder.hanging.balance import leg_rise_mm, leg_tension, shares, tilt_degrees
from catalog_builder.hanging.hardware import lightest
from catalog_builder.hanging.made import Made
from catalog_builder.hanging.mass import Body, Part, bounds, foil_parts, glass_parts, solder_parts, wire_parts
from catalog_builder.mistake import Finding, Mistake, MistakeError
from catalog_builder.records.content import Content
from catalog_builder.records.material import Material
from catalog_builder.records.product import GlassChoice, Product

# How far from a seam's end or a wire a ring may be drawn and still be meant there.
REACH_MM = 1.5
# Common practice, no source.
TILT_TOLD_DEGREES = 2.0
HEAVY_G = 1000.0
WIDE_MM = 300.0


@dataclass(frozen=True, slots=True)
class Hung:
    """How a piece of one size and glass hangs.

    ``width_mm`` and ``height_mm`` are of glass and wire; ``hung_height_mm`` goes from the top of the
    hanging hardware to the lowest point. ``ring_load_g`` is the largest load on one ring.
    """

    body: Body
    rings: tuple[tuple[float, float], ...]
    ring: Material
    hanger: Material | None
    hanger_count: int
    hanger_mm: float
    ring_load_g: float
    tilt_degrees: float
    width_mm: float
    height_mm: float
    hung_height_mm: float
    leaded: bool

    @property
    def hanger_mass_g(self) -> float:
        """The mass of hooks, cord or chain, which the rings do not carry twice."""
        if self.hanger is None:
            return 0.0
        if self.hanger_mm:
            return self.hanger.mass_per_m * self.hanger_mm / 1000
        return float(self.hanger.mass_g or 0) * self.hanger_count

    @property
    def heavy(self) -> bool:
        """Whether it is so heavy or wide that someone qualified should look at the fixing."""
        return self.body.mass_g > HEAVY_G or self.width_mm > WIDE_MM


def hang(content: Content, product: Product, choice: GlassChoice, made: Made) -> tuple[Hung, tuple[Finding, ...]]:
    """Weigh a piece, find its balance and choose its hardware.

    Raises:
        MistakeError: a ring hangs on the foil of one piece alone, it would turn over, or no hardware holds it.
    """
    making = content.studio.making
    rows = content.materials.rows
    body = Body(
        (
            *glass_parts(made.cuts, content.glass(choice)),
            *foil_parts(made.cuts, made.foil, float(making.foil_overlap_mm)),
            *solder_parts(
                made.edges,
                made.bead,
                float(making.joint_solder_g),
                float(product.keys.solder_drops_g) * made.pattern.enlarged,
            ),
            *wire_parts(made.pattern, rows, making.wire),
        )
    )
    rings = _ring_places(product, made, body)
    _refuse_turning(product, made, rings, body)
    factor = content.studio.hanging.safety_factor
    wanted = None if making.ring == "auto" else making.ring
    legs = _legs(product, rings)

    def ring_load(ring: Material) -> float:
        weight = body.mass_g + float(ring.mass_g or 0) * len(rings)
        if len(rings) == 1:
            return weight
        if legs is not None:
            return leg_tension(weight, legs, float(product.keys.hang.length or 0))
        return weight * max(shares(rings[0][0], rings[1][0], body.centre[0]))

    ring = lightest(content.materials, content.day, "ring", ring_load, factor, wanted)
    if ring is None:
        raise _too_weak(product, "ring", wanted, body.mass_g, factor)
    whole = Body((*body.parts, *(Part("ring", float(ring.mass_g or 0), x, y) for x, y in rings)))
    hanger, count, length = _hanger(content, product, whole, ring_load(ring), rings)
    left, top, right, bottom = bounds(made.pattern)
    reach = _reach(product, ring, hanger, legs)
    hung = Hung(
        whole,
        rings,
        ring,
        hanger,
        count,
        length,
        ring_load(ring),
        tilt_degrees(rings[0], whole.centre) if len(rings) == 1 else 0.0,
        right - left,
        bottom - top,
        bottom - min(top, min(y for _, y in rings) - reach),
        made.solder.leaded,
    )
    return hung, tuple(_findings(product, hung))


def _ring_places(product: Product, made: Made, body: Body) -> tuple[tuple[float, float], ...]:
    """Give the rings as drawn, each held to a seam's end or a wire; or propose one."""
    ends = made.edges.seam_ends
    scale = made.pattern.scale
    if not made.pattern.rings:
        above = ends[ends[:, 1] < body.centre[1]] if len(ends) else ends
        if not len(above):
            raise MistakeError(
                [
                    Mistake(
                        place=product.place_of(None),
                        wrong="no seam meets the rim above the centre of mass, so there is no place for a ring",
                        expected="a seam that ends on the rim, or a wire, near the top",
                        mend="lead a seam to the top of the design, or draw a wire with a ring on it",
                    )
                ]
            )
        best = above[np.lexsort((above[:, 1], np.abs(above[:, 0] - body.centre[0]).round(1)))[0]]
        return ((float(best[0]), float(best[1])),)
    mistakes = []
    for ring in made.pattern.rings:
        x, y = ring.x, ring.y
        gaps = np.hypot(*(ends - (x, y)).T) if len(ends) else np.array([np.inf])
        on_wire = any(wire.line.distance(Point(x, y)) <= REACH_MM for wire in made.pattern.wires)
        if gaps.min() > REACH_MM and not on_wire:
            near = ends[int(gaps.argmin())] / scale if len(ends) else None
            mend = (
                f"the nearest good place is x {near[0]:.1f}, y {near[1]:.1f}"
                if near is not None
                else "draw a wire for it"
            )
            mistakes.append(
                Mistake(
                    place=product.place_of(ring.row),
                    wrong=f"the ring at x {x / scale:.1f}, y {y / scale:.1f} hangs on the foil of one piece alone, "
                    "which would lift off",
                    expected="a ring where a seam meets the rim, or on a wire",
                    mend=mend,
                    spot=(x / scale, y / scale),
                )
            )
    if len(made.pattern.rings) > 2:
        mistakes.append(
            Mistake(
                place=product.place_of(max(ring.row for ring in made.pattern.rings)),
                wrong=f"there are {len(made.pattern.rings)} rings",
                expected="one ring or two",
                mend="keep the two that carry the piece",
            )
        )
    if mistakes:
        raise MistakeError(mistakes)
    return tuple((ring.x, ring.y) for ring in made.pattern.rings)


def _refuse_turning(product: Product, made: Made, rings: tuple[tuple[float, float], ...], body: Body) -> None:
    x, y = body.centre
    wrong = None
    low = next((index for index, ring in enumerate(rings) if ring[1] >= y), 0)
    if rings[low][1] >= y:
        wrong = "the centre of mass is not below the ring, so that the piece would turn over"
    elif len(rings) == 2 and not rings[0][0] < x < rings[1][0]:
        wrong = "the centre of mass is not between the two rings, so that the piece would swing round"
    if wrong is not None:
        centre = f"x {x / made.pattern.scale:.1f}, y {y / made.pattern.scale:.1f} of the drawing"
        raise MistakeError(
            [
                Mistake(
                    place=product.place_of(made.pattern.rings[low].row if made.pattern.rings else None),
                    wrong=f"{wrong}: it lies at {centre}",
                    expected="rings above the centre of mass, one on each side of it where there are two",
                    mend="move the ring to a seam's end higher up, or nearer to the middle",
                )
            ]
        )


def _legs(product: Product, rings: tuple[tuple[float, float], ...]) -> float | None:
    """Give how high a cord or chain rises over two rings; None where there are no two legs."""
    keys = product.keys.hang
    if len(rings) < 2 or keys.by not in ("cord", "chain"):
        return None
    span = float(np.hypot(rings[1][0] - rings[0][0], rings[1][1] - rings[0][1]))
    try:
        return leg_rise_mm(float(keys.length or 0), span)
    except ValueError:
        raise MistakeError(
            [
                Mistake(
                    place=product.source.place(product.line("hang", "length")),
                    wrong=f"the {keys.by} of {keys.length:g} mm does not reach over two rings {span:.0f} mm apart",
                    expected=f"a length well above {span:.0f} mm for every size; twice as much hangs well",
                    mend="give a greater length",
                )
            ]
        ) from None


def _hanger(
    content: Content,
    product: Product,
    whole: Body,
    ring_load_g: float,
    rings: tuple[tuple[float, float], ...],
) -> tuple[Material | None, int, float]:
    """Choose hook, cord or chain: the material, how many, and the whole length in mm of cord or chain."""
    keys = product.keys.hang
    if keys.by == "ring":
        return None, 0, 0.0
    length = float(keys.length or 0)

    def load(material: Material) -> float:
        if keys.by == "hook":
            return ring_load_g + float(material.mass_g or 0)
        own = material.mass_per_m * length / 1000
        return (ring_load_g if len(rings) == 2 else whole.mass_g / 2) + own

    factor = content.studio.hanging.safety_factor
    found = lightest(content.materials, content.day, keys.by, load, factor, keys.material)
    if found is None:
        raise _too_weak(product, keys.by, keys.material, whole.mass_g, factor)
    return found, len(rings) if keys.by == "hook" else 1, length


def _reach(product: Product, ring: Material, hanger: Material | None, legs: float | None) -> float:
    """Give how far the hardware reaches above the highest ring's place. Ring and hook overlap by the wire only."""
    ring_mm = float(ring.length_mm or 0)
    if hanger is None:
        return ring_mm
    if product.keys.hang.by == "hook":
        return ring_mm + float(hanger.length_mm or 0)
    if legs is not None:
        return ring_mm + legs
    return ring_mm + float(product.keys.hang.length or 0) / 2


def _too_weak(product: Product, kind: str, named: str | None, mass_g: float, factor: object) -> MistakeError:
    what = f"no {kind} of materials.csv holds" if named is None else f"the {kind} {named!r} does not hold"
    line = product.line("hang", "material") if kind != "ring" else product.line("hang")
    return MistakeError(
        [
            Mistake(
                place=product.source.place(line),
                wrong=f"{what} this piece of about {mass_g:.0f} g with a safety factor of {factor}",
                expected=f"a {kind} whose rated_load_g covers the load times the safety factor",
                mend="add a stronger one with the load it is sold for, use two rings, or make the piece smaller",
            )
        ]
    )


def _findings(product: Product, hung: Hung) -> list[Finding]:
    findings = []
    if abs(hung.tilt_degrees) > TILT_TOLD_DEGREES:
        side = "right" if hung.tilt_degrees > 0 else "left"
        findings.append(
            Finding(
                code="H01",
                place=product.drawing.place(None),
                text=f"{product.keys.title}: it will hang tilted by {abs(hung.tilt_degrees):.1f} degrees; "
                f"its weight lies to the {side} of the ring",
                advice="move the ring to a seam's end nearer to the middle of the weight, or use two rings",
            )
        )
    if hung.heavy:
        findings.append(
            Finding(
                code="H02",
                place=product.drawing.place(None),
                text=f"{product.keys.title}: {hung.body.mass_g:.0f} g and {hung.width_mm:.0f} mm wide",
                advice="stiffen the rim, and let someone qualified look at how and where it is hung",
            )
        )
    return findings
