"""Parts joined on: which joins they sit on, what is seam and rim then, and the box that all take in space."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from catalog_builder.mistake import MistakeError
from catalog_builder.pattern.parts.flat_part import space_box
from catalog_builder.piece.made_piece import MadePiece
from tests.parts import FIN, FIN_BOX, LEFT_EDGE, MIDDLE, RIGHT_EDGE, block, join, parted
from tests.studio import BOX, PANE, PANE_RING, content, makings, suspension

ONE = {"fin": "set_at: [90]"}
TWO = {"fin": "set_at: [90, 270]"}
HALF = (
    '<line data-mark="fold" x1="50" y1="-9" x2="50" y2="69"/><path d="M50,0 H100 V60 H50"/><path d="M50,0 V60"/>'
    '<text x="75" y="30" data-glass="left">1</text><circle data-mark="ring" cx="50" cy="0" r="1"/>'
)


def first_piece(root: Path, text: str) -> MadePiece:
    """The first product of a record as a made piece, at its first size."""
    return makings(content(root, text))[0]


def borders(made_piece: MadePiece) -> float:
    """The borders of all pieces of all copies in mm, each piece for itself."""
    return sum(float(piece.face.length) * flat.copies for flat in made_piece.flats for piece in flat.pattern.pieces)


WIRE = '<path data-mark="wire" d="M100,0 L130,0 L130,60 L100,60"/>'
# Two panes of which the right one is half as high: their common line is seam above and rim below.
STEP = '<path d="M0 0 H50 V60 H0 Z" data-glass="left"/><path d="M50 0 H100 V30 H50 Z" data-glass="right"/>' + PANE_RING


@pytest.mark.parametrize(
    ("main", "joins", "parts", "measures"),
    [
        # The pane: 60 of seam, 320 of rim. A fin: 160 round. ``once``: borders that meet a line of seam or wire.
        (PANE + PANE_RING, RIGHT_EDGE, ONE, (60 + 60, 260 + 100, 0)),
        (PANE + PANE_RING, RIGHT_EDGE, TWO, (60 + 60, 260 + 2 * 100, 60)),
        (PANE + PANE_RING, RIGHT_EDGE + LEFT_EDGE, ONE, (60 + 2 * 60, 200 + 2 * 100, 0)),
        # On a seam that is there already no second one is counted.
        (PANE + PANE_RING, MIDDLE, ONE, (60, 320 + 100, 60)),
        (PANE + PANE_RING, MIDDLE, TWO, (60, 320 + 2 * 100, 2 * 60)),
        # On a wire no rim of the pane falls away; on a line half seam and half rim, the rim's half does.
        (PANE + PANE_RING + WIRE, join(130, 0, 130, 60), ONE, (60 + 60, 320 + 100, -60)),
        (STEP, MIDDLE, ONE, (30 + 30, 320 - 30 + 100, 30)),
    ],
)
def test_seams_and_rims(
    tmp_path: Path, main: str, joins: str, parts: dict[str, str], measures: tuple[float, float, float]
) -> None:
    """A joined edge is no rim any more, on either side; the seam that joins counts once, however many it joins."""
    made_piece = first_piece(tmp_path, parted(joins, parts, main))
    seam, rim, once = measures
    assert made_piece.seam_mm == pytest.approx(seam)
    assert made_piece.rim_mm == pytest.approx(rim)
    assert borders(made_piece) == pytest.approx(2 * seam + rim + once)


def test_two_parts_on_one_line(tmp_path: Path) -> None:
    """Two parts with a join each on the same line are joined by one bead."""
    joins = join(100, 0, 100, 60, "fin") + join(100, 0, 100, 60, "tail")
    made_piece = first_piece(tmp_path, parted(joins, {"fin": "set_at: [60]", "tail": "set_at: [300]"}))
    assert [flat.copies for flat in made_piece.flats] == [1, 1, 1]
    assert made_piece.seam_mm == pytest.approx(120)
    assert made_piece.rim_mm == pytest.approx(260 + 200)


def test_joints_at_the_ends(tmp_path: Path) -> None:
    """Each copy is tacked at both ends of its join."""
    one_copy = first_piece(tmp_path / "a", parted(RIGHT_EDGE, ONE))
    two_copies = first_piece(tmp_path / "b", parted(RIGHT_EDGE, TWO))
    assert len(one_copy.tacks) == 2
    assert len(two_copies.tacks) == 4
    assert two_copies.tacks == pytest.approx(np.array([(100, 0, 0), (100, 60, 0)] * 2), abs=1e-9)
    assert two_copies.joints == len(two_copies.main.edges.joints) + 4


def test_joins_on_one_line_of_the_file_have_tacks_of_their_own(tmp_path: Path) -> None:
    """A drawing may stand on one line: each of its joins is tacked at its own ends."""
    piece = first_piece(tmp_path, parted(LEFT_EDGE + RIGHT_EDGE, ONE))
    assert sorted(map(tuple, piece.tacks.round(6).tolist())) == [(0, 0, 0), (0, 60, 0), (100, 0, 0), (100, 60, 0)]


@pytest.mark.parametrize(("joins", "count"), [(RIGHT_EDGE, 4), (MIDDLE, 2), (join(130, 0, 130, 60), 4)])
def test_seam_ends_of_a_join(tmp_path: Path, joins: str, count: int) -> None:
    """A join on a rim or a wire ends there in two more seam ends; on a seam it ends with the seam."""
    made_piece = first_piece(tmp_path, parted(joins, ONE, PANE + PANE_RING + WIRE))
    assert len(made_piece.main.edges.seam_ends) == count


@pytest.mark.parametrize(("length", "holds"), [(62, True), (75, False)])
def test_a_join_lies_on_the_edge_over_its_whole_length(tmp_path: Path, length: float, holds: bool) -> None:
    """A join that runs on beyond an edge of 60 mm by 2 mm still lies on it; one that runs on by 15 mm does not."""
    text = parted(join(100, 0, 100, length), ONE, blocks=block("fin", box='viewBox="0 0 20 60"'))
    if holds:
        assert first_piece(tmp_path, text).flats[1].copies == 1
    else:
        with pytest.raises(MistakeError, match="does not lie along an edge of the glass, a seam or a wire"):
            first_piece(tmp_path, text)


def test_63_copies_of_a_part_are_too_many(tmp_path: Path) -> None:
    """A part comes in 60 copies at most: 21 angles at each of three joins are refused."""
    angles = {"fin": f"set_at: {[*range(20, 41)]}"}
    with pytest.raises(MistakeError, match="63 copies of the part 'fin' are asked for"):
        first_piece(tmp_path, parted(LEFT_EDGE + MIDDLE + RIGHT_EDGE, angles))


def test_joins_by_the_record(tmp_path: Path) -> None:
    """A join may be set in the record, in the drawing's own coordinates, for the main drawing and for a part."""
    keys = "marks:\n  joins:\n    - {line: [100, 0, 100, 60], part: fin}\n"
    bare = block("fin", FIN.partition("<line")[0])
    own = {"fin": "set_at: [90], marks: {joins: [{line: [0, 0, 0, 60]}]}"}
    by_record = first_piece(tmp_path / "record", parted("", own, blocks=bare, keys=keys))
    drawn = first_piece(tmp_path / "drawn", parted(RIGHT_EDGE, ONE))
    assert by_record.seam_mm == pytest.approx(drawn.seam_mm)
    assert by_record.rim_mm == pytest.approx(drawn.rim_mm)
    assert by_record.flats[1].places[0].point(20, 0) == pytest.approx(drawn.flats[1].places[0].point(20, 0))


