"""Patterns by line work: an outline cut up by open lines. A leaf, a moon over hills, and half a lantern to unfold."""

from __future__ import annotations

import math

import numpy as np

from tests.benchmark.pen import Design, Point, arc, between, label, line, outline, ring, smooth, spot


def leaf(chance: np.random.Generator) -> Design:
    """A leaf: its middle vein a slow wave, its side veins set in turn; 6 to 18 pieces."""
    veins = int(chance.integers(2, 9))
    long = 52.0 + 15 * veins
    half = long * chance.uniform(0.27, 0.33)
    sway = long * chance.uniform(0.035, 0.05)
    lean = long * chance.uniform(0.2, 0.35) / (veins + 1)

    def middle(share: float) -> Point:
        return sway * math.sin(2 * math.pi * share) * math.sin(math.pi * share), long * share

    def edge(share: float, side: int) -> Point:
        wide = half * math.sin(math.pi * share**0.85) ** 0.8
        return side * wide + middle(share)[0] * 0.5, long * share

    tip, end = middle(0.0), middle(1.0)
    shares: dict[int, list[float]] = {
        side: [(at + 1 + 0.22 * side) / (veins + 1) for at in range(veins)] for side in (-1, 1)
    }
    spine = sorted([0.0, 1.0, *shares[-1], *shares[1]])
    sides = {side: [edge(share - lean / long, side) for share in shares[side]] for side in (-1, 1)}
    drawn = [
        outline(tip, [smooth([tip, *sides[1], end]), smooth([end, *reversed(sides[-1]), tip])]),
        line([middle(share) for share in spine]),
    ]
    labels, count = [], 0
    for side in (-1, 1):
        ends = [(middle(share), out) for share, out in zip(shares[side], sides[side], strict=True)]
        for inner, out in ends:
            bend = between(inner, out)
            drawn.append(line([inner, (bend[0], bend[1] + lean * 0.18), out]))
        for at in range(veins + 1):
            upper = ends[at - 1] if at else (tip, tip)
            lower = ends[at] if at < veins else (end, end)
            where = between(
                between(*upper, 0.45), between(*lower, 0.45), 0.7 if not at else 0.3 if at == veins else 0.5
            )
            count += 1
            labels.append(label(where, count, "tip" if at <= veins // 3 else "blade" if at < veins else "stalk"))
    return Design(
        -half - 8, -4, 2 * half + 16, long + 8, 2 * half, (*drawn, ring(tip), *labels), ("tip", "blade", "stalk")
    )


def moon(chance: np.random.Generator) -> Design:
    """A moon over two or three folds of hill, in a round of glass; 10 to 18 pieces."""
    radius = chance.uniform(62, 80)
    size = radius * chance.uniform(0.26, 0.3)
    centre = radius * chance.uniform(-0.16, 0.16), -radius * chance.uniform(0.32, 0.36)
    folds = int(chance.integers(2, 4))
    hills = _hills(chance, radius, folds)
    rim = [hill[at] for hill in hills for at in (0, -1)]
    drawn = [line(hill) for hill in hills]
    cuts, words = _cut_hills(chance, hills, radius)
    rays, faces = _sky(chance, radius, centre, size, hills[0])
    rim += [ray[-1] for ray in rays[:-1]] + [cut[-1] for cut in cuts if math.hypot(*cut[-1]) > radius - 0.1]
    disc = [ray[0] for ray in rays]
    rounds = [_round((0.0, 0.0), radius, rim), _round(centre, size, disc)]
    top = min((ray[-1] for ray in rays[:-1]), key=lambda point: abs(point[0]))
    placed = [(centre, "moon"), *((face, "sky") for face in faces), *words]
    labels = [label(point, count, word) for count, (point, word) in enumerate(placed, 1)]
    parts = (*rounds, *drawn, *map(line, rays), *map(line, cuts), ring(top), *labels)
    return Design(
        -radius - 4, -radius - 4, 2 * radius + 8, 2 * radius + 8, 2 * radius, parts, ("moon", "sky", "far", "near")
    )


def _round(centre: Point, radius: float, corners: list[Point]) -> str:
    """Draw a circle by arcs between the places where lines meet it, so that none misses it by a chord's depth."""
    corners = sorted(corners, key=lambda point: math.atan2(point[1] - centre[1], point[0] - centre[0]))
    return outline(corners[0], [arc(radius, point) for point in (*corners[1:], corners[0])])


def _hills(chance: np.random.Generator, radius: float, folds: int) -> list[list[Point]]:
    """Give the line of each fold from rim to rim, through nine knots."""
    hills = []
    for fold in range(folds):
        level = radius * (0.2 + 0.62 * fold / folds)
        left, right = level + chance.uniform(-3, 3), level + chance.uniform(-3, 3)
        begin, end = (-math.sqrt(radius**2 - left**2), left), (math.sqrt(radius**2 - right**2), right)
        phase, swing = chance.uniform(0, 2 * math.pi), radius * chance.uniform(0.05, 0.07)
        inner = []
        for at in range(1, 8):
            x, y = between(begin, end, at / 8)
            inner.append((x, y + swing * math.sin(at / 8 * 1.5 * math.pi + phase) * math.sin(math.pi * at / 8)))
        hills.append([begin, *inner, end])
    return hills


def _cut_hills(
    chance: np.random.Generator, hills: list[list[Point]], radius: float
) -> tuple[list[list[Point]], list[tuple[Point, str]]]:
    """Cut every fold in three by lines from knot to knot, the last by lines to the rim; and place its labels."""
    cuts, placed = [], []
    for fold, hill in enumerate(hills):
        chosen = (3, 6) if fold % 2 else (2, 5)
        below = hills[fold + 1] if fold + 1 < len(hills) else None
        for at in chosen:
            begin = hill[at]
            if below is not None:
                end = min(below[1:-1], key=lambda knot: abs(knot[0] - begin[0]))
            else:
                x = begin[0] * 0.8
                end = x, math.sqrt(radius**2 - x**2)
            bend = between(begin, end)
            cuts.append([begin, (bend[0] + chance.uniform(-1.5, 1.5), bend[1]), end])
        for middle in (chosen[0] / 2, sum(chosen) / 2, (chosen[1] + 8) / 2):
            here = between(hill[math.floor(middle)], hill[math.ceil(middle)])
            floor = math.sqrt(radius**2 - here[0] ** 2) if below is None else _height(below, here[0])
            placed.append(((here[0], here[1] + (floor - here[1]) * 0.45), "far" if fold == 0 else "near"))
    return cuts, placed


def _height(hill: list[Point], x: float) -> float:
    return float(np.interp(x, [knot[0] for knot in hill], [knot[1] for knot in hill]))


def _sky(
    chance: np.random.Generator, radius: float, centre: Point, size: float, hill: list[Point]
) -> tuple[list[list[Point]], list[Point]]:
    """Lead rays from the moon to the rim, the last one to the hill; and place a label between each two."""
    turns = [-172, -132, -90, -48, -8] if chance.random() < 0.6 else [-165, -90, -15]
    ends = []
    for turn in turns:
        angle = math.radians(turn + (chance.uniform(-5, 5) if turn != -90 else 0))
        ends.append((radius * math.cos(angle), radius * math.sin(angle)))
    ends.append(min(hill[2:-2], key=lambda knot: abs(knot[0] - centre[0])))
    rays, angles = [], []
    for end in ends:
        angle = math.atan2(end[1] - centre[1], end[0] - centre[0])
        begin = centre[0] + size * math.cos(angle), centre[1] + size * math.sin(angle)
        bend, swing = between(begin, end), chance.uniform(0.05, 0.09) * (1 if chance.random() < 0.5 else -1)
        aside = (end[1] - begin[1]) * swing, (begin[0] - end[0]) * swing
        rays.append([begin, (bend[0] + aside[0], bend[1] + aside[1]), end])
        angles.append(angle % (2 * math.pi))
    turned = sorted(angles)
    middles = [(one + two) / 2 for one, two in zip(turned, (*turned[1:], turned[0] + 2 * math.pi), strict=True)]
    reach = size + 5
    return rays, [(centre[0] + reach * math.cos(angle), centre[1] + reach * math.sin(angle)) for angle in middles]


def lantern(chance: np.random.Generator) -> Design:
    """Half a lantern with a fold line: bands joined across the fold, or cut on it, in turn; 8 to 20 pieces."""
    bands = int(chance.integers(3, 7))
    tall, wide = 44.0 + 22 * bands, chance.uniform(38, 52)
    levels = [tall * (0.06 + 0.86 * (at + 1) / (bands + 1)) for at in range(bands)]
    sag = chance.uniform(3, 7)
    waist, phase = chance.uniform(0.04, 0.12), chance.uniform(0, 2)

    def edge(y: float) -> Point:
        share = y / tall
        swell = math.sin(math.pi * (0.08 + 0.84 * share)) ** 0.6
        return wide * swell * (1 + waist * math.sin(3 * math.pi * share + phase)), y

    top, end = (0.0, 0.0), (0.0, tall)
    outs = [edge(level - sag * 0.4) for level in levels]
    head, foot = (edge(0)[0] * 0.9, 2.0), (edge(tall)[0] * 0.9, tall - 2.0)
    rungs = [
        [(0.0, level), (out[0] * 0.52, level + sag * (0.5 if at % 2 else -0.5)), out]
        for at, (level, out) in enumerate(zip(levels, outs, strict=True))
    ]
    drawn = [
        '<line data-mark="fold" x1="0" y1="-4" x2="0" y2="' + f'{tall + 4:.2f}"/>',
        f'<path d="M{spot(top)} L{spot(head)} {smooth([head, *outs, foot])} L{spot(end)}"/>',
        *map(line, rungs),
        f'<path d="M{spot(top)} L{spot(rungs[0][0])}"/>',
    ]
    labels = [label(between((0, rungs[0][0][1] * 0.55), (head[0], 0), 0.4), 1, "cap")]
    for at in range(bands):
        upper = rungs[at]
        lower = rungs[at + 1] if at + 1 < bands else [end, (foot[0] * 0.55, tall - 1.0), foot]
        if at % 2 and at + 1 < bands:
            drawn.append(f'<path d="M{spot(upper[0])} L{spot(lower[0])}"/>')
            labels.append(label(between(upper[1], lower[1]), len(labels) + 1, "shade"))
        elif at + 1 < bands:
            bend = between(upper[1], lower[1])
            drawn.append(line([upper[1], (bend[0] + 1.5, bend[1]), lower[1]]))
            labels.append(label(between(upper[0], lower[0], 0.5), len(labels) + 1, "glow"))
            labels.append(
                label(between(between(upper[1], upper[2]), between(lower[1], lower[2])), len(labels) + 1, "shade")
            )
        else:
            labels.append(label(between(upper[1], lower[1]), len(labels) + 1, "cap"))
    return Design(-2, -5, wide * 1.2 + 8, tall + 10, 2 * wide, (*drawn, ring(top), *labels), ("cap", "glow", "shade"))
