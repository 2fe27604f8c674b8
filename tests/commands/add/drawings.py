"""Drawings made by chance, of which it is known what they hold: pieces, what tells them apart, size."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from random import Random

# Of the glass in the example that `begin` lays out, each a little off.
FILLS = {
    "#5c9c4d": "green-streaky",
    "#2d693b": "green-clear",
    "#d6952e": "amber-clear",
    "#2c519b": "blue-clear",
}
MM_PER = {"mm": 1.0, "cm": 10.0, "in": 25.4, "px": 25.4 / 96, "pt": 25.4 / 72}
NAMES = 'xmlns="http://www.w3.org/2000/svg" xmlns:inkscape="http://www.inkscape.org/namespaces/inkscape"'
REASONS = ("fills", "layers", "groups", "words", "nothing")
Corner = tuple[float, float]
Cell = tuple[Corner, ...]


@dataclass(frozen=True, slots=True)
class ChanceDrawing:
    """An SVG text, the width of its glass in mm, and how its pieces are told apart.

    ``width`` is what the command must be told, None where the drawing has a size. ``groups`` are the numbers of pieces
    with each glass word, in rising order, mirror images counted.
    """

    text: str
    reason: str
    pieces: int
    groups: tuple[int, ...]
    width_mm: float
    width: str | None


def chance_drawing(seed: int) -> ChanceDrawing:
    """Make a drawing: a grid of cells with its corners moved, by one of the habits in which people draw."""
    random = Random(seed)  # noqa: S311 - drawings, no secrets
    columns, rows, pitch = random.randint(1, 4), random.randint(1, 4), random.uniform(18, 32)
    cells = _cells(random, columns, rows, pitch)
    reason = random.choice(REASONS) if len(cells) > 1 else "nothing"
    halved = random.random() < 0.25
    bodies, owners = _bodies(random, cells, reason)
    fold = f'<line data-mark="fold" x1="0" y1="-5" x2="0" y2="{rows * pitch + 5:.3f}"/>' if halved else ""
    unit = random.choice([*MM_PER, ""])
    shift, turned = (random.uniform(5, 30), random.uniform(5, 30)), not halved and random.random() < 0.3
    move = f"translate({shift[0]:.3f} {shift[1]:.3f})" + (" scale(-1 1)" if turned else "")
    across, down = 2 * columns * pitch + 80, rows * pitch + 80
    size = f'width="{across / MM_PER[unit]:.6f}{unit}" height="{down / MM_PER[unit]:.6f}{unit}"' if unit else ""
    glass = columns * pitch * (2 if halved else 1)
    text = (
        f'<svg {NAMES} {size} viewBox="{-across / 2:.6f} 0 {across:.6f} {down:.6f}">'
        f'<g transform="{move}">{fold}{bodies}</g></svg>\n'
    )
    times = 2 if halved else 1
    counts = tuple(sorted(times * owners.count(owner) for owner in set(owners)))
    return ChanceDrawing(text, reason, times * len(cells), counts, glass, None if unit else f"{glass:.3f}mm")


def _cells(random: Random, columns: int, rows: int, pitch: float) -> list[Cell]:
    """Give the cells row by row; inner corners are moved, those on the rim stay on it."""

    def corner(column: int, row: int) -> Corner:
        off = random.uniform(-pitch / 5, pitch / 5), random.uniform(-pitch / 5, pitch / 5)
        x = column * pitch + (off[0] if 0 < column < columns else 0)
        return round(x, 3), round(row * pitch + (off[1] if 0 < row < rows else 0), 3)

    corners = {(column, row): corner(column, row) for column in range(columns + 1) for row in range(rows + 1)}
    return [
        tuple(corners[column + x, row + y] for x, y in ((0, 0), (1, 0), (1, 1), (0, 1)))
        for row in range(rows)
        for column in range(columns)
    ]


def _bodies(random: Random, cells: Sequence[Cell], reason: str) -> tuple[str, list[int]]:
    """Give the shapes, and for each cell which group it is in."""
    count = min(len(cells), random.randint(2, 4))
    owners = [*range(count), *(random.randrange(count) for _ in cells[count:])]
    random.shuffle(owners)
    if reason == "nothing":
        return "".join(_shape(cell, 'fill="none" stroke="black"') for cell in cells), [0] * len(cells)
    if reason in ("fills", "words"):
        values = list(FILLS) if reason == "fills" else ["petal", "leaf", "sky", "sea 2"]
        paint = '{}="{}" stroke="black"'
        key = "fill" if reason == "fills" else 'fill="none" data-glass'
        shapes = [_shape(cell, paint.format(key, values[owner])) for cell, owner in zip(cells, owners, strict=True)]
        return "".join(shapes), owners
    layer = 'inkscape:groupmode="layer" inkscape:label="Layer {0}" ' if reason == "layers" else ""
    groups = []
    for owner in range(count):
        own = [
            _shape(cell, 'fill="none" stroke="#222"') for cell, its in zip(cells, owners, strict=True) if its == owner
        ]
        groups.append(f'<g {layer.format(owner)}id="g{owner}"><g>{"".join(own)}</g></g>')
    return f'<g id="all">{"".join(groups)}</g>', owners


def _shape(cell: Cell, attributes: str) -> str:
    return f'<path {attributes} d="M{" L".join(f"{x} {y}" for x, y in cell)} Z"/>'
