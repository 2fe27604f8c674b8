"""A piece that stands on the ground, on its own edges or on feet.

All lengths are mm, masses g.
"""

from __future__ import annotations

import math

import numpy as np

from catalog_builder.mistake import MistakeError
from catalog_builder.pattern.svg.curve import Points
from catalog_builder.piece.hanging.strength import newtons
from catalog_builder.piece.hanging.wind import GALE_M_S, push_n
from catalog_builder.piece.level_axes import standing_axes
from catalog_builder.piece.standing.feet import choose_foot
from catalog_builder.piece.standing.footprint import footprint, touching
from catalog_builder.piece.standing.stance import Stance
from catalog_builder.piece.standing.tipping import tipping
from catalog_builder.piece.standing.weighed_piece import WeighedPiece
from catalog_builder.records.material import Material


def on_ground(piece: WeighedPiece, spread: Points, ground: float) -> tuple[Stance, Material | None]:
    """Stand a piece on its own edges or on feet.

    ``spread`` are its corners to the right, down and to the viewer; ``ground`` is how far down its lowest point lies:
    glass that lies on the ground rests on the bead of its lower face.

    Raises:
        MistakeError: it has no footprint, or its centre of mass lies outside of it.
    """
    product, body = piece.product, piece.body
    hang, axes = product.keys.hang, standing_axes(product.keys.hang.down)
    right, lower, front = (np.array([*body.centre, body.forward]) @ axes).tolist()
    places = touching(spread)
    foot = choose_foot(product, piece.stock, places, (right, front), ground - lower)
    on = footprint(places, foot, hang.feet)
    if on.on_edge:
        raise MistakeError.at(
            product.source.place(product.line("hang")),
            wrong="it stands on an edge alone and falls over: what touches the ground is "
            f"{on.size_mm[0]:.0f} x {on.size_mm[1]:.0f} mm",
            expected="a footprint that is as deep as it is wide, or nearly so",
            mend="give it feet that lie across it (`material:` under `hang:`, a foot of materials.csv with its "
            "`width_mm`), join a base or sides on, or, if it lies on its main drawing, write `down: back`",
        )
    foot_mm = float(foot.length_mm or 0) if foot is not None else 0.0
    above = ground - lower + foot_mm
    tips = tipping(on, (right, front), above)
    if tips.degrees <= 0:
        raise MistakeError.at(
            product.source.place(product.line("hang")),
            wrong=f"it falls over to the {tips.side}: its centre of mass lies {-tips.inside_mm:.0f} mm outside of "
            f"what it stands on, {on.size_mm[0]:.0f} x {on.size_mm[1]:.0f} mm",
            expected="a footprint that reaches well beyond the centre of mass on every side",
            mend="set it on wider feet or a wider base, or move weight the other way",
        )
    across, deep = (max(side, room) for side, room in zip(piece.glass_mm[::2], on.size_mm, strict=True))
    height = piece.glass_mm[1] + foot_mm
    # Weight and push balance about the edge where push / weight is the tangent of the angle; pushes go with v^2.
    gale = push_n(piece.area_mm2) / newtons(body.mass_g)
    wind = GALE_M_S * math.sqrt(math.tan(math.radians(tips.degrees)) / gale) if hang.outdoors else None
    stance = Stance(
        down=hang.down,
        height_mm=height,
        outer_mm=(across, height, deep),
        centre_mm=(right, above, front),
        footprint=on,
        tipping=tips,
        wind_m_s=wind,
    )
    return stance, foot
