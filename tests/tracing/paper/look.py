"""How a drawing looks on its sheet: the pen, the paper, and what else is on it."""

from __future__ import annotations

from dataclasses import dataclass

Colour = tuple[float, float, float]
# What each leaves of the light, red, green and blue, measured by eye on no real pen: from memory.
INKS: dict[str, Colour] = {
    "black": (0.07, 0.07, 0.08),
    "faded black": (0.20, 0.20, 0.22),
    "blue": (0.10, 0.16, 0.50),
    "red": (0.72, 0.12, 0.12),
    "green": (0.08, 0.40, 0.20),
    "brown": (0.38, 0.22, 0.12),
    "violet": (0.38, 0.14, 0.48),
    "orange": (0.88, 0.42, 0.10),
}
PAPERS: dict[str, Colour] = {
    "white": (0.95, 0.95, 0.94),
    "cream": (0.95, 0.92, 0.82),
    "yellow": (0.95, 0.90, 0.55),
    "rose": (0.94, 0.76, 0.78),
    "blue": (0.72, 0.83, 0.93),
    "green": (0.76, 0.90, 0.74),
    "brown": (0.76, 0.62, 0.46),
}
SHEETS_MM = {"a4": (210.0, 297.0), "a3": (297.0, 420.0), "a5": (148.0, 210.0), "letter": (215.9, 279.4)}


@dataclass(frozen=True, slots=True)
class Look:
    """What is on the sheet besides the design; lengths in mm, shares of the light from 0 to 1.

    ``miss`` is how far a stroke may end short of what it should meet, ``wobble`` the root mean square by which a hand
    leaves the line. ``pencil`` and ``writing`` are what guide lines and digits leave of the light. ``gaps`` is a number
    of strokes that end short, by ``miss``. ``squares`` is the distance between the lines of squared paper.
    """

    pen_mm: float = 1.2
    ink: Colour = INKS["black"]
    paper: Colour = PAPERS["white"]
    sheet: str = "a4"
    miss: float = 0.0
    gaps: int = 0
    wobble: float = 0.0
    guides: int = 0
    pencil: float = 0.72
    digit_mm: float = 0.0
    digits_on_lines: bool = False
    writing: float = 0.45
    arrows: bool = False
    smudges: int = 0
    smears: int = 0
    squares: float = 0.0
    creases: int = 0
    fold_crease: bool = False
    fold_short: float = 0.0
