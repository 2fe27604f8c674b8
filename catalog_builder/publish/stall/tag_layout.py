"""Where things stand on a price tag: the words and the code within a label. All lengths are mm.

The code is a QR code by ISO/IEC 18004 at error level M, which bears with about 15 % of it being damaged, with the
quiet zone of 4 modules that the standard asks for (both from memory; without the standard's text). Its modules are
at least 0.34 mm, four dots of a printer of 300 dots an inch, so that a phone held over it can read it (common
practice, no source), and no larger than 0.5 mm.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from catalog_builder.records.selling.label_sheet import LabelSheet

LEVEL = "M"
QUIET = 4
LEAST_MODULE_MM = 0.34
MOST_MODULE_MM = 0.5
# Paper is fed a little askew: nearer to a label's edge, words may be cut off. Common practice, no source.
PAD_MM = 2.0
PAD_SHARE = 0.07
# What a printer at home may leave blank at the paper's edge. Common practice, no source.
BLANK_MM = 5.0
GAP_MM = 1.5
# Words need a column of their own beside the code.
LEAST_WORDS_MM = 20.0


@dataclass(frozen=True, slots=True)
class Code:
    """A QR code: its version, its side in modules without the quiet zone, and its outline as an SVG path of modules."""

    version: int
    modules: int
    path: str

    @property
    def whole(self) -> int:
        """The side in modules with the quiet zone."""
        return self.modules + 2 * QUIET


@dataclass(frozen=True, slots=True)
class LabelBox:
    """A part of a label, from the label's upper left corner."""

    left: float
    top: float
    width: float
    height: float


@dataclass(frozen=True, slots=True)
class TagLayout:
    """The words' box, and the code's with its quiet zone; no code where its modules would be too small to be read."""

    words: LabelBox
    code: LabelBox | None
    module_mm: float


@lru_cache(maxsize=4096)
def encode(address: str) -> Code:
    """Make the code that leads to an address, in the smallest version that holds it."""
    import segno

    code = segno.make(address, error=LEVEL, micro=False, boost_error=False)
    rows = [list(row) for row in code.matrix]
    parts = []
    for y, row in enumerate(rows):
        x = 0
        while x < len(row):
            start = x
            while x < len(row) and row[x]:
                x += 1
            if x > start:
                parts.append(f"M{start} {y}h{x - start}v1H{start}z")
            x += 1
    return Code(int(code.version), len(rows), "".join(parts))


def lay_tag(sheet: LabelSheet, code: Code) -> TagLayout:
    """Place words and code on a label: side by side where it is wide, else one above the other."""
    x, y = _pads(sheet)
    width, height = sheet.width - 2 * x, sheet.height - 2 * y
    beside = min(height, width - GAP_MM - LEAST_WORDS_MM)
    below = min(width, (height - GAP_MM) / 2)
    across = beside >= below
    module = min(MOST_MODULE_MM, max(beside, below) / code.whole)
    if module < LEAST_MODULE_MM:
        return TagLayout(LabelBox(x, y, width, height), None, 0.0)
    side = module * code.whole
    if across:
        place = LabelBox(sheet.width - x - side, (sheet.height - side) / 2, side, side)
        return TagLayout(LabelBox(x, y, width - side - GAP_MM, height), place, module)
    place = LabelBox((sheet.width - side) / 2, sheet.height - y - side, side, side)
    return TagLayout(LabelBox(x, y, width, height - side - GAP_MM), place, module)


def _pads(sheet: LabelSheet) -> tuple[float, float]:
    """Give what is left blank within a label at its sides, and above and below."""
    width, height = sheet.paper_mm
    margins = (min(sheet.left, width - sheet.right), min(sheet.top, height - sheet.bottom))
    usual = max(PAD_MM, PAD_SHARE * min(sheet.width, sheet.height))
    # Labels that reach to the paper's edge must not be printed on where the printer cannot.
    return max(usual, BLANK_MM - margins[0]), max(usual, BLANK_MM - margins[1])
