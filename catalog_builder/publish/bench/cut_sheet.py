"""Cut sheets for the bench: a plan's layout true to scale, each piece under its pattern sheet's number. Private."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict, dataclass
from decimal import Decimal
from string import ascii_uppercase
from typing import Any

import shapely
from shapely import Polygon

from catalog_builder.making.cutting_list import BatchGlass
from catalog_builder.making.glass_share import offcut_of
from catalog_builder.making.sheet_layout import placed_shape
from catalog_builder.planning.plan_layout import PlanGlass
from catalog_builder.publish.sheets.piece_mark import Lettered, letter
from catalog_builder.publish.sheets.tiles import FOOT_MM, HEAD_MM, MARGIN_MM, OVERLAP_MM, Tile, Tiling, lay_tiles
from catalog_builder.publish.sheets.typeset import typeset
from catalog_builder.publish.theme.loading import Theme
from catalog_builder.publish.theme.wording import Wording
from catalog_builder.records.content import Content
from catalog_builder.records.kept_layout import LaidSheet, PieceKey
from catalog_builder.records.paper import PAPERS_MM
from catalog_builder.units import exact

# Less than a printer's dot; and the white that is printed round the glass.
_SIMPLER_MM, _WHITE_MM = 0.01, 2.0

# Stands after the number of a piece that is cut as its mirror image.
MIRRORED = "*"

Line = list[tuple[float, float]]


@dataclass(frozen=True, slots=True)
class DrawnSheet:
    """A sheet of glass as lines: places in mm from the frame's corner, which is ``_WHITE_MM`` out of the sheet's."""

    width: float
    height: float
    edges: list[Line]
    offcut: list[Line]
    pieces: list[Line]
    spares: list[Line]
    numbers: list[Lettered]
    shapes: tuple[Polygon, ...]


def design_letters(found: PlanGlass) -> dict[tuple[str, str, str], str]:
    """Give a letter to each drawing of a plan (product, size and part), in its order; none where there is but one."""
    wanted = found.wanted
    designs = list(
        dict.fromkeys((row.product.slug, row.size, part.name) for row, one in wanted for part in one.made.parts)
    )
    if len(designs) == 1:
        return {designs[0]: ""}
    return {design: _letters(number) for number, design in enumerate(designs)}


def marked(key: PieceKey, letters: Mapping[tuple[str, str, str], str]) -> str:
    """Give a piece's number as it stands on the cut sheet: its drawing's letter before it, a star if it is mirrored."""
    return f"{letters[key.design]}{key.number}{MIRRORED if key.mirrored else ''}"


def _letters(number: int) -> str:
    more, last = divmod(number, len(ascii_uppercase))
    return (_letters(more - 1) if more else "") + ascii_uppercase[last]


def cut_sheets(content: Content, found: PlanGlass, theme: Theme) -> bytes:
    """Make the cut sheets of a plan that has a layout as a PDF: the same bytes for the same content and day."""
    return typeset(theme, "bench/cut_sheet.typ", _sheets(content, found, theme), content.day)


def _sheets(content: Content, found: PlanGlass, theme: Theme) -> dict[str, Any]:
    """Gather what the template prints: words ready-made, places in mm."""
    keys, wording = content.studio.studio, Wording.of(content.studio.studio)
    if found.layout is None:
        raise ValueError(found.plan.name)
    letters = design_letters(found)
    by_name = {glass.material.material: glass for glass in found.glasses}
    designs = {
        (ordered.product.slug, ordered.size, flat.name): (one, flat)
        for ordered, one in found.wanted
        for flat in one.made.flats
    }
    counted: dict[str, int] = {}
    sheets = []
    for laid in found.layout.glasses:
        for sheet in laid.sheets:
            counted[laid.material] = counted.get(laid.material, 0) + 1
            words = {"number": counted[laid.material], "count": len(laid.sheets)}
            sheets.append(_sheet(content, by_name[laid.material], sheet, letters, words, theme))
    return {
        "labels": theme.labels["cut_sheet"],
        "language": keys.language,
        "title": found.plan.keys.title,
        "facts": theme.words("cut_sheet", "laid_on", day=wording.plain_day(found.layout.laid_on)),
        "overlap": theme.words("cut_sheet", "overlap", overlap=wording.number(Decimal(OVERLAP_MM), 0)),
        "studio": keys.name,
        "day": wording.plain_day(content.day),
        "page": {"margin": MARGIN_MM, "head": HEAD_MM, "foot": FOOT_MM},
        "paper": dict(zip(("width", "height"), PAPERS_MM[keys.paper], strict=True)),
        "designs": [
            {
                "letter": letters[design],
                "title": one.product.keys.title,
                "size": ", ".join(word for word in (one.offer.size, _part(flat.name, theme)) if word),
            }
            for design, (one, flat) in designs.items()
        ],
        "sheets": sheets,
    }


def _part(name: str, theme: Theme) -> str:
    return theme.words("cut_sheet", "part", part=name.replace("-", " ").replace("_", " ")) if name else ""


def _sheet(
    content: Content,
    glass: BatchGlass,
    sheet: LaidSheet,
    letters: Mapping[tuple[str, str, str], str],
    words: Mapping[str, int],
    theme: Theme,
) -> dict[str, Any]:
    """Word and draw one sheet of glass; tiles of paper on which no piece lies are left out."""
    wording = Wording.of(content.studio.studio)
    drawn = draw_sheet(glass, sheet, letters)
    tiling = lay_tiles(drawn.width, drawn.height, content.studio.studio.paper)
    kept = offcut_of(sheet, content.studio.making.offcut_mm)
    size = _size(sheet.width_mm, sheet.height_mm, wording)
    bare = "offcut_size" if sheet.offcut else "sheet_size"
    return {
        "title": glass.material.title,
        "place": theme.words("cut_sheet", "sheet", **words) if words["count"] > 1 else "",
        "facts": theme.words(
            "cut_sheet",
            "facts",
            sheet=theme.words("cut_sheet", bare, size=size),
            pieces=sum(not piece.spare for piece in sheet.pieces),
            spares=sum(piece.spare for piece in sheet.pieces),
            clearance=wording.number(content.studio.making.cutting_clearance_mm, 1),
        ),
        "tile_facts": theme.words("cut_sheet", "tile_facts", sheet=theme.words("cut_sheet", bare, size=size)),
        "rest": theme.words("cut_sheet", "keep", size=_size(*kept, wording)) if kept else "",
        "grain": glass.material.sheet_grain if glass.material.has_grain else "",
        "whole": {"width": sheet.width_mm, "height": sheet.height_mm, "used": sheet.used_mm},
        "white": _WHITE_MM,
        "drawing": {name: getattr(drawn, name) for name in ("width", "height", "edges", "offcut", "pieces", "spares")},
        "paper": {"width": tiling.paper_width, "height": tiling.paper_height},
        "tiles": [_tile(theme, tiling, tile, drawn) for tile in tiling.tiles if _has_glass(tile, drawn)],
    }


def draw_sheet(glass: BatchGlass, sheet: LaidSheet, letters: Mapping[tuple[str, str, str], str]) -> DrawnSheet:
    """Draw the part of a sheet that is cut up, from its upper left corner on."""
    by_key = {piece.key: piece for piece in glass.pieces}
    shapes = [placed_shape(piece, by_key) for piece in sheet.pieces]
    right = sheet.used_mm
    low = float(shapely.total_bounds(shapes)[3]) + _WHITE_MM
    bottom = min(sheet.height_mm, low)
    edges: list[Line] = [[_at(right, 0.0), _at(0.0, 0.0), _at(0.0, bottom)]]
    if bottom == sheet.height_mm:
        edges.append([_at(0.0, bottom), _at(right, bottom)])
    cut = [[_at(right, 0.0), _at(right, bottom)]]
    whole = right >= sheet.width_mm
    numbers = [
        letter(marked(piece.key, letters), shape).moved(_WHITE_MM, _WHITE_MM)
        for piece, shape in zip(sheet.pieces, shapes, strict=True)
    ]
    return DrawnSheet(
        width=round(right + 2 * _WHITE_MM, 2),
        height=round(bottom + 2 * _WHITE_MM, 2),
        edges=edges + cut if whole else edges,
        offcut=[] if whole else cut,
        pieces=[_ring(shape) for piece, shape in zip(sheet.pieces, shapes, strict=True) if not piece.spare],
        spares=[_ring(shape) for piece, shape in zip(sheet.pieces, shapes, strict=True) if piece.spare],
        numbers=numbers,
        shapes=tuple(shapely.affinity.translate(shape, _WHITE_MM, _WHITE_MM) for shape in shapes),
    )


def _ring(shape: Polygon) -> Line:
    ring = shapely.simplify(shape.exterior, _SIMPLER_MM)
    return [_at(x, y) for x, y in shapely.get_coordinates(ring).tolist()]


def _at(x: float, y: float) -> tuple[float, float]:
    """Give a place of the sheet as one of the frame, rounded to a hundredth, without a negative zero."""
    return round(x + _WHITE_MM, 2) + 0.0, round(y + _WHITE_MM, 2) + 0.0


def _has_glass(tile: Tile, drawn: DrawnSheet) -> bool:
    # What lies wholly in the overlap is printed on the neighbour too, but a line through it must not lack.
    shown = shapely.box(tile.left, tile.top, tile.left + tile.width, tile.top + tile.height)
    return bool(shapely.intersects(shown, drawn.shapes).any())


def _tile(theme: Theme, tiling: Tiling, tile: Tile, drawn: DrawnSheet) -> dict[str, Any]:
    several = len(tiling.tiles) > 1
    return {
        **asdict(tile),
        "place": theme.words("pattern_sheet", "place", row=tile.row, column=tile.column) if several else "",
        "letters": [asdict(one) for one in drawn.numbers if tile.holds(*one.box)],
        "crosses": tiling.crosses(tile),
        "joins": [
            {**asdict(join), "text": theme.words("pattern_sheet", "meets", row=join.row, column=join.column)}
            for join in tiling.joins(tile)
        ],
    }


def _size(width_mm: float, height_mm: float, wording: Wording) -> str:
    """Give the sides of a sheet in mm, whatever buyers read: the bench cuts by a rule."""
    return f"{wording.number(exact(width_mm, 0), 0)} × {wording.number(exact(height_mm, 0), 0)} mm"
