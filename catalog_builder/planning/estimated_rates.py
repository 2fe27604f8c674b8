"""What the bench's log teaches: rates of the studio's own, with how surely they are known. Private.

Logged minutes are basic minutes at the bench, breaks left out: the allowance is added to the rates as it is now.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Literal

from catalog_builder.making.labour import AGAIN
from catalog_builder.making.quantities import PER
from catalog_builder.planning.learning_curve import Curve, curve_through
from catalog_builder.planning.least_squares import Fit, condition, fit, tangled
from catalog_builder.pricing.calculation import VariantCalculation
from catalog_builder.records.bench_log import Lot, takes
from catalog_builder.records.content import Content
from catalog_builder.records.studio import WorkStep
from catalog_builder.records.variant import Variant
from catalog_builder.units import exact

# Rates are told apart only with this many timings more than there are rates, and where the condition number of
# their columns stays under the limit: from about 30 on, D. A. Belsley, E. Kuh and R. E. Welsch, Regression
# Diagnostics (1980), call the harm serious (from memory).
SPARE = 3
MOST_CONDITION = 30.0
# A rate is settled once its standard error is at most this share of it; an error falls with the root of the count.
MOST_DOUBT = 0.5
# Less than this share is no change: three digits round by up to a two-hundredth.
LEAST_CHANGE = Decimal("0.006")
# A design's batches show a learning curve from this many on.
LEAST_BATCHES = 3


@dataclass(frozen=True, slots=True)
class Rate:
    """A rate of studio.toml: as it stands, as least squares have it, and as the log would be used.

    Each of the last two comes with its standard error, where the log gives one. What is used is either the rate of
    least squares or the one that stands, times the factor of its step.
    """

    key: str
    now: Decimal
    fitted: float | None = None
    fitted_error: float | None = None
    used: float | None = None
    used_error: float | None = None

    @property
    def new(self) -> Decimal | None:
        """What would be written into studio.toml."""
        return None if self.used is None else exact(self.used, places(self.used))


@dataclass(frozen=True, slots=True)
class Study:
    """A step's rates, or the solder's, against what was timed or weighed.

    ``way`` says what the log is used for: each rate ``apart``, all of them ``together`` by one factor, or nothing
    where there are too ``few`` batches. ``expected`` is what the rates as used give for each of ``batches``,
    ``standing`` what those of studio.toml give, ``taken`` what the clock or the scales said. The rates in ``open``
    are not settled by the log; about ``wanted`` more batches would settle them.
    """

    name: str
    path: tuple[str, ...]
    title: str
    rates: tuple[Rate, ...]
    batches: tuple[str, ...]
    taken: tuple[float, ...]
    expected: tuple[float, ...] = ()
    standing: tuple[float, ...] = ()
    way: Literal["apart", "together", "few"] = "few"
    spread: float | None = None
    explained: float | None = None
    wanted: int = 0
    open: tuple[str, ...] = ()

    @property
    def changes(self) -> dict[str, Decimal]:
        """The rates that would be written anew, by key."""
        return {
            rate.key: rate.new
            for rate in self.rates
            if rate.new is not None and abs(rate.new - rate.now) > rate.now * LEAST_CHANGE
        }


@dataclass(frozen=True, slots=True)
class Repeated:
    """A variant that was made in several batches of its own: minutes of the steps that all of them timed."""

    variant: Variant
    counts: tuple[int, ...]
    minutes: tuple[float, ...]
    curve: Curve


@dataclass(frozen=True, slots=True)
class EstimatedRates:
    """All that the log teaches: steps in the order of studio.toml, the solder last."""

    studies: tuple[Study, ...]
    repeated: tuple[Repeated, ...]


Variants = Mapping[Variant, VariantCalculation]


def estimate_rates(content: Content, calculations: Sequence[VariantCalculation]) -> EstimatedRates:
    """Hold the log against what was reckoned of the variants that were made."""
    variants = {Variant(one.product.slug, one.size, one.finish, one.choice): one for one in calculations}
    studies = []
    for finish, steps in (
        ("", content.studio.steps),
        *((key, one.steps) for key, one in content.studio.finishes.items()),
    ):
        for name, step in steps.items():
            study = _step(content, variants, finish, (name, step))
            if study is not None:
                studies.append(study)
    solder = _solder(content, variants)
    return EstimatedRates((*studies, *((solder,) if solder else ())), _repeated(content, variants))


def _step(content: Content, variants: Variants, finish: str, named: tuple[str, WorkStep]) -> Study | None:
    """Study a step's rates: those that stand in studio.toml, be they nothing."""
    name, step = named
    timings = [one for one in content.log.timings if (one.finish, one.step) == (finish, name)]
    keys = [key for key in ("batch", *PER) if key in step.model_fields_set]
    if not timings or not keys:
        return None
    columns: dict[str, list[float]] = {key: [] for key in keys}
    for one in timings:
        lots = [lot for lot in content.log.batches[one.batch] if takes(content.studio, lot, finish, name)]
        for key in keys:
            columns[key].append(float(one.set_ups) if key == "batch" else _amount(lots, variants, key, step.repeats))
    study = Study(
        f"{finish}.{name}" if finish else name,
        ("finishes", finish, "steps", name) if finish else ("steps", name),
        f"{content.studio.finishes[finish].title}: {step.title}" if finish else step.title,
        tuple(Rate(key, getattr(step, key)) for key in keys),
        tuple(one.batch for one in timings),
        tuple(float(one.minutes) for one in timings),
    )
    return _studied(study, columns, [0.0] * len(timings))


