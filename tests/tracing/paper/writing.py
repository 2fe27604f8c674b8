"""Numbers and grain arrows written into the fields of a drawing."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely

from tests.tracing.designs.design import Points
from tests.tracing.paper.handwriting import arrow, digits
from tests.tracing.paper.look import Look


def piece_numbers(
    fields: Sequence[shapely.Polygon], strokes: Sequence[Points], look: Look, chance: np.random.Generator
) -> list[Points]:
    """Number the fields that have room, or write the numbers on the lines, as the look says."""
    written: list[Points] = []
    for number, field in enumerate(fields, 1):
        circle = shapely.maximum_inscribed_circle(field, tolerance=0.2)
        at = np.array(circle.coords[0])
        if look.digits_on_lines and chance.random() < 0.6:
            stroke = strokes[int(chance.integers(len(strokes)))]
            at = stroke[int(len(stroke) * chance.uniform(0.25, 0.75))] + chance.uniform(-2, 2, 2)
        elif circle.length < look.digit_mm * 0.8 + look.pen_mm / 2 + 0.6:
            continue
        written += digits(number, at, look.digit_mm, chance)
    return written


def grain_arrows(fields: Sequence[shapely.Polygon], look: Look, chance: np.random.Generator) -> list[Points]:
    """Draw grain arrows below the numbers of most fields that have room."""
    drawn: list[Points] = []
    for field in fields:
        circle = shapely.maximum_inscribed_circle(field, tolerance=0.2)
        room = circle.length - look.pen_mm / 2 - 1
        if chance.random() < 0.7 and room > 6:
            below = np.array(circle.coords[0]) + np.array([0, look.digit_mm * 0.8])
            if room > look.digit_mm * 0.8 + 2:
                drawn += arrow(
                    below, min(12, 1.2 * np.sqrt(room**2 - (look.digit_mm * 0.8) ** 2)), chance.uniform(0, 180) * 0.1
                )
    return drawn
