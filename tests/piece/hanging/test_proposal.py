"""Proposals for rings: one seam end, a level pair, a wire along the rim; what they promise, ``check`` then finds."""

from __future__ import annotations

import math
from itertools import pairwise
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from catalog_builder.piece.balance import tilt_degrees
from catalog_builder.piece.hanging.proposal import RingProposal, RingProposals, propose_rings
from catalog_builder.piece.hanging.ring_choice import slope_degrees
from catalog_builder.piece.hanging.strength import newtons
from catalog_builder.piece.made_piece import with_loops
from catalog_builder.piece.mass import Body, weigh_piece
from catalog_builder.records.content import Content
from catalog_builder.records.hardware_kind import HardwareKind
from tests.piece.hanging.test_suspension import TWO_RINGS
from tests.studio import PANE, PANE_RING, content, makings, record, suspension

# Solder that holds 3 MPa for good, rings of 1 mm wire, and wire of 210 MPa: enough for every hold to be judged.
STRONG = {
    "solder": {"strength_mpa": "3"},
    "ring-small": {"gauge_awg": "18"},
    "ring-large": {"gauge_awg": "14"},
    "wire": {"strength_mpa": "210"},
}
SINGLE_PIECE = '<rect width="100" height="60" data-glass="left"/>'


def proposals(studio: Content) -> RingProposals:
    """The proposals for the first product at its first size."""
    found, made = studio.studio, makings(studio)[0]
    return propose_rings(made, studio.products[0], studio.materials, studio.day, found.making, found.hanging)


def body_of(studio: Content) -> Body:
    """The first product's body, without rings and what carries them."""
    bare = with_loops(makings(studio)[0], ())
    return weigh_piece(bare, studio.products[0], studio.materials, studio.studio.making)


def strips(*lines: float, keys: str = "", marks: str = "") -> str:
    """The record of a pane of 100 x 60 mm in strips, parted by upright lines; of one glass, so that all is by hand."""
    edges = (0, *lines, 100)
    labels = "".join(
        f'<text x="{(left + right) / 2}" y="30" data-glass="left">{number}</text>'
        for number, (left, right) in enumerate(pairwise(edges), 1)
    )
    drawn = "".join(f'<path d="M{x},0 V60"/>' for x in lines)
    return record(f"{SINGLE_PIECE}{drawn}{labels}{marks}", glass="{left: reed}", keys=keys)


def pasted(text: str, proposal: RingProposal) -> str:
    """A record with a proposal's lines at the end of its head."""
    head, separator, body = text.partition("\n---\nTwo panes.")
    return "\n".join((head, *proposal.lines)) + separator + body


def test_the_weight_hangs_under_the_ring(tmp_path: Path) -> None:
    """On one ring the centre of mass comes to lie straight below it: tan(tilt) = across / below.

    By hand; equilibrium of moments about the ring (OpenStax University Physics vol. 1, 12.1).
    """
    studio = content(tmp_path, strips(30, 51, 90))
    single = proposals(studio).single
    assert single is not None
    assert list(single.places) == [(51, 0)]
    x, y = body_of(studio).centre
    assert single.tilt_degrees == pytest.approx(math.degrees(math.atan((x - 51) / y)))
    (load,) = single.loads_g
    assert load == pytest.approx(suspension(studio).body.mass_g)


@pytest.mark.parametrize(("left", "right"), [(20, 80), (10, 60), (30, 95)])
def test_loads_on_a_pair(tmp_path: Path, left: int, right: int) -> None:
    """By hand, moments about the left ring: load on the right x span = weight x distance of its centre.

    The rings themselves hang where they are, each on its own.
    """
    studio = content(tmp_path, strips(left, right))
    pair = proposals(studio).pair
    assert pair is not None
    assert list(pair.places) == [(left, 0), (right, 0)]
    bare = body_of(studio)
    ring_g = float(studio.materials.rows["ring-small"].mass_g or 0)
    on_right = bare.mass_g * (bare.centre[0] - left) / (right - left)
    assert pair.loads_g == pytest.approx((bare.mass_g - on_right + ring_g, on_right + ring_g))
    assert pair.tilt_degrees == 0


