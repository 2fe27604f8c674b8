"""What must hold for every piece: symmetry hangs straight, low mass lowers, sizes go by squares."""

from __future__ import annotations

import math
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from catalog_builder.piece.hanging.suspension import Suspension
from catalog_builder.piece.mass import Body, MassPart
from tests.parts import block, join, parted
from tests.studio import BOX, PANE_RING, content, record, suspension

STEADY = settings(derandomize=True, database=None, deadline=None, max_examples=25)
BARE = {"making": 'solder = "solder"\nwire = "wire"\nfoil_gap_mm = 0', "hanging": "safety_factor = 1"}


def hung_of(text: str) -> Suspension:
    """A record's product as it hangs, in a studio without a foil gap."""
    with TemporaryDirectory() as folder:
        return suspension(content(Path(folder), text, BARE))


def half(points: list[tuple[float, float]]) -> str:
    """Half a shape right of an upright fold at x 50, its seam along the fold."""
    path = "".join(f" L{50 + x:.3f},{y:.3f}" for x, y in points)
    return (
        '<line data-mark="fold" x1="50" y1="-9" x2="50" y2="99"/>'
        f'<path d="M50,0{path} L50,80"/><path d="M50,0 V80"/>'
        f'<text x="52" y="40" data-glass="left">1</text>{PANE_RING}'
    )


HALVES = st.lists(st.floats(10, 45), min_size=2, max_size=6).map(
    lambda widths: half([(wide, 80 * (index + 0.5) / len(widths)) for index, wide in enumerate(widths)])
)


def folded(drawing: str, keys: str = "") -> str:
    """A record of a folded drawing."""
    return record(drawing, BOX, "{left: reed}", keys)


@STEADY
@given(drawing=HALVES)
def test_a_mirror_image_hangs_straight(drawing: str) -> None:
    """A piece whose one half is the mirror image of the other hangs straight by a ring on its fold."""
    hung = hung_of(folded(drawing))
    assert hung.tilt_degrees == pytest.approx(0, abs=1e-6)
    assert hung.lean_degrees == 0
    assert hung.body.centre[0] == pytest.approx(50, abs=1e-6)


@STEADY
@given(drawing=HALVES, angle=st.floats(0, 180))
def test_wings_set_alike_do_not_tilt(drawing: str, angle: float) -> None:
    """Parts that a fold mirrors pull a piece forward or back, never to a side."""
    main = drawing + join(50, 80, 80, 80) + '<path data-mark="wire" d="M50,80 H80"/>'
    fin = '<rect width="30" height="12" data-glass="left"/><line data-mark="join" x1="0" y1="0" x2="30" y2="0"/>'
    blocks = block("fin", fin, 'width="30mm" height="12mm" viewBox="0 0 30 12"')
    text = parted("", {"fin": f"set_at: [{angle:.3f}]"}, main, blocks).replace(", right: slate", "")
    hung = hung_of(text)
    assert hung.tilt_degrees == pytest.approx(0, abs=1e-6)
    assert hung.body.forward >= -1e-9


PARTS = st.lists(st.tuples(st.floats(0.1, 500), st.floats(-100, 100), st.floats(-100, 100)), min_size=1, max_size=8)


@STEADY
@given(parts=PARTS, mass=st.floats(0.1, 500), below=st.floats(0, 200))
def test_mass_added_low_lowers_the_centre(parts: list[tuple[float, float, float]], mass: float, below: float) -> None:
    """What is added below the centre of mass never raises it, and the mass is the sum."""
    body = Body(tuple(MassPart("one", *part) for part in parts))
    x, y = body.centre
    more = Body((*body.parts, MassPart("low", mass, x, y + below)))
    assert more.centre[1] >= y - 1e-9
    assert more.mass_g == pytest.approx(body.mass_g + mass)


