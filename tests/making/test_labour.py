"""Labour: standard time is basic time and an allowance; what is done once a batch is shared over it."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest

from catalog_builder.making.labour import read_times, step_time
from catalog_builder.making.quantities import Measures
from catalog_builder.records.reading.source import Source
from catalog_builder.records.studio import Bench, Finish, Studio, WorkStep, read_studio
from tests.studio import studio_text

MEASURES = Measures(
    item=Decimal(1),
    piece=Decimal(9),
    joint=Decimal(14),
    seam_m=Decimal("0.75"),
    rim_m=Decimal("0.5"),
    edge_m=Decimal(2),
    dm2=Decimal("1.25"),
)


def bench(allowance: str) -> Bench:
    """A bench with an allowance in percent."""
    return Bench.model_validate({"hourly_rate": 30, "bench_hours_a_year": 800, "allowance_percent": allowance})


def studio(tables: dict[str, str]) -> Studio:
    """A studio with some tables of its own."""
    return read_studio(Source("content/studio.toml", studio_text(tables)))


def step(**minutes: str) -> WorkStep:
    """A step by its minutes."""
    return WorkStep.model_validate({"title": "Step", **minutes})


@pytest.mark.parametrize(
    ("minutes", "basic"),
    [
        ({"item": "3"}, "3"),
        ({"piece": "2"}, "18"),
        ({"joint": "0.25"}, "3.5"),
        ({"seam_m": "8"}, "6"),
        ({"rim_m": "4"}, "2"),
        ({"edge_m": "2.2"}, "4.4"),
        ({"dm2": "0.8"}, "1"),
        ({"batch": "10"}, "2"),
        ({"batch": "10", "item": "1", "piece": "1", "joint": "1", "seam_m": "4"}, "29"),
        ({}, "0"),
    ],
)
@pytest.mark.parametrize("allowance", ["0", "9", "15"])
def test_standard_time(minutes: dict[str, str], basic: str, allowance: str) -> None:
    """Minutes go by item, piece, joint, metre and area, and the allowance comes on top of all of them."""
    time = step_time("step", step(**minutes), bench(allowance), MEASURES, 5)
    assert time.minutes == Decimal(basic) * (1 + Decimal(allowance) / 100)


@pytest.mark.parametrize("batch", [1, 2, 6, 10, 60])
def test_batch(batch: int) -> None:
    """A larger batch shares its set-up over more pieces; a whole batch always takes the one set-up."""
    time = step_time("step", step(batch="60", item="4"), bench("0"), MEASURES, batch)
    assert time.minutes * batch == 60 + 4 * batch


def test_waiting() -> None:
    """Waiting only delays: it is neither paid nor rested from."""
    time = step_time("step", step(item="2", waiting="45"), bench("50"), MEASURES, 5)
    assert [time.minutes, time.waiting] == [3, 45]


def test_finish_steps() -> None:
    """A finish brings steps of its own, and does its own way what it names again."""
    record = studio(
        {
            "steps.cut": 'title = "Cut"\nitem = 5',
            "steps.polish": 'title = "Polish"\nitem = 1',
            "finishes.copper": 'title = "Copper"',
            "finishes.copper.steps.polish": 'title = "Polish bright"\nitem = 4',
            "finishes.copper.steps.patina": 'title = "Patina"\nitem = 2',
            "bench": 'hourly_rate = "30"\nbench_hours_a_year = 800\nallowance_percent = 0',
        }
    )

    def times(finish: Finish) -> dict[str, Decimal]:
        return {time.name: time.minutes for time in read_times(record, finish, MEASURES, 5)}

    assert times(record.finishes["bright"]) == {"cut": 5, "polish": 1}
    assert times(record.finishes["copper"]) == {"cut": 5, "polish": 4, "patina": 2}


def test_breakage_takes_minutes_too() -> None:
    """A step that repeats is done again for the pieces that crack: 20 pieces at 2 min and 5 % of them again, 42 min."""
    measures = replace(MEASURES, piece=Decimal(20), broken=Decimal("0.05"))
    once = step_time("cut", step(batch="8", piece="2"), bench("0"), measures, 8)
    again = step_time("cut", step(batch="8", piece="2", repeats="true"), bench("0"), measures, 8)
    assert (once.minutes, again.minutes) == (Decimal(41), Decimal(43))


@pytest.mark.parametrize(
    ("measure", "rate", "again"),
    [("edge_m", "3", "6.3"), ("dm2", "4", "5.25"), ("joint", "1", "14"), ("item", "2", "2")],
)
def test_only_what_goes_by_pieces_is_done_again(measure: str, rate: str, again: str) -> None:
    """Of 5 % that crack, edges and areas are worked again: 2 m at 3 are 6.3; joints and the item are not."""
    measures, work = replace(MEASURES, broken=Decimal("0.05")), step(repeats="true", **{measure: rate})
    assert step_time("cut", work, bench("0"), measures, 1).minutes == Decimal(again)
