"""Where a rod or a clip is soldered on: the end of a seam on the lower rim, nearest to below the weight."""

from __future__ import annotations

import shapely
from shapely import LineString

from catalog_builder.mistake import MistakeError
from catalog_builder.piece.balance import Place
from catalog_builder.piece.hanging.wire_legs import REACH_MM
from catalog_builder.piece.made_piece import MadePiece
from catalog_builder.piece.mass import Body
from catalog_builder.records.product import Product


def held_place(product: Product, piece: MadePiece, body: Body) -> Place:
    """Give the place on the lower rim, in the main drawing's plane, mm.

    On the foil of one piece alone it would lift off: common practice, no source.

    Raises:
        MistakeError: no seam ends on the rim below the centre of mass with no glass under it.
    """
    x, y = body.centre
    glass = piece.main.pattern.glass
    bottom = glass.bounds[3]
    ends = [
        (float(across), float(down))
        for across, down in piece.main.edges.seam_ends.tolist()
        if down > y and glass.intersection(LineString([(across, down), (across, bottom + 1)])).length < REACH_MM
    ]
    if not ends:
        by = product.keys.hang.by
        raise MistakeError.at(
            product.place_of(None),
            wrong=f"no seam ends on the lower rim, so there is no place for a {'rod' if by == 'stake' else by}: on the "
            "foil of one piece alone it would lift off",
            expected="a seam that ends on the rim below the centre of mass",
            mend=f"lead a seam down to the lower rim, near x {x / piece.main.pattern.scale:.1f} of the drawing",
        )
    return min(ends, key=lambda end: (abs(end[0] - x), -end[1], end[0]))


def contact_mm(piece: MadePiece, place: Place, length_mm: float) -> float:
    """Give how much of a rod that runs straight up from a place for a length lies along solder."""
    edges = piece.main.edges
    solder = shapely.union_all(shapely.linestrings([*edges.seams, *edges.rims]))
    rod = LineString([place, (place[0], place[1] - length_mm)])
    return float(rod.intersection(solder.buffer(REACH_MM, quad_segs=2)).length)
