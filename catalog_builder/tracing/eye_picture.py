"""The picture for the eye: the flat sheet, the traced lines over it, fields numbered, gaps and doubts ringed."""

from __future__ import annotations

from collections.abc import Sequence
from io import BytesIO

import numpy as np
from PIL import Image, ImageDraw, ImageFont

from catalog_builder.tracing.arrays import Pixels, Points
from catalog_builder.tracing.ink.traced_field import TracedField
from catalog_builder.tracing.trace_finding import TraceFinding

PX_PER_MM = 6.0
_LINE, _FOLD, _FIELD = (200, 20, 90), (30, 110, 60), (20, 60, 140)
_CLOSED, _DOUBT = (215, 130, 0), (190, 0, 0)
# Kinds whose places are ringed although no piece is in doubt for them.
_RINGED = {"gap closed", "island", "double line"}
_STEPS = np.linspace(0, 1, 13)[:, None]


def eye_picture(
    sheet: Pixels,
    to_mm: Points,
    lines: Sequence[Sequence[Points]],
    fold: tuple[Points, Points] | None,
    reported: tuple[Sequence[TracedField], Sequence[TraceFinding], tuple[float, float]],
) -> bytes:
    """Draw the picture as PNG. ``to_mm`` takes the sheet's pixels to mm; the page size ends ``reported``."""
    fields, findings, size_mm = reported
    size = max(1, round(size_mm[0] * PX_PER_MM)), max(1, round(size_mm[1] * PX_PER_MM))
    back = np.linalg.inv(np.diag([PX_PER_MM, PX_PER_MM, 1.0]) @ to_mm)
    flat = Image.fromarray(sheet).convert("RGB")
    paper = flat.transform(
        size,
        Image.Transform.AFFINE,
        tuple(back[:2].ravel().tolist()),
        Image.Resampling.BILINEAR,
        fillcolor=(255, 255, 255),
    )
    picture = Image.blend(paper, Image.new("RGB", size, (255, 255, 255)), 0.45)
    pen = ImageDraw.Draw(picture)
    for line in lines:
        points = np.concatenate([_flat(curve) for curve in line]) * PX_PER_MM
        pen.line([tuple(point) for point in points.tolist()], fill=_LINE, width=2)
        for end in (points[0], points[-1]):
            _dot(pen, end, 3, _LINE)
    if fold is not None:
        pen.line([tuple((end * PX_PER_MM).tolist()) for end in fold], fill=_FOLD, width=2)
    for field in fields:
        letters = ImageFont.load_default(size=float(np.clip(0.5 * field.room_mm * PX_PER_MM, 11, 30)))
        at = field.at[0] * PX_PER_MM, field.at[1] * PX_PER_MM
        pen.text(
            at, str(field.number), fill=_FIELD, font=letters, anchor="mm", stroke_width=2, stroke_fill=(255, 255, 255)
        )
    for finding in findings:
        if finding.at is not None and (finding.doubt or finding.kind in _RINGED):
            _ring(pen, np.array(finding.at) * PX_PER_MM, _DOUBT if finding.doubt else _CLOSED)
    data = BytesIO()
    picture.save(data, "PNG", compress_level=2)
    return data.getvalue()


def _flat(curve: Points) -> Points:
    t = _STEPS
    return np.asarray(
        (1 - t) ** 3 * curve[0] + 3 * (1 - t) ** 2 * t * curve[1] + 3 * (1 - t) * t**2 * curve[2] + t**3 * curve[3]
    )


def _dot(pen: ImageDraw.ImageDraw, at: Points, radius: float, colour: tuple[int, int, int]) -> None:
    x, y = at.tolist()
    pen.ellipse((x - radius, y - radius, x + radius, y + radius), fill=colour)


def _ring(pen: ImageDraw.ImageDraw, at: Points, colour: tuple[int, int, int]) -> None:
    x, y = at.tolist()
    radius = 4 * PX_PER_MM
    pen.ellipse((x - radius, y - radius, x + radius, y + radius), outline=colour, width=4)
