"""How a piece hangs: where rings may sit, what carries them, and what is refused."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from catalog_builder.mistake import MistakeError
from catalog_builder.piece.hanging.advice import hanging_findings
from tests.parts import MIDDLE, parted
from tests.studio import PANE, PANE_RING, content, record, ring_of, suspension


def ring(x: float, y: float) -> str:
    """A ring's mark."""
    return f'<circle data-mark="ring" cx="{x}" cy="{y}" r="1"/>'


def panes(lines: tuple[int, int]) -> str:
    """A pane of 100 x 60 mm in three pieces, parted by two upright lines."""
    left, right = lines
    middles = (left / 2, (left + right) / 2, (right + 100) / 2)
    labels = "".join(
        f'<text x="{x}" y="30" data-glass="{word}">{number}</text>'
        for number, (x, word) in enumerate(zip(middles, ("left", "right", "left"), strict=True), 1)
    )
    frame = '<rect width="100" height="60" data-glass="left"/>'
    return f'{frame}<path d="M{left},0 V60"/><path d="M{right},0 V60"/>{labels}'


TWO_RINGS = panes((20, 80)) + ring(20, 0) + ring(80, 0)


@pytest.mark.parametrize(
    ("x", "y", "near"),
    [
        (25, 0, r"x 50\.0, y 0\.0"),
        (99, 2, r"x 50\.0, y 0\.0"),
        (100, 20, r"x 50\.0, y 0\.0"),
        (52, 0, r"x 50\.0, y 0\.0"),
    ],
)
def test_ring_on_foil_alone(tmp_path: Path, x: float, y: float, near: str) -> None:
    """A ring on the foil of one piece alone would lift off.

    It is refused, and the nearest good place named.
    """
    studio = content(tmp_path, record(PANE + ring(x, y)))
    wrong = rf"the ring at x {x:.1f}, y {y:.1f} hangs on the foil of one piece alone"
    with pytest.raises(MistakeError, match=rf"{wrong}[\s\S]*nearest good place is {near}"):
        suspension(studio)


def test_ring_on_foil_alone_scaled(tmp_path: Path) -> None:
    """The place that is named for a ring is where the drawing has it, whatever the size that is made."""
    studio = content(tmp_path, record(PANE + ring(25, 0), keys="sizes: {large: 250 mm}"))
    with pytest.raises(MistakeError, match=r"the ring at x 25\.0, y 0\.0[\s\S]*nearest good place is x 50\.0, y 0\.0"):
        suspension(studio)


@pytest.mark.parametrize(("x", "y"), [(50, 0), (50.9, 0), (49, 0.5), (50, -1)])
def test_ring_on_seam(tmp_path: Path, x: float, y: float) -> None:
    """A ring where a seam meets the rim is carried by two pieces, and may be drawn a millimetre off."""
    assert ring_of(suspension(content(tmp_path, record(PANE + ring(x, y))))).material == "ring-small"


def wire(path: str) -> str:
    """A wire's mark."""
    return f'<path data-mark="wire" d="{path}"/>'


@pytest.mark.parametrize(
    ("wires", "place"),
    [
        # An arch from one seam's end to the other, as one wire, as two that meet at the ring, and as a closed loop.
        (wire("M20,0 L50,-20 L80,0"), (50, -20)),
        (wire("M20,0 L50,-20") + wire("M80,0 L50,-20"), (50, -20)),
        (wire("M20,0 L50,-20 L80,0 Z"), (50, -20)),
        # Along the rim over a seam's end, and along a seam inside the glass.
        (wire("M10,0 L30,0"), (27, 0)),
        (wire("M20,5 V30"), (20, 5)),
        # An arch that stands on a wire which is soldered over both seams' ends.
        (wire("M40,0 L50,-20 L60,0") + wire("M10,0 H90"), (50, -20)),
    ],
)
def test_ring_on_wire(tmp_path: Path, wires: str, place: tuple[float, float]) -> None:
    """A ring on a wire is carried where two pieces hold each leg, or the wire where the ring is."""
    hung = suspension(content(tmp_path, record(panes((20, 80)) + wires + ring(*place))))
    assert hung.rings[0] == pytest.approx(place)