@pytest.mark.parametrize(("angle", "corners"), [(90, [(100, 20), (0, 20)]), (0, [(120, 0), (-20, 0)])])
def test_mirrored_by_a_fold(tmp_path: Path, angle: float, corners: list[tuple[float, float]]) -> None:
    """A join in a half drawing stands on both sides of the fold, its part mirrored on the other."""
    made_piece = first_piece(
        tmp_path, parted(RIGHT_EDGE, {"fin": f"set_at: [{angle}]"}, HALF).replace(", right: slate", "")
    )
    places = made_piece.flats[1].places
    assert [place.mirrored for place in places] == [False, True]
    mirrored_corners = [place.point(20, 0) for place in places]
    assert [(x, z) for x, _, z in mirrored_corners] == [pytest.approx(corner, abs=1e-9) for corner in corners]
    assert made_piece.rim_mm == pytest.approx(200 + 200)


def test_a_join_on_the_fold_is_one(tmp_path: Path) -> None:
    """A join along the fold line is not mirrored: it would stand where it is."""
    made_piece = first_piece(tmp_path, parted(MIDDLE, TWO, HALF).replace(", right: slate", ""))
    assert made_piece.flats[1].copies == 2
    assert not any(place.mirrored for place in made_piece.flats[1].places)


def test_a_join_off_the_edge_of_a_half_is_one_mistake(tmp_path: Path) -> None:
    """A join that lies on nothing is a mistake where it is drawn, not across the fold as well."""
    text = parted(join(70, 0, 70, 60), ONE, HALF).replace(", right: slate", "")
    with pytest.raises(MistakeError) as caught:
        first_piece(tmp_path, text)
    (mistake,) = caught.value.mistakes
    assert mistake.spot == pytest.approx((70, 30))


