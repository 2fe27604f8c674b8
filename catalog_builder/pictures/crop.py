"""The crop: a part of a picture that fills a shape and keeps in view what must be seen."""

from __future__ import annotations

from PIL import Image


def cropped(picture: Image.Image, size: tuple[int, int], focus: tuple[float, float]) -> Image.Image:
    """Fill a width and height in pixels with as much of a picture as fits, around its focus.

    ``focus`` is what must stay in view, across and down, from 0 to 1. It does what ``object-fit: cover`` with
    ``object-position`` does in a page (CSS Images 3, 5.5), so that a picture is cropped alike everywhere: the
    point at that share of the picture comes to stand at the same share of the crop.
    """
    width, height = size
    scale = min(picture.width / width, picture.height / height)
    left = focus[0] * (picture.width - width * scale)
    top = focus[1] * (picture.height - height * scale)
    box = (left, top, left + width * scale, top + height * scale)
    return picture.resize(size, Image.Resampling.LANCZOS, box=box, reducing_gap=3.0)
