"""A drawing that runs out of its sheet is told, and two that stand apart."""

from __future__ import annotations

from pathlib import Path

import pytest

from catalog_builder.tracing.trace_options import TraceOptions
from catalog_builder.tracing.traced_drawing import TracedDrawing, drawing_of
from tests.tracing.paper_sheets import Line, rectangle, save_scan


def traced(tmp_path: Path, lines: list[Line]) -> TracedDrawing:
    """Trace lines on a scanned sheet of 100 x 120 mm."""
    return drawing_of(save_scan(tmp_path / "sheet.png", lines), TraceOptions())


@pytest.mark.parametrize("ends", [(120.0, 60.0), (100.0, 60.0)])
def test_a_line_that_runs_off_the_sheet_is_told_with_its_place(tmp_path: Path, ends: tuple[float, float]) -> None:
    """The bar goes on to the right edge: it crosses the strip that is not read once, level with its middle."""
    drawing = traced(tmp_path, [rectangle(20, 20, 80, 100), [(20, 60), ends]])
    told = [finding for finding in drawing.findings if finding.kind == "cut off"]
    assert [finding.doubt for finding in told] == [True]
    assert told[0].at == pytest.approx((82.5, 45), abs=0.3)
    assert "edge of the sheet" in told[0].text


def test_a_drawing_within_the_sheet_is_not_cut_off(tmp_path: Path) -> None:
    """Lines up to 4 mm from the edge are read whole."""
    drawing = traced(tmp_path, [rectangle(4, 4, 96, 116), [(4, 60), (96, 60)]])
    assert len(drawing.fields) == 2
    assert drawing.findings == ()


def test_the_shadow_along_an_edge_is_no_line(tmp_path: Path) -> None:
    """A dark strip that lies along a whole side runs nowhere."""
    drawing = traced(tmp_path, [rectangle(20, 20, 80, 100), [(20, 60), (80, 60)], [(98, 2), (98, 118)]])
    assert not [finding for finding in drawing.findings if finding.kind == "cut off"]


def test_two_drawings_on_a_sheet_are_said(tmp_path: Path) -> None:
    """They are both in the SVG, which is no doubt."""
    drawing = traced(tmp_path, [rectangle(20, 20, 80, 50), rectangle(20, 60, 80, 100)])
    assert [(finding.kind, finding.doubt) for finding in drawing.findings] == [("apart", False)]
    assert drawing.findings[0].text.startswith("2 drawings stand apart")
    assert len(drawing.fields) == 2
