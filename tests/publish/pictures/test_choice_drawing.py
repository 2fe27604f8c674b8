"""The drawing that follows a buyer's choice, read back with lxml: true to scale, and coloured by its look alone.

A grown man's hand is about 190 mm long, the middle of all (DIN 33402-2, from memory); the coin is a plain disc.
"""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from lxml import etree

from catalog_builder.publish.pictures.choice_drawing import LENGTH_MM, Room, beside, choice_svg, look
from tests.publish.pictures.test_hanging import HUNG
from tests.studio import content, makings, suspension

NUMBER = r"-?\d*\.?\d+"


def drawn(folder: Path, room: Room) -> etree._Element:
    """Draw a straight pane with room for others."""
    found = content(folder, HUNG["straight"])
    (made,), one = makings(found), suspension(found)
    words = sorted(found.products[0].keys.glass["plain"].pieces)
    return etree.fromstring(choice_svg(made, one, words, room, "drawing").encode())


@pytest.mark.parametrize(("tallest_mm", "kind"), [(90.0, "coin"), (130.0, "coin"), (131.0, "hand"), (400.0, "hand")])
def test_a_small_piece_hangs_beside_a_coin(tallest_mm: float, kind: str) -> None:
    """What would be lost beside a hand is shown beside a coin."""
    assert beside(tallest_mm) == kind


def test_a_coin_is_as_large_as_it_says(tmp_path: Path) -> None:
    """The drawing's unit is a millimetre, for the coin as for the glass at its drawn size."""
    root = drawn(tmp_path, Room(1.0, 100.0))
    (group,) = root.iterfind(".//{*}g[@class='beside']")
    coin = next(group.iterfind("{*}circle"))
    assert 2 * float(coin.get("r") or 0) == LENGTH_MM["coin"]


def test_a_hand_reaches_from_its_foot_to_its_length(tmp_path: Path) -> None:
    """The tip of the middle finger, with its round end, is as far from the foot as the page says."""
    root = drawn(tmp_path, Room(1.0, 300.0))
    (group,) = root.iterfind(".//{*}g[@class='beside']")
    tips = []
    for path in group.iterfind("{*}path"):
        ends = re.findall(rf"L{NUMBER} ({NUMBER})", path.get("d") or "")
        if ends and path.get("fill") is None:
            tips.append(-float(ends[0]) + float(path.get("stroke-width") or 0) / 2)
    assert max(tips) == pytest.approx(LENGTH_MM["hand"], abs=0.5)


def test_the_frame_has_room_for_the_largest_size(tmp_path: Path) -> None:
    """A size twice as wide is twice as high too, and still within the frame."""
    small, large = (drawn(tmp_path / name, Room(most, 300.0)) for name, most in (("a", 1.0), ("b", 4.0)))
    (_, _, narrow, _), (_, _, wide, high) = (
        [float(n) for n in root.attrib["viewBox"].split()] for root in (small, large)
    )
    found = content(tmp_path / "c", HUNG["straight"])
    width, height = suspension(found).width_mm, suspension(found).height_mm
    assert wide - narrow == pytest.approx(3 * width, rel=0.02)
    assert high >= 4 * height


def test_colours_come_from_the_look_alone(tmp_path: Path) -> None:
    """Glass and solder are painted by custom properties, and each of them is in the look."""
    root = drawn(tmp_path, Room(1.0, 100.0))
    found = content(tmp_path / "c", HUNG["straight"])
    glass = found.glass(found.products[0].keys.glass["plain"])
    style = look(sorted(glass), glass, "Black patina", 1.25)
    given = dict(part.split(":") for part in style.split(";"))
    used = set(re.findall(r"var\((--\w+)\)", etree.tostring(root).decode()))
    assert used == set(given)
    assert given["--scale"] == "1.25"
    assert given["--g0"] == glass[min(glass)].colour
