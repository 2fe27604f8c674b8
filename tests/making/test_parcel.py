"""The smallest box that takes a piece however it is turned, and the cheapest band that carries the box."""

from __future__ import annotations

import math
from decimal import Decimal
from itertools import permutations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalog_builder.making.parcel import Sides, carries, cheapest, length_and_girth, smallest, takes
from catalog_builder.records.selling.boxes import PackingBox
from catalog_builder.records.selling.postage import PostageBand

# Whole millimetres, so that what just fits does so exactly.
sides = st.tuples(*[st.integers(1, 400)] * 3)


def box(
    inner: tuple[int, int, int], name: str = "box", mass: int = 100, holds: int = 2000, padding: int = 0
) -> PackingBox:
    """A box by its sides inside."""
    length, width, depth = inner
    return PackingBox.model_validate(
        {
            "box": name,
            "title": name,
            "inner_length_mm": length,
            "inner_width_mm": width,
            "inner_depth_mm": depth,
            "mass_g": mass,
            "holds_g": holds,
            "padding_mm": padding,
        }
    )


def band(name: str = "band", price: str = "3.00", mass: int = 2000, **most: float) -> PostageBand:
    """A carrier's band; ``most`` are its limits, such as ``most_girth_mm``."""
    return PostageBand.model_validate(
        {
            "carrier": "Carter",
            "band": name,
            "price": price,
            "most_mass_g": mass,
            **{key: int(limit) for key, limit in most.items()},
        }
    )


def goes_in(piece: tuple[float, ...], inner: tuple[float, ...], padding: int) -> bool:
    """Whether a piece goes into a box in one of the six ways to lay it, each tried by itself."""
    return any(
        all(side + 2 * padding <= room for side, room in zip(turned, inner, strict=True))
        for turned in permutations(piece)
    )


@given(piece=sides, inner=sides, padding=st.integers(0, 40))
def test_a_piece_is_tried_in_all_six_turnings(piece: Sides, inner: tuple[int, int, int], padding: int) -> None:
    """A box takes a piece exactly when one of the six ways to lay it in goes; checked by trying all six."""
    assert takes(box(inner, padding=padding), piece, 50) == goes_in(piece, inner, padding)


@given(piece=sides, inner=sides, more=st.tuples(*[st.integers(0, 60)] * 3))
def test_a_larger_box_never_fails_where_a_smaller_fits(
    piece: Sides, inner: tuple[int, int, int], more: tuple[int, int, int]
) -> None:
    """What goes into a box goes into one that is larger on any of its sides."""
    larger = tuple(side + added for side, added in zip(inner, more, strict=True))
    assert takes(box((larger[0], larger[1], larger[2])), piece, 50) >= takes(box(inner), piece, 50)


@given(piece=sides, inners=st.lists(sides, min_size=1, max_size=6), mass=st.integers(1, 500), seed=st.randoms())
def test_the_choice_is_the_least_volume_in_any_order_of_rows(
    piece: Sides, inners: list[tuple[int, int, int]], mass: int, seed: object
) -> None:
    """Of the boxes that take a piece the one of least volume is chosen, wherever it stands in the table."""
    boxes = [box(inner, f"box-{n}", mass=100 + n % 2) for n, inner in enumerate(inners)]
    shuffled = boxes.copy()
    seed.shuffle(shuffled)  # type: ignore[attr-defined]
    chosen = smallest(boxes, *piece, mass)
    assert chosen == smallest(shuffled, *piece, mass)
    able = [able_box for able_box in boxes if goes_in(piece, able_box.inner_mm, 0)]
    if chosen is None:
        assert able == []
    else:
        assert chosen in able
        assert math.prod(chosen.inner_mm) == min(math.prod(able_box.inner_mm) for able_box in able)


def test_of_boxes_as_large_the_lighter_is_taken() -> None:
    """Volume goes first, then the box's own mass."""
    boxes = [box((200, 150, 50), "heavy", 140), box((150, 200, 50), "light", 120), box((300, 200, 50), "large", 20)]
    assert smallest(boxes, 100, 100, 10, 200) == boxes[1]


@pytest.mark.parametrize(("mass", "chosen"), [(400, "small"), (401, "large"), (900, "large"), (901, None)])
def test_a_box_holds_no_more_than_it_may(mass: int, chosen: str | None) -> None:
    """A piece too heavy for the smallest box that it fits goes into a stronger one, or into none."""
    boxes = [box((200, 150, 50), "small", holds=400), box((300, 200, 50), "large", holds=900)]
    taken = smallest(boxes, 100, 100, 10, mass)
    assert (taken and taken.box) == chosen


