"""What stands for a design whose pattern is not to be seen: its photo, or its glass as strips of colour."""

from __future__ import annotations

from base64 import b64encode
from collections.abc import Mapping
from html import escape

from catalog_builder.piece.made_piece import MadePiece
from catalog_builder.publish.pictures.album import Shot
from catalog_builder.publish.pictures.svg_text import digits
from catalog_builder.records.material import Material

# In px, as wide and high as a small piece is drawn.
STRIPS_SIZE = (600, 600)


def areas_of(made_piece: MadePiece, glass: Mapping[str, Material]) -> dict[str, float]:
    """Give how much of a piece is of each colour: mm2 by #rrggbb."""
    areas: dict[str, float] = {}
    for word, tally in made_piece.tallies.items():
        colour = glass[word].colour or "#cccccc"
        areas[colour] = areas.get(colour, 0.0) + tally.area_mm2
    return areas


def strips_svg(areas: Mapping[str, float], title: str) -> str:
    """Draw a strip for each colour, as wide as its share of the area, the largest first.

    ``areas`` are by #rrggbb. Nothing of the pattern is in it.
    """
    width, height = STRIPS_SIZE
    whole, left, strips = sum(areas.values()), 0.0, ""
    for colour, area in sorted(areas.items(), key=lambda each: (-each[1], each[0])):
        share = width * area / whole
        strips += f'<rect x="{digits(left)}" width="{digits(share + 0.5)}" height="{height}" fill="{escape(colour)}"/>'
        left += share
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width} {height}" width="{width}" height="{height}">'
        f"<title>{escape(title)}</title>{strips}</svg>"
    )


def photo_svg(shot: Shot) -> str:
    """Give a photo in its smallest size as an SVG that holds it, for sheets whose small pictures are SVG."""
    size = shot.prints.renditions[0]
    box = f'width="{size.width}" height="{size.height}"'
    data = b64encode(size.jpeg).decode()
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {size.width} {size.height}" {box}>'
        f'<image {box} href="data:image/jpeg;base64,{data}"/></svg>'
    )
