"""What leaves a pattern as it is: turning, moving, mirroring it, where paths begin, the order of the drawing.

All of it is plane geometry (C): a motion keeps lengths and areas, a scale s takes them to s and s squared.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.drawn import Contour, Drawn, drawn, polygon

STEADY = settings(derandomize=True, database=None, deadline=None, max_examples=40)
ANGLES = st.floats(-360, 360, allow_nan=False)
SHIFTS = st.floats(-500, 500, allow_nan=False)

# A shell in five pieces: arcs, quadratic and cubic curves, with a T-joint at (30, 0).
SHELL = {
    "1": Contour("-40,0", ("C-40,-30 -20,-50 0,-50", "L0,-20", "Q-20,-15 -40,0")),
    "2": Contour("0,-50", ("A40 50 0 0 1 40,0", "L30,0", "C25,-10 15,-20 0,-20", "L0,-50")),
    "3": Contour("-40,0", ("Q-20,-15 0,-20", "C15,-20 25,-10 30,0", "L-40,0")),
    "4": Contour("-40,0", ("L10,0", "L0,45", "C-30,45 -40,20 -40,0")),
    "5": Contour("10,0", ("L40,0", "A40 45 0 0 1 0,45", "L10,0")),
}
LABELS = {"1": (-20, -30), "2": (22, -28), "3": (0, -8), "4": (-15, 20), "5": (22, 15)}
HABITS = ("outlines", "lines")


@dataclass(frozen=True, slots=True)
class Measures:
    """What a pattern measures, whichever way it lies."""

    areas: dict[str, float]
    cut_areas: dict[str, float]
    seam: float
    rim: float
    joints: int


def measures(found: Drawn) -> Measures:
    """The measures of a drawing, seams once."""
    return Measures(
        found.areas,
        {cut.number: cut.area_mm2 for cut in found.cuts},
        found.edges.seam_mm,
        found.edges.rim_mm,
        len(found.edges.joints),
    )


def marks(habit: str, order: tuple[str, ...] = tuple(SHELL), turn: int = 0) -> list[str]:
    """The shell's marks: its pieces in some order, each begun at some point, with their labels."""
    shapes = [SHELL[name].turned(turn) for name in order]
    drawings = [shape.outline if habit == "outlines" else shape.lines for shape in shapes]
    return [*drawings, *(f'<text x="{x}" y="{y}">{name}</text>' for name, (x, y) in LABELS.items())]


def same(one: Measures, other: Measures, scale: float = 1.0, cuts: bool = True) -> bool:
    """Whether two patterns measure the same, at a scale, up to the grid on which lines meet."""
    areas = {name: area * scale**2 for name, area in other.areas.items()}
    return (
        one.areas == pytest.approx(areas, rel=2e-5)
        and (not cuts or one.cut_areas == pytest.approx(other.cut_areas, rel=2e-5))
        and one.seam == pytest.approx(other.seam * scale, rel=2e-5)
        and one.rim == pytest.approx(other.rim * scale, rel=2e-5)
        and one.joints == other.joints
    )


AS_DRAWN = {habit: measures(drawn("".join(marks(habit)))) for habit in HABITS}


def test_habits_agree() -> None:
    """The same shell drawn as outlines and as line work measures the same."""
    assert same(AS_DRAWN["outlines"], AS_DRAWN["lines"])
    # Corners where three lines meet: both ends and the middle of the top line, three on the level line, the
    # foot.
    assert AS_DRAWN["lines"].joints == 7


@pytest.mark.parametrize("habit", HABITS)
@STEADY
@given(angle=ANGLES, x=SHIFTS, y=SHIFTS, mirrored=st.booleans())
def test_motions(habit: str, angle: float, x: float, y: float, mirrored: bool) -> None:
    """Turning, moving or mirroring a drawing changes no area, seam, rim or cut."""
    motion = f"translate({x:.4f} {y:.4f}) rotate({angle:.4f})" + (" scale(-1 1)" if mirrored else "")
    moved = drawn(f'<g transform="{motion}">{"".join(marks(habit))}</g>')
    assert same(measures(moved), AS_DRAWN[habit])


@pytest.mark.parametrize("habit", HABITS)
@STEADY
@given(order=st.permutations(list(SHELL)), turn=st.integers(0, 4))
def test_order(habit: str, order: list[str], turn: int) -> None:
    """Where an outline begins and which is drawn first changes nothing of what is measured."""
    assert same(measures(drawn("".join(marks(habit, tuple(order), turn)))), AS_DRAWN[habit])


