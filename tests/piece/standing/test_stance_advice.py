"""Findings on how a piece stands: each comes, and goes where there is no reason for it."""

from __future__ import annotations

from pathlib import Path

import pytest

from catalog_builder.mistake import Finding
from catalog_builder.piece.standing.stance_advice import standing_findings
from catalog_builder.publish.theme.loading import read_theme
from catalog_builder.publish.theme.phrasing import Phrasing
from catalog_builder.publish.theme.wording import Wording
from tests.piece.standing.test_standing_piece import ADDED, FOOT, ROD, tray
from tests.studio import PANE, content, record, suspension

NARROW = {**ADDED, "foot": {**FOOT, "width_mm": "8"}, "rod": {**ROD, "strength_mpa": "400"}}
# A seam that bends away 8 mm above the lower rim: the rod that begins there leaves it.
BENT = (
    '<path data-glass="left" d="M0 0 L80 0 L80 52 L50 52 L50 60 L0 60 Z"/>'
    '<path data-glass="right" d="M80 0 L100 0 L100 60 L50 60 L50 52 L80 52 Z"/>'
)


def findings(root: Path, text: str) -> list[Finding]:
    """The findings on how the one product stands."""
    studio = content(root, text, materials=NARROW)
    return list(standing_findings(studio.products[0], suspension(studio)))


def pane(hang: str, drawing: str = PANE) -> str:
    """The record of a pane that stands."""
    return record(drawing, keys=f"hang: {hang}")


@pytest.mark.parametrize(
    ("text", "codes"),
    [
        (pane("{by: stand, material: pad}"), ["H08"]),
        (tray("{by: stand, down: back}"), []),
        (pane("{by: stake, length: 300 mm, material: rod}"), []),
        (pane("{by: stake, length: 300 mm, material: rod}", BENT), ["H09"]),
        (pane("{by: stake, length: 300 mm, material: rod, outdoors: true}"), ["H10"]),
        (tray("{by: stand, down: back, outdoors: true}"), ["H10"]),
        (tray("{by: stand, down: back, tealight: true}"), ["H11"]),
        (pane("{by: clip}"), []),
    ],
)
def test_codes(tmp_path: Path, text: str, codes: list[str]) -> None:
    """Tipping under 10 degrees, little solder along a rod, wind below a gale and a tealight are findings."""
    assert [finding.code for finding in findings(tmp_path, text)] == codes


@pytest.mark.parametrize(
    ("language", "words"),
    [
        ("en-GB", "tipped by 7.1° to the back it falls"),
        ("de-DE", "gekippt fällt es"),
        ("fr-FR", "elle tombe"),
        ("es-ES", "cae"),
    ],
)
def test_words(tmp_path: Path, language: str, words: str) -> None:
    """A finding says by how many degrees and to which side, in each language, with a mend."""
    (finding,) = findings(tmp_path, pane("{by: stand, material: pad}"))
    theme = read_theme(Path("nowhere"), "daylight", language)
    said = Phrasing(theme.labels, Wording("EUR", language, "metric")).finding(finding)
    assert words in said.text
    assert "10°" in said.text.replace("\u202f", "").replace("\u00a0", "")
    assert said.advice