def test_a_pair_carries_evenly(tmp_path: Path) -> None:
    """Of several level pairs the one is proposed whose rings carry most alike."""
    pair = proposals(content(tmp_path, strips(10, 30, 70, 85))).pair
    assert pair is not None
    assert list(pair.places) == [(30, 0), (70, 0)]


def test_slope() -> None:
    """A right ring 10 mm lower than the left one and 100 mm across: tan = 0.1, turned anticlockwise until level."""
    assert slope_degrees(((0, 0), (100, 10))) == pytest.approx(-5.7106, abs=1e-4)
    assert slope_degrees(((0, 10), (100, 0))) == pytest.approx(5.7106, abs=1e-4)


# Half a shield; the fold is its axis.
HALVES = [
    '<path d="M50 0 H90 L70 60 H50"/><path d="M50 0 V60"/><path d="M50 25 H82"/>',
    '<path d="M50 10 C60 0 90 0 90 30 C90 50 60 60 50 80"/><path d="M50 10 V80"/><path d="M50 40 L88 40"/>',
]


@pytest.mark.parametrize("half", HALVES)
@pytest.mark.parametrize("solid_top", [False, True])
def test_a_symmetric_design_gets_a_place_on_its_axis(tmp_path: Path, half: str, solid_top: bool) -> None:
    """A seam along the axis ends at the place; where a cap lies across the axis, a wire carries the ring there."""
    axis = '<line data-mark="fold" x1="50" y1="-5" x2="50" y2="95"/>'
    middle = "40" if "C60" in half else "25"
    top = "10" if "C60" in half else "0"
    if solid_top:
        half = half.replace(f'<path d="M50 {top} V', f'<path d="M50 {middle} V')
    text = record(axis + half, 'width="100mm" height="90mm" viewBox="0 0 100 90" data-glass="left"', "{left: reed}")
    best = proposals(content(tmp_path, text)).best
    assert best is not None
    assert best.on_wire is solid_top
    assert best.places[0] == pytest.approx((50, float(top)), abs=0.02)
    assert best.tilt_degrees == pytest.approx(0, abs=0.02)


HALF = '<path d="M50 0 H90 L70 60 H50"/>'


@pytest.mark.parametrize("keys", ["", "hang: {by: hook}"])
@pytest.mark.parametrize("seams", ['<path d="M70 0 V60"/><path d="M80 0 V30"/><path d="M50 30 H80"/>', ""])
def test_a_fold_mirrors_its_rings(tmp_path: Path, keys: str, seams: str) -> None:
    """Beside a fold a ring is mirrored: one ring is proposed on the fold alone, two as mirror images."""
    axis = '<line data-mark="fold" x1="50" y1="-5" x2="50" y2="95"/>'
    box = 'width="100mm" height="90mm" viewBox="0 0 100 90" data-glass="left"'
    text = record(axis + HALF + seams, box, "{left: reed}", keys)
    found = proposals(content(tmp_path / "bare", text))
    assert found.single is None
    assert (found.pair is not None) is bool(seams)
    assert found.pair is None or found.pair.places in (((30, 0), (70, 0)), ((20, 0), (80, 0)))
    assert found.best is found.loop
    for index, proposal in enumerate(found.all):
        hung = suspension(content(tmp_path / str(index), pasted(text, proposal)))
        assert len(hung.rings) == len(proposal.places)
        assert hung.ring_loads_g == pytest.approx(proposal.loads_g, rel=1e-3)


@pytest.mark.parametrize(
    ("keys", "kind"),
    [("", "loop"), ("hang: {by: hook}", "hook"), ("hang: {by: cord, length: 240 mm}", "cord")],
)
@pytest.mark.parametrize("choice", ["single", "pair", "loop"])
def test_a_proposal_that_is_pasted_keeps_its_promise(tmp_path: Path, keys: str, kind: str, choice: str) -> None:
    """The lines of a proposal make a record that hangs as they say, with the tilt, loads and kind that were told."""
    text = strips(20, 62, 80, keys=keys)
    proposal = getattr(proposals(content(tmp_path / "bare", text, materials=STRONG)), choice)
    assert isinstance(proposal, RingProposal)
    hung = suspension(content(tmp_path / "pasted", pasted(text, proposal), materials=STRONG))
    assert hung.tilt_degrees == pytest.approx(proposal.tilt_degrees, abs=0.05)
    assert hung.ring_loads_g == pytest.approx(proposal.loads_g, rel=1e-3)
    assert hung.hung_by is proposal.by
    assert hung.hung_by == (kind if choice == "loop" or keys else "ring")
    assert proposal.holds_n is not None
    assert proposal.holds_n >= 5 * proposal.load_n


