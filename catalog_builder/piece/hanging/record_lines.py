"""The lines of a record that set rings, ready to paste."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from shapely import LineString

from catalog_builder.piece.balance import Place
from catalog_builder.piece.hanging.rim_way import FOLLOWS_MM
from catalog_builder.piece.hanging.wire_legs import REACH_MM
from catalog_builder.piece.rim_loop import RimLoop
from catalog_builder.records.hardware_kind import HardwareKind
from catalog_builder.records.product import Product

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


def keys_of_loop(loop: RimLoop, scale: float, by: HardwareKind) -> RingKeys:
    """Give what a record says of a loop at ``scale`` (finished mm for each unit of the drawing)."""
    place = drawn(loop.place, scale)
    if loop.has_eye:
        return RingKeys((place,), None if by is HardwareKind.LOOP else HardwareKind.LOOP)
    return RingKeys((place,), None, (tuple(drawn(point, scale) for point in _few(loop.points)),))


def _few(points: tuple[Place, ...]) -> tuple[Place, ...]:
    """Give a way with so few points that it can be pasted, and still close enough to the rim to be soldered to it."""
    follows = FOLLOWS_MM
    while len(points) > _MOST_POINTS and follows < REACH_MM / 2:
        follows *= 1.5
        points = tuple((float(x), float(y)) for x, y in LineString(points).simplify(follows).coords)
    return points


def drawn(place: Place, scale: float) -> Place:
    """Give a place in the drawing's own coordinates."""
    x, y = (round(at / scale, PLACES) + 0.0 for at in place)
    return x, y


def _listed(places: tuple[Place, ...]) -> str:
    return f"[{', '.join(_shown(place) for place in places)}]"


def _shown(place: Place) -> str:
    x, y = (f"{at:.{PLACES}f}".rstrip("0").rstrip(".") for at in place)
    return f"[{x}, {y}]"
