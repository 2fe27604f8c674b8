"""The bench hours of a plan, step by step: hands-on minutes, and waiting, which only delays."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal

from catalog_builder.making.labour import StepTime, read_times
from catalog_builder.planning.plan_layout import OrderedVariants
from catalog_builder.records.studio import Studio


@dataclass(frozen=True, slots=True)
class StepHours:
    """A step for the whole plan, in minutes: ``hands_on`` with the allowance, and ``waiting``.

    ``finish`` is the title of the finish whose own step it is, else empty.
    """

    title: str
    finish: str
    hands_on: Decimal
    waiting: Decimal


def read_hours(studio: Studio, ordered_variants: OrderedVariants) -> tuple[StepHours, ...]:
    """Add up each step over a plan.

    A product in one size is a lot: it has its own pattern, so that set-up minutes count once for each lot, whatever
    its finishes; those of a finish's own steps once for each lot in that finish. A lot waits once for each step, as
    its items lie and dry together.
    """
    lots: dict[tuple[str, str], OrderedVariants] = {}
    for ordered, variant in ordered_variants:
        key = ordered.product.slug, ordered.size
        lots[key] = (*lots.get(key, ()), (ordered, variant))
    hands_on: dict[tuple[str, str], Decimal] = {}
    waiting: dict[tuple[str, str], Decimal] = {}
    titles: dict[tuple[str, str], str] = {}
    for lot in lots.values():
        waits: dict[tuple[str, str], Decimal] = {}
        whole = sum(ordered.count for ordered, _ in lot)
        for ordered, variant in lot:
            finished = sum(other.count for other, _ in lot if other.finish == ordered.finish)
            finish = studio.finishes[ordered.finish]
            times = _by_name(read_times(studio, finish, variant.measures, whole))
            own = _by_name(read_times(studio, finish, variant.measures, finished))
            for name in times:
                of_finish = name in finish.steps
                time, key = (own if of_finish else times)[name], (ordered.finish if of_finish else "", name)
                titles.setdefault(key, time.title)
                hands_on[key] = hands_on.get(key, Decimal(0)) + time.minutes * ordered.count
                waits[key] = time.waiting
        for key, minutes in waits.items():
            waiting[key] = waiting.get(key, Decimal(0)) + minutes
    return tuple(
        StepHours(titles[key], studio.finishes[key[0]].title if key[0] else "", hands_on[key], waiting[key])
        for key in _ordered(studio)
        if hands_on.get(key) or waiting.get(key)
    )


def _by_name(times: tuple[StepTime, ...]) -> Mapping[str, StepTime]:
    return {time.name: time for time in times}


def _ordered(studio: Studio) -> list[tuple[str, str]]:
    """Give every step in the order of the studio's record, the finishes' own after the general ones."""
    return [
        *(("", name) for name in studio.steps),
        *((key, name) for key, finish in studio.finishes.items() for name in finish.steps),
    ]