@pytest.mark.parametrize("habit", HABITS)
@STEADY
@given(scale=st.floats(0.5, 8))
def test_scale(habit: str, scale: float) -> None:
    """At a scale s, lengths go by s and areas by its square."""
    fine = measures(drawn("".join(marks(habit)), tolerance=0.01 / scale))
    assert same(measures(drawn("".join(marks(habit)), scale=scale)), fine, scale, cuts=False)


@STEADY
@given(scale=st.floats(0.5, 8))
def test_units(scale: float) -> None:
    """A drawing in a finer unit, with the viewBox to say so, is the same drawing."""
    outer = f'width="{100 / scale:.6f}mm" height="{100 / scale:.6f}mm" viewBox="-50 -50 100 100"'
    found = drawn("".join(marks("outlines")), outer, tolerance=0.01 / scale)
    fine = measures(drawn("".join(marks("outlines"))))
    assert same(measures(found), fine, 1 / scale, cuts=False)


@STEADY
@given(
    points=st.lists(st.tuples(st.floats(20, 100), st.floats(-1, 1)), min_size=3, max_size=12),
    spokes=st.booleans(),
)
def test_every_border(points: list[tuple[float, float]], spokes: bool) -> None:
    """For any pattern the borders of all pieces are twice the seams and once the rims, and V - E + F = 2."""
    step = 2 * math.pi / len(points)
    turns = [(radius, (k + 0.4 * off) * step) for k, (radius, off) in enumerate(points)]
    rim = [(radius * math.cos(turn), radius * math.sin(turn)) for radius, turn in turns]
    contours = (
        [polygon([(0.0, 0.0), rim[k - 1], rim[k]]) for k in range(len(rim))]
        if spokes and len(rim) > 4
        else [polygon(rim)]
    )
    for habit in HABITS:
        found = drawn("".join(one.outline if habit == "outlines" else one.lines for one in contours))
        assert len(found.pattern.pieces) == len(contours)
        assert found.borders == pytest.approx(2 * found.edges.seam_mm + found.edges.rim_mm, rel=1e-9)
        assert found.euler == 2


# Half of a cap: the lines that end on the fold x = 0 lead on into their mirror images.
HALF = (
    '<path d="M0,-60 L40,-30 Q60,0 40,30 L0,60"/>'
    '<path d="M0,-20 L40,-30"/><path d="M40,-30 C20,-10 20,10 40,30"/><path d="M0,20 L40,30"/>'
)
# Half of a shield in closed outlines, one edge of each along the fold.
HALF_OUTLINES = (
    '<path d="M0,-40 L30,-40 Q45,-20 40,0 L0,0 Z"/><path d="M0,0 L40,0 A40 60 0 0 1 0,60 Z"/>'
    '<path d="M40,0 Q45,-20 30,-40 C60,-40 70,-10 40,0 Z"/>'
)
FOLD = '<line data-mark="fold" x1="0" y1="-80" x2="0" y2="80"/>'
FOLD_UP = '<line data-mark="fold" x1="0" y1="80" x2="0" y2="-80"/>'


def whole(half: str) -> str:
    """A half with its mirror image drawn out."""
    return f'{half}<g transform="scale(-1 1)">{half}</g>'


@pytest.mark.parametrize(("half", "pieces"), [(HALF, 5), (HALF_OUTLINES, 6)], ids=["lines", "outlines"])
@pytest.mark.parametrize("fold", [FOLD, FOLD_UP], ids=["down", "up"])
@STEADY
@given(angle=st.one_of(st.sampled_from([0.0, 45.0, 90.0, 180.0, -90.0]), ANGLES), x=SHIFTS, flipped=st.booleans())
def test_fold(half: str, pieces: int, fold: str, angle: float, x: float, flipped: bool) -> None:
    """A half with its fold, at any angle and on either side, measures the same as the whole drawn out."""
    motion = f"translate({x:.4f} 0) rotate({angle:.4f})" + (" scale(-1 1)" if flipped else "")
    folded = drawn(f'<g transform="{motion}">{fold}{half}</g>')
    opened = drawn(whole(half))
    assert len(folded.pattern.pieces) == len(opened.pattern.pieces) == pieces
    assert sorted(folded.areas.values()) == pytest.approx(sorted(opened.areas.values()), rel=2e-5)
    assert folded.edges.seam_mm == pytest.approx(opened.edges.seam_mm, rel=2e-5)
    assert folded.edges.rim_mm == pytest.approx(opened.edges.rim_mm, rel=2e-5)
    assert len(folded.edges.joints) == len(opened.edges.joints)
    assert folded.euler == 2
