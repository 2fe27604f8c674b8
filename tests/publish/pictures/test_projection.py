"""Views: which way right, down and near are once a piece is seen from elsewhere; every place is worked out by hand."""

from __future__ import annotations

import pytest

from catalog_builder.publish.pictures.projection import FRONT, SIDE, View


@pytest.mark.parametrize(
    ("view", "place", "picture"),
    [
        (FRONT, (3.0, 4.0, 5.0), (3.0, 4.0)),
        # From the left, what is near the viewer in front lies to the right, and what lies to the left is near.
        (SIDE, (0.0, 0.0, 5.0), (5.0, 0.0)),
        (SIDE, (3.0, 4.0, 0.0), (0.0, 4.0)),
        # From straight above, what is near the viewer in front lies below.
        (View(pitch=90.0), (3.0, 0.0, 5.0), (3.0, 5.0)),
    ],
)
def test_a_piece_is_seen_from_where_it_is_said(
    view: View, place: tuple[float, float, float], picture: tuple[float, float]
) -> None:
    """X goes to the right, y down and z to the viewer in front, in mm; a view turns the piece, not the paper."""
    assert view.point(place) == pytest.approx(picture, abs=1e-12)
