"""A piece as it hangs or stands: weight, balance, rings and what holds them, and its whole height.

All lengths are mm, masses g; y grows downwards.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from datetime import date
from typing import assert_never

import numpy as np

from catalog_builder.pattern.parts.flat_part import space_box
from catalog_builder.pattern.svg.curve import Points
from catalog_builder.piece.balance import Place, down, lean_degrees, leg_degrees
from catalog_builder.piece.hanging.hardware import HardwareStock
from catalog_builder.piece.hanging.legs import legs_rise_mm, pivot_of, ring_loads_g, tilt_on
from catalog_builder.piece.hanging.ring_holds import ring_holds
from catalog_builder.piece.hanging.rings import ring_places
from catalog_builder.piece.hanging.strength import newtons, refuse_weak_hold
from catalog_builder.piece.hanging.wind import gale_times
from catalog_builder.piece.level_axes import level_axes
from catalog_builder.piece.made_piece import MadePiece
from catalog_builder.piece.mass import Body, MassPart, weigh_piece
from catalog_builder.piece.standing.stance import Stance
from catalog_builder.piece.uncertainty import mass_uncertainty_g
from catalog_builder.records.hardware_kind import Fixing, HardwareKind
from catalog_builder.records.material import Material, MaterialByName
from catalog_builder.records.materials import Materials
from catalog_builder.records.product import Product
from catalog_builder.records.studio import Hanging, Making


@dataclass(frozen=True, slots=True)
class Suspension:
    """How a piece of one size and glass hangs or stands.

    ``hung_by`` is what holds it. ``hanger`` is the hook, cord or other hardware above the rings, if any, or the feet,
    rod or clip of what stands; ``hanger_count`` says how many, ``hanger_mm`` the whole length of a cord, chain or rod,
    else 0. ``width_mm``,
    ``height_mm`` and ``depth_mm`` are of glass and wire as they are drawn, ``turned_mm`` the same three as the piece
    hangs; ``hung_height_mm`` goes from the top of the hanging hardware to the lowest point. ``ring_loads_g`` has the
    load on each ring in still air, ``gale_times`` how many times that it carries in a gale, 1 indoors; ``rise_mm`` is
    how high a cord or chain rises over two rings. ``area_mm2`` is the area of glass and frame that the wind meets.
    ``tilt_degrees`` is to the side, above zero clockwise as seen; ``lean_degrees`` is above zero where the weight lies
    towards the viewer. What stands has a ``stance`` and neither rings nor a load on them.
    """

    body: Body
    mass_uncertainty_g: float
    rings: tuple[Place, ...]
    ring: MaterialByName | None
    hung_by: HardwareKind
    hanger: MaterialByName | None
    hanger_count: int
    hanger_mm: float
    rise_mm: float | None
    ring_loads_g: tuple[float, ...]
    gale_times: float
    tilt_degrees: float
    lean_degrees: float
    width_mm: float
    height_mm: float
    depth_mm: float
    turned_mm: tuple[float, float, float]
    hung_height_mm: float
    area_mm2: float
    heavy: bool
    leaded: bool
    stance: Stance | None = None

    @property
    def ring_mm(self) -> float:
        """How high a ring stands; 0 without rings."""
        return float(self.ring.length_mm or 0) if self.ring is not None else 0.0

    @property
    def outer_mm(self) -> tuple[float, float, float]:
        """Width, height and depth with what is soldered on: rings by their whole length, which may stand across."""
        if self.stance is not None:
            return self.stance.outer_mm
        across = float(self.ring.diameter_mm or 0) if self.ring is not None else 0.0
        return self.width_mm, self.height_mm + self.ring_mm, max(self.depth_mm, across)

    @property
    def ring_load_g(self) -> float:
        """The largest load on one ring, outdoors in a gale: what its hardware is chosen for."""
        return max(self.ring_loads_g, default=0.0) * self.gale_times

    @property
    def pivot(self) -> Place:
        """About what it swings: its ring, the left one of two, or the point where the legs of cord or chain meet."""
        return pivot_of(self.rings, self.rise_mm)

    @property
    def leg_degrees(self) -> tuple[float, ...]:
        """The angles to the level of the left and the right leg of a cord or chain; empty without two legs."""
        return () if self.rise_mm is None else leg_degrees(self.rings, self.rise_mm, self.tilt_degrees)

    @property
    def right_lower_mm(self) -> float:
        """How much lower the right one of two rings sits in the drawing, below zero where it is the left one."""
        return self.rings[-1][1] - self.rings[0][1] if self.rings else 0.0

    @property
    def span_mm(self) -> float:
        """The longer side of glass and wire."""
        return max(self.width_mm, self.height_mm)

    @property
    def hanger_mass_g(self) -> float:
        """The mass of the hardware above the rings, which the rings do not carry."""
        return self.hanger.hardware_mass_g(self.hanger_mm) * self.hanger_count if self.hanger is not None else 0.0

    @property
    def mass_g(self) -> float:
        """The mass of all of it, hanging hardware too."""
        return self.body.mass_g + self.hanger_mass_g


def hang_piece(
    piece: MadePiece, product: Product, materials: Materials, day: date, making: Making, limits: Hanging
) -> Suspension:
    """Hang a piece on the rings of its drawing, or on the best one where none is marked.

    Raises:
        MistakeError: a ring hangs on the foil of one piece alone, it would turn over, or no hardware holds it.
    """
    rings = ring_places(product, piece, weigh_piece(piece, product, materials, making))
    return hang_on(rings, piece, product, HardwareStock(materials, day, limits.safety_factor), making, limits)


def hang_on(
    rings: tuple[Place, ...],
    piece: MadePiece,
    product: Product,
    stock: HardwareStock,
    making: Making,
    limits: Hanging,
) -> Suspension:
    """Weigh a piece, find its balance on rings at places and choose its hardware from a stock.

    Raises:
        MistakeError: one leg of its cord or chain would hang slack, or no hardware holds it.
        ValueError: it would turn over, or swing round.
    """
    materials = stock.materials
    body = weigh_piece(piece, product, materials, making)
    rise = legs_rise_mm(product, rings)
    area = piece.wind_mm2
    gale = gale_times(area, newtons(body.mass_g)) if product.keys.hang.outdoors else 1.0

    def loads_with(ring: Material) -> tuple[float, ...]:
        return ring_loads_g(product, _with_rings(body, ring, rings), rings, rise)

    def check(ring: Material) -> bool:
        if wooden:
            return True  # its rated load is that of its thread in the wood
        loads = zip(rings, loads_with(ring), strict=True)
        holds = [hold for at, load in loads for hold in ring_holds(piece, at, ring, materials, making, load * gale)]
        for hold in holds:
            refuse_weak_hold(product, hold, limits.safety_factor, len(rings))
        return all(hold.holds_n is not None for hold in holds)

    hang = product.keys.hang
    wooden = piece.frame is not None and piece.frame.material.kind == "moulding"
    # Into wood a ring is screwed, whatever holds it.
    kind = HardwareKind.SCREW_EYE if wooden else HardwareKind.RING
    usual = None if making.ring == "auto" else making.ring
    named = usual if not wooden else hang.material if hang.by is kind else None
    ring = stock.lightest(kind, lambda material: max(loads_with(material)) * gale, named, check)
    if ring is None:
        raise stock.too_weak(kind, named, product, body.mass_g, len(rings))
    loads = loads_with(ring)
    whole = _with_rings(body, ring, rings)
    hanger, count, length = _hanger(product, stock, whole.mass_g * gale, max(loads) * gale, rings)
    least, most = space_box(piece.flats)
    width, height, depth = (most - least).tolist()
    thickness = thickness_mm(piece, making)
    forward = whole.forward - (piece.frame.ring_forward_mm if piece.frame is not None else 0.0)
    tilt, lean = tilt_on(rings, rise, whole), lean_degrees(rings, whole.centre, forward)
    axes = level_axes(down(rings, tilt, lean))
    spread = corners_in(piece, axes)
    (across, deep), (top, bottom) = np.ptp(spread[:, ::2], axis=0).tolist(), np.sort(spread[:, 1])[[0, -1]].tolist()
    highest = float((np.array(rings) @ axes[:2, 1]).min())
    legs = leg_degrees(rings, rise, tilt) if rise is not None else ()
    reach = _reach_mm(product, ring, hanger, legs)
    return Suspension(
        body=whole,
        mass_uncertainty_g=mass_uncertainty_g(whole, materials.rows, making.solder_share),
        rings=rings,
        ring=ring,
        hung_by=_hung_by(piece, product),
        hanger=hanger,
        hanger_count=count,
        hanger_mm=length,
        rise_mm=rise,
        ring_loads_g=loads,
        gale_times=gale,
        tilt_degrees=tilt,
        lean_degrees=lean,
        width_mm=width,
        height_mm=height,
        depth_mm=depth + thickness,
        turned_mm=(across, bottom - top, deep + thickness),
        # A corner may stand above the ring and what it hangs by.
        hung_height_mm=bottom - min(top, highest - reach),
        area_mm2=area,
        heavy=whole.mass_g > limits.stiffen_over_g or max(width, height) > limits.stiffen_over_mm,
        leaded=piece.solder.leaded,
    )


def thickness_mm(piece: MadePiece, making: Making) -> float:
    """Give how thick a flat part is at most: its thickest glass with the bead on both of its faces, or its frame."""
    glass = max(float(glass.thickness_mm or 0) for glass in piece.glass.values()) + 2 * float(making.seam_height_mm)
    return max(glass, float(piece.frame.material.thickness_mm or 0)) if piece.frame is not None else glass


def corners_in(piece: MadePiece, axes: Points) -> Points:
    """Give all corners of a piece by axes that are columns of shape (3, 3); shape (n, 3)."""
    corners = [place.points(flat.corners) for flat in piece.flats for place in flat.places]
    return np.asarray(np.concatenate(corners) @ axes)


def _hung_by(piece: MadePiece, product: Product) -> HardwareKind:
    """Give what a piece hangs by: a record that says ring, or nothing, gets a loop where no seam meets the rim."""
    by = product.keys.hang.by
    return HardwareKind.LOOP if by is HardwareKind.RING and piece.loops else by


def _with_rings(body: Body, ring: Material, rings: tuple[Place, ...]) -> Body:
    mass = ring.hardware_mass_g(0)
    return Body((*body.parts, *(MassPart("ring", mass, x, y, of=ring.material) for x, y in rings)))


def _hanger(
    product: Product, stock: HardwareStock, mass_g: float, ring_load_g: float, rings: tuple[Place, ...]
) -> tuple[Material | None, int, float]:
    """Choose what goes above the rings: the material, how many, and the whole length in mm of a cord or chain.

    The mass of the piece and the load on a ring are those that it must hold, outdoors in a gale.

    Raises:
        MistakeError: nothing in the table is strong enough.
    """
    hang = product.keys.hang
    match hang.by.fixing:
        case Fixing.SOLDERED | Fixing.ALONG_RIM | Fixing.IN_FRAME:
            return None, 0, 0.0
        case Fixing.ON_EACH_RING:
            count, length, load = len(rings), 0.0, ring_load_g
        case Fixing.THROUGH_RINGS:
            # A loop through one ring hangs on two strands that each carry half; over two rings each leg pulls as
            # hard as its ring is pulled.
            load = mass_g / 2 if len(rings) == 1 else ring_load_g
            count, length = 1, float(hang.length or 0)
        case Fixing.UNDER | Fixing.ON_ROD | Fixing.AT_FOOT:
            raise ValueError(f"a piece does not hang by a {hang.by}")
        case fixing:
            assert_never(fixing)
    hanger = stock.lightest(hang.by, lambda material: load + material.hardware_mass_g(length), hang.material)
    if hanger is None:
        raise stock.too_weak(hang.by, hang.material, product, mass_g, len(rings))
    return hanger, count, length


def _reach_mm(product: Product, ring: Material, hanger: Material | None, legs: tuple[float, ...]) -> float:
    """Give how far the hardware reaches above the highest ring's place; ``legs`` are the angles of two legs.

    Ring and hook overlap by the wire only.
    """
    ring_mm, hang = float(ring.length_mm or 0), product.keys.hang
    match hang.by.fixing:
        case Fixing.SOLDERED | Fixing.ALONG_RIM | Fixing.IN_FRAME:
            return ring_mm
        case Fixing.ON_EACH_RING:
            return ring_mm + float(hanger.length_mm or 0 if hanger is not None else 0)
        case Fixing.THROUGH_RINGS:
            # A loop through one ring hangs double. Of two legs the flatter one begins at the higher ring.
            return ring_mm + float(hang.length or 0) / 2 * (math.sin(math.radians(min(legs))) if legs else 1.0)
        case Fixing.UNDER | Fixing.ON_ROD | Fixing.AT_FOOT:
            raise ValueError(f"a piece does not hang by a {hang.by}")
        case fixing:
            assert_never(fixing)