def test_a_loop_in_the_record_is_no_loop_at_a_seam(tmp_path: Path) -> None:
    """For a record that says loop, a single place at a seam's end comes with the line that says ring."""
    found = proposals(content(tmp_path, strips(20, 51, 80, keys="hang: {by: loop}")))
    assert found.single is not None
    assert found.single.by is HardwareKind.RING
    assert found.single.lines == ("hang:", "  by: ring", "marks:", "  rings:", "    - [51, 0]")
    assert found.best is found.loop
    assert found.loop is not None
    assert found.loop.by is HardwareKind.LOOP


def test_what_does_not_hold_is_not_proposed(tmp_path: Path) -> None:
    """With solder so weak that a ring's seat breaks, a seam's end is no proposal, while a long wire still holds."""
    weak = {**STRONG, "solder": {"strength_mpa": "0.2"}}
    found = proposals(content(tmp_path, strips(20, 62, 80), materials=weak))
    assert found.single is None
    assert found.loop is not None
    assert found.loop.holds_n is not None
    assert found.loop.holds_n >= 5 * newtons(found.loop.loads_g[0])


def test_a_single_piece(tmp_path: Path) -> None:
    """No seam meets the rim of a piece that is alone: a wire right round it carries its ring, level in the middle."""
    text = record(SINGLE_PIECE, glass="{left: reed}")
    found = proposals(content(tmp_path / "bare", text, materials=STRONG))
    assert (found.single, found.pair) == (None, None)
    assert found.best is found.loop
    assert found.loop is not None
    assert list(found.loop.places) == [(50, 0)]
    hung = suspension(content(tmp_path / "hung", text, materials=STRONG))
    assert hung.hung_by is HardwareKind.LOOP
    assert hung.tilt_degrees == pytest.approx(0, abs=0.01)


def test_marked_rings_do_not_change_proposals(tmp_path: Path) -> None:
    """What is proposed follows from glass and seams, whatever is marked."""
    bare = proposals(content(tmp_path / "bare", record(PANE)))
    marked = proposals(content(tmp_path / "marked", record(PANE + PANE_RING)))
    assert (bare.marked, marked.marked) == (False, True)
    assert (bare.single, bare.pair, bare.loop) == (marked.single, marked.pair, marked.loop)
    two = proposals(content(tmp_path / "two", record(TWO_RINGS)))
    assert two.pair is not None
    assert list(two.pair.places) == [(20, 0), (80, 0)]


@settings(max_examples=15, deadline=None)
@given(
    st.lists(st.integers(1, 11).map(lambda place: 8 * place), min_size=1, max_size=4, unique=True),
    st.lists(st.integers(0, 25), min_size=5, max_size=5),
)
def test_no_other_place_hangs_nearer_to_level(lines: list[int], heights: list[int]) -> None:
    """Over random strips with a broken top, no other end of a seam above the weight tilts less than the place.

    A wire along the rim carries the ring straight above the weight.
    """
    xs = [0, *sorted(lines), 100]
    tops = [heights[index % len(heights)] for index in range(len(xs))]
    outline = "M0,60 " + " ".join(f"L{x},{y}" for x, y in zip(xs, tops, strict=True)) + " L100,60 Z"
    drawn = "".join(f'<path d="M{x},{y} V60"/>' for x, y in zip(xs[1:-1], tops[1:-1], strict=True))
    box = 'width="100mm" height="60mm" viewBox="0 0 100 60" data-glass="left"'
    with TemporaryDirectory() as folder:
        studio = content(Path(folder), record(f'<path d="{outline}"/>{drawn}', box, "{left: reed}"))
        found = proposals(studio)
        single = found.single
        assert single is not None
        assert found.loop is None or abs(found.loop.tilt_degrees) < 0.1
        made = makings(studio)[0]
        body = body_of(studio)
        others = [tilt_degrees((x, y), body.centre) for x, y in made.main.edges.seam_ends if y < body.centre[1]]
        assert abs(single.tilt_degrees) <= min(map(abs, others)) + 0.05
