"""Marks to paste into a record whose drawing leaves pieces without a glass word."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path

from shapely import Point

from catalog_builder.commands.fault_pictures import found_patterns, product_of
from catalog_builder.commands.record_text import marks_lines
from catalog_builder.mistake import Mistake, MistakeError, listed
from catalog_builder.pattern.pieces import Pattern, Piece
from catalog_builder.publish.pictures.glass.oklab import distance, plain_colour
from catalog_builder.publish.pictures.label_place import label_place
from catalog_builder.records.drawing.marks import Marks, PieceMark
from catalog_builder.records.materials import Materials, read_materials
from catalog_builder.records.product import Product, read_product
from catalog_builder.records.reading.source import lines_of, read


def ready_marks(project: Path, mistakes: Sequence[Mistake]) -> Iterator[str]:
    """Give lines for the records of drawings whose pieces have no glass word: every piece's place and number.

    The glass word is the one whose glass is nearest in colour to the piece's fill, else blank. A record that cannot
    be read gives none.
    """
    spotted = {slug for mistake in mistakes if mistake.spot is not None and (slug := product_of(mistake))}
    for slug in sorted(spotted):
        try:
            content = project / "content"
            product = read_product(project, content / "products" / slug)
            rows, prices = (read(project, content / name) for name in ("materials.csv", "material_prices.csv"))
            words = _colours(product, read_materials(rows, prices))
            patterns = found_patterns(project, product)
        except MistakeError:
            continue
        for part, (_, pattern) in patterns.items():
            wordless = [piece for piece in pattern.pieces if not piece.glass]
            if wordless:
                yield from _part_lines(product, part, _completed(product, part, pattern, wordless, words))


def _colours(product: Product, materials: Materials) -> dict[str, str | None]:
    """Give the glass words of a record, each with the colour of its glass in the first choice."""
    choice = next(iter(product.keys.glass.values()))
    rows = materials.rows
    return {word: rows[name].colour if name in rows else None for word, name in choice.pieces.items()}


def _completed(
    product: Product, part: str, pattern: Pattern, wordless: Sequence[Piece], words: Mapping[str, str | None]
) -> Marks:
    """Give a drawing's marks with one for every piece that has no glass word."""
    marks = product.keys.parts[part].marks if part else product.keys.marks
    pieces = list(marks.pieces)
    for piece in wordless:
        word = _word(piece, words)
        twins = [each.face for each in wordless if each.drawn_number == piece.drawn_number]
        own = [
            index
            for index, mark in enumerate(pieces)
            if any(face.contains(Point(mark.at[0] * pattern.scale, mark.at[1] * pattern.scale)) for face in twins)
        ]
        if own:
            keys = pieces[own[0]].model_dump(exclude_unset=True)
            pieces[own[0]] = PieceMark.model_construct(**{**keys, "glass": keys.get("glass") or word})
        elif not piece.mirrored:
            at = label_place(pattern, piece)
            pieces.append(PieceMark.model_construct(at=at, number=piece.drawn_number, glass=word))
    return marks.model_copy(update={"pieces": tuple(pieces)})


def _word(piece: Piece, words: Mapping[str, str | None]) -> str | None:
    if len(words) == 1:
        return next(iter(words))
    fill = plain_colour(piece.outline.fill) if piece.outline is not None and piece.outline.fill else None
    coloured = {word: colour for word, colour in words.items() if colour}
    if fill is None or not coloured:
        return None
    return min(coloured, key=lambda word: distance(fill, coloured[word]))


def _part_lines(product: Product, part: str, marks: Marks) -> Iterator[str]:
    """Say where the lines go, and give them with the indent that they have there."""
    path: tuple[str, ...] = ("parts", part) if part else ()
    under = f", under `{part}:` of `parts:`" if part else ""
    standing = product.lines.get((*path, "marks"))
    instead = f", in place of `marks:` on line {standing} and all that stands under it" if standing else ""
    words = listed({word for choice in product.keys.glass.values() for word in choice.pieces})
    blank = any(not piece.glass for piece in marks.pieces)
    then = f"; after each `glass:` write one of: {words}" if blank else ""
    yield f"Ready to paste into the header of {product.source.path}{under}{instead}{then}"
    angle = "inside_angle" if (*path, "inside_angle") in product.lines else "set_at"
    line = product.line(*path, angle) or 0
    row = lines_of(product.source.text)[line - 1] if part and line else ""
    indent = row[: len(row) - len(row.lstrip(" "))]
    yield from (indent + row for row in marks_lines(marks))
