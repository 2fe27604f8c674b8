"""The options of a trace: sizes of sheets, dots per inch, a width, a half; and what is said of bad ones."""

from __future__ import annotations

import pytest

from catalog_builder.mistake import MistakeError
from catalog_builder.tracing.trace_options import read_trace_options


@pytest.mark.parametrize(
    ("paper", "size"),
    [
        # ISO 216: each size is half of the one before, rounded down.
        ("a3", (297.0, 420.0)),
        ("A4", (210.0, 297.0)),
        ("a5", (148.0, 210.0)),
        # 8.5 by 11 and 8.5 by 14 inches of 25.4 mm.
        ("letter", (8.5 * 25.4, 11 * 25.4)),
        ("legal", (8.5 * 25.4, 14 * 25.4)),
        ("210x297", (210.0, 297.0)),
        ("297 × 210 mm", (210.0, 297.0)),
    ],
)
def test_a_sheet_has_the_size_of_its_standard(paper: str, size: tuple[float, float]) -> None:
    """A sheet is named, or its two sides are given in either order."""
    assert read_trace_options(paper=paper).paper_mm == pytest.approx(size)


def test_each_bad_option_is_told_at_once() -> None:
    """One run names every option that cannot be read."""
    with pytest.raises(MistakeError) as error:
        read_trace_options(paper="a44", dpi="many", width="140", half="lift")
    assert [(mistake.place.path, mistake.wrong) for mistake in error.value.mistakes] == [
        ("--dpi", "'many' is no resolution of a scan"),
        ("--half", "'lift' is no half of a drawing"),
        ("--paper", "'a44' is no size of a sheet"),
        ("--width", "'140' is no width of a drawing"),
    ]
    assert [mistake.mend for mistake in error.value.mistakes if "did you mean" in mistake.mend] == [
        "did you mean left?",
        "did you mean a4?",
    ]


@pytest.mark.parametrize("paper", ["0x297", "1x1", "9999x9999", "x", "", "a4 landscape please", "-210x297"])
def test_a_size_that_no_sheet_has_is_refused(paper: str) -> None:
    """A sheet is from 40 mm to 2 m."""
    with pytest.raises(MistakeError, match="no size of a sheet"):
        read_trace_options(paper=paper)


@pytest.mark.parametrize("dpi", ["0", "-300", "nan", "inf", "1e9"])
def test_a_resolution_that_no_scanner_has_is_refused(dpi: str) -> None:
    """Dots per inch are from 50 to 2400."""
    with pytest.raises(MistakeError, match="no resolution of a scan"):
        read_trace_options(dpi=dpi)


def test_a_width_is_read_with_its_unit() -> None:
    """A width is a length in any unit that a record may use."""
    assert read_trace_options(width="5.5 in").width_mm == pytest.approx(139.7)
