"""Seams and rims: what is shared, by whom, and where seams end."""

from __future__ import annotations

import pytest

from catalog_builder.pattern.seams import read_edges
from tests.drawn import body, drawn, polygon, square

HABITS = ("outlines", "lines")
BRICKS = [
    polygon([(0, 0), (60, 0), (60, 20), (0, 20)]),
    polygon([(0, 20), (25, 20), (25, 40), (0, 40)]),
    polygon([(25, 20), (60, 20), (60, 40), (25, 40)]),
]


@pytest.mark.parametrize("habit", HABITS)
def test_bricks(habit: str) -> None:
    """A T-joint parts the long side in two seams, and is no seam's end on the rim."""
    edges = drawn(body(BRICKS, habit)).edges
    assert edges.seam_mm == pytest.approx(80)
    assert edges.rim_mm == pytest.approx(200)
    assert sorted(map(tuple, edges.joints.round(4).tolist())) == [(0, 20), (25, 20), (25, 40), (60, 20)]
    assert sorted(map(tuple, edges.seam_ends.round(4).tolist())) == [(0, 20), (25, 40), (60, 20)]


@pytest.mark.parametrize("habit", HABITS)
def test_owners(habit: str) -> None:
    """Every seam lies between the two pieces that own it, and every rim on its one piece's border."""
    drawing = drawn(body(BRICKS, habit))
    faces = [piece.face for piece in drawing.pattern.pieces]
    lengths: dict[tuple[int, ...], float] = {}
    for (begin, end), owners in zip(drawing.edges.seams, drawing.edges.owners.tolist(), strict=True):
        pair = tuple(sorted(owners))
        lengths[pair] = lengths.get(pair, 0.0) + abs(end - begin).sum()
    shared = {(a, b): faces[a].intersection(faces[b]).length for a in range(3) for b in range(a + 1, 3)}
    assert lengths == pytest.approx(shared)
    rims = [0.0, 0.0, 0.0]
    for (begin, end), owner in zip(drawing.edges.rims, drawing.edges.rim_owners.tolist(), strict=True):
        rims[owner] += abs(end - begin).sum()
    assert [face.length - rim for face, rim in zip(faces, rims, strict=True)] == pytest.approx(
        [sum(length for pair, length in shared.items() if face in pair) for face in range(3)]
    )


@pytest.mark.parametrize(
    ("squares", "groups", "joints"),
    [
        ([(0, 0)], 1, 0),
        ([(0, 0), (20, 0)], 1, 2),
        ([(0, 0), (40, 0)], 2, 0),
        ([(0, 0), (20, 0), (60, 0), (60, 20)], 2, 4),
    ],
)
def test_euler(squares: list[tuple[int, int]], groups: int, joints: int) -> None:
    """V - E + F is one more than the number of groups of pieces that hang together (Euler)."""
    drawing = drawn("".join(square(x, y, 20).outline for x, y in squares))
    assert drawing.euler == groups + 1
    assert len(drawing.edges.joints) == joints


def test_no_faces_twice() -> None:
    """Half of a closed disc against the other half: the straight line between them is the only seam."""
    drawing = drawn('<path d="M-30,0 A30 30 0 0 1 30,0 Z"/><path d="M-30,0 A30 30 0 0 0 30,0 Z"/>')
    again = read_edges([piece.face for piece in reversed(drawing.pattern.pieces)])
    assert drawing.edges.seam_mm == pytest.approx(60)
    assert again.seam_mm == drawing.edges.seam_mm
    assert again.rim_mm == pytest.approx(drawing.edges.rim_mm, rel=1e-12)
