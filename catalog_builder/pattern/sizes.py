"""A product's pattern at each of its sizes: scaled first, then measured, each size for itself."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely
from shapely import Polygon

from catalog_builder.mistake import Finding, Mistake, MistakeError, listed, nearest, quoted
from catalog_builder.pattern.cuts import Cut, read_cuts
from catalog_builder.pattern.drawing import Drawing, read_drawing
from catalog_builder.pattern.marking import with_marks
from catalog_builder.pattern.numbers import inside
from catalog_builder.pattern.pieces import Fitting, Pattern, read_pieces
from catalog_builder.pattern.seams import Edges, read_edges
from catalog_builder.pattern.sense import drawing_findings, sense_findings
from catalog_builder.records.materials import Materials
from catalog_builder.records.product import Product
from catalog_builder.records.studio import Making

# A wire joins what it comes this near to.
WIRE_REACH_MM = 1.5


@dataclass(frozen=True, slots=True)
class Sized:
    """A pattern at one of a product's sizes; ``size`` is empty where there is only one.

    ``findings`` are about the drawing, the same for every size.
    """

    size: str
    pattern: Pattern
    findings: tuple[Finding, ...]


@dataclass(frozen=True, slots=True)
class Measured:
    """A pattern with its edges counted and its glass cut. ``findings`` are what the bench should know."""

    sized: Sized
    edges: Edges
    cuts: tuple[Cut, ...]
    findings: tuple[Finding, ...]


def read_sizes(product: Product, making: Making, materials: Materials) -> tuple[Sized, ...]:
    """Read a product's drawing and scale it to each of its sizes.

    Raises:
        MistakeError: with every fault of the drawing, or a drawing without any size.
    """
    drawing, keys = with_marks(read_drawing(product.drawing), product), product.keys
    fitting = Fitting.of(making)
    start = 1.0 if drawing.physical else _rough_scale(drawing, product)
    drawn = read_pieces(drawing, start, fitting, keys.grain)
    mistakes = [
        *_unknown_glass(product, drawn),
        *_unknown_wire(product, drawn, materials),
        *_apart(product, drawn),
    ]
    if mistakes:
        raise MistakeError(mistakes)
    widths = dict(keys.sizes) or {"": keys.width or drawn.width_mm}
    glass = [materials.rows[name] for choice in keys.glass.values() for name in choice.pieces.values()]
    findings = tuple(drawing_findings(product, drawing, drawn, glass))
    sizes = []
    for name, width in widths.items():
        scale = start * width / drawn.width_mm
        same = abs(scale - start) < 1e-9 * start
        larger = fitting.scaled(scale / start)
        try:
            pattern = drawn if same else read_pieces(drawing, scale, larger, keys.grain)
        except MistakeError as fault:
            worded = [replace(one, wrong=f"in the size {name or 'asked for'}: {one.wrong}") for one in fault.mistakes]
            raise MistakeError(worded) from None
        sizes.append(Sized(name, pattern, findings))
    return tuple(sizes)


def measure(product: Product, sized: Sized, making: Making) -> Measured:
    """Count the edges of a pattern and cut its glass.

    Raises:
        MistakeError: a piece is so narrow that the foil gap leaves nothing of it, or cuts it apart.
    """
    pattern = sized.pattern
    edges = read_edges([piece.face for piece in pattern.pieces])
    cuts = read_cuts(pattern.pieces, edges, float(making.foil_gap_mm))
    lost = [*_lost(product, sized, cuts, making)]
    if lost:
        raise MistakeError(lost)
    findings = tuple(sense_findings(product, sized.size, pattern, edges, cuts, making))
    return Measured(sized, edges, cuts, (*sized.findings, *findings))


def _lost(product: Product, sized: Sized, cuts: Sequence[Cut], making: Making) -> Iterator[Mistake]:
    """Tell pieces of which the foil gap leaves no single cut of glass."""
    for cut, piece in zip(cuts, sized.pattern.pieces, strict=True):
        if not isinstance(cut.shape, Polygon) or cut.shape.is_empty:
            x, y = (at / sized.pattern.scale for at in inside(piece.face))
            size = f" in {sized.size}" if sized.size else ""
            yield Mistake(
                place=product.drawing.place(None),
                wrong=f"the piece {cut.number} at x {x:.1f}, y {y:.1f} of the drawing is too narrow{size}: "
                f"a foil gap of {making.foil_gap_mm:g} mm leaves no single cut of glass of it",
                expected="pieces several times as wide as the foil gap everywhere",
                mend="widen the piece, or join it to its neighbour",
                spot=(x, y),
            )


def _rough_scale(drawing: Drawing, product: Product) -> float:
    """A drawing without a physical size takes it from the record's finished width."""
    wanted = product.keys.width or next(iter(product.keys.sizes.values()), None)
    runs = [run for mark in drawing.marks if mark.kind in ("outline", "line") for run in mark.runs]
    largest = max((run.reach for run in runs), default=0.0)
    points = [run.flat(largest / 1000) for run in runs if largest > 0]
    reach = float(np.ptp(np.concatenate(points)[:, 0])) if points else 0.0
    if wanted is None or reach == 0.0:
        raise MistakeError(
            [
                Mistake(
                    place=drawing.source.place(drawing.source.first_line),
                    wrong="neither the drawing nor the record says how large the piece is",
                    expected='width="120mm" on the <svg>, or `sizes:` or `width:` in the record',
                    mend="add `width: 120 mm` to the record, with the finished width",
                )
            ]
        )
    return wanted / reach


