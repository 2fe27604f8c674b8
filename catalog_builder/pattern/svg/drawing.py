"""A drawing as its marks: outlines, lines, the fold, rings, wires, labels, all in one plane.

The maker's own marks stand in ``data-`` attributes, which every drawing program keeps.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from catalog_builder.mistake import MistakeError, Place
from catalog_builder.pattern.svg.background import is_frame
from catalog_builder.pattern.svg.curve import applied
from catalog_builder.pattern.svg.mark import Mark
from catalog_builder.pattern.svg.path import marked_text
from catalog_builder.pattern.svg.style import style_of
from catalog_builder.pattern.svg.tree import line_of, parse
from catalog_builder.pattern.svg.viewport import MM_PER_PX, ViewportError, numbers, viewport
from catalog_builder.pattern.svg.walker import EXPECTED, State, Walker
from catalog_builder.records.reading.source import Source, place_in


@dataclass(frozen=True, slots=True)
class Drawing:
    """All marks in the order of the drawing; ``glass`` and ``grain`` are the whole drawing's own.

    ``physical``: the marks are in mm. ``ignored`` has the names of elements, attributes and rules of style sheets that
    are not read, each with its line; ``unseen`` and ``backgrounds`` the lines of shapes that no paint shows, and of
    rectangles behind the whole page. A mark that ``record`` sets counts its line below zero.
    """

    marks: tuple[Mark, ...]
    physical: bool
    glass: str | None
    grain: float | None
    source: Source
    ignored: tuple[tuple[str, int], ...] = ()
    unseen: tuple[int, ...] = ()
    backgrounds: tuple[int, ...] = ()
    record: Source | None = None

    def place(self, line: int | None) -> Place:
        """Give the place of a mark by its line."""
        return place_in(self.record or self.source, self.source, line)


def read_drawing(source: Source) -> Drawing:
    """Read an SVG text as marks.

    Raises:
        MistakeError: with every element that cannot be read.
    """
    root = parse(source)
    sizes = (root.get(name, "").strip() for name in ("width", "height"))
    physical = any(size and not size.endswith("%") for size in sizes)
    walker = Walker(source, root)
    try:
        matrix, view = viewport(root)
    except ViewportError as error:
        place, marked = source.place(line_of(source, root)), marked_text(error)
        mend = "correct the attribute"
        raise MistakeError.at(place, wrong=str(error), expected=EXPECTED, mend=mend, marked=marked) from None
    if physical:
        matrix = np.diag([MM_PER_PX, MM_PER_PX, 1.0]) @ matrix
    if view is not None:
        left, top = numbers(root.get("viewBox", "0 0"))[:2]
        walker.page = applied(matrix, np.array([[left, top], [left + view[0], top + view[1]]]))
    style = {name: value for name, value in style_of(root, walker.rules).items() if name != "transform"}
    marks = tuple(walker.members(root, walker.styled(State(matrix, {}, visible=True, view=view), style)))
    backgrounds = [mark for mark in walker.page_rectangles if not is_frame(mark, marks)]
    marks = tuple(mark for mark in marks if not any(mark is background for background in backgrounds))
    glass, grain = root.get("data-glass") or None, walker.angle(root, root.get("data-grain"))
    walker.mistakes.raise_if_any()
    lines = tuple(mark.line for mark in backgrounds)
    return Drawing(marks, physical, glass, grain, source, tuple(walker.ignored), tuple(walker.unseen), lines)
