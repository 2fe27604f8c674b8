"""Cut sheets for the bench: a plan's layout true to scale, each piece with its number on the pattern sheet. Private."""

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
from catalog_builder.phrase import Number, Phrase, phrase, quantity
from catalog_builder.planning.plan_layout import PlanGlass
from catalog_builder.publish.bench.bench_writer import BenchWriter
from catalog_builder.publish.output.folder import Folder
from catalog_builder.publish.sheets.piece_mark import Lettered, letter
from catalog_builder.publish.sheets.tiles import FOOT_MM, HEAD_MM, MARGIN_MM, OVERLAP_MM, Tile, Tiling, lay_tiles
from catalog_builder.publish.theme.wording import Wording
from catalog_builder.records.kept_layout import KeptLayout, LaidSheet, PieceKey
from catalog_builder.records.studio_tables.paper import PAPERS_MM
from catalog_builder.units import exact

# Less than a printer's dot; and the white that is printed round the glass.
_SIMPLER_MM, _WHITE_MM = 0.01, 2.0

# Stands after the number of a piece that is cut as its mirror image.
MIRRORED = "*"
# Stands after the number of a piece that is cut face down.
FACE_DOWN = "↓"

Line = list[tuple[float, float]]


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawnSheet:
    """A sheet of glass as lines: places in mm from the corner of a frame that is ``_WHITE_MM`` outside the sheet."""

    width: float
    height: float
    edges: list[Line]
    offcut: list[Line]
    pieces: list[Line]
    spares: list[Line]
    numbers: list[Lettered]
    shapes: tuple[Polygon, ...]


Design = tuple[str, str, str]


def design_letters(plan_glass: PlanGlass) -> dict[Design, str]:
    """Give a letter to each drawing of a plan (product, size and part), in its order; none where there is but one."""
    designs = list(
        dict.fromkeys(
            (ordered.product.slug, ordered.size, part.name)
            for ordered, variant in plan_glass.ordered_variants
            for part in variant.made.parts
        )
    )
    if len(designs) == 1:
        return {designs[0]: ""}
    return {design: _letters(number) for number, design in enumerate(designs)}


def _letters(number: int) -> str:
    more, last = divmod(number, len(ascii_uppercase))
    return (_letters(more - 1) if more else "") + ascii_uppercase[last]


def marked(key: PieceKey, letters: Mapping[Design, str]) -> str:
    """Give a piece's number as it stands on the cut sheet: its drawing's letter before it, a star if it is mirrored."""
    return f"{letters[key.design]}{key.number}{MIRRORED if key.mirrored else ''}"


def sides_text(width_mm: float, height_mm: float, wording: Wording) -> str:
    """Give two sides in mm, whatever buyers read: the bench cuts by a rule."""
    return f"{wording.number(exact(width_mm, 0), 0)} × {wording.quantity(quantity(height_mm, 'mm'))}"


def write_cut_sheets(plan_glass: PlanGlass, layout: KeptLayout, writer: BenchWriter, folder: Folder, name: str) -> None:
    """Write the cut sheets of a plan as a PDF, drawn again only where the plan, its glass or its layout changed."""

    def pdf() -> bytes:
        return writer.sheet("bench/cut_sheet.typ", cut_sheet_data(plan_glass, layout, writer)).pdf()

    folder.make(name, writer.key("cut_sheets", plan_glass.plan.keys, plan_glass.key), pdf)


def cut_sheet_data(plan_glass: PlanGlass, layout: KeptLayout, writer: BenchWriter) -> dict[str, Any]:
    """Gather what the template prints: words ready-made, places in mm."""
    wording, letters = writer.wording, design_letters(plan_glass)
    glasses = {glass.material.material: glass for glass in plan_glass.glasses}
    designs = {
        (ordered.product.slug, ordered.size, part.name): (variant, part)
        for ordered, variant in plan_glass.ordered_variants
        for part in variant.made.parts
    }
    return {
        "labels": writer.labels("cut_sheet"),
        "title": plan_glass.plan.keys.title,
        "facts": writer.say("cut_sheet.laid_on", day=layout.laid_on),
        "overlap": writer.say("cut_sheet.overlap", overlap=Number(Decimal(OVERLAP_MM))),
        "day": wording.plain_day(writer.day),
        "page": {"margin": MARGIN_MM, "head": HEAD_MM, "foot": FOOT_MM},
        "paper": dict(zip(("width", "height"), PAPERS_MM[writer.studio.studio.paper], strict=True)),
        "designs": [
            {
                "letter": letters[design],
                "title": variant.product.keys.title,
                "size": ", ".join(word for word in (variant.offer.size, _part_text(part.name, writer)) if word),
            }
            for design, (variant, part) in designs.items()
        ],
        "sheets": [
            _sheet(glasses[laid.material], sheet, letters, _place_text(number, len(laid.sheets), writer), writer)
            for laid in layout.glasses
            for number, sheet in enumerate(laid.sheets, 1)
        ],
    }


