"""A plan of what is made next: ``content/batches/<name>.toml``, with its variants, counts and days."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from decimal import Decimal
from functools import partial
from pathlib import Path
from typing import Literal

from pydantic import Field

from catalog_builder.mistake import MistakeError, Mistakes, Place, quoted
from catalog_builder.records.product import Product, by_any_name
from catalog_builder.records.product_set import ProductSet
from catalog_builder.records.reading.file import files_in
from catalog_builder.records.reading.header import KeyPath
from catalog_builder.records.reading.source import Source, read
from catalog_builder.records.reading.toml import key_line, read_toml
from catalog_builder.records.reading.validation import validate
from catalog_builder.records.reading.values import Amount, Day, Line, Record, stands_in_addresses
from catalog_builder.records.variant import VariantKeys, read_variant

MOST_PLANS = 100
# Ten years.
MOST_DAYS = 3660
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
    """A variant of a plan, with every choice filled in, and how many of it are made."""

    product: Product
    size: str
    finish: str
    choice: str
    count: int

    @property
    def chosen(self) -> tuple[str, str, str, str]:
        """The four names that belong to one variant only."""
        return self.product.slug, self.size, self.finish, self.choice


@dataclass(frozen=True, slots=True)
class Plan:
    """A plan: its file's name, its keys, and its variants in the order of the file."""

    name: str
    keys: PlanKeys
    ordered: tuple[Ordered, ...]
    source: Source

    def days_left(self, day: date) -> int:
        """Count the days at the bench from ``day`` on, or from the first day where that is later."""
        first = max(self.keys.begins, day)
        days = (first + timedelta(days=ahead) for ahead in range((self.keys.ready_by - first).days + 1))
        free = self.keys.rest_days, self.keys.days_off
        return sum(WEEKDAYS[each.weekday()] not in free[0] and each not in free[1] for each in days)

    def hours_left(self, day: date) -> Decimal:
        """Give the hands-on hours from ``day`` on."""
        return self.days_left(day) * self.keys.hours_a_day


def read_plans(project: Path, products: Sequence[Product], sets: Sequence[ProductSet] = ()) -> tuple[Plan, ...]:
    """Read every plan of a project, in the order of their names; a row that names a set makes its pieces.

    Raises:
        MistakeError: with everything that is wrong in them, also names of variants that no record has.
    """
    folder = project / "content" / "batches"
    paths = files_in(project, folder, ".toml")
    if len(paths) > MOST_PLANS:
        place = Place(path="content/batches")
        wrong, mend = f"there are {len(paths)} plans", "move those that are done out of the folder"
        raise MistakeError.at(place, wrong=wrong, expected=f"up to {MOST_PLANS}", mend=mend)
    by_name, by_set = by_any_name(products), {each.slug: each for each in sets}
    mistakes = Mistakes()
    read_all = (mistakes.attempt(_read_plan, project, path, by_name, by_set) for path in paths)
    plans = [plan for plan in read_all if plan is not None]
    _check_adopted(plans, mistakes)
    mistakes.raise_if_any()
    return tuple(plans)


def _read_plan(project: Path, path: Path, products: Mapping[str, Product], sets: Mapping[str, ProductSet]) -> Plan:
    source = read(project, path)
    if not stands_in_addresses(path.stem):
        raise MistakeError.at(
            source.place(),
            wrong=f"the file's name {quoted(path.name)} cannot be used for a folder of papers",
            expected="lower-case letters a to z, digits and single hyphens, then .toml",
            mend="rename the file, such as `winter-market.toml`",
        )
    keys = validate(PlanKeys, read_toml(source), source, lambda key: key_line(source.text, key))
    mistakes = Mistakes()
    last_day = source.place(key_line(source.text, ("ready_by",)))
    if keys.ready_by < keys.begins:
        mistakes.add(
            last_day,
            wrong=f"the batch is to be ready on {keys.ready_by}, before it begins on {keys.begins}",
            expected="`ready_by` on or after `begins`",
            mend="check the two dates",
        )
    if (keys.ready_by - keys.begins).days > MOST_DAYS:
        mistakes.add(
            last_day,
            wrong="the batch lasts more than ten years",
            expected="dates up to ten years apart",
            mend="check the two dates",
        )
    ordered: list[tuple[int, Ordered]] = []
    for index, row in enumerate(keys.make):
        if row.product in sets and (row.size, row.finish, row.glass) == (None, None, None):
            continue
        with mistakes.collect():
            named = read_variant(row, products, source, partial(_line, source, index))
            variant = Ordered(products[named.product], named.size, named.finish, named.choice, row.count)
            ordered.append((index, variant))
    earlier: set[tuple[str, str, str, str]] = set()
    for index, variant in ordered:
        if variant.chosen in earlier:
            mistakes.add(
                source.place(_line(source, index)),
                wrong=f"make.{index + 1}: {_listed_names(variant)} stands in the plan already",
                expected="each variant once, with its whole count",
                mend="add the two counts, and take one of the rows out",
            )
        earlier.add(variant.chosen)
    mistakes.raise_if_any()
    made = [variant for _, variant in ordered]
    return Plan(path.stem, keys, _with_sets(made, keys, products, sets), source)


def _with_sets(
    ordered: Sequence[Ordered], keys: PlanKeys, products: Mapping[str, Product], sets: Mapping[str, ProductSet]
) -> tuple[Ordered, ...]:
    """Add the pieces of each set that is made to those of the other rows."""
    counts = {variant.chosen: variant for variant in ordered}
    for row in keys.make:
        for member, each in sets[row.product].members if row.product in sets else ():
            variant = Ordered(products[member.product], member.size, member.finish, member.choice, each * row.count)
            before = counts.get(variant.chosen)
            counts[variant.chosen] = replace(variant, count=variant.count + before.count) if before else variant
    return tuple(counts.values())


def _line(source: Source, index: int, *keys: str) -> int | None:
    paths: tuple[KeyPath, ...] = (("make", index, *keys), ("make", index), ("make",))
    lines = (key_line(source.text, path) for path in paths)
    return next((line for line in lines if line is not None), None)


def _listed_names(variant: Ordered) -> str:
    return ", ".join(name for name in variant.chosen if name)


def _check_adopted(plans: Sequence[Plan], mistakes: Mistakes) -> None:
    """A variant's glass can be charged by one layout only."""
    first: dict[tuple[str, str, str, str], Plan] = {}
    for plan in plans:
        for variant in plan.ordered if plan.keys.adopted else ():
            if variant.chosen in first:
                mistakes.add(
                    plan.source.place(key_line(plan.source.text, ("adopted",))),
                    wrong=f"{_listed_names(variant)} is charged by the layout of {first[variant.chosen].name} already",
                    expected="one adopted plan for each variant",
                    mend="write `adopted = false` in one of the two plans",
                )
            first.setdefault(variant.chosen, plan)
