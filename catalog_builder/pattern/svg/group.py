"""The groups of a drawing that have a name: layers of a drawing program, and plain groups with an id."""

from __future__ import annotations

from typing import NamedTuple

from lxml import etree

_PROGRAM = "{http://www.inkscape.org/namespaces/inkscape}"


class Group(NamedTuple):
    """A group by its name; ``layer`` where the drawing program calls it one."""

    name: str
    layer: bool


def group_of(element: etree._Element) -> Group | None:
    """Give the group that an element of SVG opens, None where nobody named it.

    Source: drawing programs mark a layer by ``inkscape:groupmode="layer"``, and write what the maker calls a group
    into ``inkscape:label``; both are open attributes of the files. Other programs write it into ``id``.
    """
    layer = element.get(f"{_PROGRAM}groupmode") == "layer"
    name = (element.get(f"{_PROGRAM}label") or element.get("id") or "").strip()
    return Group(name, layer) if name else None