@pytest.mark.parametrize(
    ("wires", "wrong"),
    [
        # It touches nothing; it stands on one piece's foil alone, flat, upright, and with a foot on each of two.
        (wire("M20,-20 H80"), "soldered to no more than one piece"),
        (wire("M45,0 H55"), "soldered to no more than one piece"),
        (wire("M40,0 L50,-20 L60,0"), "soldered to no more than one piece"),
        (wire("M10,0 L50,-20 L90,0"), "soldered to no more than one piece"),
        # One leg is held and the other is free, or there is no other.
        (wire("M20,0 L50,-20 L90,-20"), "one end free"),
        (wire("M20,0 L50,-20"), "one end free"),
        (wire("M20,0 L50,-20 L60,0"), "one end free"),
        # Its feet are on a wire that is itself on one piece alone.
        (wire("M40,0 L50,-20 L60,0") + wire("M35,0 H65"), "soldered to no more than one piece"),
    ],
)
def test_wire_that_does_not_hold(tmp_path: Path, wires: str, wrong: str) -> None:
    """A wire is followed from its ring to what it is soldered to."""
    place = (50, 0) if "M45" in wires else (50, -20)
    with pytest.raises(MistakeError, match=rf"the ring at x 50\.0, y -?\d+\.0 hangs on a wire[\s\S]*{wrong}"):
        suspension(content(tmp_path, record(panes((20, 80)) + wires + ring(*place))))


@pytest.mark.parametrize(
    ("lines", "rings", "wrong"),
    [
        ((20, 80), ((20, 60),), "would turn over"),
        ((20, 80), ((20, 0), (80, 60)), "would turn over"),
        ((10, 30), ((10, 0), (30, 0)), "would swing round"),
        ((70, 90), ((70, 0), (90, 0)), "would swing round"),
    ],
)
def test_turning_refused(
    tmp_path: Path, lines: tuple[int, int], rings: tuple[tuple[int, int], ...], wrong: str
) -> None:
    """Rings below the centre of mass, or both on one side of it, do not hold a piece upright."""
    with pytest.raises(MistakeError, match=wrong):
        suspension(content(tmp_path, record(panes(lines) + "".join(ring(x, y) for x, y in rings))))


@pytest.mark.parametrize(("above_mm", "hangs"), [(1, True), (-1, False), (-4, False)])
def test_ring_close_to_the_centre_of_mass(tmp_path: Path, above_mm: float, hangs: bool) -> None:
    """A ring a millimetre above the centre of mass holds a piece upright; one a millimetre below it does not.

    The ring is on an upright wire through the middle of the pane, so that its height does not move the centre.
    """
    wire = '<path data-mark="wire" d="M50,10 V50"/>'
    high = suspension(content(tmp_path / "high", record(PANE + wire + ring(50, 10))))
    bare = sum(part.mass_g * part.y for part in high.body.parts if part.name != "ring") / (
        high.body.mass_g - high.body.share("ring")
    )
    studio = content(tmp_path / "close", record(PANE + wire + ring(50, bare - above_mm)))
    if hangs:
        hung = suspension(studio)
        assert hung.rings[0][1] == pytest.approx(bare - above_mm)
        # The glass stands above the ring of 6 mm.
        assert hung.hung_height_mm == pytest.approx(60)
    else:
        with pytest.raises(MistakeError, match="the centre of mass is not below the ring"):
            suspension(studio)


