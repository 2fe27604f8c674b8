"""Wind on a piece that hangs outdoors: how hard it pushes, how far the piece swings, and what its hardware carries."""

from __future__ import annotations

import math

# EN 1991-1-4, 4.5: rho = 1.25 kg/m3.
AIR_KG_M3 = 1.25
# Beaufort 8, a gale: 17.2 to 20.7 m/s, the mean of ten minutes ten metres above open ground (WMO scale).
GALE_M_S, GALE_HEIGHT_M = 20.7, 10.0
# EN 1991-1-4, 7.4.3 (2): the force coefficient of signboards. A square plate has 1.1 to 1.2 by tables of fluid
# mechanics, from memory; the larger decides.
FORCE_COEFFICIENT = 1.80
# EN 1991-1-4, table 4.1, terrain II (low plants, obstacles far apart), and its terrain factor, 4.3.2.
ROUGHNESS_M, TERRAIN_FACTOR = 0.05, 0.19


def peak_pressure_pa(speed_m_s: float, height_m: float = GALE_HEIGHT_M) -> float:
    """Give the peak velocity pressure with gusts in Pa: (1 + 7 Iv) rho vm^2 / 2 (EN 1991-1-4, 4.8).

    The speed is the mean of ten minutes, ten metres above open ground.
    """
    log = math.log(height_m / ROUGHNESS_M)
    return (1 + 7 / log) * AIR_KG_M3 * (TERRAIN_FACTOR * log * speed_m_s) ** 2 / 2


def push_n(area_mm2: float, speed_m_s: float = GALE_M_S) -> float:
    """Give the push in N of a wind's gusts on a plate that stands across it."""
    return FORCE_COEFFICIENT * peak_pressure_pa(speed_m_s) * area_mm2 / 1e6


def swing_degrees(push: float, weight: float) -> float:
    """Give the angle at which weight and push balance, both in N; equal ones swing a piece to 45 degrees."""
    return math.degrees(math.atan2(push, weight))


def gale_times(area_mm2: float, weight: float) -> float:
    """Give how many times its weight, in N, a piece pulls in a gale: the resultant of weight and push."""
    return math.hypot(1.0, push_n(area_mm2) / weight)
