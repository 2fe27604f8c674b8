"""A drawing as its marks: outlines, lines, the fold, rings, wires, labels, all in one plane.

The maker's own marks stand in ``data-`` attributes, which every drawing program keeps. What a group
carries, its members inherit.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

import numpy as np
from lxml import etree

from catalog_builder.mistake import MistakeError, Mistakes, Place, listed, nearest, quoted
from catalog_builder.pattern.svg.budget import Budget
from catalog_builder.pattern.svg.curve import Points, Subpath, applied
from catalog_builder.pattern.svg.label import read_label
from catalog_builder.pattern.svg.path import PathError, marked_text
from catalog_builder.pattern.svg.shape import subpaths_of
from catalog_builder.pattern.svg.style import read_rules, style_of
from catalog_builder.pattern.svg.tree import MOST_DEPTH, SVG, XLINK_HREF, line_of, parse
from catalog_builder.pattern.svg.viewport import (
    MM_PER_PX,
    ViewportError,
    joined,
    length_px,
    transform,
    view_matrix,
    viewport,
)
from catalog_builder.records.reading.source import Source, place_in

KINDS = {"outline", "line", "fold", "ring", "wire", "open", "grain", "label", "join", "none"}
ATTRIBUTES = {"mark", "glass", "grain", "number", "material", "part"}
_SHAPES = {"path", "line", "polyline", "polygon", "rect", "circle", "ellipse"}
IGNORED_ELEMENTS = {"image", "foreignObject"}
_GROUPS = {"g", "a", "switch", "svg"}
# What a text can be marked as; any other mark of its group does not count for it.
_TEXTS = {"label", "ring", "open", "none"}
# Characters of a number: as many as can still be read on a piece.
MOST_IN_NUMBER = 60
_EXPECTED = "numbers, lengths and transforms as SVG 2 writes them"


@dataclass(frozen=True, slots=True)
class Mark:
    """One mark of the drawing, in mm where the drawing has a physical size, else in its own units.

    ``runs`` holds one run, or all closed runs of a compound outline; a label's run is its one point.
    ``grain`` is in degrees anticlockwise from horizontal as seen. ``line`` is where it stands. ``part`` is
    the part that a join is for.
    """

    kind: str
    runs: tuple[Subpath, ...]
    line: int
    even_odd: bool = False
    glass: str | None = None
    grain: float | None = None
    number: str | None = None
    material: str | None = None
    at: tuple[float, float] | None = None
    part: str | None = None


@dataclass(frozen=True, slots=True)
class Drawing:
    """All marks in the order of the drawing; ``glass`` and ``grain`` are the whole drawing's own.

    ``physical``: the marks are in mm. ``ignored`` has the names of elements and attributes that are not read, each
    with its line. A mark that ``record`` sets counts its line below zero.
    """

    marks: tuple[Mark, ...]
    physical: bool
    glass: str | None
    grain: float | None
    source: Source
    ignored: tuple[tuple[str, int], ...] = ()
    record: Source | None = None

    def place(self, line: int | None) -> Place:
        """Give the place of a mark by its line."""
        return place_in(self.record or self.source, self.source, line)


@dataclass(frozen=True, slots=True)
class _State:
    """What a group hands down to its members."""

    matrix: Points
    data: Mapping[str, str]
    visible: bool
    even_odd: bool = False
    uses: tuple[str, ...] = ()


def read_drawing(source: Source) -> Drawing:
    """Read an SVG text as marks.

    Raises:
        MistakeError: with every element that cannot be read.
    """
    root = parse(source)
    sizes = (root.get(name, "").strip() for name in ("width", "height"))
    physical = any(size and not size.endswith("%") for size in sizes)
    walker = _Walker(source, root)
    try:
        matrix = viewport(root)
    except ViewportError as error:
        place, marked = source.place(line_of(source, root)), marked_text(error)
        mend = "correct the attribute"
        raise MistakeError.at(place, wrong=str(error), expected=_EXPECTED, mend=mend, marked=marked) from None
    if physical:
        matrix = np.diag([MM_PER_PX, MM_PER_PX, 1.0]) @ matrix
    marks = tuple(walker.members(root, _State(matrix, {}, visible=True)))
    glass, grain = root.get("data-glass") or None, walker.angle(root, root.get("data-grain"))
    walker.mistakes.raise_if_any()
    return Drawing(marks, physical, glass, grain, source, tuple(walker.ignored))


class _Walker:
    """Goes through the tree once, collecting marks and mistakes."""

    def __init__(self, source: Source, root: etree._Element) -> None:
        self.source = source
        self.mistakes = Mistakes()
        self.named = {element.get("id"): element for element in root.iter() if element.get("id")}
        self.rules = read_rules(root)
        self.ignored: list[tuple[str, int]] = []
        self.budget = Budget()
        self.depth = 0

    def members(self, element: etree._Element, state: _State) -> Iterator[Mark]:
        state = self._inherited(element, state)
        self.depth += 1
        for child in element:
            if isinstance(child.tag, str) and child.tag.startswith(SVG):
                yield from self._element(child, state)
        self.depth -= 1

    def _element(self, element: etree._Element, state: _State) -> Iterator[Mark]:
        if not self.budget.visit(element) or self.depth > MOST_DEPTH:
            raise MistakeError.at(
                self.source.place(line_of(self.source, element)),
                wrong="the drawing has too many shapes, or groups in groups, copies included",
                expected="a pattern drawn by hand",
                mend="simplify it",
            )
        name = etree.QName(element).localname
        style = style_of(element, self.rules)
        if style.get("display") == "none" or len(self.mistakes) > 50:
            return
        try:
            self._note(element, name)
            own = replace(
                state,
                even_odd=style.get("fill-rule", "evenodd" if state.even_odd else "") == "evenodd",
                matrix=joined(state.matrix, transform(element.get("transform", ""))),
                visible=style.get("visibility", "visible" if state.visible else "hidden") not in ("hidden", "collapse"),
            )
            if name in _GROUPS:
                yield from self._group(element, own, name)
            elif name == "use":
                yield from self._use(element, own)
            elif name in _SHAPES or name == "text":
                yield from self._marks(element, name, self._inherited(element, own))
        except (ViewportError, PathError) as error:
            expected = "path data such as M5 5 L25 5 C30 5 30 9 25 9 Z" if isinstance(error, PathError) else _EXPECTED
            mend = "correct the attribute, or draw the shape again"
            self._refuse(element, f"<{name}>: {error}", expected, mend, marked_text(error))

    def _note(self, element: etree._Element, name: str) -> None:
        """Note what is not read: pictures, and attributes that hide a shape in part. Refuse an endless number."""
        number = element.get("data-number") or ("".join(map(str, element.itertext())) if name == "text" else "")
        if len(number) > MOST_IN_NUMBER and len(number.strip()) > MOST_IN_NUMBER:
            wrong = f"the number {quoted(number.strip())} is too long"
            self._refuse(element, wrong, f"up to {MOST_IN_NUMBER} characters", "shorten it", number.strip())
        ignored = [attribute for attribute in ("clip-path", "mask") if element.get(attribute, "none") != "none"]
        if name in IGNORED_ELEMENTS:
            ignored.append(name)
        self.ignored.extend((each, line_of(self.source, element)) for each in ignored)

    def _group(self, element: etree._Element, state: _State, name: str) -> Iterator[Mark]:
        if name == "svg":
            shift = np.eye(3)
            shift[:2, 2] = [length_px(element.get("x", "0")), length_px(element.get("y", "0"))]
            state = replace(state, matrix=joined(joined(state.matrix, shift), viewport(element)))
        yield from self.members(element, state)

    def _use(self, element: etree._Element, state: _State) -> Iterator[Mark]:
        target = (element.get("href") or element.get(XLINK_HREF) or "").strip()
        original = self.named.get(target[1:]) if target.startswith("#") else None
        if not self.budget.use() or original is None or target in state.uses or len(state.uses) > 8:
            end = "to nothing in this drawing" if original is None else "back to itself or to too many copies"
            wrong = f"<use> leads {end}: {quoted(target)}"
            self._refuse(element, wrong, "a # and the id of a shape", "draw the shape itself", target)
            return
        shift = np.eye(3)
        shift[:2, 2] = [length_px(element.get("x", "0")), length_px(element.get("y", "0"))]
        matrix = joined(state.matrix, shift)
        inner = replace(self._inherited(element, state), matrix=matrix, uses=(*state.uses, target))
        if etree.QName(original).localname == "symbol":
            given = (element.get("width"), element.get("height"))
            sizes = [None if size is None else length_px(size) for size in given]
            view = view_matrix(original.get("viewBox"), original.get("preserveAspectRatio"), sizes[0], sizes[1])
            yield from self.members(original, replace(inner, matrix=joined(inner.matrix, view)))
        else:
            yield from self._element(original, inner)

    def _inherited(self, element: etree._Element, state: _State) -> _State:
        own = {
            str(key)[5:]: str(value).strip() for key, value in element.attrib.items() if str(key).startswith("data-")
        }
        for key in sorted(set(own) - ATTRIBUTES):
            guess = nearest(key, ATTRIBUTES) if self.budget.guess() and len(self.mistakes) <= 50 else None
            if guess:
                self._refuse(
                    element,
                    f"the attribute data-{key} is not known",
                    f"data- and one of: {listed(ATTRIBUTES)}",
                    f"did you mean data-{guess}?",
                    f"data-{key}",
                )
        # A number is of one piece, so that a group does not hand it down.
        inherited = {key: value for key, value in state.data.items() if key != "number"}
        return replace(state, data={**inherited, **own})

    def _marks(self, element: etree._Element, name: str, state: _State) -> Iterator[Mark]:
        data = state.data
        kind = data.get("mark", "label" if name == "text" else "")
        if kind and kind not in KINDS:
            guess = nearest(kind, KINDS)
            mend = f"did you mean {guess!r}?" if guess else "correct it or take it out"
            self._refuse(element, f"the mark {quoted(kind)} is not known", f"one of: {listed(KINDS)}", mend, kind)
        elif name == "text" and kind not in _TEXTS:
            if element.get("data-mark"):
                wrong = f"a text cannot be marked as {kind}"
                self._refuse(element, wrong, f"one of: {listed(_TEXTS)}", "mark the line itself", kind)
            kind = "label"
        if kind == "none" or not state.visible or (kind and kind not in KINDS):
            return
        mark = Mark(
            kind,
            (),
            line_of(self.source, element),
            even_odd=state.even_odd,
            glass=data.get("glass") or None,
            grain=self.angle(element, data.get("grain")),
            number=data.get("number") or None,
            material=data.get("material") or None,
            part=data.get("part") or None,
        )
        if name == "text":
            text, at = read_label(element, state.matrix)
            yield replace(mark, number=mark.number or text or None, at=at)
            return
        if name in ("circle", "ellipse"):
            centre = [(length_px(element.get("cx", "0")), length_px(element.get("cy", "0")))]
            x, y = applied(state.matrix, np.array(centre))[0].tolist()
            mark = replace(mark, at=(x, y))
        runs = tuple(run.moved(state.matrix) for run in subpaths_of(element, name))
        if not runs and kind in ("ring", "open") and mark.at is not None:
            yield mark
        elif not runs and kind:
            wrong = f"what is marked as {kind} has no length"
            self._refuse(element, wrong, "a shape that can be seen", "draw it anew, or take it out", kind)
        closed = tuple(run for run in runs if run.closed)
        if kind in ("", "outline") and closed:
            yield replace(mark, kind="outline", runs=closed)
        for run in runs:
            if kind not in ("", "outline") or not run.closed:
                yield replace(mark, kind=kind if kind not in ("", "outline") else "line", runs=(run,))

    def angle(self, element: etree._Element, text: str | None) -> float | None:
        if text is None or text == "along":
            return None
        try:
            angle = float(text)
        except ValueError:
            angle = math.nan
        if not -360 <= angle <= 360:
            self._refuse(
                element,
                f"data-grain={quoted(text)} is not an angle",
                "degrees from -360 to 360, anticlockwise from horizontal",
                "write a plain number, such as 90 for upright",
                text,
            )
            return None
        return angle

    def _refuse(self, element: etree._Element, wrong: str, expected: str, mend: str, marked: str | None = None) -> None:
        place = self.source.place(line_of(self.source, element))
        self.mistakes.add(place, wrong=wrong, expected=expected, mend=mend, marked=marked)
