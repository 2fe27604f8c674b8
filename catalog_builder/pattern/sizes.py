"""A product's drawings at each of its sizes: scaled first, then measured, each size for itself."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

import numpy as np
import shapely

from catalog_builder.mistake import Finding, Mistake, MistakeError, Mistakes, listed, nearest, quoted, suggestion
from catalog_builder.pattern.faces import inner_point
from catalog_builder.pattern.framing.frame import Frame
from catalog_builder.pattern.framing.framing import frame_of, framed_by, glass_widths
from catalog_builder.pattern.manufacturability import drawing_findings
from catalog_builder.pattern.marking import with_marks
from catalog_builder.pattern.pieces import Fitting, Pattern, Piece, read_pieces
from catalog_builder.pattern.ready_made import edge_findings, ready_made_words, size_findings
from catalog_builder.pattern.svg.drawing import Drawing, read_drawing
from catalog_builder.records.materials import Materials
from catalog_builder.records.product import Product
from catalog_builder.records.studio import Making

# A wire joins what it comes this near to.
WIRE_REACH_MM = 1.5


@dataclass(frozen=True, slots=True)
class Sized:
    """A product's drawings at one of its sizes; ``size`` is empty where there is only one.

    ``parts`` holds those of the parts that are joined on, by their names. ``ready_made`` are the glass words whose
    pieces are bought ready in every choice. ``findings`` are about the drawings, most the same for every size;
    ``frame`` goes round the main drawing.
    """

    size: str
    pattern: Pattern
    parts: Mapping[str, Pattern]
    ready_made: frozenset[str]
    findings: tuple[Finding, ...]
    frame: Frame | None = None

    @property
    def patterns(self) -> dict[str, Pattern]:
        """All drawings by name, the main one first, its name empty."""
        return {"": self.pattern, **self.parts}


def read_sizes(product: Product, making: Making, materials: Materials) -> tuple[Sized, ...]:
    """Read a product's drawings and scale them to each of its sizes.

    Raises:
        MistakeError: with every fault of the drawings, or a drawing without any size.
    """
    keys = product.keys
    drawings, base_scales = scaled_drawings(product)
    fitting = Fitting.of(making)
    base = _all_pieces(drawings, base_scales, fitting, keys.grain)
    mistakes = [*_unknown_glass(product, base)]
    for name, pattern in base.items():
        mistakes += (*_unknown_wire(product, name, pattern, materials), *_loose_groups(product, name, pattern))
    if mistakes:
        raise MistakeError(mistakes)
    framed = framed_by(product, materials)
    widths = glass_widths(product, base[""], framed)
    if framed is not None and not drawings[""].physical:
        # Such a drawing is as large as its first width says, and that may be the outside of its frame.
        shrunk = next(iter(widths.values())) / base[""].width_mm
        base_scales = {name: scale * shrunk for name, scale in base_scales.items()}
        base = _all_pieces(drawings, base_scales, fitting, keys.grain)
    base_width = base[""].width_mm
    ready_made = ready_made_words(product, materials)
    grained = any(materials.rows[name].has_grain for choice in keys.glass.values() for name in choice.pieces.values())
    findings = list(edge_findings(product, materials))
    for name, drawing in drawings.items():
        grain_of = ready_made if grained else None
        findings += drawing_findings(titled(product, name), product, drawing, base[name], grain_of)
    sizes = []
    for size, width in widths.items():
        times, patterns = width / base_width, base
        if abs(times - 1) >= 1e-9:
            scales = {name: scale * times for name, scale in base_scales.items()}
            try:
                patterns = _all_pieces(drawings, scales, fitting.scaled(times), keys.grain)
            except MistakeError as error:
                within = f"in the size {size or 'asked for'}"
                mistakes_in_size = [replace(each, wrong=f"{within}: {each.wrong}") for each in error.mistakes]
                raise MistakeError(mistakes_in_size) from None
            patterns = {name: replace(pattern, enlarged=times) for name, pattern in patterns.items()}
        parts = {name: pattern for name, pattern in patterns.items() if name}
        fits = [
            finding
            for name, pattern in patterns.items()
            for finding in size_findings(titled(product, name, size), product, pattern, materials)
        ]
        frame = frame_of(product, patterns[""], framed) if framed is not None else None
        sizes.append(Sized(size, patterns[""], parts, ready_made, (*findings, *fits), frame))
    return tuple(sizes)


def titled(product: Product, part: str, size: str = "") -> str:
    """Name a product, one of its parts and a size in a message."""
    return ", ".join(word for word in (product.keys.title, part, size) if word)


def scaled_drawings(product: Product) -> tuple[dict[str, Drawing], dict[str, float]]:
    """Read the drawings of a product by the names of its parts, and the mm that a unit of each is at the drawn size.

    Raises:
        MistakeError: with the faults of all of them, or a drawing without any size.
    """
    drawings = _drawings(product)
    main_scale = scale_to_width(drawings[""], product.keys.first_width_mm)
    return drawings, {name: _base_scale(name, drawings, main_scale) for name in drawings}


def _drawings(product: Product) -> dict[str, Drawing]:
    """Read the main drawing and those of the parts.

    Raises:
        MistakeError: with the faults of all of them.
    """
    drawings: dict[str, Drawing] = {}
    mistakes = Mistakes()
    for name, source in {"": product.drawing, **product.parts}.items():
        with mistakes.collect():
            drawings[name] = with_marks(read_drawing(source), product, name)
    mistakes.raise_if_any()
    return drawings


def _all_pieces(
    drawings: Mapping[str, Drawing], scales: Mapping[str, float], fitting: Fitting, grain: float | None
) -> dict[str, Pattern]:
    """Find the pieces of all drawings.

    Raises:
        MistakeError: with the faults of all of them.
    """
    patterns: dict[str, Pattern] = {}
    mistakes = Mistakes()
    for name, drawing in drawings.items():
        with mistakes.collect():
            patterns[name] = read_pieces(drawing, scales[name], fitting, grain)
    mistakes.raise_if_any()
    return patterns


def _base_scale(name: str, drawings: Mapping[str, Drawing], main_scale: float) -> float:
    """Give a drawing's scale at the drawn size: a part without a physical size takes it from the join."""
    if not name or drawings[name].physical:
        return 1.0 if name else main_scale
    own, main = _join_length(drawings[name]), _join_length(drawings[""], name)
    return main_scale * main / own if own and main else main_scale


