"""The simplest things of the trade are published: one piece of glass on a wire, and parts that are one piece."""

from __future__ import annotations

from pathlib import Path

import pytest

from catalog_builder.build import build
from catalog_builder.publish.studio_calculation import quiet
from tests.parts import MIDDLE, parted
from tests.studio import DAY, project, record

ROUND = """
<circle cx="30" cy="40" r="30" data-glass="disc"/>
<path data-mark="wire" d="M30 40 m0 -31 a5 5 0 1 1 0.01 0"/>
<path data-mark="wire" d="M0 40 A30 30 0 1 1 60 40 A30 30 0 1 1 0 40"/>
<circle data-mark="ring" cx="30" cy="10" r="2"/>
"""
BOX = 'width="60mm" height="72mm" viewBox="0 0 60 72"'


@pytest.mark.parametrize(
    "text",
    [
        record(ROUND, BOX, "{disc: reed}"),
        parted(MIDDLE, {"fin": "set_at: [90]"}),
    ],
    ids=["a round on a wire", "a part of one piece"],
)
def test_a_flat_without_a_seam_is_published(tmp_path: Path, text: str) -> None:
    """A flat that has no seam has pictures, pattern sheets, cards and pages as any other."""
    root = project(tmp_path, {"round": text})
    summary = build(root, DAY, 1, quiet)
    assert summary.products == 1
    assert (root / "site_output" / "catalogue" / "products" / "round.html").is_file()
    assert list((root / "site_output" / "bench" / "patterns").glob("round*.pdf"))
