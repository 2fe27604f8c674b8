"""The lines of a record that set rings, ready to paste."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import TypeAlias

import numpy as np
from shapely import LineString, Point
from shapely.ops import substring

from catalog_builder.pattern.fold import Fold
from catalog_builder.pattern.pieces import Pattern
from catalog_builder.pattern.unfolding import SAME_MM
from catalog_builder.piece.balance import Place
from catalog_builder.piece.hanging.rim_way import FOLLOWS_MM
from catalog_builder.piece.hanging.wire_legs import REACH_MM
from catalog_builder.piece.rim_loop import RimLoop
from catalog_builder.records.hardware_kind import HardwareKind
from catalog_builder.records.product import Product

# Points one after the other.
Way: TypeAlias = tuple[Place, ...]
# So many points of a wire are printed on one line.
_MOST_POINTS = 16
# So fine a record gives a place, in the drawing's own units.
PLACES = 2


@dataclass(frozen=True, slots=True)
class RingKeys:
    """What a record says of its rings, in the drawing's own coordinates.

    ``by`` is the kind of hardware where it is another than the record's, ``wires`` are wires along the rim that carry
    the rings.
    """

    rings: tuple[Place, ...]
    by: HardwareKind | None = None
    wires: tuple[tuple[Place, ...], ...] = ()

    @property
    def lines(self) -> tuple[str, ...]:
        """The lines for a record that has neither ``hang:`` nor ``marks:``."""
        return tuple(self._lines())

    def _lines(self) -> Iterator[str]:
        if self.by is not None:
            yield from ("hang:", f"  by: {self.by}")
        yield from ("marks:", "  rings:", *(f"    - {_shown(place)}" for place in self.rings))
        if self.wires:
            yield from ("  wires:", *(f"    - points: {_listed(points)}" for points in self.wires))

    @property
    def without_rings(self) -> RingKeys:
        """The same for a drawing that has its rings where they should be."""
        return replace(self, rings=())

    def written_into(self, product: Product) -> tuple[tuple[str, str], ...]:
        """Give what to write into a record as it is: each line, and the key under which it goes, empty for none."""
        has = product.keys.model_fields_set
        marks = [f"rings: {_listed(self.rings)}"] if self.rings else []
        if self.wires:
            marks.append(f"wires: [{', '.join(f'{{points: {_listed(points)}}}' for points in self.wires)}]")
        entries = [("hang", f"by: {self.by}")] if self.by is not None else []
        if "marks" in has:
            entries += [("marks", line) for line in marks]
        elif marks:
            entries.append(("marks", ", ".join(marks)))
        return tuple((line, key) if key in has else (f"{key}: {{{line}}}", "") for key, line in entries)

    def sentence(self, product: Product) -> str:
        """Say what to write into a record as it is, for a mistake."""
        return " and ".join(
            f"`{line}` under `{key}:`" if key else f"`{line}`" for line, key in self.written_into(product)
        )


def keys_of_loop(loop: RimLoop, pattern: Pattern, by: HardwareKind) -> RingKeys:
    """Give what a record says of a loop on a pattern; ``by`` is what the record hangs the piece by."""
    place = drawn(loop.place, pattern.scale)
    if loop.has_eye:
        return RingKeys((place,), None if by is HardwareKind.LOOP else HardwareKind.LOOP)
    way = LineString(loop.points)
    fold, points = pattern.fold, _few(way)
    if fold is not None and abs(float(fold.side(np.array([loop.place]))[0])) <= SAME_MM:
        points = _half(way, loop.place, fold)
    return RingKeys((place,), None, (tuple(drawn(point, pattern.scale) for point in points),))


def _half(way: LineString, place: Place, fold: Fold) -> Way:
    """Give one side of a way whose other side the fold mirrors; of a way right round, both, as mirror images."""
    if not way.is_closed:
        return _few(substring(way, way.project(Point(*place)), way.length))
    half = _few(substring(way, 0, way.length / 2))
    return (*half, *((float(x), float(y)) for x, y in fold.mirrored(np.array(half))[::-1][1:]))


def _few(way: LineString) -> Way:
    """Give a way with so few points that it can be pasted, and still close enough to the rim to be soldered to it."""
    follows, points = FOLLOWS_MM, way
    while len(points.coords) > _MOST_POINTS and follows < REACH_MM / 2:
        follows *= 1.5
        points = way.simplify(follows)
    return tuple((float(x), float(y)) for x, y in points.coords)


def drawn(place: Place, scale: float) -> Place:
    """Give a place in the drawing's own coordinates."""
    x, y = (round(at / scale, PLACES) + 0.0 for at in place)
    return x, y


def _listed(places: tuple[Place, ...]) -> str:
    return f"[{', '.join(_shown(place) for place in places)}]"


def _shown(place: Place) -> str:
    x, y = (f"{at:.{PLACES}f}".rstrip("0").rstrip(".") for at in place)
    return f"[{x}, {y}]"