@pytest.mark.parametrize(("padding", "fits"), [(0, True), (20, True), (21, False)])
def test_padding_goes_on_every_side(padding: int, fits: bool) -> None:
    """A piece of 160 x 110 x 10 in 200 x 150 x 50 leaves room for 20 mm on every side, and not for 21."""
    assert takes(box((200, 150, 50), padding=padding), (110, 10, 160), 50) is fits


def test_a_box_is_larger_outside_by_its_walls() -> None:
    """A carrier measures outside: 3 mm of card on each side makes 6 mm, longest side first."""
    assert box((150, 50, 200)).outer_mm == (206, 156, 56)


@given(parcel=sides)
def test_length_and_girth_is_the_least_of_all_ways_round(parcel: Sides) -> None:
    """Taking the longest side for the length gives the least sum of the three ways to measure a parcel."""
    ways = [length + 2 * (width + depth) for length, width, depth in permutations(parcel)]
    assert length_and_girth(parcel) == min(ways)


@pytest.mark.parametrize(
    ("limits", "within"),
    [
        ({}, True),
        ({"most_length_mm": 350}, True),
        ({"most_length_mm": 349}, False),
        ({"most_length_mm": 350, "most_width_mm": 250, "most_depth_mm": 60}, True),
        ({"most_length_mm": 350, "most_width_mm": 249}, False),
        ({"most_length_mm": 350, "most_depth_mm": 59}, False),
        ({"most_width_mm": 350, "most_length_mm": 250}, True),
        ({"most_girth_mm": 970}, True),
        ({"most_girth_mm": 969}, False),
    ],
)
def test_a_band_carries_what_is_within_each_of_its_limits(limits: dict[str, int], within: bool) -> None:
    """A parcel of 350 x 250 x 60 mm, 970 mm of length and girth, is held to the limits given and to no other."""
    limited = PostageBand.model_validate(
        {"carrier": "Carter", "band": "band", "most_mass_g": 2000, "price": 3, **limits}
    )
    for turned in permutations((350.0, 250.0, 60.0)):
        length, width, depth = turned
        assert carries(limited, (length, width, depth), 1000) is within


@given(parcel=sides, limits=sides, girth=st.integers(1, 2000))
def test_a_band_carries_by_trying_all_six_turnings(parcel: Sides, limits: Sides, girth: int) -> None:
    """A band whose limits are given in any order carries what lies within them in one of six turnings."""
    length, width, depth = limits
    limited = band(most_length_mm=length, most_width_mm=width, most_depth_mm=depth, most_girth_mm=girth)
    carried = carries(limited, parcel, 100)
    longest = max(parcel)
    round_it = longest + 2 * (sum(parcel) - longest)
    assert carried == (goes_in(parcel, limits, 0) and round_it <= girth)


def test_the_cheapest_band_is_taken() -> None:
    """Of the bands that carry a parcel the cheapest is taken in any order of rows; too heavy a parcel finds none."""
    bands = [
        band("slow", "3.00", 500),
        band("dear", "9.00", 5000),
        band("sure", "5.00", 5000),
        band("also", "5.00", 5000),
    ]
    for rows in permutations(bands):
        assert [
            cheapest_band and cheapest_band.band
            for cheapest_band in (cheapest(rows, (200, 150, 50), mass) for mass in (500, 501, 5001))
        ] == [
            "slow",
            "also",
            None,
        ]


@given(bands=st.lists(st.tuples(sides, st.integers(1, 900), st.integers(1, 9)), max_size=5), parcel=sides)
def test_no_cheaper_band_would_have_carried_it(bands: list[tuple[Sides, int, int]], parcel: Sides) -> None:
    """The band that is taken carries the parcel, and every cheaper one does not."""
    rows = [
        band(f"b{n}", str(price), mass, most_length_mm=int(most[0]), most_width_mm=int(most[1]))
        for n, (most, mass, price) in enumerate(bands)
    ]
    cheapest_band = cheapest(rows, parcel, 300)
    cheaper = [row for row in rows if cheapest_band is None or row.price < cheapest_band.price]
    assert not any(carries(row, parcel, 300) for row in cheaper)
    assert cheapest_band is None or carries(cheapest_band, parcel, 300)


def test_prices_are_kept_to_the_digit() -> None:
    """A band's price is a decimal, as it stands in the table."""
    assert band(price="3.10").price == Decimal("3.10")
