"""Glass as an SVG paint: a gradient that runs along the grain, by the look and colour of the sheet."""

from __future__ import annotations

import math
import random
from collections.abc import Sequence

from catalog_builder.pattern.cuts import Cut
from catalog_builder.records.material import Material

# How far a look strays from its sheet's colour: towards white, towards black, and the width of a streak in mm.
_LOOKS = {
    "clear": (0.30, 0.10, 60.0),
    "streaky": (0.38, 0.22, 9.0),
    "wispy": (0.62, 0.08, 12.0),
    "mottled": (0.34, 0.20, 7.0),
    "opal": (0.18, 0.06, 40.0),
    "hammered": (0.30, 0.14, 5.0),
    "seedy": (0.26, 0.08, 16.0),
    "rippled": (0.40, 0.12, 4.0),
}


def mixed(colour: str, other: str, share: float) -> str:
    """Mix two #rrggbb colours; ``share`` of the other."""
    pairs = zip(channels(colour), channels(other), strict=True)
    return "#" + "".join(f"{round(a + (b - a) * share):02x}" for a, b in pairs)


def channels(colour: str) -> Sequence[int]:
    """Give red, green and blue of a #rrggbb colour, from 0 to 255."""
    return [int(colour[at : at + 2], 16) for at in (1, 3, 5)]


def gradient(identity: str, material: Material, cut: Cut, seed: str) -> str:
    """Make an SVG gradient for a piece: streaks along its grain, different for every seed, the same for the same."""
    colour = material.colour or "#cccccc"
    light, dark, streak = _LOOKS[material.look]
    # A picture's streaks need no secrecy, only to be the same on every machine.
    chance = random.Random(seed)  # noqa: S311
    x, y = cut.shape.centroid.x, cut.shape.centroid.y
    if material.look in ("clear", "opal", "seedy"):
        return _glow(identity, colour, light, dark, (x, y), max(cut.along_mm, cut.across_mm))
    turn = math.radians(cut.grain)
    across = (math.sin(turn), math.cos(turn))
    count = 7
    half = streak * count / 2 * chance.uniform(0.8, 1.25)
    stops, at = [], 0.0
    for index in range(count):
        share = chance.uniform(0.1, 1.0)
        tone = mixed(colour, "#ffffff", light * share) if index % 2 else mixed(colour, "#000000", dark * share)
        stops.append(f'<stop offset="{at:.2g}" stop-color="{tone}"/>')
        at = min(1.0, at + chance.uniform(0.6, 1.4) / (count - 1))
    ends = [x - across[0] * half, y - across[1] * half, x + across[0] * half, y + across[1] * half]
    places = " ".join(f'{name}="{value:.2f}"' for name, value in zip(("x1", "y1", "x2", "y2"), ends, strict=True))
    return (
        f'<linearGradient id="{identity}" gradientUnits="userSpaceOnUse" spreadMethod="reflect" {places}>'
        f"{''.join(stops)}</linearGradient>"
    )


def _glow(identity: str, colour: str, light: float, dark: float, at: tuple[float, float], reach: float) -> str:
    """Clear glass is brightest where the light comes through: up and to the left of its middle."""
    place = f'cx="{at[0] - reach * 0.15:.2f}" cy="{at[1] - reach * 0.2:.2f}" r="{reach * 0.75:.2f}"'
    bright, deep = mixed(colour, "#ffffff", light), mixed(colour, "#000000", dark)
    return (
        f'<radialGradient id="{identity}" gradientUnits="userSpaceOnUse" {place}>'
        f'<stop offset="0" stop-color="{bright}"/><stop offset="0.55" stop-color="{colour}"/>'
        f'<stop offset="1" stop-color="{deep}"/></radialGradient>'
    )