def _unknown_glass(product: Product, pattern: Pattern) -> Iterator[Mistake]:
    """Every glass word of the drawing must be known to every choice of glass, and the other way round."""
    used = {piece.glass: piece for piece in reversed(pattern.pieces)}
    for name, choice in product.keys.glass.items():
        known = set(choice.pieces)
        guesses = {word: nearest(word, known - set(used)) for word in sorted(set(used) - known)}
        for word, guess in guesses.items():
            spot = product.place_of(used[word].row)
            yield Mistake(
                place=product.source.place(product.line("glass", name, "pieces")),
                wrong=f"the drawing has glass {quoted(word)} ({spot}), which the choice {name!r} does not name",
                expected=f"a material for each of: {listed(used)}",
                mend=f"write {word!r} in place of {guess!r} here, or mend the drawing"
                if guess
                else f"add {quoted(word)} with a glass of materials.csv",
                marked=guess,
            )
        for word in sorted(known - set(used) - set(guesses.values())):
            guess = nearest(word, used)
            yield Mistake(
                place=product.source.place(product.line("glass", name, "pieces", word)),
                wrong=f"the choice {name!r} names glass {quoted(word)}, which the drawing does not have",
                expected=f"only: {listed(used)}",
                mend=f"did you mean {guess!r}?" if guess else "take the line out, or label the pieces so",
                marked=word,
            )


def _unknown_wire(product: Product, pattern: Pattern, materials: Materials) -> Iterator[Mistake]:
    known = {material.material for material in materials.of_kind("wire")}
    for wire in pattern.wires:
        if wire.material is not None and wire.material not in known:
            guess = nearest(wire.material, known)
            yield Mistake(
                place=product.place_of(wire.row),
                wrong=f"the wire {wire.material!r} is not in materials.csv",
                expected=f"one of: {listed(known)}",
                mend=f"did you mean {guess!r}?" if guess else "correct the name, or add it",
                marked=wire.material,
            )


def _apart(product: Product, pattern: Pattern) -> Iterator[Mistake]:
    """Pieces that nothing joins would fall off: each must share a seam with the rest, or be held by a wire."""
    groups = list(shapely.get_parts(shapely.union_all([piece.face for piece in pattern.pieces])))
    if len(groups) < 2:
        return
    groups.sort(key=lambda group: -group.area)
    joined = {0}
    knots = shapely.get_parts(shapely.union_all([wire.line.buffer(WIRE_REACH_MM) for wire in pattern.wires]))
    held = [{index for index, group in enumerate(groups) if knot.intersects(group)} for knot in knots]
    for _ in groups:
        for group in held:
            if group & joined:
                joined |= group
    for index, group in enumerate(groups):
        if index not in joined:
            spot = group.representative_point()
            gap = min(group.distance(other) for number, other in enumerate(groups) if number != index)
            loose = [piece for piece in pattern.pieces if group.contains(piece.face.representative_point())]
            one, verb = ("piece", "shares") if len(loose) == 1 else ("pieces", "share")
            numbers = ", ".join(piece.number for piece in loose)
            x, y = spot.x / pattern.scale, spot.y / pattern.scale
            yield Mistake(
                place=product.place_of(loose[0].row if loose else None),
                wrong=f"the {one} {numbers} at x {x:.1f}, y {y:.1f} of the drawing {verb} no edge with the rest "
                f"({gap:.2f} mm away at the finished size)",
                expected="pieces that meet along an edge, or that a wire holds",
                mend="draw the two outlines up to each other, or draw a wire between them",
                spot=(x, y),
            )
