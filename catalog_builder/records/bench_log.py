"""The bench's log: what was made in a batch, the minutes that its steps took, and the spools weighed with it."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from pathlib import Path

from pydantic import Field

from catalog_builder.mistake import Mistakes, listed, quoted, suggestion
from catalog_builder.records.product import Product
from catalog_builder.records.reading.entries import TableEntries, TableEntry, read_entries
from catalog_builder.records.reading.values import Amount, Day, Line, Record
from catalog_builder.records.studio import Studio
from catalog_builder.records.variant import Variant, VariantKeys, read_variants

_MADE = {"count": "number", "ready_on": "date"}
_TIMED = {"date": "date", "minutes": "number", "set_ups": "number"}
_WEIGHED = {"before_g": "number", "after_g": "number"}


class BatchKeys(VariantKeys):
    """A row of ``bench_made.csv``: so many of a variant, made in a batch."""

    batch: Line = Field(description="the batch's name, as the maker likes; it may have several rows")
    count: int = Field(ge=1, le=10_000, description="how many of this variant were made in it")
    ready_on: Day | None = Field(
        None, description="the day from which they lay ready to send; they are then added to the count of ready.csv"
    )


class TimingKeys(Record):
    """A row of ``bench_log.csv``: the minutes that a step of a batch took."""

    date: Day = Field(description="the day")
    batch: Line = Field(description="a batch of bench_made.csv")
    step: Line = Field(description="a step of studio.toml, such as `cut`; one of a finish with it: `black.patina`")
    minutes: Amount = Field(gt=0, le=100_000, description="hands-on minutes for the whole batch, breaks left out")
    set_ups: int = Field(1, ge=0, le=1000, description="how often the step was set up: once a batch, or once a design")
    note: Line | None = Field(None, description="for the maker")


class SpoolKeys(Record):
    """A row of ``spools.csv``: a spool of solder weighed before a batch and after it."""

    batch: Line = Field(description="a batch of bench_made.csv")
    before_g: Amount = Field(gt=0, le=100_000, description="grams before")
    after_g: Amount = Field(le=100_000, description="grams after; 0 where the cell before it holds what was used")
    note: Line | None = Field(None, description="for the maker")


@dataclass(frozen=True, slots=True)
class Lot:
    """So many of a variant, and the day from which they lay ready to send; None where that is not kept."""

    variant: Variant
    count: int
    ready_on: date | None = None


@dataclass(frozen=True, slots=True)
class Timing:
    """Minutes that a step took for a batch. ``finish`` is empty for a step that is not one of a finish."""

    batch: str
    finish: str
    step: str
    minutes: Decimal
    set_ups: int


@dataclass(frozen=True, slots=True)
class BenchLog:
    """Batches in the order in which they were first timed or weighed, with what was made in each.

    ``spools`` holds the grams of solder that a batch took.
    """

    batches: Mapping[str, tuple[Lot, ...]]
    timings: tuple[Timing, ...]
    spools: Mapping[str, Decimal]


def read_bench_log(project: Path, studio: Studio, products: Mapping[str, Product]) -> BenchLog:
    """Read the three tables, of which each may be missing.

    Raises:
        MistakeError: with every row that is wrong, or that names what is nowhere else.
    """
    batches, mistakes = _read_batches(project, products)
    timings = read_entries(project, project / "content" / "bench_log.csv", TimingKeys, _TIMED)
    timings.refuse_doubles(
        lambda row: (row.date, row.batch, row.step),
        "this step of the batch and day",
        "add the minutes up in one row, and count its set-ups",
    )
    spools = read_entries(project, project / "content" / "spools.csv", SpoolKeys, _WEIGHED)
    spools.refuse_doubles(
        lambda row: (row.batch, row.before_g, row.after_g), "this weighing", "take one out, or correct it"
    )
    _check_batches(timings, batches)
    _check_batches(spools, batches)
    if not mistakes and not timings.mistakes:
        _check_steps(timings, studio, batches)
    _check_weights(spools)
    Mistakes([*mistakes, *timings.mistakes, *spools.mistakes]).raise_if_any()
    times = _summed(timings.rows)
    solder: dict[str, Decimal] = {}
    for entry in spools.rows:
        grams = entry.keys.before_g - entry.keys.after_g
        solder[entry.keys.batch] = solder.get(entry.keys.batch, Decimal(0)) + grams
    order = dict.fromkeys([*(timing.batch for timing in times), *solder, *batches])
    return BenchLog({name: batches[name] for name in order}, times, solder)


def _read_batches(project: Path, products: Mapping[str, Product]) -> tuple[dict[str, tuple[Lot, ...]], Mistakes]:
    entries = read_entries(project, project / "content" / "bench_made.csv", BatchKeys, _MADE)
    batches: dict[str, tuple[Lot, ...]] = {entry.keys.batch: () for entry in entries.rows}
    again = "add the two counts up in one row"
    for keys, variant in read_variants(entries, products, lambda row: row.batch, "this variant of the batch", again):
        batches[keys.batch] = (*batches[keys.batch], Lot(variant, keys.count, keys.ready_on))
    return batches, entries.mistakes


def _summed(rows: list[TableEntry[TimingKeys]]) -> tuple[Timing, ...]:
    """Add up the days of a step of a batch."""
    timings: dict[tuple[str, str, str], Timing] = {}
    for keys in sorted((entry.keys for entry in rows), key=lambda keys: keys.date):
        finish, _, step = keys.step.rpartition(".")
        key = (keys.batch, finish, step)
        old = timings.get(key, Timing(*key, Decimal(0), 0))
        timings[key] = Timing(*key, old.minutes + keys.minutes, old.set_ups + keys.set_ups)
    return tuple(timings.values())


def _check_batches(entries: TableEntries[TimingKeys] | TableEntries[SpoolKeys], batches: Collection[str]) -> None:
    for entry in entries.rows:
        batch = entry.keys.batch
        if batch not in batches:
            entries.mistakes.add(
                entries.source.place(entry.line),
                wrong=f"the batch {quoted(batch)} is not in bench_made.csv",
                expected="a name from the column `batch` of content/bench_made.csv",
                mend=suggestion(batch, batches, "say in bench_made.csv what was made in it"),
                marked=batch,
            )


def _check_steps(timings: TableEntries[TimingKeys], studio: Studio, batches: Mapping[str, tuple[Lot, ...]]) -> None:
    """Refuse steps that the studio does not have, and steps that nothing in the batch goes through."""
    known = set(studio.steps) | {f"{name}.{step}" for name, finish in studio.finishes.items() for step in finish.steps}
    for entry in timings.rows:
        name = entry.keys.step
        finish, _, step = name.rpartition(".")
        if name not in known:
            of_finishes = sorted(other for other in known if other.endswith(f".{name}"))
            wrong, expected = f"the step {quoted(name)} is not in studio.toml", f"one of: {listed(known, most=40)}"
            mend = suggestion(name, known, "correct the step")
            mend = f"it differs by finish: write {' or '.join(of_finishes)}" if of_finishes else mend
        elif not any(takes(studio, lot, finish, step) for lot in batches[entry.keys.batch]):
            wrong = f"nothing in the batch {quoted(entry.keys.batch)} goes through the step {quoted(name)}"
            expected = "a step that something in the batch goes through"
            mend = "correct the step, or what bench_made.csv says was made"
        else:
            continue
        place = timings.source.place(entry.line)
        timings.mistakes.add(place, wrong=wrong, expected=expected, mend=mend, marked=name)


def takes(studio: Studio, lot: Lot, finish: str, step: str) -> bool:
    """Say whether a lot goes through a step; a finish's own step replaces the step of that name for every finish."""
    if finish:
        return lot.variant.finish == finish
    return step not in studio.finishes[lot.variant.finish].steps


def _check_weights(spools: TableEntries[SpoolKeys]) -> None:
    for entry in spools.rows:
        if entry.keys.after_g >= entry.keys.before_g:
            spools.mistakes.add(
                spools.source.place(entry.line),
                wrong=f"a spool of {entry.keys.before_g} g did not get lighter: {entry.keys.after_g} g",
                expected="fewer grams after the batch than before it",
                mend="check which weight belongs in which cell",
                marked=str(entry.keys.after_g),
            )