@pytest.mark.parametrize("unit", [1.0, 0.5, 7.0])
def test_a_part_without_a_size_takes_it_from_the_join(tmp_path: Path, unit: float) -> None:
    """A part in units of any kind is as large as makes its join as long as the one that it sits on."""
    scaled = f'<g transform="scale({unit})">{FIN}</g>'
    blocks = block("fin", scaled, f'viewBox="0 0 {20 * unit} {60 * unit}"')
    made_piece = first_piece(tmp_path, parted(RIGHT_EDGE, ONE, blocks=blocks))
    assert made_piece.flats[1].box == pytest.approx((0, 0, 20, 60))


def test_each_part_takes_its_size_from_its_own_join(tmp_path: Path) -> None:
    """Where parts sit on joins of unlike lengths, each is scaled by the one that bears its name."""
    joins = join(100, 0, 100, 60, "fin") + join(0, 60, 50, 60, "tail")
    blocks = block("fin", box='viewBox="0 0 20 60"') + block("tail", box='viewBox="0 0 20 60"')
    made_piece = first_piece(tmp_path, parted(joins, {"fin": "set_at: [90]", "tail": "set_at: [90]"}, blocks=blocks))
    assert made_piece.flats[1].box == pytest.approx((0, 0, 20, 60))
    assert made_piece.flats[2].box == pytest.approx((0, 0, 20 * 50 / 60, 50))


@pytest.mark.parametrize("box", [BOX, 'viewBox="0 0 100 60"'])
@pytest.mark.parametrize("own", [FIN_BOX, 'viewBox="0 0 20 60"'])
def test_sizes_scale_all_parts_alike(tmp_path: Path, box: str, own: str) -> None:
    """A size is the finished width of the main drawing; parts grow with it, and stay on its edge."""
    sizes = "sizes: {drawn: 100 mm, half: 50 mm, triple: 300 mm}\n"
    text = parted(RIGHT_EDGE, TWO, keys=sizes, blocks=block("fin", box=own), box=box)
    for times, made_piece in zip((1, 0.5, 3), makings(content(tmp_path, text)), strict=True):
        assert made_piece.flats[1].box == pytest.approx((0, 0, 20 * times, 60 * times))
        assert made_piece.seam_mm == pytest.approx(120 * times)
        assert made_piece.rim_mm == pytest.approx(460 * times)
        assert made_piece.flats[1].places[0].point(20 * times, 0) == pytest.approx((100 * times, 0, 20 * times))


# A sickle whose middle lies on the other side of its join from the glass beside it.
SICKLE = (
    '<path data-glass="left" d="M0 0 H4 V60 H0 Z"/><path data-glass="left" d="M0 60 H4 V70 H-60 V60 Z"/>'
    '<line data-mark="join" x1="0" y1="0" x2="0" y2="60"/>'
)


def test_the_side_of_a_hooked_part(tmp_path: Path) -> None:
    """Which way a part is set follows from the glass beside its join, wherever its middle lies."""
    blocks = block("fin", SICKLE, 'width="70mm" height="70mm" viewBox="-65 0 70 70"')
    made_piece = first_piece(tmp_path, parted(RIGHT_EDGE, {"fin": "set_at: [0]"}, blocks=blocks))
    assert made_piece.flats[1].places[0].point(65 + 4, 0) == pytest.approx((104, 0, 0))


