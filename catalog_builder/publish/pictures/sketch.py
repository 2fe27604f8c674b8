"""A line drawing that grows as it is drawn: it knows the box of all that is in it, texts too. Lengths in mm."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from html import escape

from catalog_builder.publish.pictures.svg_text import digits, view_box

# The width of a letter over its height, and its part under the line, for text in a plain typeface.
_LETTER, _UNDER = 0.56, 0.25

Place = tuple[float, float]


@dataclass(slots=True)
class Sketch:
    """Collects marks; ``text_mm`` is the height of its letters, ``line_mm`` the width of its lines."""

    text_mm: float
    line_mm: float
    marks: list[str] = field(default_factory=list)
    least: list[float] = field(default_factory=lambda: [float("inf")] * 2)
    most: list[float] = field(default_factory=lambda: [float("-inf")] * 2)

    def reach(self, *places: Place) -> None:
        """Make the box hold some places."""
        for place in places:
            for axis in (0, 1):
                self.least[axis] = min(self.least[axis], place[axis])
                self.most[axis] = max(self.most[axis], place[axis])

    def put(self, marks: str, *corners: Place) -> None:
        """Add marks that are written elsewhere, and the corners that they reach."""
        self.marks.append(marks)
        self.reach(*corners)

    def line(self, places: Sequence[Place], width: float = 1.0, dash: str = "") -> None:
        """Draw a line through places; ``width`` is in usual widths, ``dash`` in mm."""
        path = "M" + "L".join(f"{digits(x)} {digits(y)}" for x, y in places)
        dashes = f' stroke-dasharray="{dash}"' if dash else ""
        self.put(f'<path d="{path}" stroke-width="{digits(self.line_mm * width, 3)}"{dashes}/>', *places)

    def circle(self, at: Place, radius: float, filled: bool = False) -> None:
        """Draw a circle."""
        x, y = at
        fill = ' fill="currentColor"' if filled else ""
        self.put(
            f'<circle cx="{digits(x)}" cy="{digits(y)}" r="{digits(radius)}" '
            f'stroke-width="{digits(self.line_mm, 3)}"{fill}/>',
            (x - radius, y - radius),
            (x + radius, y + radius),
        )

    def arrow(self, tail: Place, tip: Place) -> None:
        """Draw an upright arrow."""
        self.line([tail, tip], 1.4)
        head = 0.5 * self.text_mm
        back = tip[1] + (head if tip[1] < tail[1] else -head)
        self.line([(tip[0] - 0.4 * head, back), tip, (tip[0] + 0.4 * head, back)], 1.4)

    def text(self, words: str, at: Place, anchor: str = "start") -> None:
        """Write words on a line; ``anchor`` is start, middle or end."""
        x, y = at
        width_mm = _LETTER * self.text_mm * len(words)
        left = x - width_mm * {"start": 0.0, "middle": 0.5, "end": 1.0}[anchor]
        self.put(
            f'<text x="{digits(x)}" y="{digits(y)}" text-anchor="{anchor}" fill="currentColor" stroke="none" '
            f'font-size="{digits(self.text_mm)}">{escape(words)}</text>',
            (left, y - self.text_mm),
            (left + width_mm, y + _UNDER * self.text_mm),
        )

    def measure(self, begin: Place, end: Place, words: str, off: float) -> None:
        """Draw a dimension from one place to another, set off from them: below a level one, right of an upright one."""
        tick = 0.35 * self.text_mm
        if begin[1] == end[1]:
            y = begin[1] + off
            for x in (begin[0], end[0]):
                self.line([(x, y - tick), (x, y + tick)])
            self.line([(begin[0], y), (end[0], y)])
            self.text(words, ((begin[0] + end[0]) / 2, y + 1.35 * self.text_mm), "middle")
        else:
            x = max(begin[0], end[0]) + off
            for y in (begin[1], end[1]):
                self.line([(x - tick, y), (x + tick, y)])
            self.line([(x, begin[1]), (x, end[1])])
            self.text(words, (x + 0.5 * self.text_mm, (begin[1] + end[1]) / 2 + 0.35 * self.text_mm))

    def svg(self, title: str, description: str, identity: str) -> str:
        """Give the whole drawing; ``identity`` keeps its names apart from others on the page."""
        margin = 0.4 * self.text_mm
        left, top = (value - margin for value in self.least)
        right, bottom = (value + margin for value in self.most)
        return (
            f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="{view_box(left, top, right, bottom)}" role="img" '
            f'aria-labelledby="{identity}-title {identity}-text"><title id="{identity}-title">{escape(title)}</title>'
            f'<desc id="{identity}-text">{escape(description)}</desc>'
            '<g fill="none" stroke="currentColor" stroke-linecap="round" stroke-linejoin="round">'
            f"{''.join(self.marks)}</g></svg>"
        )
