"""Wind on a piece that hangs outdoors: how hard it pushes, and how far the piece swings."""

from __future__ import annotations

import math

# EN 1991-1-4, 4.5: q = rho v^2 / 2 with rho = 1.25 kg/m3.
AIR_KG_M3 = 1.25
# Beaufort 8, a gale: 17.2 to 20.7 m/s ten metres above open ground (WMO scale).
GALE_M_S = 20.7
# A plate across the stream, by tables of fluid mechanics 1.1 to 1.2; from memory.
PLATE = 1.2


def push_n(area_mm2: float, speed_m_s: float = GALE_M_S) -> float:
    """Give the push in N of wind on a plate that stands across it; 0.01 m2 in 20 m/s: 3 N."""
    return PLATE * AIR_KG_M3 * speed_m_s**2 / 2 * area_mm2 / 1e6


def swing_degrees(push: float, weight: float) -> float:
    """Give the angle at which weight and push balance, both in N; equal ones swing a piece to 45 degrees."""
    return math.degrees(math.atan2(push, weight))