@pytest.mark.parametrize(
    ("joins", "parts", "least", "most"),
    [
        # Four panes that meet at right angles on the middle seam.
        (MIDDLE, "[90, 270]", (0, 0, -20), (100, 60, 20)),
        # A box without its back: two sides set back from the edges of the front.
        (RIGHT_EDGE + LEFT_EDGE, "[270]", (0, 0, -20), (100, 60, 0)),
        # Two vanes out to the front, 20 mm deep and 60 high.
        (RIGHT_EDGE + LEFT_EDGE, "[90]", (0, 0, 0), (100, 60, 20)),
        # At 60 degrees a fin reaches 10 mm out to the right, and 20 sin 60 to the front.
        (RIGHT_EDGE, "[60]", (0, 0, 0), (110, 60, 20 * 3**0.5 / 2)),
    ],
)
def test_box_in_space(tmp_path: Path, joins: str, parts: str, least: tuple[int, ...], most: tuple[int, ...]) -> None:
    """The box of an assembled piece goes round all its parts where they stand."""
    studio = content(tmp_path, parted(joins, {"fin": f"set_at: {parts}"}))
    box = space_box(makings(studio)[0].flats)
    assert box == pytest.approx(np.array([least, most]), abs=1e-9)
    hung = suspension(studio)
    assert (hung.width_mm, hung.height_mm) == pytest.approx((most[0] - least[0], 60))
    making = studio.studio.making
    assert hung.depth_mm == pytest.approx(most[2] - least[2] + 3 + 2 * float(making.seam_height_mm))


def test_pieces_of_all_copies(tmp_path: Path) -> None:
    """An item takes the glass of every copy of every part."""
    made_piece = first_piece(tmp_path, parted(RIGHT_EDGE + LEFT_EDGE, TWO))
    assert len(made_piece.cuts) == 2 + 4
    assert made_piece.flats[1].copies == 4


def test_an_inside_angle_across_a_fold(tmp_path: Path) -> None:
    """A part set by its inside angle stands on both sides of the fold, to the front on each, mirrored on the other."""
    text = parted(RIGHT_EDGE, {"fin": "inside_angle: 90"}, HALF).replace(", right: slate", "")
    places = first_piece(tmp_path, text).flats[1].places
    assert [place.mirrored for place in places] == [False, True]
    assert [place.point(20, 30) for place in places] == [
        pytest.approx((100, 30, 20), abs=1e-9),
        pytest.approx((0, 30, 20), abs=1e-9),
    ]


def test_corners_of_a_spine(tmp_path: Path) -> None:
    """Two fins on a seam make four right angles there, and add no length; on a rim they make a seam of three faces."""
    on_seam = first_piece(tmp_path / "seam", parted(MIDDLE, TWO))
    (spine,) = on_seam.corners
    assert (spine.sectors, spine.counted) == ((90, 90, 90, 90), False)
    assert on_seam.seam_mm == pytest.approx(60)
    (edge,) = first_piece(tmp_path / "rim", parted(RIGHT_EDGE, TWO)).corners
    assert (sorted(edge.sectors), edge.counted) == ([90, 90, 180], True)
    # A fin on a wire has nothing beside it: a flat seam.
    (wired,) = first_piece(tmp_path / "wire", parted(join(130, 0, 130, 60), ONE, PANE + PANE_RING + WIRE)).corners
    assert wired.sectors == (180, 180)


def test_parts_that_a_join_sets_meet_elsewhere_too(tmp_path: Path) -> None:
    """Two fins to the front at the two edges of a pane, and a lid over both by its own join, close a tube."""
    lid = '<rect width="100" height="60" data-glass="left"/><line data-mark="join" x1="0" y1="0" x2="0" y2="60"/>'
    own_lid = FIN + '<line data-mark="join" data-part="lid" x1="20" y1="0" x2="20" y2="60"/>'
    blocks = block("fin", own_lid) + block("lid", lid, 'width="100mm" height="60mm" viewBox="0 0 100 60"')
    parts = {"fin": "inside_angle: 90", "lid": "inside_angle: 90, sits_on: fin"}
    made_piece = first_piece(tmp_path, parted(RIGHT_EDGE + LEFT_EDGE, parts, blocks=blocks))
    assert [flat.copies for flat in made_piece.flats] == [1, 2, 1]
    assert made_piece.seam_mm == pytest.approx(60 + 4 * 60)
    assert made_piece.rim_mm == pytest.approx(4 * 100 + 4 * 20)