@pytest.mark.parametrize(
    ("width", "chosen"),
    [
        # 1500 g / 5 holds up to 300 g, 9000 g / 5 up to 1800 g; the pane weighs about 60 g at 100 mm.
        ("100 mm", "ring-small"),
        ("260 mm", "ring-large"),
        ("400 mm", "ring-large"),
    ],
)
def test_lightest_ring(tmp_path: Path, width: str, chosen: str) -> None:
    """The lightest ring is taken whose rated load covers the load times the safety factor."""
    hung = suspension(content(tmp_path, record(keys=f"width: {width}")))
    assert ring_of(hung).material == chosen
    assert hung.ring_load_g * 5 <= float(ring_of(hung).rated_load_g or 0)
    assert hung.ring_load_g == pytest.approx(hung.body.mass_g)


@pytest.mark.parametrize(
    ("factor", "chosen"),
    [("1", "ring-small"), ("20", "ring-small"), ("30", "ring-large"), ("120", "ring-large")],
)
def test_safety_factor(tmp_path: Path, factor: str, chosen: str) -> None:
    """A higher safety factor asks for stronger hardware: about 60 g times 25 is all that 1500 g covers."""
    assert ring_of(suspension(content(tmp_path, tables={"hanging": f"safety_factor = {factor}"}))).material == chosen


@pytest.mark.parametrize(
    ("keys", "wrong"),
    [
        ("width: 700 mm", "no ring of materials.csv holds"),
        ("hang: {by: hook}\nwidth: 500 mm", "no hook of materials.csv holds"),
        ("hang: {by: hook, material: hook}\nwidth: 500 mm", "the hook 'hook' does not hold"),
        ("hang: {by: chain, length: 300 mm}\nwidth: 700 mm", "no ring of materials.csv holds"),
    ],
)
def test_nothing_strong_enough(tmp_path: Path, keys: str, wrong: str) -> None:
    """Where nothing in the table is strong enough, that is an error and not a guess."""
    with pytest.raises(MistakeError, match=f"{wrong} this piece of about"):
        suspension(content(tmp_path, record(keys=keys)))


def test_cheapest_of_the_lightest(tmp_path: Path) -> None:
    """Of two rings of one mass that both hold, the cheaper one is taken."""
    same = {
        "kind": "ring",
        "pack_size": "50",
        "pack_unit": "each",
        "mass_g": "0.4",
        "length_mm": "6",
        "rated_load_g": "2000",
    }
    prices = "ring-b,2030-06-01,9.00\nring-a,2030-06-01,20.00\n"
    studio = content(tmp_path, materials={"ring-a": same, "ring-b": same}, prices=prices)
    assert ring_of(suspension(studio)).material == "ring-b"


def test_two_rings_share(tmp_path: Path) -> None:
    """Two rings each carry half of what is evenly spread between them."""
    hung = suspension(content(tmp_path, record(TWO_RINGS)))
    assert len(hung.rings) == 2
    assert hung.ring_load_g == pytest.approx(hung.body.mass_g / 2, rel=1e-3)
    assert hung.tilt_degrees == 0


@pytest.mark.parametrize(("lines", "share"), [((10, 60), 0.8), ((40, 90), 0.8), ((25, 75), 0.5), ((45, 95), 0.9)])
def test_nearer_ring_carries_more(tmp_path: Path, lines: tuple[int, int], share: float) -> None:
    """Of two rings the one nearer to the centre of mass carries more, by the lever rule."""
    left, right = lines
    tables = {"making": 'solder = "solder"\nwire = "wire"\nseam_solder_g_m = 0\njoint_solder_g = 0'}
    hung = suspension(content(tmp_path, record(panes(lines) + ring(left, 0) + ring(right, 0)), tables))
    # Foil along the two seams draws the centre of mass towards them a little.
    assert hung.ring_load_g / hung.body.mass_g == pytest.approx(share, abs=0.01)
    assert float(ring_of(hung).rated_load_g or 0) >= 5 * hung.ring_load_g


