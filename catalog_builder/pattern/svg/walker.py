"""The walk through a drawing's tree that finds its marks. What a group carries, its members inherit."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace

import numpy as np
from lxml import etree

from catalog_builder.mistake import MistakeError, Mistakes, listed, nearest, quoted, suggestion
from catalog_builder.pattern.svg.background import covers
from catalog_builder.pattern.svg.budget import Budget
from catalog_builder.pattern.svg.curve import Points, applied
from catalog_builder.pattern.svg.fill import fill_of
from catalog_builder.pattern.svg.group import Group, group_of
from catalog_builder.pattern.svg.label import read_label
from catalog_builder.pattern.svg.mark import ATTRIBUTES, KINDS, Mark
from catalog_builder.pattern.svg.path import PathError, marked_text
from catalog_builder.pattern.svg.shape import subpaths_of
from catalog_builder.pattern.svg.style import has_stroke, is_seen, painted, read_rules, style_of
from catalog_builder.pattern.svg.tree import MOST_DEPTH, SVG, XLINK_HREF, line_of
from catalog_builder.pattern.svg.viewport import (
    Size,
    ViewportError,
    attribute_px,
    joined,
    transform,
    view_matrix,
    viewport,
)
from catalog_builder.records.reading.source import Source

_SHAPES = {"path", "line", "polyline", "polygon", "rect", "circle", "ellipse"}
# Elements and attributes that are not read, with the label that says so.
IGNORED = {
    "image": "element_ignored",
    "foreignObject": "element_ignored",
    "clip-path": "attribute_ignored",
    "mask": "attribute_ignored",
    "transform-origin": "origin_ignored",
}
_GROUPS = {"g", "a", "switch", "svg"}
# What a text can be marked as; any other mark of its group does not count for it.
_TEXTS = {"label", "ring", "open", "none"}
# Characters of a number: as many as can still be read on a piece.
MOST_IN_NUMBER = 60
EXPECTED = "numbers, lengths and transforms as SVG 2 writes them"


@dataclass(frozen=True, slots=True)
class State:
    """What a group hands down to its members."""

    matrix: Points
    data: Mapping[str, str]
    visible: bool
    view: Size | None
    even_odd: bool = False
    paint: Mapping[str, str] = field(default_factory=dict)
    uses: tuple[str, ...] = ()
    groups: tuple[Group, ...] = ()


class Walker:
    """Goes through the tree once, collecting marks and mistakes."""

    def __init__(self, source: Source, root: etree._Element) -> None:
        self.source = source
        self.mistakes = Mistakes()
        self.named = {element.get("id"): element for element in root.iter() if element.get("id")}
        self.rules = read_rules(root)
        self.ignored = [(selector, line_of(source, element)) for selector, element in self.rules.unread]
        self.unseen: list[int] = []
        self.page: Points | None = None
        self.page_rectangles: list[Mark] = []
        self.budget = Budget()
        self.depth = 0

    def members(self, element: etree._Element, state: State) -> Iterator[Mark]:
        """Give the marks of a group's members, in the group's ``state``."""
        state = self._inherited(element, state)
        self.depth += 1
        for child in element:
            if isinstance(child.tag, str) and child.tag.startswith(SVG):
                yield from self._element(child, state)
        self.depth -= 1

    def _element(self, element: etree._Element, state: State) -> Iterator[Mark]:
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
            self._note(element, name, style)
            own = self.styled(state, style)
            if name in _GROUPS:
                yield from self._group(element, own, name)
            elif name == "use":
                yield from self._use(element, own)
            elif name in _SHAPES or name == "text":
                yield from self._marks(element, name, self._inherited(element, own), style)
        except (ViewportError, PathError) as error:
            expected = "path data such as M5 5 L25 5 C30 5 30 9 25 9 Z" if isinstance(error, PathError) else EXPECTED
            mend = "correct the attribute, or draw the shape again"
            self._refuse(element, f"<{name}>: {error}", expected, mend, marked_text(error))

    def styled(self, state: State, style: Mapping[str, str]) -> State:
        """Give what an element of a style hands down.

        Raises:
            ViewportError: its transform cannot be read.
        """
        return replace(
            state,
            even_odd=style.get("fill-rule", "evenodd" if state.even_odd else "") == "evenodd",
            matrix=joined(state.matrix, transform(style["transform"])) if "transform" in style else state.matrix,
            visible=style.get("visibility", "visible" if state.visible else "hidden") not in ("hidden", "collapse"),
            paint=painted(state.paint, style),
        )

    def _note(self, element: etree._Element, name: str, style: Mapping[str, str]) -> None:
        """Note what is not read: pictures, and attributes that hide a shape in part. Refuse an endless number."""
        number = element.get("data-number") or ("".join(map(str, element.itertext())) if name == "text" else "")
        if len(number) > MOST_IN_NUMBER and len(number.strip()) > MOST_IN_NUMBER:
            wrong = f"the number {quoted(number.strip())} is too long"
            self._refuse(element, wrong, f"up to {MOST_IN_NUMBER} characters", "shorten it", number.strip())
        ignored = [key for key in IGNORED if key == name or style.get(key, "none") != "none"]
        self.ignored.extend((each, line_of(self.source, element)) for each in ignored)

    def _group(self, element: etree._Element, state: State, name: str) -> Iterator[Mark]:
        if name == "svg":
            shift = np.eye(3)
            shift[:2, 2] = [attribute_px(element, name, state.view) for name in ("x", "y")]
            matrix, view = viewport(element, state.view)
            state = replace(state, matrix=joined(joined(state.matrix, shift), matrix), view=view)
        if name == "g" and (group := group_of(element)) is not None:
            state = replace(state, groups=(*state.groups, group))
        yield from self.members(element, state)

    def _use(self, element: etree._Element, state: State) -> Iterator[Mark]:
        target = (element.get("href") or element.get(XLINK_HREF) or "").strip()
        original = self.named.get(target[1:]) if target.startswith("#") else None
        if not self.budget.use() or original is None or target in state.uses or len(state.uses) > 8:
            end = "to nothing in this drawing" if original is None else "back to itself or to too many copies"
            wrong = f"<use> leads {end}: {quoted(target)}"
            self._refuse(element, wrong, "a # and the id of a shape", "draw the shape itself", target)
            return
        shift = np.eye(3)
        shift[:2, 2] = [attribute_px(element, name, state.view) for name in ("x", "y")]
        matrix = joined(state.matrix, shift)
        inner = replace(self._inherited(element, state), matrix=matrix, uses=(*state.uses, target))
        if etree.QName(original).localname == "symbol":
            sizes = [
                None if element.get(name) is None else attribute_px(element, name, state.view)
                for name in ("width", "height")
            ]
            view = view_matrix(original.get("viewBox"), original.get("preserveAspectRatio"), sizes[0], sizes[1])
            yield from self.members(original, replace(inner, matrix=joined(inner.matrix, view)))
        else:
            yield from self._element(original, inner)

    def _inherited(self, element: etree._Element, state: State) -> State:
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

    def _kind(self, element: etree._Element, name: str, data: Mapping[str, str]) -> str | None:
        """Give the kind of an element's mark, empty where it has none, None where that is not known."""
        kind = data.get("mark", "label" if name == "text" else "")
        if kind and kind not in KINDS:
            mend = suggestion(kind, KINDS, "correct it or take it out")
            self._refuse(element, f"the mark {quoted(kind)} is not known", f"one of: {listed(KINDS)}", mend, kind)
            return None
        if name == "text" and kind not in _TEXTS:
            if element.get("data-mark"):
                wrong = f"a text cannot be marked as {kind}"
                self._refuse(element, wrong, f"one of: {listed(_TEXTS)}", "mark the line itself", kind)
            return "label"
        return kind

    def _marks(self, element: etree._Element, name: str, state: State, style: Mapping[str, str]) -> Iterator[Mark]:
        data = state.data
        kind = self._kind(element, name, data)
        if kind in (None, "none") or not state.visible:
            return
        if not kind and not self.rules.unread and not is_seen(state.paint):
            self.unseen.append(line_of(self.source, element))
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
            fill=fill_of(state.paint, self.named),
            groups=state.groups,
        )
        if name == "text":
            text, at = read_label(element, state.matrix, state.view)
            yield replace(mark, number=mark.number or text or None, at=at)
            return
        if name in ("circle", "ellipse"):
            centre = [[attribute_px(element, axis, state.view) for axis in ("cx", "cy")]]
            x, y = applied(state.matrix, np.array(centre))[0].tolist()
            mark = replace(mark, at=(x, y))
        runs = tuple(run.moved(state.matrix) for run in subpaths_of(element, name, state.view))
        if not runs and kind in ("ring", "open") and mark.at is not None:
            yield mark
        elif not runs and kind:
            wrong = f"what is marked as {kind} has no length"
            self._refuse(element, wrong, "a shape that can be seen", "draw it again, or take it out", kind)
        closed = tuple(run for run in runs if run.closed)
        if kind in ("", "outline") and closed:
            outline = replace(mark, kind="outline", runs=closed)
            if kind == "" and "fill" in style and self._is_page_rectangle(element, outline, state):
                self.page_rectangles.append(outline)
            yield outline
        for run in runs:
            if kind not in ("", "outline") or not run.closed:
                yield replace(mark, kind=kind if kind not in ("", "outline") else "line", runs=(run,))

    def _is_page_rectangle(self, element: etree._Element, outline: Mark, state: State) -> bool:
        """Say whether an outline is a filled rectangle as large as the page, without a line or a mark of its own."""
        if self.page is None or len(outline.runs) > 1 or has_stroke(state.paint):
            return False
        marked = any(str(name).startswith("data-") for name in element.attrib)
        return not marked and covers(outline.runs[0], self.page)

    def angle(self, element: etree._Element, text: str | None) -> float | None:
        """Give the angle of a grain in degrees, None for one along the piece."""
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
