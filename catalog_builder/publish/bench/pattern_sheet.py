"""Pattern sheets for the bench: each size of a product true to scale, its pieces numbered and listed. Private."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import asdict, dataclass, fields
from decimal import Decimal
from functools import partial
from typing import Any

from babel.numbers import format_decimal

from catalog_builder.cache.atomic_file import digest_of
from catalog_builder.cache.store import Store, key_of
from catalog_builder.offer import size_title
from catalog_builder.pattern.cuts import Cut
from catalog_builder.pattern.parts.flat_part import FlatPart
from catalog_builder.piece.assembly import AssembledPiece
from catalog_builder.piece.made_piece import Copies
from catalog_builder.pricing.calculation import VariantCalculation
from catalog_builder.publish.output.folder import Folder
from catalog_builder.publish.sheets.line_drawing import LineDrawing, draw_lines
from catalog_builder.publish.sheets.tiles import FOOT_MM, HEAD_MM, MARGIN_MM, OVERLAP_MM, Tile, Tiling, lay_tiles
from catalog_builder.publish.sheets.typeset import typeset
from catalog_builder.publish.theme.loading import Theme
from catalog_builder.publish.theme.wording import Wording
from catalog_builder.records.content import Content
from catalog_builder.records.product import Product


@dataclass(frozen=True, slots=True)
class SheetLinks:
    """A product's pattern sheets: for each size what it is called, and the file in the bench's folder."""

    title: str
    sizes: tuple[tuple[str, str], ...]


def write_pattern_sheets(
    content: Content, calculations: Sequence[VariantCalculation], theme: Theme, store: Store, folder: Folder
) -> tuple[SheetLinks, ...]:
    """Write a PDF for each product, size and flat part, and give the links to them."""
    sizes: dict[str, dict[str, str]] = {}
    for one in calculations:
        mine = sizes.setdefault(one.product.keys.title, {})
        for part in one.made.parts:
            name = "--".join(word for word in (one.product.slug, one.size, part.name) if word)
            href = f"patterns/{name}.pdf"
            if href not in mine:
                make = partial(kept_pattern_sheet, content, one.product, one.assembled, part.name, theme, store)
                key = sheet_key(content, one.assembled, part.name, theme)
                store.use("patterns", key)
                folder.make(href, key, make)
                size = one.offer.size or theme.labels["pattern_sheet"]["one_size"]
                mine[href] = ", ".join(word for word in (size, part_words(part, theme)) if word)
    return tuple(
        SheetLinks(title, tuple((size, href) for href, size in hrefs.items())) for title, hrefs in sizes.items()
    )


def sheet_key(content: Content, one: AssembledPiece, part: str, theme: Theme) -> str:
    """Give the key of all that a pattern sheet follows from."""
    return key_of("pattern sheet", one.key, one.size, part, theme.key, content.studio.studio)


def kept_pattern_sheet(
    content: Content, product: Product, one: AssembledPiece, part: str, theme: Theme, store: Store
) -> bytes:
    """Give the pattern sheet of a part by its name, from the store where it has been set before."""

    def make() -> bytes:
        flat = next(flat for flat in one.made.flats if flat.name == part)
        return pattern_sheet(content, product, one, flat, theme)

    return store.kept("patterns", sheet_key(content, one, part, theme), make)


def pattern_sheet(content: Content, product: Product, one: AssembledPiece, flat: FlatPart, theme: Theme) -> bytes:
    """Make the pattern sheet of one flat at a size as a PDF. It bears no day: the same drawing gives the same bytes."""
    return typeset(theme, "bench/pattern_sheet.typ", _sheet(content, product, one, flat, theme), product.keys.added)


def part_words(part: Copies, theme: Theme) -> str:
    """Name a part that is joined on, how many of it are made and how many of them mirrored; empty for the main one."""
    if not part.name:
        return ""
    key = "part_mirrored" if part.mirrored else "part"
    name = part.name.replace("-", " ").replace("_", " ")
    return theme.words("pattern_sheet", key, part=name, count=part.count, mirrored=part.mirrored)


def _sheet(content: Content, product: Product, one: AssembledPiece, flat: FlatPart, theme: Theme) -> dict[str, Any]:
    """Gather what the template prints: words ready-made, places in mm from the drawing's upper left corner."""
    keys, wording = content.studio.studio, Wording.of(content.studio.studio)
    first = next(iter(product.keys.glass.values()))
    part = next(part for part in one.made.parts if part.name == flat.name)
    grained = {word for word, name in first.pieces.items() if content.materials.rows[name].has_grain}
    drawing = draw_lines(flat, one.suspension, grained)
    lines = _lines(drawing)
    left, top, right, bottom = flat.box
    tiling = lay_tiles(drawing.width, drawing.height, keys.paper)
    return {
        "labels": theme.labels["pattern_sheet"],
        "language": keys.language,
        "title": product.keys.title,
        "size": ", ".join(word for word in (size_title(one.size), part_words(part, theme)) if word),
        "facts": theme.words(
            "pattern_sheet",
            "facts",
            size=wording.size(right - left, bottom - top),
            pieces=len(flat.cuts),
            gap=wording.number(content.studio.making.foil_gap_mm, 2),
        ),
        "overlap": theme.words("pattern_sheet", "overlap", overlap=wording.number(Decimal(OVERLAP_MM), 0)),
        "studio": keys.name,
        # Two prints that bear the same mark are of the same drawing.
        "mark": theme.words("pattern_sheet", "mark", mark=digest_of(json.dumps(lines).encode())[:6].upper()),
        "paper": {"width": tiling.paper_width, "height": tiling.paper_height},
        "page": {"margin": MARGIN_MM, "head": HEAD_MM, "foot": FOOT_MM},
        "drawing": lines,
        "key": drawing.kinds,
        "tiles": [_tile(theme, tiling, tile, drawing) for tile in tiling.tiles],
        "rows": [_row(content, product, cut, wording) for cut in flat.cuts],
        "choices": _choices(content, product, flat, theme, wording),
        "cautions": {"heading": theme.labels["bench"]["cautions"], "lines": [*theme.labels["bench_cautions"].values()]},
    }


