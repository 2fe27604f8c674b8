"""Pattern sheets for the bench: each size of a product true to scale, its pieces numbered and listed. Private."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass, fields
from decimal import Decimal
from functools import partial
from typing import Any

from catalog_builder.cache.atomic_file import digest_of
from catalog_builder.cache.store import Store, key_of
from catalog_builder.pattern.cuts import Cut
from catalog_builder.pattern.parts.flat_part import FlatPart
from catalog_builder.phrase import Number, phrase
from catalog_builder.piece.assembly import AssembledPiece
from catalog_builder.piece.made_piece import Copies
from catalog_builder.pricing.calculation import VariantCalculation
from catalog_builder.publish.bench.bench_writer import BenchWriter
from catalog_builder.publish.bench.frame_lines import bar_lines, frame_notes
from catalog_builder.publish.bench.marking.marking_page import page_of
from catalog_builder.publish.output.folder import Folder
from catalog_builder.publish.sheets.line_drawing import LineDrawing, draw_lines
from catalog_builder.publish.sheets.tiles import FOOT_MM, HEAD_MM, MARGIN_MM, OVERLAP_MM, Tile, Tiling, lay_tiles
from catalog_builder.publish.sheets.typeset import typeset
from catalog_builder.publish.theme.wording import Wording
from catalog_builder.records.material import Material
from catalog_builder.records.product import Product

Materials = Mapping[str, Material]


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetLinks:
    """A product's pattern sheets: for each size what it is called, and the file in the bench's folder.

    ``marking`` is the page on which its pieces are marked.
    """

    title: str
    marking: str
    sizes: tuple[tuple[str, str], ...]


def write_pattern_sheets(
    materials: Materials,
    calculations: Sequence[VariantCalculation],
    writer: BenchWriter,
    store: Store,
    folder: Folder,
) -> tuple[SheetLinks, ...]:
    """Write a PDF for each product, size and flat part, and give the links to them."""
    designs: dict[str, dict[str, str]] = {}
    slugs: dict[str, str] = {}
    for variant in calculations:
        sizes = designs.setdefault(variant.product.keys.title, {})
        slugs.setdefault(variant.product.keys.title, variant.product.slug)
        for part in variant.made.parts:
            name = "--".join(word for word in (variant.product.slug, variant.size, part.name) if word)
            href = f"patterns/{name}.pdf"
            if href not in sizes:
                key = sheet_key(variant.assembled, part.name, writer)
                store.use("patterns", key)
                make = partial(
                    kept_pattern_sheet, materials, variant.product, variant.assembled, part.name, writer, store
                )
                folder.make(href, key, make)
                size = variant.offer.size or writer.labels("pattern_sheet")["one_size"]
                sizes[href] = ", ".join(word for word in (size, part_words(part, writer)) if word)
    return tuple(
        SheetLinks(
            title=title,
            marking=page_of(slugs[title]),
            sizes=tuple((size, href) for href, size in sizes.items()),
        )
        for title, sizes in designs.items()
    )


def sheet_key(piece: AssembledPiece, part: str, writer: BenchWriter) -> str:
    """Give the key of all that a pattern sheet follows from."""
    return key_of("pattern sheet", piece.key, piece.size, part, writer.theme.key, writer.studio.studio)


def kept_pattern_sheet(
    materials: Materials, product: Product, piece: AssembledPiece, part: str, writer: BenchWriter, store: Store
) -> bytes:
    """Give the pattern sheet of a part by its name, from the store where it has been set before."""

    def make() -> bytes:
        flat = next(flat for flat in piece.made.flats if flat.name == part)
        return pattern_sheet(materials, product, piece, flat, writer)

    return store.kept("patterns", sheet_key(piece, part, writer), make)


def pattern_sheet(
    materials: Materials, product: Product, piece: AssembledPiece, flat: FlatPart, writer: BenchWriter
) -> bytes:
    """Make the pattern sheet of one flat at a size as a PDF. It has no date: the same drawing gives the same bytes."""
    sheet = _sheet(materials, product, piece, flat, writer)
    return typeset(writer.theme, "bench/pattern_sheet.typ", sheet, product.keys.added)


def part_words(part: Copies, writer: BenchWriter) -> str:
    """Name a part that is joined on, how many of it are made and how many of them mirrored; empty for the main one."""
    if not part.name:
        return ""
    key = "pattern_sheet.part_mirrored" if part.mirrored else "pattern_sheet.part"
    name = part.name.replace("-", " ").replace("_", " ")
    return writer.say(key, part=name, count=part.count, mirrored=part.mirrored)


def _sheet(
    materials: Materials, product: Product, piece: AssembledPiece, flat: FlatPart, writer: BenchWriter
) -> dict[str, Any]:
    """Gather what the template prints: words ready-made, places in mm from the drawing's upper left corner."""
    keys, wording = writer.studio.studio, writer.wording
    first = next(iter(product.keys.glass.values()))
    part = next(part for part in piece.made.parts if part.name == flat.name)
    grained = {word for word, name in first.pieces.items() if materials[name].has_grain}
    drawing = draw_lines(flat, piece.suspension, grained)
    lines = _lines(drawing)
    left, top, right, bottom = flat.box
    tiling = lay_tiles(drawing.width, drawing.height, keys.paper)
    return {
        "labels": writer.labels("pattern_sheet"),
        "language": keys.language,
        "title": product.keys.title,
        "size": ", ".join(word for word in (product.keys.size_title(piece.size), part_words(part, writer)) if word),
        "facts": writer.say(
            "pattern_sheet.facts",
            size=wording.size(right - left, bottom - top),
            pieces=phrase("bench.pieces", count=len(flat.cuts)),
            gap=Number(writer.studio.making.foil_gap_mm, 2),
        ),
        "overlap": writer.say("pattern_sheet.overlap", overlap=Number(Decimal(OVERLAP_MM))),
        "studio": keys.name,
        # Two prints that bear the same mark are of the same drawing.
        "mark": writer.say("pattern_sheet.mark", mark=digest_of(json.dumps(lines).encode())[:6].upper()),
        "paper": {"width": tiling.paper_width, "height": tiling.paper_height},
        "page": {"margin": MARGIN_MM, "head": HEAD_MM, "foot": FOOT_MM},
        "drawing": lines,
        "key": drawing.kinds,
        "tiles": [_tile(tiling, tile, drawing, writer) for tile in tiling.tiles],
        "rows": [_row(materials, product, cut, wording) for cut in flat.cuts],
        "frame": _frame(piece, flat, writer),
        "choices": _choices(materials, product, flat, writer),
        "cautions": {
            "heading": writer.labels("bench")["cautions"],
            "lines": [*writer.labels("bench_cautions").values()],
        },
    }


