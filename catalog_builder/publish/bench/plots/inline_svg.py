"""A plot as SVG that stands inside a page, with words for screen readers."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from markupsafe import Markup, escape

from catalog_builder.publish.pictures.svg_text import view_box

# The height of a plot's letters, in pixels.
LETTERS_PX = 13


@dataclass(frozen=True, slots=True, kw_only=True)
class Caption:
    """A plot's title and a text that says what it shows, for screen readers; ``name`` is unique on its page."""

    name: str
    title: str
    text: str


def inlined(marks: Iterable[Markup], size: tuple[float, float], caption: Caption | str) -> Markup:
    """Give marks as SVG of a width and height to stand inside a page.

    A mere name in place of a caption makes it a mark beside words, hidden from screen readers.
    """
    drawn = Markup().join(marks)
    head = Markup('<svg xmlns="http://www.w3.org/2000/svg" viewBox="{}"').format(view_box(0, 0, *size))
    if isinstance(caption, str):
        return Markup('{} class="key" aria-hidden="true">{}</svg>').format(head, drawn)
    name = escape(caption.name)
    return Markup(
        '{head} class="plot" role="img" aria-labelledby="{name}-title {name}-text"><title id="{name}-title">{title}'
        '</title><desc id="{name}-text">{text}</desc><g style="font-size: {letters}px">{drawn}</g></svg>'
    ).format(head=head, name=name, title=caption.title, text=caption.text, letters=LETTERS_PX, drawn=drawn)