@pytest.mark.parametrize("length", [75, 100, 200])
def test_chain(tmp_path: Path, length: int) -> None:
    """Over two rings, a chain pulls with W / (2 sin a), and hangs the piece lower by its rise."""
    hung = suspension(content(tmp_path, record(TWO_RINGS, keys=f"hang: {{by: chain, length: {length} mm}}")))
    rise = math.sqrt((length / 2) ** 2 - 30**2)
    assert hung.hanger is not None
    assert hung.hanger.material == "chain"
    assert hung.ring_load_g == pytest.approx(hung.body.mass_g / (2 * rise / (length / 2)))
    assert hung.hung_height_mm == pytest.approx(60 + 6 + rise)
    assert hung.hanger_mass_g == pytest.approx(8 * length / 1000)


def test_chain_too_short(tmp_path: Path) -> None:
    """A chain shorter than the rings are apart is refused."""
    with pytest.raises(MistakeError, match="the chain of 55 mm does not reach over two rings 60 mm apart"):
        suspension(content(tmp_path, record(TWO_RINGS, keys="hang: {by: chain, length: 55 mm}")))


@pytest.mark.parametrize(
    ("keys", "height"),
    [
        ("", 60 + 6),
        ("hang: {by: hook}", 60 + 6 + 30),
        ("hang: {by: cord, length: 240 mm}", 60 + 6 + 120),
        ("width: 200 mm\nhang: {by: hook}", 120 + 6 + 30),
    ],
)
def test_hung_height(tmp_path: Path, keys: str, height: float) -> None:
    """The hung height goes from the top of what it hangs by to its lowest point.

    Hardware stays as large as it is.
    """
    hung = suspension(content(tmp_path, record(keys=keys)))
    assert hung.hung_height_mm == pytest.approx(height)


OFF_CENTRE = PANE.replace('x1="50"', 'x1="20"').replace('x2="50"', 'x2="20"').replace('x="25"', 'x="10"')


@pytest.mark.parametrize("keys", ["", "hang: {by: hook}", "hang: {by: cord, length: 240 mm}"])
def test_hung_sizes_are_those_of_the_turned_piece(tmp_path: Path, keys: str) -> None:
    """A pane of 100 x 60 mm on a ring at x 20 turns by about 45 degrees; sizes of a turned rectangle by trigonometry.

    Its lowest corner is the lower right one, 80 sin + 60 cos below the ring; its highest is the upper left one, 20 sin
    above it, or the hardware.
    """
    hung = suspension(content(tmp_path, record(OFF_CENTRE + ring(20, 0), keys=keys)))
    turn = math.radians(hung.tilt_degrees)
    assert 40 < hung.tilt_degrees < 50
    sine, cosine = math.sin(turn), math.cos(turn)
    assert hung.turned_mm[:2] == pytest.approx((100 * cosine + 60 * sine, 100 * sine + 60 * cosine))
    above = {"": 6, "hang: {by: hook}": 36}.get(keys, 126)
    assert hung.hung_height_mm == pytest.approx(80 * sine + 60 * cosine + max(above, 20 * sine))


def test_hung_sizes_of_a_piece_that_leans(tmp_path: Path) -> None:
    """A vane of 20 mm stands out of a pane of 60 mm: its front lower corner is the lowest point of the two."""
    hung = suspension(content(tmp_path, parted(MIDDLE, {"fin": "set_at: [90]"})))
    lean = math.radians(hung.lean_degrees)
    assert math.degrees(lean) > 2
    assert hung.hung_height_mm == pytest.approx(6 + 60 * math.cos(lean) + 20 * math.sin(lean))