def _lines(drawing: LineDrawing) -> dict[str, Any]:
    """Give what is drawn on every tile: lines as they stand, for there are many points in them."""
    names = [field.name for field in fields(drawing) if field.name not in ("numbers", "sides", "arrows", "rings")]
    return {
        **{name: getattr(drawing, name) for name in names},
        "rings": [asdict(ring) for ring in drawing.rings],
        "arrows": [{"line": [arrow.begin, arrow.tip], "head": arrow.head} for arrow in drawing.arrows],
    }


def _tile(tiling: Tiling, tile: Tile, drawing: LineDrawing, writer: BenchWriter) -> dict[str, Any]:
    """Give a tile's place, the numbers that lie on it, and what joins it to others; places are the drawing's own."""
    several = len(tiling.tiles) > 1
    return {
        **asdict(tile),
        "place": writer.say("pattern_sheet.place", row=tile.row, column=tile.column) if several else "",
        "letters": [asdict(letter) for letter in (*drawing.numbers, *drawing.sides) if tile.holds(*letter.box)],
        "crosses": tiling.crosses(tile),
        "joins": [
            {**asdict(join), "text": writer.say("pattern_sheet.meets", row=join.row, column=join.column)}
            for join in tiling.joins(tile)
        ],
    }


def _frame(piece: AssembledPiece, flat: FlatPart, writer: BenchWriter) -> dict[str, Any] | None:
    """Word the frame round a flat for the list; None where it has none."""
    framed = piece.made.frame
    if framed is None or flat.name:
        return None
    words = writer.labels("frames")
    return {
        "labels": {key: words[key] for key in ("heading", "material", "count", "outer", "inner", "ends", "bars_note")},
        "notes": [*frame_notes(framed, writer)],
        "bars": [asdict(bar) for bar in bar_lines([(framed, 1)], writer)],
    }


def _row(materials: Materials, product: Product, cut: Cut, wording: Wording) -> dict[str, Any]:
    """Word a piece for the list: its glass in every choice, its box along and across the grain, its area."""
    return {
        "number": cut.number,
        "glass": cut.glass,
        "materials": [materials[choice.pieces[cut.glass]].title for choice in product.keys.glass.values()],
        "box": f"{wording.places(cut.along_mm, 1)} × {wording.places(cut.across_mm, 1)}",
        "area": wording.places(cut.area_mm2 / 100, 1),
    }


def _choices(materials: Materials, product: Product, flat: FlatPart, writer: BenchWriter) -> list[dict[str, Any]]:
    """Count the pieces of each sheet of glass, for every choice."""
    choices = []
    for choice in product.keys.glass.values():
        by_material: dict[str, list[Cut]] = {}
        for cut in flat.cuts:
            by_material.setdefault(choice.pieces[cut.glass], []).append(cut)
        choices.append(
            {
                "title": choice.title or writer.labels("pattern_sheet")["glass"],
                "rows": [
                    {
                        "material": materials[name].title,
                        "count": writer.phrasing.show(len(cuts)),
                        "area": writer.wording.places(sum(cut.area_mm2 for cut in cuts) / 100, 1),
                        "numbers": ", ".join(cut.number for cut in cuts),
                    }
                    for name, cuts in sorted(by_material.items())
                ],
            }
        )
    return choices