def _join_length(drawing: Drawing, part: str | None = None) -> float | None:
    """Give the length of a drawing's first join, of a part if one is named, in the drawing's own units."""
    for mark in drawing.marks:
        if mark.kind == "join" and (part is None or mark.part in (None, part)):
            points = mark.runs[0].flat(max(mark.runs[0].reach, 1e-9) / 1000)
            return float(np.hypot(*(points[-1] - points[0])))
    return None


def scale_to_width(drawing: Drawing, width: float | None) -> float:
    """Give the mm that a unit of a drawing is: 1 where it has a physical size, else by a finished width in mm.

    Wires and the fold line do not count for the width.

    Raises:
        MistakeError: the drawing has no size and there is no width either, or nothing is drawn.
    """
    if drawing.physical:
        return 1.0
    runs = [run for mark in drawing.marks if mark.kind in ("outline", "line") for run in mark.runs]
    largest = max((run.reach for run in runs), default=0.0)
    points = [run.flat(largest / 1000) for run in runs if largest > 0]
    drawn_width = float(np.ptp(np.concatenate(points)[:, 0])) if points else 0.0
    if width is None or drawn_width == 0.0:
        raise MistakeError.at(
            drawing.source.place(drawing.source.first_line),
            wrong="neither the drawing nor the record says how large the piece is",
            expected='width="120mm" on the <svg>, or `sizes:` or `width:` in the record',
            mend="add `width: 120 mm` to the record, with the finished width",
        )
    return width / drawn_width


def _unknown_glass(product: Product, patterns: Mapping[str, Pattern]) -> Iterator[Mistake]:
    """Every glass word of the drawings must be known to every choice of glass, and the other way round."""
    used: dict[str, tuple[Piece, str]] = {}
    for name, pattern in patterns.items():
        for piece in pattern.pieces:
            used.setdefault(piece.glass, (piece, name))
    for name, choice in product.keys.glass.items():
        known = set(choice.pieces)
        guesses = {word: nearest(word, known - set(used)) for word in sorted(set(used) - known)}
        for word, guess in guesses.items():
            piece, part = used[word]
            place = product.place_of(piece.row, part)
            yield Mistake(
                place=product.source.place(product.line("glass", name, "pieces")),
                wrong=f"the drawing has glass {quoted(word)} ({place}), which the choice {name!r} does not name",
                expected=f"a material for each of: {listed(used)}",
                mend=f"write {word!r} in place of {guess!r} here, or mend the drawing"
                if guess
                else f"add {quoted(word)} with a glass of materials.csv",
                marked=guess,
            )
        for word in sorted(known - set(used) - set(guesses.values())):
            yield Mistake(
                place=product.source.place(product.line("glass", name, "pieces", word)),
                wrong=f"the choice {name!r} names glass {quoted(word)}, which the drawing does not have",
                expected=f"only: {listed(used)}",
                mend=suggestion(word, used, "take the line out, or label the pieces so"),
                marked=word,
            )


def _unknown_wire(product: Product, name: str, pattern: Pattern, materials: Materials) -> Iterator[Mistake]:
    known = {material.material for kind in ("wire", "strip") for material in materials.of_kind(kind)}
    for wire in pattern.wires:
        if wire.material is not None and wire.material not in known:
            yield Mistake(
                place=product.place_of(wire.row, name),
                wrong=f"the wire {wire.material!r} is not in materials.csv",
                expected=f"one of: {listed(known)}",
                mend=suggestion(wire.material, known, "correct the name, or add it"),
                marked=wire.material,
            )


def _loose_groups(product: Product, name: str, pattern: Pattern) -> Iterator[Mistake]:
    """Find groups of pieces that would fall off: each must share a seam with the rest, or be held by a wire."""
    groups = list(shapely.get_parts(pattern.glass))
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
            gap = min(group.distance(other) for number, other in enumerate(groups) if number != index)
            loose = [piece for piece in pattern.pieces if group.contains(piece.face.representative_point())]
            noun, verb = ("piece", "shares") if len(loose) == 1 else ("pieces", "share")
            numbers = ", ".join(piece.number for piece in loose)
            x, y = (at / pattern.scale for at in inner_point(group))
            yield Mistake(
                place=product.place_of(loose[0].row if loose else None, name),
                wrong=f"the {noun} {numbers} at x {x:.1f}, y {y:.1f} of the drawing {verb} no edge with the rest "
                f"({gap:.2f} mm away at the finished size)",
                expected="pieces that meet along an edge, or that a wire holds",
                mend="draw the two outlines up to each other, or draw a wire between them",
                spot=(x, y),
            )
