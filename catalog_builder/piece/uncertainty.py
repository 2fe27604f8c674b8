"""How well a weight is known: from the tolerance of the glass's thickness and from the model of the solder.

Bounds a are taken as equally likely throughout, u = a / sqrt(3), and given twice over for a level of about 95 %
(JCGM 100:2008, Guide to the expression of uncertainty in measurement, 4.3.7 and 6.2).
"""

from __future__ import annotations

import math
from collections.abc import Mapping

from catalog_builder.piece.mass import Body
from catalog_builder.records.material import Material

# Float glass of 2 to 6 mm: +-0.2 mm (EN 572-2, from memory). Rolled and hand-made sheets vary more: give theirs.
FLOAT_TOLERANCE_MM = 0.2
SOLDER = ("seam", "rim", "joints", "drops")


def expanded(bounds: list[float]) -> float:
    """Give the expanded uncertainty, k = 2, of a sum whose terms lie within bounds: 2 sqrt(sum a^2 / 3)."""
    return 2 * math.sqrt(sum(bound**2 for bound in bounds) / 3)


def mass_uncertainty_g(body: Body, materials: Mapping[str, Material], solder_share: float) -> float:
    """Give the expanded uncertainty of a mass in g.

    All pieces of one sheet are thick or thin together; sheets of different glass are independent. ``solder_share``
    is by how much of itself the mass of the solder may be off.
    """
    sheets: dict[str, float] = {}
    for part in body.parts:
        if part.name == "glass":
            sheets[part.of] = sheets.get(part.of, 0.0) + part.mass_g
    bounds = [mass * _thickness_share(materials[name]) for name, mass in sorted(sheets.items())]
    return expanded([*bounds, sum(body.share(name) for name in SOLDER) * solder_share])


def _thickness_share(glass: Material) -> float:
    if glass.ready_made and glass.mass_g is not None:
        return 0.0  # weighed
    given = glass.thickness_tolerance_mm
    tolerance = FLOAT_TOLERANCE_MM if given is None else float(given)
    return tolerance / float(glass.thickness_mm or 1)
