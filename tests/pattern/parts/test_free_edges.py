"""Edges of parts that meet nothing: told with part, side and length, unless the record says that they are open."""

from __future__ import annotations

from pathlib import Path

import pytest

from catalog_builder.mistake import Finding
from catalog_builder.pattern.measured import measure
from catalog_builder.pattern.sizes import read_sizes
from catalog_builder.publish.theme.loading import read_theme
from catalog_builder.publish.theme.phrasing import Phrasing
from catalog_builder.publish.theme.wording import Wording
from tests.parts import FIN, LEFT_EDGE, RIGHT_EDGE, block, join
from tests.studio import content, record

FLOOR = '<rect width="80" height="60" data-glass="left"/>'


def wall(long: float, low: float = 40.0) -> tuple[str, str]:
    """A wall that is joined on by its lower edge, and its box; its right side may be lower than its left."""
    drawing = f'<polygon points="0,0 {long},{40 - low} {long},40 0,40" data-glass="left"/>' + join(0, 40, long, 40)
    return drawing, f'width="{long}mm" height="40mm" viewBox="0 0 {long} 40"'


def free_edges(root: Path, parts: str, blocks: str, main: str = FLOOR) -> list[Finding]:
    """The findings about free edges of a box."""
    box = 'width="80mm" height="60mm" viewBox="0 0 80 60"'
    studio = content(
        root, record(main, box, "{left: slate}", f"parts:\n{parts}hang: {{by: stand, down: back}}") + blocks
    )
    product, making = studio.products[0], studio.studio.making
    (sized,) = read_sizes(product, making, studio.materials)
    return [each for each in measure(product, sized, making).findings if each.code == "G12"]


def said(root: Path, finding: Finding) -> tuple[str, str]:
    """A finding and its advice in English."""
    phrasing = Phrasing(read_theme(root, "daylight", "en-GB").labels, Wording("EUR", "en-GB", "metric"))
    return phrasing.show(finding.text), phrasing.show(finding.advice)


BLOCKS = block("long", *wall(80)) + block("short", *wall(60))
BOTH = "  long: {{inside_angle: {0}, around: true{1}}}\n  short: {{inside_angle: {0}, around: true{1}}}\n"


def test_the_rim_of_a_box(tmp_path: Path) -> None:
    """Its four walls meet nothing at the top, which is named with its length and count, and goes by a key."""
    told = free_edges(tmp_path / "a", BOTH.format(90, ""), BLOCKS)
    assert [str(each.place).rpartition(":")[0] for each in told] == ["content/products/pane/product.md"] * 2
    assert said(tmp_path, told[0]) == (
        "Pane: edges of the part long meet nothing and count as rims: at the top 80 mm, 2 times",
        "if the form should close there, correct the angle, or draw the edge so that it meets another; if it is meant "
        "to be open, write `open_sides: [top]` under the part long",
    )
    assert not free_edges(tmp_path / "b", BOTH.format(90, ", open_sides: [top]"), BLOCKS)


def test_walls_that_lean_out_too_far_to_meet(tmp_path: Path) -> None:
    """At 120 degrees the upright edges of all walls are free, though their tops are said to be open."""
    told = free_edges(tmp_path, BOTH.format(120, ", open_sides: [top]"), BLOCKS)
    assert "on the right 40 mm, 2 times and on the left 40 mm, 2 times" in said(tmp_path, told[0])[0]
    assert "[top, right, left]" in said(tmp_path, told[0])[1]


def test_a_wall_that_is_left_out(tmp_path: Path) -> None:
    """Without its front, the edges of both ends that would meet it are free."""
    floor = FLOOR + join(0, 0, 80, 0, "long")
    parts = (
        "  long: {inside_angle: 90, open_sides: [top]}\n  short: {inside_angle: 90, around: true, open_sides: [top]}\n"
    )
    (told,) = free_edges(tmp_path, parts, BLOCKS, floor)
    assert (
        "the part short meet nothing and count as rims: on the right 40 mm and on the left 40 mm"
        in said(tmp_path, told)[0]
    )


def test_what_is_left_of_an_edge(tmp_path: Path) -> None:
    """Beside walls that are lower by 10 mm on both sides, 10 mm of each edge are free."""
    parts = BOTH.format(90, ", open_sides: [top]")
    low = block("short", '<rect width="60" height="30" data-glass="left"/>' + join(0, 30, 60, 30), wall(60)[1])
    (told,) = free_edges(tmp_path, parts, block("long", *wall(80)) + low)
    assert (
        "the part long meet nothing and count as rims: on the right 10 mm, 2 times and on the left 10 mm"
        in said(tmp_path, told)[0]
    )


def test_a_gap_is_told_as_a_gap(tmp_path: Path) -> None:
    """Walls that miss each other by little are told with their gap alone."""
    narrow = block(
        "long", '<polygon points="3,0 77,0 80,40 0,40" data-glass="left"/>' + join(0, 40, 80, 40), wall(80)[1]
    )
    assert not free_edges(tmp_path, BOTH.format(90, ", open_sides: [top]"), narrow + block("short", *wall(60)))


@pytest.mark.parametrize("angle", ["set_at: [90, 270]", "inside_angle: 120"])
def test_wings_are_to_stand_free(tmp_path: Path, angle: str) -> None:
    """A part that is joined by one edge alone is a wing, whose other edges are no fault."""
    main = FLOOR.replace("80", "100") + LEFT_EDGE + RIGHT_EDGE
    assert not free_edges(tmp_path, f"  fin: {{{angle}}}\n", block("fin", FIN), main)