def three(left: float, right: float, keys: str) -> Suspension:
    """A pane of three pieces, its rings on the ends of its two seams."""
    labels = "".join(
        f'<text x="{x:.3f}" y="30" data-glass="left">{number}</text>'
        for number, x in enumerate((left / 2, (left + right) / 2, (right + 100) / 2), 1)
    )
    drawing = (
        f'<rect width="100" height="60" data-glass="left"/><path d="M{left:.4f},0 V60"/><path d="M{right:.4f},0 V60"/>'
        f'{labels}<circle data-mark="ring" cx="{left:.4f}" cy="0" r="1"/>'
        f'<circle data-mark="ring" cx="{right:.4f}" cy="0" r="1"/>'
    )
    return hung_of(record(drawing, glass="{left: reed}", keys=keys))


@STEADY
@given(apart=st.floats(20, 90))
def test_rings_moved_apart_share_as_before(apart: float) -> None:
    """Two rings moved apart evenly each carry half as before; over a chain only its angle, and so the pull, changes."""
    left, right = 50 - apart / 2, 50 + apart / 2
    alone = three(left, right, "")
    assert alone.ring_loads_g == pytest.approx((alone.body.mass_g / 2,) * 2, rel=1e-4)
    chained = three(left, right, "hang: {by: chain, length: 120 mm}")
    assert chained.tilt_degrees == pytest.approx(0, abs=0.01)
    sine = math.sqrt(60**2 - (apart / 2) ** 2) / 60
    assert chained.ring_loads_g == pytest.approx((chained.body.mass_g / 2 / sine,) * 2, rel=1e-3)


@cache
def as_drawn() -> Suspension:
    """A piece with a part, as it is drawn."""
    return hung_of(parted(join(100, 0, 100, 60), {"fin": "set_at: [60]"}))


@STEADY
@given(times=st.floats(0.5, 3))
def test_glass_by_squares_beads_by_lengths(times: float) -> None:
    """A size s times as large has s squared as much glass and s times as much bead; its balance keeps its shape."""
    text = parted(join(100, 0, 100, 60), {"fin": "set_at: [60]"}, keys=f"width: {100 * times!r} mm\n")
    drawn, large = as_drawn().body, hung_of(text).body
    assert large.share("glass") == pytest.approx(drawn.share("glass") * times**2, rel=1e-6)
    for name in ("seam", "rim"):
        assert large.share(name) == pytest.approx(drawn.share(name) * times, rel=1e-6)
    for name in ("glass", "seam", "rim"):
        small, scaled = (Body(tuple(part for part in body.parts if part.name == name)) for body in (drawn, large))
        centre = [value * times for value in (*small.centre, small.forward)]
        assert (*scaled.centre, scaled.forward) == pytest.approx(centre, rel=1e-6, abs=1e-9)


@pytest.mark.parametrize("names", [("fin", "tail"), ("tail", "fin"), ("a", "b"), ("zz", "a")])
def test_names_and_order_change_nothing(names: tuple[str, str]) -> None:
    """What a part is called and which stands first in the record changes neither weight nor balance."""
    wide, slim = names
    drawings = {
        wide: block(wide),
        slim: block(slim, '<rect width="9" height="60" data-glass="right"/>' + join(0, 0, 0, 60)),
    }
    angles = {wide: "set_at: [60]", slim: "set_at: [200]"}
    joins = join(100, 0, 100, 60, wide) + join(0, 0, 0, 60, slim)
    first = {"fin": "set_at: [60]", "tail": "set_at: [200]"}
    blocks = block("fin") + block("tail", '<rect width="9" height="60" data-glass="right"/>' + join(0, 0, 0, 60))
    usual = hung_of(parted(join(100, 0, 100, 60, "fin") + join(0, 0, 0, 60, "tail"), first, blocks=blocks))
    for order in (names, names[::-1]):
        hung = hung_of(
            parted(joins, {name: angles[name] for name in order}, blocks="".join(drawings[name] for name in order))
        )
        assert hung.mass_g == pytest.approx(usual.mass_g)
        assert (*hung.body.centre, hung.body.forward) == pytest.approx((*usual.body.centre, usual.body.forward))
        assert (hung.width_mm, hung.height_mm, hung.depth_mm) == pytest.approx(
            (usual.width_mm, usual.height_mm, usual.depth_mm)
        )
