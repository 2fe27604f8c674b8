"""Slips with cautions to cut out and give along with a piece: one kind for each set of cautions.

Lengths are mm from the page's upper left corner.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict, dataclass
from datetime import date

from catalog_builder.offer import Listing
from catalog_builder.publish.output.folder import Folder
from catalog_builder.publish.sheets.pagination import in_parts
from catalog_builder.publish.sheets.typeset import TypesetSheet
from catalog_builder.publish.theme.caution_lines import caution_lines
from catalog_builder.publish.theme.loading import Theme
from catalog_builder.publish.theme.wording import Wording
from catalog_builder.records.studio_tables.paper import PAPERS_MM, Paper
from catalog_builder.records.studio_tables.studio_keys import StudioKeys

# Printers at home leave the outermost 4 to 6 mm blank: common practice, no source.
MARGIN_MM = 10.0
# Cut marks stand in the margin: from so far off the edge, so long.
MARK_FROM_MM = 6.0
MARK_MM = 3.0
# How many stand beside and below each other, most a page first; the first that holds the words is taken.
GRIDS = ((2, 2), (1, 2), (1, 1))
SIZES_PT = (10.0, 9.5, 9.0, 8.5)
# As many names as a slip has room for beside its cautions; more products make a further kind.
MOST_NAMES = 24
# As many slips, each on a page of its own, stand in one file.
SLIPS = 60


@dataclass(frozen=True, slots=True, kw_only=True)
class Slip:
    """A kind of slip: the products that it goes with, in order of their titles, and the cautions on it."""

    titles: tuple[str, ...]
    cautions: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Grid:
    """How a page is cut: the corners of its slips, their size, and each cut mark as two points."""

    places: tuple[tuple[float, float], ...]
    width: float
    height: float
    marks: tuple[tuple[tuple[float, float], tuple[float, float]], ...]


def slips_of(listings: Sequence[Listing], theme: Theme) -> tuple[Slip, ...]:
    """Give a slip for each set of cautions, those of the most products first; every product is on one."""
    kinds: dict[tuple[str, ...], list[str]] = {}
    for listing in listings:
        kinds.setdefault(caution_lines(listing, theme), []).append(listing.title)
    ordered = sorted(
        ((sorted(titles), lines) for lines, titles in kinds.items()), key=lambda kind: (-len(kind[0]), kind)
    )
    return tuple(
        Slip(titles=tuple(titles[begin : begin + MOST_NAMES]), cautions=lines)
        for titles, lines in ordered
        for begin in range(0, len(titles), MOST_NAMES)
    )


def grid(paper: Paper, columns: int, rows: int) -> Grid:
    """Part a page of ``A4`` or ``Letter`` within its margins; neighbours share a cut."""
    page_width, page_height = PAPERS_MM[paper]
    width, height = (page_width - 2 * MARGIN_MM) / columns, (page_height - 2 * MARGIN_MM) / rows
    across = [MARGIN_MM + width * column for column in range(columns + 1)]
    down = [MARGIN_MM + height * row for row in range(rows + 1)]
    ends = MARK_FROM_MM, MARK_FROM_MM + MARK_MM
    marks = [((x, begin), (x, end)) for x in across for begin, end in (ends, [page_height - side for side in ends])]
    marks += [((begin, y), (end, y)) for y in down for begin, end in (ends, [page_width - side for side in ends])]
    return Grid(
        places=tuple((x, y) for y in down[:-1] for x in across[:-1]), width=width, height=height, marks=tuple(marks)
    )


def write_slips(studio: StudioKeys, listings: Sequence[Listing], theme: Theme, day: date, folder: Folder) -> None:
    """Write ``care_slips.pdf``, and ``care_slips-2.pdf`` and so on."""
    for part, slips in in_parts(slips_of(listings, theme), SLIPS):
        slip_sheet(studio, slips, theme, day, several=part.count > 1).write(folder, part.name("care_slips.pdf"))


def slip_sheet(
    studio: StudioKeys, slips: Sequence[Slip], theme: Theme, day: date, *, several: bool = False
) -> TypesetSheet:
    """Give slips to typeset, a page for each kind."""
    data = {
        "labels": theme.labels["slip"],
        "language": studio.language,
        "studio": {"name": studio.name},
        "care": theme.labels["slip"]["care"],
        "address": f"{studio.address}care.html",
        "sender": " · ".join((studio.email, Wording.of(studio).plain_day(day))),
        "paper": dict(zip(("width", "height"), PAPERS_MM[studio.paper], strict=True)),
        "grids": [asdict(grid(studio.paper, columns, rows)) for columns, rows in GRIDS],
        "sizes": SIZES_PT,
        "slips": [
            {"titles": theme.words("slip", "titles", titles=" · ".join(slip.titles)), "cautions": slip.cautions}
            for slip in slips
        ],
    }
    return TypesetSheet(theme=theme, template="stall/care_slips.typ", data=data, day=day, several=several)
