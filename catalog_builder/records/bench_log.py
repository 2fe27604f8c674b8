"""The bench's log: what was made in a batch, the minutes that its steps took, and the spools weighed with it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path

from pydantic import Field

from catalog_builder.mistake import Mistake, MistakeError, listed, nearest, quoted
from catalog_builder.records.product import Product
from catalog_builder.records.reading.entries import TableEntries, TableEntry, read_entries
from catalog_builder.records.reading.values import Amount, Day, Line, Record
from catalog_builder.records.studio import Studio
from catalog_builder.records.variant import Variant, VariantKeys, read_variants

_TIMED = {"date": "date", "minutes": "number", "set_ups": "number"}
_WEIGHED = {"before_g": "number", "after_g": "number"}


class BatchKeys(VariantKeys):
    """A row of ``bench_made.csv``: so many of a variant, made in a batch."""

    batch: Line = Field(description="the batch's name, as the maker likes; it may have several rows")
    count: int = Field(ge=1, le=10_000, description="how many of this variant were made in it")


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
    """So many of a variant."""

    variant: Variant
    count: int


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
    batches, faults = _read_batches(project, products)
    names = set(batches)
    timings = read_entries(project, project / "content" / "bench_log.csv", TimingKeys, _TIMED)
    timings.refuse_doubles(
        lambda one: (one.date, one.batch, one.step),
        "this step of the batch and day",
        "add the minutes up in one row, and count its set-ups",
    )
    spools = read_entries(project, project / "content" / "spools.csv", SpoolKeys, _WEIGHED)
    spools.refuse_doubles(
        lambda one: (one.batch, one.before_g, one.after_g), "this weighing", "take one out, or correct it"
    )
    _refuse_unknown(timings, names)
    _refuse_unknown(spools, names)
    if not faults and not timings.mistakes:
        _refuse_steps(timings, studio, batches)
    _refuse_gains(spools)
    if faults or timings.mistakes or spools.mistakes:
        raise MistakeError([*faults, *timings.mistakes, *spools.mistakes])
    timed = _summed(timings.rows)
    weighed: dict[str, Decimal] = {}
    for entry in spools.rows:
        grams = entry.keys.before_g - entry.keys.after_g
        weighed[entry.keys.batch] = weighed.get(entry.keys.batch, Decimal(0)) + grams
    order = dict.fromkeys([*(one.batch for one in timed), *weighed, *batches])
    return BenchLog({name: batches[name] for name in order}, timed, weighed)


def _read_batches(project: Path, products: Mapping[str, Product]) -> tuple[dict[str, tuple[Lot, ...]], list[Mistake]]:
    entries = read_entries(project, project / "content" / "bench_made.csv", BatchKeys, {"count": "number"})
    batches: dict[str, tuple[Lot, ...]] = {entry.keys.batch: () for entry in entries.rows}
    again = "add the two counts up in one row"
    for keys, variant in read_variants(entries, products, lambda one: one.batch, "this variant of the batch", again):
        batches[keys.batch] = (*batches[keys.batch], Lot(variant, keys.count))
    return batches, entries.mistakes


def _summed(rows: list[TableEntry[TimingKeys]]) -> tuple[Timing, ...]:
    """Add up the days of a step of a batch."""
    timings: dict[tuple[str, str, str], Timing] = {}
    for entry in sorted(rows, key=lambda one: one.keys.date):
        finish, _, step = entry.keys.step.rpartition(".")
        key = (entry.keys.batch, finish, step)
        old = timings.get(key, Timing(*key, Decimal(0), 0))
        timings[key] = Timing(*key, old.minutes + entry.keys.minutes, old.set_ups + entry.keys.set_ups)
    return tuple(timings.values())


def _refuse_unknown(entries: TableEntries[TimingKeys] | TableEntries[SpoolKeys], batches: set[str]) -> None:
    for entry in entries.rows:
        batch = entry.keys.batch
        if batch not in batches:
            guess = nearest(batch, batches)
            entries.mistakes.append(
                Mistake(
                    place=entries.source.place(entry.line),
                    wrong=f"the batch {quoted(batch)} is not in bench_made.csv",
                    expected="a name from the column `batch` of content/bench_made.csv",
                    mend=f"did you mean {guess!r}?" if guess else "say in bench_made.csv what was made in it",
                    marked=batch,
                )
            )


def _refuse_steps(timings: TableEntries[TimingKeys], studio: Studio, batches: Mapping[str, tuple[Lot, ...]]) -> None:
    """Tell steps that the studio does not have, and steps that none of a batch goes through."""
    known = set(studio.steps) | {f"{name}.{step}" for name, one in studio.finishes.items() for step in one.steps}
    for entry in timings.rows:
        word = entry.keys.step
        finish, _, step = word.rpartition(".")
        if word not in known:
            ending = sorted(one for one in known if one.endswith(f".{word}"))
            guess = nearest(word, known)
            mend = f"did you mean {guess!r}?" if guess else "correct the step"
            wrong, expected = f"the step {quoted(word)} is not in studio.toml", f"one of: {listed(known, most=40)}"
            mend = f"it differs by finish: write {' or '.join(ending)}" if ending else mend
        elif not any(takes(studio, lot, finish, step) for lot in batches[entry.keys.batch]):
            wrong = f"nothing in the batch {quoted(entry.keys.batch)} goes through the step {quoted(word)}"
            expected = "a step that something in the batch goes through"
            mend = "correct the step, or what bench_made.csv says was made"
        else:
            continue
        timings.mistakes.append(
            Mistake(place=timings.source.place(entry.line), wrong=wrong, expected=expected, mend=mend, marked=word)
        )


def takes(studio: Studio, lot: Lot, finish: str, step: str) -> bool:
    """Say whether a lot goes through a step; a finish's own step goes in place of one done for every finish."""
    if finish:
        return lot.variant.finish == finish
    return step not in studio.finishes[lot.variant.finish].steps


def _refuse_gains(spools: TableEntries[SpoolKeys]) -> None:
    for entry in spools.rows:
        if entry.keys.after_g >= entry.keys.before_g:
            spools.mistakes.append(
                Mistake(
                    place=spools.source.place(entry.line),
                    wrong=f"a spool of {entry.keys.before_g} g did not get lighter: {entry.keys.after_g} g",
                    expected="fewer grams after the batch than before it",
                    mend="check which weight belongs in which cell",
                    marked=str(entry.keys.after_g),
                )
            )
