"""The camera's two ways, from the sheet to the picture and back, agree."""

from __future__ import annotations

import numpy as np
import pytest

from tests.tracing.pictures.viewpoint import Stand, View

PICTURE = (3000, 4000)


@pytest.mark.parametrize(
    "stand",
    [
        Stand(tilt=0.0),
        Stand(tilt=38.0, turn=25.0),
        Stand(tilt=10.0, bow=0.05),
        Stand(tilt=10.0, bow=-0.05, turn=90.0),
        Stand(tilt=15.0, curl=5.0),
        Stand(tilt=8.0, turn=9.0, cut_mm=6.0),
    ],
)
def test_a_place_on_the_sheet_is_seen_where_the_picture_takes_it_from(stand: Stand) -> None:
    """There and back within 0.01 mm, wherever on the sheet."""
    view = View((210.0, 297.0), PICTURE, stand, np.random.default_rng(5))
    x, y = np.meshgrid(np.linspace(0, 210, 12), np.linspace(0, 297, 12))
    places = np.stack([x.ravel(), y.ravel()], axis=1)
    assert np.abs(view.on_sheet(view.seen(places)) - places).max() < 0.01


def test_seen_straight_from_above_a_sheet_keeps_its_shape() -> None:
    """Without tilt the sides stand in the proportion of the sheet, and the sheet fits the picture."""
    view = View((210.0, 297.0), PICTURE, Stand(tilt=0.0, margin=0.05), np.random.default_rng(1))
    corners = view.seen(np.array([[0.0, 0.0], [210.0, 0.0], [210.0, 297.0], [0.0, 297.0]]))
    width, height = np.ptp(corners, axis=0)
    assert width / height == pytest.approx(210 / 297, rel=1e-6)
    assert max(width / PICTURE[0], height / PICTURE[1]) == pytest.approx(0.9, abs=0.01)


def test_only_one_corner_is_cut_off() -> None:
    """A sheet that leans has one corner outside the picture, by some mm, and three inside."""
    for seed in range(12):
        stand = Stand(tilt=6.0, turn=9.0, cut_mm=5.0, margin=0.04)
        view = View((210.0, 297.0), PICTURE, stand, np.random.default_rng(seed))
        corners = view.seen(np.array([[0.0, 0.0], [210.0, 0.0], [210.0, 297.0], [0.0, 297.0]]))
        inside = ((corners >= 0) & (corners <= PICTURE)).all(axis=1)
        assert inside.sum() == 3
