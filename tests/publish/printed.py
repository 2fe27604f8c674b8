"""A printed sheet read back from its PDF: its lines, its words and its ink, in mm from the page's upper left corner."""

from __future__ import annotations

import ctypes
from dataclasses import dataclass
from functools import cached_property
from typing import Any
from unicodedata import normalize

import numpy as np
import pypdfium2
import pypdfium2.raw as pdfium
from numpy.typing import NDArray

# A PDF's own unit is 1/72 inch: ISO 32000-1, 8.3.2.3 (from memory).
MM = 25.4 / 72
DOTS_A_MM = 10

Place = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Stroke:
    """A drawn line: the width of its stroke, its points, and whether it is curved."""

    width: float
    points: tuple[Place, ...]
    curved: bool

    @property
    def box(self) -> tuple[float, float, float, float]:
        """Left, top, right and bottom of its points."""
        (left, top), (right, bottom) = np.min(self.points, axis=0), np.max(self.points, axis=0)
        return float(left), float(top), float(right), float(bottom)


class Printed:
    """A page of a PDF."""

    def __init__(self, page: Any) -> None:
        self.page = page
        self.width, self.height = (side * MM for side in page.get_size())

    @cached_property
    def strokes(self) -> list[Stroke]:
        """Every line that is stroked."""
        found = (self._stroke(one) for one in self.page.get_objects(filter=[pdfium.FPDF_PAGEOBJ_PATH]))
        return [stroke for stroke in found if stroke is not None]

    def _stroke(self, one: Any) -> Stroke | None:
        fill, stroked, width = ctypes.c_int(), ctypes.c_int(), ctypes.c_float()
        pdfium.FPDFPath_GetDrawMode(one.raw, fill, stroked)
        pdfium.FPDFPageObj_GetStrokeWidth(one.raw, width)
        if not stroked.value:
            return None
        points, curved = [], False
        for index in range(pdfium.FPDFPath_CountSegments(one.raw)):
            segment = pdfium.FPDFPath_GetPathSegment(one.raw, index)
            x, y = ctypes.c_float(), ctypes.c_float()
            pdfium.FPDFPathSegment_GetPoint(segment, x, y)
            curved = curved or pdfium.FPDFPathSegment_GetType(segment) == pdfium.FPDF_SEGMENT_BEZIERTO
            across, up = one.get_matrix().on_point(x.value, y.value)
            points.append((across * MM, self.height - up * MM))
        return Stroke(width.value * MM, tuple(points), curved)

    def text(self, top: float = 0.0, bottom: float | None = None) -> str:
        """Give the words between two heights of the page."""
        low = 0.0 if bottom is None else self.height - bottom
        words = self.page.get_textpage().get_text_bounded(bottom=low / MM, top=(self.height - top) / MM)
        return normalize("NFKC", words)

    @cached_property
    def runs(self) -> list[tuple[str, float, float]]:
        """Every run of words as the PDF holds it, with its middle on the page."""
        textpage = self.page.get_textpage()
        found = []
        for one in self.page.get_objects(filter=[pdfium.FPDF_PAGEOBJ_TEXT]):
            size = pdfium.FPDFTextObj_GetText(one.raw, textpage.raw, None, 0)
            text = (ctypes.c_ushort * size)()
            pdfium.FPDFTextObj_GetText(one.raw, textpage.raw, text, size)
            left, low, right, high = (side * MM for side in one.get_bounds())
            words = bytes(text).decode("utf-16-le").strip("\0 \r\n")
            found.append((words, (left + right) / 2, self.height - (low + high) / 2))
        return found

    @cached_property
    def ink(self) -> NDArray[np.bool_]:
        """Where the page is not white, ``DOTS_A_MM`` dots a mm, rows downwards."""
        picture = self.page.render(scale=DOTS_A_MM * MM, grayscale=True).to_numpy()
        return np.asarray(picture.reshape(picture.shape[:2]) < 200)

    def inked(self, place: Place) -> bool:
        """Say whether there is ink within a dot of a place."""
        column, row = (round(side * DOTS_A_MM) for side in place)
        return bool(self.ink[max(0, row - 1) : row + 2, max(0, column - 1) : column + 2].any())


def pages_of(data: bytes) -> list[Printed]:
    """Give the pages of a PDF."""
    return [Printed(page) for page in pypdfium2.PdfDocument(data)]
