"""A plan of what is made next: ``content/batches/<name>.toml``, with its variants, counts and days."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from pathlib import Path
from typing import Literal

from pydantic import Field

from catalog_builder.mistake import Mistake, MistakeError, Place, quoted
from catalog_builder.records.product import Product
from catalog_builder.records.reading.file import files_in
from catalog_builder.records.reading.header import KeyPath
from catalog_builder.records.reading.source import Source, read
from catalog_builder.records.reading.toml import key_line, read_toml
from catalog_builder.records.reading.validation import admit
from catalog_builder.records.reading.values import Amount, Day, Line, Record
from catalog_builder.records.variant import VariantKeys, read_variant

MOST_PLANS = 100
# As date.weekday() counts them.
WEEKDAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")

Weekday = Literal["monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday"]


class Make(VariantKeys):
    """A row of ``make``: a variant and how many of it."""

    count: int = Field(ge=1, le=1000, description="how many are made")


class PlanKeys(Record):
    """A plan of what is made next."""

    title: Line = Field(description="what the batch is for; private")
    begins: Day = Field(description="the first day at the bench")
    ready_by: Day = Field(description="the last day at the bench")
    hours_a_day: Amount = Field(gt=0, le=24, description="hands-on hours on a day at the bench")
    rest_days: tuple[Weekday, ...] = Field((), description='days of the week without bench work, such as ["sunday"]')
    days_off: tuple[Day, ...] = Field((), max_length=400, description="single days without bench work")
    adopted: bool = Field(
        False, description="true: the glass of these variants is charged by the kept layout, in place of boxes"
    )
    make: tuple[Make, ...] = Field(min_length=1, max_length=200, description="the variants, each with its count")


@dataclass(frozen=True, slots=True)
class Ordered:
    """A variant of a plan, its choices filled in as a reckoning names them, and how many of it are made."""

    product: Product
    size: str
    finish: str
    choice: str
    count: int

    @property
    def chosen(self) -> tuple[str, str, str, str]:
        """The names that tell a variant from all others."""
        return self.product.slug, self.size, self.finish, self.choice


@dataclass(frozen=True, slots=True)
class Plan:
    """A plan: its file's name, its keys, and its variants in the order of the file."""

    name: str
    keys: PlanKeys
    ordered: tuple[Ordered, ...]
    source: Source

    def days_left(self, day: date) -> int:
        """Count the days at the bench from ``day`` on: none after the last, and none before the first is lost."""
        first = max(self.keys.begins, day)
        days = (first + timedelta(days=ahead) for ahead in range((self.keys.ready_by - first).days + 1))
        return sum(WEEKDAYS[one.weekday()] not in self.keys.rest_days and one not in self.keys.days_off for one in days)

    def hours_left(self, day: date) -> Decimal:
        """Give the hands-on hours from ``day`` on."""
        return self.days_left(day) * self.keys.hours_a_day


def read_plans(project: Path, products: Sequence[Product]) -> tuple[Plan, ...]:
    """Read every plan of a project, in the order of their names.

    Raises:
        MistakeError: with everything that is wrong in them, names that stand in no record included.
    """
    folder = project / "content" / "batches"
    paths = files_in(project, folder, ".toml")
    if len(paths) > MOST_PLANS:
        place = Place(path="content/batches")
        wrong, mend = f"there are {len(paths)} plans", "move those that are done out of the folder"
        raise MistakeError([Mistake(place=place, wrong=wrong, expected=f"up to {MOST_PLANS}", mend=mend)])
    by_name = {product.slug: product for product in products}
    mistakes: list[Mistake] = []
    plans: list[Plan] = []
    for path in paths:
        try:
            plans.append(_read_plan(project, path, by_name))
        except MistakeError as fault:
            mistakes.extend(fault.mistakes)
    mistakes.extend(_adopted_twice(plans))
    if mistakes:
        raise MistakeError(mistakes)
    return tuple(plans)


def _read_plan(project: Path, path: Path, products: Mapping[str, Product]) -> Plan:
    source = read(project, path)
    if not re.fullmatch(r"[a-z0-9]+(-[a-z0-9]+)*", path.stem):
        wrong = f"the file's name {quoted(path.name)} cannot be used for a folder of papers"
        expected = "lower-case letters a to z, digits and single hyphens, then .toml"
        mend = "rename the file, such as `winter-market.toml`"
        raise MistakeError([Mistake(place=source.place(), wrong=wrong, expected=expected, mend=mend)])
    keys = admit(PlanKeys, read_toml(source), source, lambda key: key_line(source.text, key))
    mistakes: list[Mistake] = []
    if keys.ready_by < keys.begins:
        mistakes.append(
            Mistake(
                place=source.place(key_line(source.text, ("ready_by",))),
                wrong=f"the batch is to be ready on {keys.ready_by}, before it begins on {keys.begins}",
                expected="`ready_by` on or after `begins`",
                mend="check the two dates",
            )
        )
    if (keys.ready_by - keys.begins).days > 3660:
        mistakes.append(
            Mistake(
                place=source.place(key_line(source.text, ("ready_by",))),
                wrong="the batch lasts more than ten years",
                expected="dates up to ten years apart",
                mend="check the two dates",
            )
        )
    ordered: list[Ordered] = []
    for index, row in enumerate(keys.make):
        try:
            ordered.append(_ordered(row, index, source, products))
        except MistakeError as fault:
            mistakes.extend(fault.mistakes)
    seen: dict[tuple[str, str, str, str], int] = {}
    for index, one in enumerate(ordered):
        if one.chosen in seen:
            mistakes.append(
                Mistake(
                    place=source.place(_line(source, index)),
                    wrong=f"make.{index + 1}: {_worded(one)} stands in the plan already",
                    expected="each variant once, with its whole count",
                    mend="add the two counts, and take one of the rows out",
                )
            )
        seen[one.chosen] = index
    if mistakes:
        raise MistakeError(mistakes)
    return Plan(path.stem, keys, tuple(ordered), source)


def _ordered(row: Make, index: int, source: Source, products: Mapping[str, Product]) -> Ordered:
    """Find the variant that a row names.

    Raises:
        MistakeError: a name is in no record, or left out where the product has several.
    """
    found = read_variant(row, products, source, lambda key: _line(source, index, key))
    return Ordered(products[found.product], found.size, found.finish, found.choice, row.count)


def _line(source: Source, index: int, *keys: str) -> int | None:
    paths: tuple[KeyPath, ...] = (("make", index, *keys), ("make", index), ("make",))
    for path in paths:
        line = key_line(source.text, path)
        if line is not None:
            return line
    return None


def _worded(one: Ordered) -> str:
    return ", ".join(word for word in one.chosen if word)


def _adopted_twice(plans: Sequence[Plan]) -> list[Mistake]:
    """A variant's glass can be charged by one layout only."""
    first: dict[tuple[str, str, str, str], Plan] = {}
    mistakes = []
    for plan in (one for one in plans if one.keys.adopted):
        for one in plan.ordered:
            if one.chosen in first:
                mistakes.append(
                    Mistake(
                        place=plan.source.place(key_line(plan.source.text, ("adopted",))),
                        wrong=f"{_worded(one)} is charged by the layout of {first[one.chosen].name} already",
                        expected="one adopted plan for each variant",
                        mend="write `adopted = false` in one of the two plans",
                    )
                )
            first.setdefault(one.chosen, plan)
    return mistakes
