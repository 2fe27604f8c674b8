"""Products of several parts for tests: records whose parts are joined on to a pane at an angle."""

from __future__ import annotations

from collections.abc import Mapping

from tests.studio import BOX, GLASS, PANE, PANE_RING, record

# A pane of glass of 20 x 60 mm that is joined on by its left edge.
FIN = '<rect width="20" height="60" data-glass="left"/><line data-mark="join" x1="0" y1="0" x2="0" y2="60"/>'
FIN_BOX = 'width="20mm" height="60mm" viewBox="0 0 20 60"'


def join(x: float, y: float, u: float, v: float, part: str = "") -> str:
    """A join's mark, for one part or for all."""
    named = f' data-part="{part}"' if part else ""
    return f'<line data-mark="join"{named} x1="{x}" y1="{y}" x2="{u}" y2="{v}"/>'


RIGHT_EDGE, LEFT_EDGE, MIDDLE = join(100, 0, 100, 60), join(0, 0, 0, 60), join(50, 0, 50, 60)


def block(name: str, drawing: str = FIN, box: str = FIN_BOX) -> str:
    """A part's drawing as it stands in a record."""
    return f'\n```svg {name}\n<svg xmlns="http://www.w3.org/2000/svg" {box}>\n{drawing}\n</svg>\n```\n'


def parted(
    joins: str,
    parts: Mapping[str, str],
    main: str = PANE + PANE_RING,
    blocks: str | None = None,
    keys: str = "",
    box: str = BOX,
) -> str:
    """The text of a record of a pane with joins.

    ``parts`` are names with their keys; each is a fin where no blocks are given.
    """
    header = "parts:\n" + "".join(f"  {name}: {{{text}}}\n" for name, text in parts.items()) + keys
    drawings = "".join(block(name) for name in parts) if blocks is None else blocks
    return record(main + joins, box, GLASS, header) + drawings
