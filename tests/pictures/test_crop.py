"""Crops keep in view what the record says must stay in view."""

from __future__ import annotations

import pytest
from PIL import Image

from catalog_builder.pictures.crop import cropped
from tests.publish.photos import COLOURS, apart, quarters

CARD = (1200, 630)


def middle(image: Image.Image) -> tuple[int, ...]:
    """Read the colour in a picture's middle."""
    pixel = image.getpixel((image.width // 2, image.height // 2))
    assert isinstance(pixel, tuple)
    return pixel


@pytest.mark.parametrize("size", [(1600, 1200), (900, 1350), (400, 300), (3200, 150)])
@pytest.mark.parametrize("focus", [(0.0, 0.0), (1.0, 0.0), (0.0, 1.0), (1.0, 1.0), (0.5, 0.5), (0.3, 0.8)])
def test_point_in_focus_stays_in_view(size: tuple[int, int], focus: tuple[float, float]) -> None:
    """Whatever its shape, a photo fills the card, and a mark at its focus is in it, at the same share of it."""
    photo = Image.new("RGB", size, (255, 255, 255))
    mark = max(size) // 20
    left, top = (round(share * (side - mark)) for share, side in zip(focus, size, strict=True))
    photo.paste((200, 0, 0), (left, top, left + mark, top + mark))
    card = cropped(photo, CARD, focus)
    assert card.size == CARD
    # The same share of the crop, a little inside of its edge.
    at = tuple(min(round(share * side), side - 3) or 2 for share, side in zip(focus, CARD, strict=True))
    assert apart(card.getpixel(at), (200, 0, 0)) <= 40  # type: ignore[arg-type]


def test_crop_takes_the_side_in_focus() -> None:
    """Of a wide photo cropped to a square, a focus at the left shows the left half, at the right the right half."""
    wide = quarters((800, 400))
    sides = {share: cropped(wide, (100, 100), (share, 0.5)) for share in (0.0, 1.0)}
    for share, column in ((0.0, 0), (1.0, 1)):
        assert apart(sides[share].getpixel((50, 25)), COLOURS[column]) <= 2  # type: ignore[arg-type]
        assert apart(sides[share].getpixel((50, 75)), COLOURS[column + 2]) <= 2  # type: ignore[arg-type]


def test_picture_of_the_same_shape_is_not_cropped() -> None:
    """A picture that has the card's shape already is only made larger or smaller."""
    small = cropped(quarters((240, 126)), CARD, (0.1, 0.9))
    assert [apart(small.getpixel(at), colour) for at, colour in zip(_corners(CARD), COLOURS, strict=True)] == [0] * 4  # type: ignore[arg-type]


def _corners(size: tuple[int, int]) -> list[tuple[int, int]]:
    return [(x, y) for y in (0, size[1] - 1) for x in (0, size[0] - 1)]
