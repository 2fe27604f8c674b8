"""The picture of a piece alone, read back with lxml: a page hangs it by a thread at the middle of its upper edge."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from lxml import etree

from catalog_builder.publish.pictures.piece_drawing import metal_of, picture_svg
from tests.publish.pictures.test_hanging import HUNG
from tests.studio import content, makings, suspension

# Coordinates are written to a hundredth of a millimetre.
SAME_MM = 0.02


@pytest.mark.parametrize("name", ["straight", "tilted", "by a cord", "two legs"])
def test_thread_reaches_the_rings(tmp_path: Path, name: str) -> None:
    """Whatever side a ring is on, the thread of the page leads to it; two legs of a chain meet at the thread."""
    found = content(tmp_path, HUNG[name])
    (made,), one = makings(found), suspension(found)
    glass = found.glass(found.products[0].keys.glass["plain"])
    root = etree.fromstring(picture_svg(made, one, glass, metal_of("black"), ("Pane", "pane")).encode())
    left, top, width, _ = map(float, root.attrib["viewBox"].split())
    threads = next(path.get("d") or "" for path in root.iterfind("{*}path"))
    ends = [tuple(map(float, pair)) for pair in re.findall(r"L(\S+) ([^ML]+)", threads)]
    assert len(ends) == len(one.rings)
    assert ends == [pytest.approx((left + width / 2, top), abs=SAME_MM)] * len(ends)
    assert {float(start) for start in re.findall(r"M(\S+) ", threads)} == {x for x, _ in one.rings}
