"""Pattern sheets for the bench: each size of a product true to scale, its pieces numbered and listed. Private."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict, dataclass
from decimal import Decimal
from typing import Any

from babel.numbers import format_decimal

from catalog_builder.pattern.cuts import Cut
from catalog_builder.pattern.flat import Flat
from catalog_builder.publish.folder import Folder
from catalog_builder.publish.line_drawing import LineDrawing, draw_lines
from catalog_builder.publish.pages import Theme
from catalog_builder.publish.tiles import FOOT_MM, HEAD_MM, MARGIN_MM, OVERLAP_MM, Tile, Tiling, lay_tiles
from catalog_builder.publish.typeset import typeset
from catalog_builder.publish.wording import Wording
from catalog_builder.reckoning import Reckoning
from catalog_builder.records.content import Content


@dataclass(frozen=True, slots=True)
class SheetLinks:
    """A product's pattern sheets: for each size what it is called, and the file in the bench's folder."""

    title: str
    sizes: tuple[tuple[str, str], ...]


def write_pattern_sheets(
    content: Content, reckonings: Sequence[Reckoning], theme: Theme, folder: Folder
) -> tuple[SheetLinks, ...]:
    """Write a PDF for each product, size and flat part, and give the links to them."""
    sizes: dict[str, dict[str, str]] = {}
    for one in reckonings:
        mine = sizes.setdefault(one.product.keys.title, {})
        for flat in one.made.flats:
            name = "--".join(word for word in (one.product.slug, one.size, flat.name) if word)
            href = f"patterns/{name}.pdf"
            if href not in mine:
                folder.write(href, pattern_sheet(content, one, flat, theme))
                size = one.offer.size or theme.labels["pattern_sheet"]["one_size"]
                mine[href] = ", ".join(word for word in (size, part_words(flat, theme)) if word)
    return tuple(
        SheetLinks(title, tuple((size, href) for href, size in hrefs.items())) for title, hrefs in sizes.items()
    )


def pattern_sheet(content: Content, one: Reckoning, flat: Flat, theme: Theme) -> bytes:
    """Make the pattern sheet of one flat at a variant's size as a PDF: the same bytes for the same content and day."""
    return typeset(theme, "bench/pattern_sheet.typ", _sheet(content, one, flat, theme), content.day)


def part_words(flat: Flat, theme: Theme) -> str:
    """Name a part that is joined on, how many of it are made and how many of them mirrored; empty for the main one."""
    if not flat.name:
        return ""
    mirrored = sum(place.mirrored for place in flat.places)
    key = "part_mirrored" if mirrored else "part"
    name = flat.name.replace("-", " ").replace("_", " ")
    return theme.words("pattern_sheet", key, part=name, count=flat.copies, mirrored=mirrored)


def _sheet(content: Content, one: Reckoning, flat: Flat, theme: Theme) -> dict[str, Any]:
    """Gather what the template prints: words ready-made, places in mm from the drawing's upper left corner."""
    keys, wording = content.studio.studio, Wording.of(content.studio.studio)
    first = next(iter(one.product.keys.glass.values()))
    grained = {word for word, name in first.pieces.items() if content.materials.rows[name].has_grain}
    drawing = draw_lines(flat, one.hung, grained)
    left, top, right, bottom = flat.box
    tiling = lay_tiles(drawing.width, drawing.height, keys.paper)
    return {
        "labels": theme.labels["pattern_sheet"],
        "language": keys.language,
        "title": one.product.keys.title,
        "size": ", ".join(word for word in (one.offer.size, part_words(flat, theme)) if word),
        "facts": theme.words(
            "pattern_sheet",
            "facts",
            size=wording.size(right - left, bottom - top),
            pieces=len(flat.cuts),
            gap=wording.number(content.studio.making.foil_gap_mm, 2),
        ),
        "overlap": theme.words("pattern_sheet", "overlap", overlap=wording.number(Decimal(OVERLAP_MM), 0)),
        "studio": keys.name,
        "day": wording.plain_day(content.day),
        "paper": {"width": tiling.paper_width, "height": tiling.paper_height},
        "page": {"margin": MARGIN_MM, "head": HEAD_MM, "foot": FOOT_MM},
        "drawing": {
            **{name: value for name, value in asdict(drawing).items() if name not in ("numbers", "sides", "arrows")},
            "arrows": [{"line": [arrow.begin, arrow.tip], "head": arrow.head} for arrow in drawing.arrows],
        },
        "key": drawing.kinds,
        "tiles": [_tile(theme, tiling, tile, drawing) for tile in tiling.tiles],
        "rows": [_row(content, one, cut, wording) for cut in flat.cuts],
        "choices": _choices(content, one, flat, theme, wording),
        "cautions": {"heading": theme.labels["bench"]["cautions"], "lines": [*theme.labels["bench_cautions"].values()]},
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


def _row(content: Content, one: Reckoning, cut: Cut, wording: Wording) -> dict[str, Any]:
    """Word a piece for the list: its glass in every choice, its box along and across the grain, its area."""
    return {
        "number": cut.number,
        "glass": cut.glass,
        "materials": [
            content.materials.rows[choice.pieces[cut.glass]].title for choice in one.product.keys.glass.values()
        ],
        "box": f"{_tenths(cut.along_mm, wording)} × {_tenths(cut.across_mm, wording)}",
        "area": _tenths(cut.area_mm2 / 100, wording),
    }


def _choices(content: Content, one: Reckoning, flat: Flat, theme: Theme, wording: Wording) -> list[dict[str, Any]]:
    """Count the pieces of each sheet of glass, for every choice."""
    choices = []
    for choice in one.product.keys.glass.values():
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
