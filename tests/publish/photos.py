"""Test photos: four quarters in four colours, so that every turn and flip shows."""

from __future__ import annotations

from io import BytesIO

from PIL import Image

# The quarters in reading order. None is so bright that a change of colour space would clip it.
COLOURS = ((200, 60, 60), (60, 170, 80), (60, 80, 190), (220, 210, 120))


def quarters(size: tuple[int, int]) -> Image.Image:
    """Make a picture whose quarters, in reading order, are red, green, blue and yellow."""
    width, height = size
    image = Image.new("RGB", size)
    for index, colour in enumerate(COLOURS):
        left, top = (index % 2) * (width // 2), (index // 2) * (height // 2)
        image.paste(colour, (left, top, left + width - width // 2, top + height - height // 2))
    return image


def saved(image: Image.Image, kind: str, **options: object) -> bytes:
    """Give a picture's bytes as a file of some kind."""
    data = BytesIO()
    if kind in ("JPEG", "MPO"):
        options = {"quality": 95, **options}
    image.save(data, kind, **options)
    return data.getvalue()


def quarters_of(image: Image.Image) -> list[tuple[int, int, int]]:
    """Read the colours in the middle of a picture's quarters, in reading order."""
    plain = image.convert("RGB")
    places = [(x * plain.width // 4, y * plain.height // 4) for y in (1, 3) for x in (1, 3)]
    found = [plain.getpixel(place) for place in places]
    return [(pixel[0], pixel[1], pixel[2]) for pixel in found if isinstance(pixel, tuple)]


def apart(one: tuple[int, ...], other: tuple[int, ...]) -> int:
    """Give how far two colours are apart in the channel where they differ most."""
    return max(abs(a - b) for a, b in zip(one, other, strict=True))