def _part_text(name: str, writer: BenchWriter) -> str:
    return writer.say("cut_sheet.part", part=name.replace("-", " ").replace("_", " ")) if name else ""


def _place_text(number: int, count: int, writer: BenchWriter) -> str:
    """Say which of a glass's sheets one is; empty where there is but one."""
    return writer.say("cut_sheet.sheet", number=number, count=count) if count > 1 else ""


def _sheet(
    glass: BatchGlass, sheet: LaidSheet, letters: Mapping[Design, str], place: str, writer: BenchWriter
) -> dict[str, Any]:
    """Word and draw one sheet of glass; tiles of paper on which no piece lies are left out."""
    wording, making = writer.wording, writer.studio.making
    drawn = draw_sheet(glass, sheet, letters)
    tiling = lay_tiles(drawn.width, drawn.height, writer.studio.studio.paper)
    rest = offcut_of(sheet, making.offcut_mm)
    size: Phrase = phrase(
        "cut_sheet.offcut_size" if sheet.offcut else "cut_sheet.sheet_size",
        size=sides_text(sheet.width_mm, sheet.height_mm, wording),
    )
    return {
        "title": glass.material.title,
        "place": place,
        "facts": writer.say(
            "cut_sheet.facts",
            sheet=size,
            pieces=sum(not piece.spare for piece in sheet.pieces),
            spares=sum(piece.spare for piece in sheet.pieces),
            clearance=Number(making.cutting_clearance_mm, 1),
        ),
        "tile_facts": writer.say("cut_sheet.tile_facts", sheet=size),
        "rest": writer.say("cut_sheet.keep", size=sides_text(*rest, wording)) if rest else "",
        "grain": glass.material.sheet_grain if glass.material.has_grain else "",
        "whole": {"width": sheet.width_mm, "height": sheet.height_mm, "used": sheet.used_mm},
        "white": _WHITE_MM,
        "drawing": {name: getattr(drawn, name) for name in ("width", "height", "edges", "offcut", "pieces", "spares")},
        "paper": {"width": tiling.paper_width, "height": tiling.paper_height},
        "tiles": [_tile(tiling, tile, drawn, writer) for tile in tiling.tiles if _has_glass(tile, drawn)],
    }


def draw_sheet(glass: BatchGlass, sheet: LaidSheet, letters: Mapping[Design, str]) -> DrawnSheet:
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
        letter(f"{marked(piece.key, letters)}{FACE_DOWN if piece.face_down else ''}", shape).moved(_WHITE_MM, _WHITE_MM)
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
    # What lies wholly in the overlap is printed on the neighbour too, but a line through it must not be left out.
    paper = shapely.box(tile.left, tile.top, tile.left + tile.width, tile.top + tile.height)
    return bool(shapely.intersects(paper, drawn.shapes).any())


def _tile(tiling: Tiling, tile: Tile, drawn: DrawnSheet, writer: BenchWriter) -> dict[str, Any]:
    several = len(tiling.tiles) > 1
    return {
        **asdict(tile),
        "place": writer.say("pattern_sheet.place", row=tile.row, column=tile.column) if several else "",
        "letters": [asdict(number) for number in drawn.numbers if tile.holds(*number.box)],
        "crosses": tiling.crosses(tile),
        "joins": [
            {**asdict(join), "text": writer.say("pattern_sheet.meets", row=join.row, column=join.column)}
            for join in tiling.joins(tile)
        ],
    }
