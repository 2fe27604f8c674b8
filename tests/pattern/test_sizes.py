"""Sizes: a drawing is scaled first and measured then, so that what is made by hand stays as it is."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.studio import BOX, PANE, PANE_RING, content, makings, record

SIZES = "sizes: {half: 50 mm, drawn: 100 mm, triple: 300 mm}"
WIRE = '<path data-mark="wire" d="M50,60 L50,80"/>'


@pytest.mark.parametrize("gap", ["0", "0.8", "1.2"])
def test_gap_does_not_scale(tmp_path: Path, gap: str) -> None:
    """Faces grow with the square of a size and seams with the size, while the foil gap stays as it is."""
    tables = {"making": f'solder = "solder"\nwire = "wire"\nfoil_gap_mm = {gap}'}
    for k, made_piece in zip((0.5, 1, 3), makings(content(tmp_path, record(keys=SIZES), tables)), strict=True):
        assert sum(piece.face.area for piece in made_piece.main.pattern.pieces) == pytest.approx(6000 * k**2)
        assert made_piece.main.edges.seam_mm == pytest.approx(60 * k)
        assert made_piece.main.edges.rim_mm == pytest.approx(320 * k)
        assert [cut.area_mm2 for cut in made_piece.cuts] == pytest.approx([(50 * k - float(gap) / 2) * 60 * k] * 2)


def test_foil_and_bead_do_not_scale(tmp_path: Path) -> None:
    """A larger size takes the same foil and the same grams of solder a metre.

    Wires are longer, not thicker.
    """
    half, drawn, triple = makings(content(tmp_path, record(PANE + PANE_RING + WIRE, keys=SIZES)))
    assert half.foil == drawn.foil == triple.foil
    assert half.bead == drawn.bead == triple.bead
    assert [made_piece.main.pattern.wires[0].line.length for made_piece in (half, drawn, triple)] == pytest.approx(
        [10, 20, 60]
    )


APART = '<path data-glass="left" d="M0 0 H49.65 V60 H0 Z"/><path data-glass="right" d="M50.35 0 H100 V60 H50.35 Z"/>'
SHORT_LINE = PANE.replace('y1="0"', 'y1="0.25"')


@pytest.mark.parametrize("drawing", [SHORT_LINE, APART], ids=["a line end 0.25 mm short", "outlines 0.7 mm apart"])
def test_what_lines_miss_by_scales(tmp_path: Path, drawing: str) -> None:
    """What is joined as it is drawn is joined at every size: three times as large, lines miss by three times as much.

    As drawn, ends that miss by up to 0.3 mm are joined, and outlines up to a foil gap of 0.8 mm apart share a seam.
    """
    for k, piece in zip((0.5, 1, 3), makings(content(tmp_path, record(drawing + PANE_RING, keys=SIZES))), strict=True):
        assert len(piece.main.pattern.pieces) == 2
        assert piece.main.edges.seam_mm == pytest.approx(60 * k, rel=5e-3)
        assert piece.main.edges.rim_mm == pytest.approx(320 * k, rel=5e-3)


@pytest.mark.parametrize(
    ("box", "width", "scale"),
    [
        (BOX, "", 1.0),
        ('viewBox="0 0 100 60"', "width: 80 mm", 0.8),
        ('viewBox="0 0 100 60"', "width: 5 in", 1.27),
        ('width="200mm" viewBox="0 0 100 60"', "", 2.0),
        ('width="200mm" viewBox="0 0 100 60"', "width: 50 mm", 0.5),
    ],
)
def test_finished_width(tmp_path: Path, box: str, width: str, scale: float) -> None:
    """The record's finished width sets the size of a drawing; without one, the drawing's own size does."""
    made_piece = makings(content(tmp_path, record(box=box, keys=width)))[0]
    assert made_piece.main.pattern.width_mm == pytest.approx(100 * scale)
    assert made_piece.main.edges.seam_mm == pytest.approx(60 * scale)


def test_finished_width_of_a_fold(tmp_path: Path) -> None:
    """The finished width of a folded drawing is that of the whole, not of its drawn half."""
    half = '<line data-mark="fold" x1="0" y1="-9" x2="0" y2="9"/><path d="M0,0 H50 V60 H0"/><path d="M0,0 V60"/>'
    glass = '<text x="25" y="30" data-glass="left">1</text><circle data-mark="ring" cx="0" cy="0" r="1"/>'
    studio = content(tmp_path, record(half + glass, 'viewBox="-50 0 100 60"', "{left: reed}", "width: 80 mm"))
    made_piece = makings(studio)[0]
    assert made_piece.main.pattern.width_mm == pytest.approx(80)
    assert [cut.number for cut in made_piece.cuts] == ["1L", "1R"]


def test_curves_stay_as_fine(tmp_path: Path) -> None:
    """Curves are followed to a hundredth of a millimetre at every size, so a larger one has more chords."""
    drawing = '<circle cx="50" cy="50" r="50" data-glass="left"/>'
    studio = content(tmp_path, record(drawing, 'width="100mm" viewBox="0 0 100 100"', "{left: reed}", SIZES))
    # n = pi / acos(1 - t / r) for r = 25, 50, 150 and t = 0.01, as in tests/outside/test_flattening.py.
    # Status C.
    assert [len(made_piece.main.edges.rims) for made_piece in makings(studio)] == [112, 158, 273]