def _lines(drawing: LineDrawing) -> dict[str, Any]:
    """Give what is drawn on every tile: lines as they stand, for there are many points in them."""
    names = [one.name for one in fields(drawing) if one.name not in ("numbers", "sides", "arrows", "rings")]
    return {
        **{name: getattr(drawing, name) for name in names},
        "rings": [asdict(ring) for ring in drawing.rings],
        "arrows": [{"line": [arrow.begin, arrow.tip], "head": arrow.head} for arrow in drawing.arrows],
    }


def _tile(theme: Theme, tiling: Tiling, tile: Tile, drawing: LineDrawing) -> dict[str, Any]:
    """Give a tile's place, the numbers that lie on it, and what joins it to others; places are the drawing's own."""
    several = len(tiling.tiles) > 1
    return {
        **asdict(tile),
        "place": theme.words("pattern_sheet", "place", row=tile.row, column=tile.column) if several else "",
        "letters": [asdict(one) for one in (*drawing.numbers, *drawing.sides) if tile.holds(*one.box)],
        "crosses": tiling.crosses(tile),
        "joins": [
            {**asdict(join), "text": theme.words("pattern_sheet", "meets", row=join.row, column=join.column)}
            for join in tiling.joins(tile)
        ],
    }


def _row(content: Content, product: Product, cut: Cut, wording: Wording) -> dict[str, Any]:
    """Word a piece for the list: its glass in every choice, its box along and across the grain, its area."""
    return {
        "number": cut.number,
        "glass": cut.glass,
        "materials": [content.materials.rows[choice.pieces[cut.glass]].title for choice in product.keys.glass.values()],
        "box": f"{_tenths(cut.along_mm, wording)} × {_tenths(cut.across_mm, wording)}",
        "area": _tenths(cut.area_mm2 / 100, wording),
    }


def _choices(
    content: Content, product: Product, flat: FlatPart, theme: Theme, wording: Wording
) -> list[dict[str, Any]]:
    """Count the pieces of each sheet of glass, for every choice."""
    choices = []
    for choice in product.keys.glass.values():
        by_material: dict[str, list[Cut]] = {}
        for cut in flat.cuts:
            by_material.setdefault(choice.pieces[cut.glass], []).append(cut)
        choices.append(
            {
                "title": choice.title or theme.labels["pattern_sheet"]["glass"],
                "rows": [
                    {
                        "material": content.materials.rows[name].title,
                        "count": str(len(cuts)),
                        "area": _tenths(sum(cut.area_mm2 for cut in cuts) / 100, wording),
                        "numbers": ", ".join(cut.number for cut in cuts),
                    }
                    for name, cuts in sorted(by_material.items())
                ],
            }
        )
    return choices


def _tenths(value: float, wording: Wording) -> str:
    return str(format_decimal(round(value, 6), format="#,##0.0", locale=wording.locale))
