"""A piece that stands on the ground, sticks in soil on a rod or is clipped on: its stance, weight and sizes.

All lengths are mm, masses g; y grows downwards in the drawing.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

import numpy as np

from catalog_builder.mistake import Mistake, Mistakes
from catalog_builder.pattern.svg.curve import Points
from catalog_builder.piece.hanging.hardware import HardwareStock
from catalog_builder.piece.hanging.suspension import Suspension, corners_in, thickness_mm
from catalog_builder.piece.level_axes import standing_axes
from catalog_builder.piece.made_piece import MadePiece
from catalog_builder.piece.mass import weigh_piece
from catalog_builder.piece.standing.ground import on_ground
from catalog_builder.piece.standing.held_place import held_place
from catalog_builder.piece.standing.rod import on_rod
from catalog_builder.piece.standing.stance import Stance
from catalog_builder.piece.standing.weighed_piece import WeighedPiece
from catalog_builder.piece.uncertainty import mass_uncertainty_g
from catalog_builder.records.hardware_kind import Fixing
from catalog_builder.records.material import Material
from catalog_builder.records.materials import Materials
from catalog_builder.records.product import Product
from catalog_builder.records.studio import Hanging, Making


def stand_piece(
    piece: MadePiece, product: Product, materials: Materials, day: date, making: Making, limits: Hanging
) -> Suspension:
    """Stand a piece on the ground, on a rod or on a clip.

    Raises:
        MistakeError: a ring is marked, it falls, its rod is too short, or what holds it is too weak.
    """
    Mistakes(_rings(product, piece)).raise_if_any()
    body = weigh_piece(piece, product, materials, making)
    axes = standing_axes(product.keys.hang.down)
    spread = corners_in(piece, axes)
    across, _, deep = np.ptp(spread, axis=0).tolist()
    thick = thickness_mm(piece, making)
    top, ground = _ends_mm(piece, axes[:, 1], thick)
    glass_mm = across, ground - top, deep if product.keys.hang.down != "bottom" else deep + thick
    area = sum(tally.area_mm2 for tally in piece.tallies.values())
    weighed = WeighedPiece(piece, product, body, glass_mm, area, HardwareStock(materials, day, limits.safety_factor))
    stance: Stance
    held_by: Material | None
    count, length = 1, 0.0
    match product.keys.hang.by.fixing:
        case Fixing.ON_ROD:
            stance, held_by, length = on_rod(weighed, making.wire)
        case Fixing.AT_FOOT:
            stance, held_by = _on_clip(weighed)
        case _:
            stance, held_by = on_ground(weighed, spread, ground)
            count = len(stance.footprint.feet) if stance.footprint is not None else 0
    return Suspension(
        body=body,
        mass_uncertainty_g=mass_uncertainty_g(body, materials.rows, making.solder_share),
        rings=(),
        ring=None,
        hung_by=product.keys.hang.by,
        hanger=held_by,
        hanger_count=count,
        hanger_mm=length,
        rise_mm=None,
        ring_loads_g=(),
        gale_times=1.0,
        tilt_degrees=0.0,
        lean_degrees=0.0,
        width_mm=glass_mm[0],
        height_mm=glass_mm[1],
        depth_mm=glass_mm[2],
        turned_mm=(stance.outer_mm[0], stance.height_mm, stance.outer_mm[2]),
        hung_height_mm=stance.height_mm,
        area_mm2=area,
        heavy=body.mass_g > limits.stiffen_over_g or max(glass_mm) > limits.stiffen_over_mm,
        leaded=piece.solder.leaded,
        stance=stance,
    )


def _ends_mm(piece: MadePiece, plumb: Points, thick_mm: float) -> tuple[float, float]:
    """Give how far down the highest and the lowest point of a piece lie, glass and beads as thick as they are.

    A flat that lies level reaches half its thickness below its drawing, an upright one not at all.
    """
    ends = []
    for flat in piece.flats:
        for place in flat.places:
            depths = place.points(flat.corners) @ plumb
            half = thick_mm / 2 * abs(float(place.normal @ plumb))
            ends.append((float(depths.min()) - half, float(depths.max()) + half))
    tops, bottoms = zip(*ends, strict=True)
    return min(tops), max(bottoms)


def _rings(product: Product, piece: MadePiece) -> Iterator[Mistake]:
    """Find marks that say the piece hangs, where its record says that it does not."""
    for ring in piece.main.pattern.rings:
        spot = ring.x / piece.main.pattern.scale, ring.y / piece.main.pattern.scale
        yield Mistake(
            place=product.place_of(ring.row),
            wrong=f"a ring is marked at x {spot[0]:.1f}, y {spot[1]:.1f}, but the record says "
            f"`by: {product.keys.hang.by}`",
            expected="no ring on a piece that stands, sticks in soil or is clipped on",
            mend="take the ring out, or write `by: ring` under `hang:`",
            spot=spot,
        )


def _on_clip(piece: WeighedPiece) -> tuple[Stance, Material]:
    """Hold a piece by a clip that is soldered to its lower rim.

    Raises:
        MistakeError: no seam ends there, or no clip holds it.
    """
    product, body, stock, glass_mm = piece.product, piece.body, piece.stock, piece.glass_mm
    hang, at = product.keys.hang, held_place(product, piece.made, body)
    clip = stock.lightest(hang.by, lambda material: body.mass_g + material.hardware_mass_g(0), hang.material)
    if clip is None:
        raise stock.too_weak(hang.by, hang.material, product, body.mass_g, 2)
    clip_mm = float(clip.length_mm or 0)
    height = glass_mm[1] + clip_mm
    stance = Stance(
        down="bottom",
        height_mm=height,
        outer_mm=(glass_mm[0], height, glass_mm[2]),
        centre_mm=(body.centre[0] - at[0], at[1] - body.centre[1] + clip_mm, body.forward),
        held_at=at,
    )
    return stance, clip