def _amount(lots: Sequence[Lot], variants: Variants, key: str, repeats: bool) -> float:
    """Add up a measure over what was made; what cracks is made again where the step says so."""
    total = Decimal(0)
    for lot in lots:
        measures = variants[lot.variant].measures
        again = measures.broken if repeats and key in AGAIN else Decimal(0)
        total += lot.count * measures.of(key) * (1 + again)
    return float(total)


def _solder(content: Content, variants: Variants) -> Study | None:
    """Study the grams a metre of seam and of rim; joints and drops are taken as reckoned, losses as in the tables."""
    making, log = content.studio.making, content.log
    loss = 1 + float(content.materials.rows[making.solder].loss_percent) / 100
    columns: dict[str, list[float]] = {"seam_solder_g_m": [], "rim_solder_g_m": []}
    batches, taken, rest, grams = [], [], [], {"seam": 0.0, "rim": 0.0}
    for batch, weighed in log.spools.items():
        ones = [(lot.count, variants[lot.variant]) for lot in log.batches[batch]]
        if any(one.made.solder.material != making.solder for _, one in ones):
            # Another solder's metre weighs otherwise.
            continue
        batches.append(batch)
        taken.append(float(weighed) / loss)
        rest.append(
            sum(
                count * (one.suspension.body.share("joints") + one.suspension.body.share("drops"))
                for count, one in ones
            )
        )
        for part in grams:
            metres = sum(count * float(one.measures.of(f"{part}_m")) for count, one in ones)
            columns[f"{part}_solder_g_m"].append(metres)
            grams[part] += sum(count * one.suspension.body.share(part) for count, one in ones)
    if not batches:
        return None
    rates = []
    for part, whole in grams.items():
        metres = sum(columns[f"{part}_solder_g_m"])
        given = getattr(making, f"{part}_solder_g_m")
        rates.append(Rate(f"{part}_solder_g_m", given if given is not None else exact(whole / (metres or 1.0), 2)))
    title = content.materials.rows[making.solder].title
    study = Study("spools", ("making",), title, tuple(rates), tuple(batches), tuple(taken))
    return _studied(study, columns, rest)