def test_legs_rise_as_the_turned_piece_has_them(tmp_path: Path) -> None:
    """Legs over a pane that tilts clockwise: the left one flatter and the right one steeper by the tilt.

    The rise of half a chain of 200 mm over half of 70 mm is 69.5 degrees; the hung height goes from where they meet.
    """
    drawing = panes((10, 80)) + ring(10, 0) + ring(80, 0)
    hung = suspension(content(tmp_path, record(drawing, keys="hang: {by: chain, length: 200 mm}")))
    rise, tilt = math.degrees(math.acos(35 / 100)), hung.tilt_degrees
    assert tilt > 1
    assert hung.leg_degrees == pytest.approx((rise - tilt, rise + tilt))
    lowest = 90 * math.sin(math.radians(tilt)) + 60 * math.cos(math.radians(tilt))
    meet = 100 * math.sin(math.radians(rise - tilt))
    assert hung.hung_height_mm == pytest.approx(6 + meet + lowest)


def test_depth(tmp_path: Path) -> None:
    """Glass of 3 mm with beads that stand up by 1.2 mm on both faces is 5.4 mm deep."""
    tables = {"making": 'solder = "solder"\nwire = "wire"\nseam_height_mm = 1.2'}
    assert suspension(content(tmp_path, tables=tables)).depth_mm == pytest.approx(5.4)


def test_a_hook_for_each_ring(tmp_path: Path) -> None:
    """Two rings take two hooks of 2 g."""
    hung = suspension(content(tmp_path, record(TWO_RINGS, keys="hang: {by: hook}")))
    assert (hung.hanger_count, hung.hanger_mass_g) == (2, 4)


def test_wire_counts_in_the_box(tmp_path: Path) -> None:
    """Wire that overhangs the glass is part of the overall size, and of the mass at its place."""
    drawing = PANE + PANE_RING + '<path data-mark="wire" d="M100,30 L150,30"/>'
    bare, wired = suspension(content(tmp_path / "bare")), suspension(content(tmp_path / "wired", record(drawing)))
    assert (bare.width_mm, wired.width_mm) == pytest.approx((100, 150))
    # 20 AWG at 8.89 g/cm3: 4.602 g a metre (tests/outside/test_metals.py).
    assert wired.body.share("wire") == pytest.approx(0.05 * 4.602, rel=1e-3)
    assert wired.tilt_degrees > bare.tilt_degrees == pytest.approx(0)


@pytest.mark.parametrize(
    ("drawing", "keys", "codes"),
    [
        (PANE + PANE_RING, "", []),
        (PANE.replace('x1="50"', 'x1="40"').replace('x2="50"', 'x2="40"') + ring(40, 0), "", ["H01"]),
        (TWO_RINGS, "width: 320 mm", ["H02"]),
    ],
)
def test_findings(tmp_path: Path, drawing: str, keys: str, codes: list[str]) -> None:
    """A piece that will hang tilted, and one so wide that its rim needs stiffening, are findings."""
    studio = content(tmp_path, record(drawing, keys=keys))
    assert [finding.code for finding in hanging_findings(studio.products[0], suspension(studio))] == codes


@pytest.mark.parametrize(("alloy", "leaded"), [("Sn60Pb40", True), ("Sn97Cu3", False)])
def test_leaded(tmp_path: Path, alloy: str, leaded: bool) -> None:
    """Solder with lead in its alloy makes a leaded piece."""
    assert suspension(content(tmp_path, materials={"solder": {"alloy": alloy}})).leaded is leaded


def test_piece_lost_to_the_gap(tmp_path: Path) -> None:
    """A piece so narrow in its waist that the foil gap cuts it in two is a mistake that names its number.

    Nothing breaks.
    """
    drawing = (
        '<rect width="100" height="60" data-glass="left"/>'
        '<path d="M0,20 L50,29.7 L100,20"/><path d="M0,40 L50,30.3 L100,40"/>'
        '<text x="50" y="10" data-glass="left">1</text><text x="5" y="30" data-glass="left">2</text>'
        '<text x="50" y="50" data-glass="left">3</text><circle data-mark="ring" cx="0" cy="20" r="1"/>'
    )
    studio = content(tmp_path, record(drawing, glass="{left: reed}"))
    with pytest.raises(MistakeError, match=r"piece 2\b"):
        suspension(studio)
