"""A piece as it hangs: weight, balance, rings and what holds them, and its whole height.

All lengths are mm, masses g; y grows downwards.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from catalog_builder.mistake import Mistake, MistakeError
from catalog_builder.pattern.parts.flat_part import space_box
from catalog_builder.piece.balance import apex, lean_degrees, leg_pulls, leg_rise_mm, shares, tilt_degrees
from catalog_builder.piece.hanging.hardware import lightest
from catalog_builder.piece.hanging.rings import Place, on_wire, ring_places
from catalog_builder.piece.hanging.strength import joint_holds_n, newtons, wire_holds_n
from catalog_builder.piece.made_piece import MadePiece
from catalog_builder.piece.mass import Body, MassPart, foil_parts, glass_parts, join_parts, solder_parts, wire_parts
from catalog_builder.piece.uncertainty import mass_uncertainty_g
from catalog_builder.records.content import Content
from catalog_builder.records.material import Material, MaterialByName
from catalog_builder.records.product import GlassChoice, Product


@dataclass(frozen=True, slots=True)
class Suspension:
    """How a piece of one size and glass hangs.

    ``width_mm``, ``height_mm`` and ``depth_mm`` are of glass and wire; ``hung_height_mm`` goes from the top of the
    hanging hardware to the lowest point. ``ring_loads_g`` has the load on each ring, ``rise_mm`` how high a cord or
    chain rises over two rings. ``area_mm2`` is what it shows to the wind. ``tilt_degrees`` is to the side, above
    zero clockwise as seen; ``lean_degrees`` is above zero where the weight lies towards the viewer.
    """

    body: Body
    mass_uncertainty_g: float
    rings: tuple[Place, ...]
    ring: MaterialByName
    hanger: MaterialByName | None
    hanger_count: int
    hanger_mm: float
    rise_mm: float | None
    ring_loads_g: tuple[float, ...]
    tilt_degrees: float
    lean_degrees: float
    width_mm: float
    height_mm: float
    depth_mm: float
    hung_height_mm: float
    area_mm2: float
    heavy: bool
    leaded: bool

    @property
    def ring_load_g(self) -> float:
        """The largest load on one ring."""
        return max(self.ring_loads_g)

    @property
    def pivot(self) -> Place:
        """About what it swings: its ring, the left one of two, or the point where the legs of cord or chain meet."""
        return _pivot(self.rings, self.rise_mm)

    @property
    def span_mm(self) -> float:
        """The longer side of glass and wire."""
        return max(self.width_mm, self.height_mm)

    @property
    def hanger_mass_g(self) -> float:
        """The mass of hooks, cord or chain, which the rings do not carry twice."""
        if self.hanger is None:
            return 0.0
        if self.hanger_mm:
            return self.hanger.mass_per_m * self.hanger_mm / 1000
        return float(self.hanger.mass_g or 0) * self.hanger_count

    @property
    def mass_g(self) -> float:
        """The mass of all of it, hanging hardware too."""
        return self.body.mass_g + self.hanger_mass_g


def hang(content: Content, product: Product, choice: GlassChoice, made: MadePiece) -> Suspension:
    """Weigh a piece, find its balance and choose its hardware.

    Raises:
        MistakeError: a ring hangs on the foil of one piece alone, it would turn over, or no hardware holds it.
    """
    making, limits = content.studio.making, content.studio.hanging
    body = weigh(content, product, choice, made)
    rings = ring_places(product, made, body)
    wanted = None if making.ring == "auto" else making.ring
    rise = _rise(product, rings)

    def loads(ring: Material) -> tuple[float, ...]:
        return _ring_loads(product, _with_rings(body, ring, rings), rings, rise)

    ring = lightest(content.materials, content.day, "ring", lambda one: max(loads(one)), limits.safety_factor, wanted)
    if ring is None:
        raise _too_weak(product, "ring", wanted, body.mass_g, limits.safety_factor)
    _refuse_weak_hold(content, product, made, ring, dict(zip(rings, loads(ring), strict=True)))
    whole = _with_rings(body, ring, rings)
    hanger, count, length = _hanger(content, product, whole, max(loads(ring)), rings)
    least, most = space_box(made.flats)
    width, height, depth = (most - least).tolist()
    thickness = max(float(glass.thickness_mm or 0) for glass in content.glass(choice).values())
    reach = _reach(product, ring, hanger, rings, rise)
    return Suspension(
        body=whole,
        mass_uncertainty_g=mass_uncertainty_g(whole, content.materials.rows, making.solder_share),
        rings=rings,
        ring=ring,
        hanger=hanger,
        hanger_count=count,
        hanger_mm=length,
        rise_mm=rise,
        ring_loads_g=loads(ring),
        tilt_degrees=_tilt(whole, rings, rise),
        lean_degrees=lean_degrees(rings, whole.centre, whole.forward),
        width_mm=width,
        height_mm=height,
        depth_mm=depth + thickness + 2 * float(making.seam_height_mm),
        hung_height_mm=float(most[1]) - min(float(least[1]), min(y for _, y in rings) - reach),
        area_mm2=sum(tally.area_mm2 for tally in made.tallies.values()),
        heavy=whole.mass_g > limits.stiffen_over_g or max(width, height) > limits.stiffen_over_mm,
        leaded=made.solder.leaded,
    )


def weigh(content: Content, product: Product, choice: GlassChoice, made: MadePiece) -> Body:
    """Give the mass of a piece part by part, where each stands in space; rings and what it hangs by left out."""
    making, rows = content.studio.making, content.materials.rows
    glass, joint = content.glass(choice), float(making.joint_solder_g)
    parts: list[MassPart] = []
    for flat in made.flats:
        drops = float(product.keys.solder_drops_g) * flat.pattern.enlarged if flat is made.main else 0.0
        own = (
            *glass_parts(flat.cuts, glass),
            *foil_parts(flat.cuts, made.foil, float(making.foil_overlap_mm)),
            *solder_parts(flat.edges, made.bead, joint, drops),
            *wire_parts(flat.pattern, rows, making.wire),
        )
        parts.extend(part.placed(place) for place in flat.places for part in own)
    return Body((*parts, *join_parts(made.joined, made.tacks, made.bead, joint)))


def _with_rings(body: Body, ring: Material, rings: tuple[Place, ...]) -> Body:
    return Body((*body.parts, *(MassPart("ring", float(ring.mass_g or 0), x, y, of=ring.material) for x, y in rings)))


def _tilt(whole: Body, rings: tuple[Place, ...], rise: float | None) -> float:
    """Give the tilt on one ring or on two legs; two rings that each hang for themselves keep a piece as it is."""
    if len(rings) == 2 and rise is None:
        return 0.0
    return tilt_degrees(_pivot(rings, rise), whole.centre)


def _pivot(rings: tuple[Place, ...], rise: float | None) -> Place:
    return rings[0] if rise is None else apex(rings[0], rings[1], rise)


def _ring_loads(product: Product, whole: Body, rings: tuple[Place, ...], rise: float | None) -> tuple[float, ...]:
    """Give the load on each ring: all of it, the share by the lever rule, or the pull of a leg.

    Raises:
        MistakeError: one leg of a cord or chain would hang slack.
    """
    if len(rings) == 1:
        return (whole.mass_g,)
    if rise is None:
        return tuple(whole.mass_g * share for share in shares(rings[0][0], rings[1][0], whole.centre[0]))
    try:
        return leg_pulls(rings[0], rings[1], apex(rings[0], rings[1], rise), whole.centre, whole.mass_g)
    except ValueError:
        raise MistakeError(
            [
                Mistake(
                    place=product.source.place(product.line("hang")),
                    wrong=f"one side of the {product.keys.hang.by} would hang slack: the piece would swing until "
                    "the other side alone carries it",
                    expected="two rings about level with each other, one on each side of the centre of mass",
                    mend="move the rings so that they are level, or hang it by one ring",
                )
            ]
        ) from None


def _rise(product: Product, rings: tuple[Place, ...]) -> float | None:
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
    rings: tuple[Place, ...],
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


def _reach(
    product: Product, ring: Material, hanger: Material | None, rings: tuple[Place, ...], rise: float | None
) -> float:
    """Give how far the hardware reaches above the highest ring's place. Ring and hook overlap by the wire only."""
    ring_mm = float(ring.length_mm or 0)
    if hanger is None:
        return ring_mm
    if product.keys.hang.by == "hook":
        return ring_mm + float(hanger.length_mm or 0)
    if rise is not None:
        return ring_mm + min(y for _, y in rings) - _pivot(rings, rise)[1]
    return ring_mm + float(product.keys.hang.length or 0) / 2


def _refuse_weak_hold(
    content: Content, product: Product, made: MadePiece, ring: Material, loads_g: Mapping[Place, float]
) -> None:
    """Refuse a ring whose solder, or the wire that it hangs on, does not hold its load with the safety factor."""
    making, factor = content.studio.making, content.studio.hanging.safety_factor
    for place, load in loads_g.items():
        wire = on_wire(made, place)
        if wire is None:
            what, holds = "solder round the ring", joint_holds_n(made.solder, ring, float(making.ring_seat_mm))
        else:
            what, holds = "wire that the ring hangs on", wire_holds_n(content.materials.rows[wire or making.wire])
        if holds is not None and holds < newtons(load) * float(factor):
            raise MistakeError(
                [
                    Mistake(
                        place=product.source.place(product.line("hang")),
                        wrong=f"the {what} holds about {holds:.0f} N, and {load:.0f} g with a safety factor of "
                        f"{factor} ask for {newtons(load) * float(factor):.0f} N",
                        expected="a hold whose strength covers the load times the safety factor",
                        mend="use two rings, a ring of thicker wire or more of it sunk into the seam, "
                        "or lead a stiffening wire to the ring",
                    )
                ]
            )


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
