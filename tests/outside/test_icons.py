"""Real drawings of other people: read without a crash, as an independent reader reads them, and measured or refused.

Source: icons of two open sets (see data/README.md), and svgelements, a general-purpose reader of SVG.
"""

from __future__ import annotations

import io
import json
from pathlib import Path

import numpy as np
import pytest
import shapely
import svgelements

from catalog_builder.mistake import MistakeError
from catalog_builder.pattern.pieces import Fitting, read_pieces
from catalog_builder.pattern.svg.drawing import read_drawing
from catalog_builder.records.reading.source import Source

ICONS: dict[str, str] = json.loads((Path(__file__).parent / "data" / "icons.json").read_text())
# Finished mm for each mm of the icon: 16 or 24 px made about 80 mm wide.
SCALE = 15.0


@pytest.mark.parametrize("name", sorted(ICONS))
def test_lines_are_as_long_as_an_independent_reader_has_them(name: str) -> None:
    """The program's marks and svgelements' shapes agree in length to 0.1 %."""
    drawing = read_drawing(Source(f"{name}.svg", ICONS[name]))
    ours = sum(_length(run.flat(0.0005)) for mark in drawing.marks for run in mark.runs)
    document = svgelements.SVG.parse(io.StringIO(ICONS[name]), ppi=96)
    shapes = [shape for shape in document.elements() if isinstance(shape, svgelements.Shape)]
    theirs = sum(svgelements.Path(shape).length(error=1e-6) for shape in shapes) * 25.4 / 96
    assert theirs > 0
    assert ours == pytest.approx(theirs, rel=1e-3)


def test_each_is_measured_or_refused_with_a_reason() -> None:
    """An icon is no pattern, but each ends as pieces inside its own box or as mistakes that say where and why."""
    measured = 0
    for name, text in ICONS.items():
        drawing = read_drawing(Source(f"{name}.svg", text.replace("<svg", '<svg data-glass="any"', 1)))
        try:
            pattern = read_pieces(drawing, SCALE, Fitting(0.01, 0.3, 0.8), None)
        except MistakeError as refused:
            assert all(mistake.wrong and mistake.mend and mistake.place.path for mistake in refused.mistakes), name
            continue
        measured += 1
        area = sum(piece.face.area for piece in pattern.pieces)
        points = np.concatenate([run.flat(0.01) for mark in drawing.marks for run in mark.runs]) * SCALE
        box = float(np.prod(np.ptp(points, axis=0)))
        assert 0 < area <= box * 1.001, name
        assert shapely.coverage_is_valid([piece.face for piece in pattern.pieces]), name
    assert 20 <= measured < len(ICONS)


def _length(points: np.typing.NDArray[np.float64]) -> float:
    return float(np.hypot(*np.diff(points, axis=0).T).sum())