def _studied(study: Study, columns: Mapping[str, Sequence[float]], rest: Sequence[float]) -> Study:
    """Fit a study's rates as far as the log goes. ``rest`` is what each batch takes whatever the rates are."""
    keys = tuple(key for key, column in columns.items() if any(column))
    used = [columns[key] for key in keys]
    target = [amount - known for amount, known in zip(study.taken, rest, strict=True)]
    wanted = max(1 if len(target) < 2 else 0, len(keys) + SPARE - len(target))
    now = [
        _product([float(one.now) for one in study.rates], [columns[one.key][row] for one in study.rates])
        for row in range(len(target))
    ]
    standing = tuple(whole + known for whole, known in zip(now, rest, strict=True))
    study = replace(study, standing=standing, wanted=wanted, open=keys if wanted else ())
    if keys and not wanted:
        if condition(used) > MOST_CONDITION:
            study = replace(study, wanted=1, open=tuple(keys[place] for place in tangled(used)))
        else:
            found = fit(used, target)
            study = _settled(study, keys, found)
            if study.way == "apart":
                whole = [_product(found.rates, [column[row] for column in used]) for row in range(len(target))]
                return _explained(study, found, whole, rest)
    if len(target) < 2 or not any(now):
        return replace(study, expected=standing)
    found = fit([now], target)
    factor, error = found.rates[0], found.errors[0]
    rates = tuple(
        replace(one, used=float(one.now) * factor, used_error=None if error is None else float(one.now) * error)
        for one in study.rates
    )
    return _explained(replace(study, rates=rates, way="together"), found, [factor * whole for whole in now], rest)


def _settled(study: Study, keys: Sequence[str], found: Fit) -> Study:
    """Enter the rates that were fitted apart, and use them so if none is open."""
    by_key = dict(zip(keys, zip(found.rates, found.errors, strict=True), strict=True))
    rates, loose, wanted = [], [], 0
    for one in study.rates:
        rate, error = by_key.get(one.key, (None, None))
        rates.append(replace(one, fitted=rate, fitted_error=error))
        size = max(rate or 0.0, float(one.now))
        if one.key not in by_key or not size:
            continue
        # A rate that is held at nothing has no error of its own.
        doubt = size if error is None else error
        if doubt > MOST_DOUBT * size:
            loose.append(one.key)
            wanted = max(wanted, math.ceil(len(study.taken) * ((doubt / (MOST_DOUBT * size)) ** 2 - 1)))
    if loose:
        return replace(study, rates=tuple(rates), open=tuple(loose), wanted=wanted)
    rates = [replace(one, used=one.fitted, used_error=one.fitted_error) for one in rates]
    return replace(study, rates=tuple(rates), way="apart")


def _explained(study: Study, found: Fit, modelled: Sequence[float], rest: Sequence[float]) -> Study:
    """Enter what a fit gives; the share that it explains is always taken about the mean, as a maker would ask."""
    expected = tuple(whole + known for whole, known in zip(modelled, rest, strict=True))
    mean = sum(study.taken) / len(study.taken)
    left = sum((amount - whole) ** 2 for amount, whole in zip(study.taken, expected, strict=True))
    apart = sum((amount - mean) ** 2 for amount in study.taken)
    share = 1 - left / apart if apart else None
    return replace(study, expected=expected, spread=found.spread, explained=share)


def places(amount: float) -> int:
    """Give how many digits behind the point show three digits of an amount that count, at most four."""
    return max(0, min(4, 2 - math.floor(math.log10(amount)))) if amount > 0 else 2


def _product(rates: Sequence[float], amounts: Sequence[float]) -> float:
    return sum(rate * amount for rate, amount in zip(rates, amounts, strict=True))


def _repeated(content: Content, variants: Variants) -> tuple[Repeated, ...]:
    """Find variants that were made alone in several batches, and draw Wright's curve through them."""
    log = content.log
    timed: dict[str, dict[tuple[str, str], float]] = {}
    for one in log.timings:
        timed.setdefault(one.batch, {})[one.finish, one.step] = float(one.minutes)
    alone: dict[Variant, list[str]] = {}
    for batch, lots in log.batches.items():
        if len(lots) == 1 and batch in timed:
            alone.setdefault(lots[0].variant, []).append(batch)
    found = []
    for variant in (one for one in variants if len(alone.get(one, ())) >= LEAST_BATCHES):
        batches = alone[variant]
        steps = set.intersection(*(set(timed[batch]) for batch in batches))
        counts = tuple(log.batches[batch][0].count for batch in batches)
        minutes = tuple(sum(timed[batch][step] for step in sorted(steps)) for batch in batches)
        if steps:
            found.append(Repeated(variant, counts, minutes, curve_through(counts, minutes)))
    return tuple(found)
