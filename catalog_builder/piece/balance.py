"""Balance: how a piece tilts on one ring, and what each ring, cord and chain carries.

Sources: equilibrium of forces and moments, as in OpenStax University Physics vol. 1, chapters 5, 6, 12.
Loads are given as the mass in grams that would pull as much.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

Place = tuple[float, float]


def tilt_degrees(ring: tuple[float, float], centre: tuple[float, float]) -> float:
    """Give the tilt on one ring, clockwise as seen above zero: tan(phi) = dx/dy; 5 mm right and 80 mm below: 3.5763.

    The centre of mass swings under the ring. It must lie below it (y grows downwards).

    Raises:
        ValueError: the centre of mass is not below the ring, so that the piece would turn over.
    """
    across, below = centre[0] - ring[0], centre[1] - ring[1]
    if below <= 0:
        raise ValueError("the centre of mass is not below the ring")
    return math.degrees(math.atan2(across, below))


def lean_degrees(rings: Sequence[tuple[float, float]], centre: tuple[float, float], forward_mm: float) -> float:
    """Give how far the plane of the rings leans: tan(lean) = forward / below; 10 mm forward and 100 below: 5.7106.

    The piece turns about its one ring, or about the line through its two, until the centre of mass, which stands
    ``forward_mm`` out of that plane, is straight below. Above zero: its weight lies towards the viewer.
    """
    (x, y), (u, v) = rings[0], rings[-1]
    span = math.hypot(u - x, v - y)
    if span:
        # The distance of a point from the line through two others: twice the triangle's area over its base.
        below = abs((u - x) * (centre[1] - y) - (v - y) * (centre[0] - x)) / span
    else:
        below = math.hypot(centre[0] - x, centre[1] - y)
    return math.degrees(math.atan2(forward_mm, below))


def down(rings: Sequence[Place], tilt: float, lean: float) -> tuple[float, float, float]:
    """Give the unit vector straight down, in the drawing's x, y, z, of a piece that tilts and leans, in degrees.

    About one ring it is turned in its plane by the tilt and then out of it by the lean. About two it leans about the
    line through them, and that line is turned by the tilt.
    """
    turn, out = math.radians(tilt), math.radians(lean)
    if len(rings) == 1:
        return math.sin(turn) * math.cos(out), math.cos(turn) * math.cos(out), math.sin(out)
    slope = _slope(rings)
    along, off = math.sin(slope + turn), math.cos(slope + turn)
    flat = off * math.cos(out)
    return (
        along * math.cos(slope) - flat * math.sin(slope),
        along * math.sin(slope) + flat * math.cos(slope),
        off * math.sin(out),
    )


def leg_degrees(rings: Sequence[Place], rise_mm: float, tilt: float) -> tuple[float, float]:
    """Give the angles to the level of the left and the right leg of a cord or chain, once the piece is tilted."""
    rise = math.degrees(math.atan2(rise_mm, math.dist(*rings) / 2))
    turn = math.degrees(_slope(rings)) + tilt
    return rise - turn, rise + turn


def _slope(rings: Sequence[Place]) -> float:
    (x, y), (u, v) = rings
    return math.atan2(v - y, u - x)


def shares(left_x: float, right_x: float, centre_x: float) -> tuple[float, float]:
    """Give the share of the weight on each of two rings by the lever rule; centre 0 between -40 and 60: 0.6 and 0.4.

    Raises:
        ValueError: the centre of mass does not lie between the two.
    """
    if not left_x < centre_x < right_x:
        raise ValueError("the centre of mass is not between the rings")
    right = (centre_x - left_x) / (right_x - left_x)
    return 1 - right, right


def leg_rise_mm(length_mm: float, span_mm: float) -> float:
    """Give how high a cord or chain of a whole length rises over two rings a span apart.

    Raises:
        ValueError: it is not longer than the span.
    """
    if length_mm <= span_mm:
        raise ValueError("the cord or chain is not longer than the rings are apart")
    # Half the length, half the span and the rise make a right triangle.
    return math.sqrt((length_mm / 2) ** 2 - (span_mm / 2) ** 2)


def apex(left: tuple[float, float], right: tuple[float, float], rise_mm: float) -> tuple[float, float]:
    """Give where two equal legs meet: a rise above the middle of the line from one ring to the other.

    Equal legs meet on the line that halves the span at a right angle, also where the rings are not level.
    """
    across, down = right[0] - left[0], right[1] - left[1]
    span = math.hypot(across, down)
    return (left[0] + right[0]) / 2 + rise_mm * down / span, (left[1] + right[1]) / 2 - rise_mm * across / span


def leg_pulls(
    left: tuple[float, float],
    right: tuple[float, float],
    top: tuple[float, float],
    centre: tuple[float, float],
    load: float,
) -> tuple[float, float]:
    """Give the pull in each of two legs that meet straight above the centre of mass: together they hold the load.

    Equal legs with the centre midway each pull with T = W / (2 sin a): at 30 degrees T = W.

    Raises:
        ValueError: the centre of mass is not between the legs, so that one of them would hang slack.
    """
    from_top = [(place[0] - top[0], place[1] - top[1]) for place in (left, right, centre)]
    (a, b), (c, d), (x, y) = (
        (across / math.hypot(across, down), down / math.hypot(across, down)) for across, down in from_top
    )
    # The pulls along the two legs, as unit vectors (a, b) and (c, d), add up to the load along (x, y): Cramer's rule.
    determinant = a * d - b * c
    pulls = load * (x * d - y * c) / determinant, load * (a * y - b * x) / determinant
    if min(pulls) <= 0:
        raise ValueError("the centre of mass is not between the legs")
    return pulls
