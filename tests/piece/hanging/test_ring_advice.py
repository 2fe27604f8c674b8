"""Findings on the places of rings: they come where none is marked or a piece tilts, and go with the lines pasted."""

from __future__ import annotations

from pathlib import Path

import pytest

from catalog_builder.build import calculate_all
from catalog_builder.cache.store import Store
from catalog_builder.mistake import WordedFinding
from catalog_builder.piece.assembly import Assembler
from catalog_builder.publish.studio_calculation import quiet
from catalog_builder.publish.theme.loading import read_theme
from catalog_builder.records.content import Content
from tests.piece.hanging.test_proposal import STRONG, strips
from tests.piece.hanging.test_suspension import ring
from tests.studio import content

CODES = ("H01", "H06", "H07")


def findings(studio: Content, language: str = "en-GB") -> list[WordedFinding]:
    """The findings of a build on where the rings of its product are."""
    calculated = calculate_all(studio, read_theme(studio.project, "daylight", language), quiet)
    return [finding for finding in calculated.worded_findings if finding.code in CODES]


def test_no_ring_is_marked(tmp_path: Path) -> None:
    """The finding says which place the ring gets, and in lines to paste how to keep it there or to choose another."""
    (finding,) = findings(content(tmp_path, strips(20, 50, 80), materials=STRONG))
    assert finding.code == "H06"
    assert finding.text.startswith(
        "Pane: no ring is marked. It hangs by a ring at the end of a seam, at x 50, y 0 of the drawing: level, load "
    )
    assert "one ring at a seam: `marks: {rings: [[50, 0]]}` (level, load " in finding.advice
    assert "two level rings: `marks: {rings: [[20, 0], [80, 0]]}` (level, load " in finding.advice
    assert "its joint holds " in finding.text
    assert "wire" not in finding.advice


def test_no_end_of_a_seam_is_level(tmp_path: Path) -> None:
    """Where a wire along the rim carries the ring, the finding says so, and asks to solder it all along."""
    (finding,) = findings(content(tmp_path, strips(20, 80)))
    assert (
        "no end of a seam lets it hang level. It hangs by a ring on a wire along the rim, at x 50, y 0" in finding.text
    )
    assert finding.text.endswith("strength not known")
    assert finding.advice.startswith("solder the wire along its whole length, and hang a first piece before")
    assert "a ring on a wire along the rim: `hang: {by: loop}` and `marks: {rings: [[50, 0]]}`" in finding.advice
    assert "one ring at a seam" not in finding.advice


@pytest.mark.parametrize(
    ("keys", "line"),
    [
        ("marks: {rings: [[50, 0]]}", ""),
        ("marks: {open: []}", "rings: [[50, 0]]` under `marks:`"),
    ],
)
def test_lines_for_a_record_as_it_is(tmp_path: Path, keys: str, line: str) -> None:
    """Without a ring the line goes under the marks that the record has; with the line in it the finding is gone."""
    found = findings(content(tmp_path, strips(20, 50, 80, keys=keys)))
    assert [finding.code for finding in found] == (["H06"] if line else [])
    assert all(line in finding.advice for finding in found)


def test_lines_for_a_record_that_hangs_by_something(tmp_path: Path) -> None:
    """A record that has `hang:` is told what goes under it."""
    (finding,) = findings(content(tmp_path, strips(20, 80, keys="hang: {outdoors: false}")))
    assert "`by: loop` under `hang:` and `marks: {rings: [[50, 0]]}`" in finding.advice


def test_a_ring_that_tilts_is_told_what_is_level(tmp_path: Path) -> None:
    """A marked ring on which the piece tilts comes with the places that are level; a level one has no finding."""
    found = findings(content(tmp_path / "off", strips(20, 50, 80, marks=ring(20, 0))))
    assert [finding.code for finding in found] == ["H01", "H07"]
    assert "could hang nearer to level" in found[1].text
    assert found[1].advice.startswith("take out the rings that are marked, and write one of these into the head")
    assert "`marks: {rings: [[50, 0]]}`" in found[1].advice
    assert findings(content(tmp_path / "level", strips(20, 50, 80, marks=ring(50, 0)))) == []


def test_one_finding_a_product(tmp_path: Path) -> None:
    """A product in several sizes is told once, for its heaviest."""
    studio = content(tmp_path, strips(20, 50, 80, keys="sizes: {small: 80 mm, large: 150 mm, middle: 100 mm}"))
    (finding,) = findings(studio)
    assert finding.text.startswith("Pane, large: no ring is marked.")
    assert "x 50, y 0 of the drawing" in finding.text


@pytest.mark.parametrize(
    ("language", "words"),
    [
        ("de-DE", "zwei Ösen auf gleicher Höhe: `marks: {rings: [[20.5, 0], [80, 0]]}`"),
        ("fr-FR", "deux anneaux à la même hauteur : `marks: {rings: [[20.5, 0], [80, 0]]}`"),
        ("es-ES", "dos anillas a la misma altura: `marks: {rings: [[20.5, 0], [80, 0]]}`"),
    ],
)
def test_lines_are_the_same_in_every_language(tmp_path: Path, language: str, words: str) -> None:
    """A line to paste keeps its decimal point and its keys."""
    (finding,) = findings(content(tmp_path, strips(20.5, 50, 80)), language)
    assert words in finding.advice


def test_proposals_are_kept(tmp_path: Path) -> None:
    """What a build keeps of a product's proposals and loops is what the next build reads."""
    studio = content(tmp_path, strips(20, 80), materials=STRONG)
    making, hanging = studio.studio.making, studio.studio.hanging
    assembler = Assembler(studio.materials, making, hanging, studio.day, Store(tmp_path / "made"))
    first, second = (assembler.assemble(studio.products[0]) for _ in range(2))
    assert first.rings is not None
    assert first.rings == second.rings
    assert first.heaviest.made.loops == second.heaviest.made.loops != ()
    assert first.heaviest.made.wires == second.heaviest.made.wires
