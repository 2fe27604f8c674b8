"""Rates estimated from the bench's log, with their standard errors. Private.

Logged minutes are basic minutes at the bench, breaks left out: the allowance is added to the rates as it is now.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Literal

from catalog_builder.making.quantities import CUT_AGAIN, MEASURES
from catalog_builder.planning.learning_curve import Curve, curve_through
from catalog_builder.planning.least_squares import Fit, collinear, condition, fit
from catalog_builder.pricing.calculation import VariantCalculation
from catalog_builder.records.bench_log import BenchLog, Lot, takes
from catalog_builder.records.material import Material
from catalog_builder.records.studio import Studio, WorkStep
from catalog_builder.records.variant import Variant
from catalog_builder.units import exact

# Rates are fitted one by one only with this many timings more than there are rates (common practice, no source), and
# where the condition number of their columns stays under the limit: from about 30 on, D. A. Belsley, E. Kuh and
# R. E. Welsch, Regression Diagnostics (1980), call the harm serious (from memory).
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
    where there are too ``few`` batches. For each of ``batches``, ``expected`` is what the rates as used give,
    ``standing`` what those of studio.toml give, and ``taken`` what was timed or weighed. The rates in ``open`` are
    not settled by the log; about ``more_batches`` more batches would settle them.
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
    more_batches: int = 0
    open: tuple[str, ...] = ()

    @property
    def changes(self) -> dict[str, Decimal]:
        """The rates that would change, by key."""
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
    """All rates that the log gives: steps in the order of studio.toml, the solder last."""

    studies: tuple[Study, ...]
    repeated: tuple[Repeated, ...]


Variants = Mapping[Variant, VariantCalculation]


def estimate_rates(
    studio: Studio, rows: Mapping[str, Material], log: BenchLog, calculations: Sequence[VariantCalculation]
) -> EstimatedRates:
    """Compare the log with what was calculated for the variants that were made; ``rows`` are the materials."""
    variants = {Variant(each.product.slug, each.size, each.finish, each.choice): each for each in calculations}
    steps = [
        *(("", name, step) for name, step in studio.steps.items()),
        *((key, name, step) for key, finish in studio.finishes.items() for name, step in finish.steps.items()),
    ]
    studies = [_step(studio, log, variants, *named) for named in steps]
    solder = _solder(studio, rows, log, variants)
    return EstimatedRates(tuple(each for each in (*studies, solder) if each is not None), _repeated(log, variants))


def _step(studio: Studio, log: BenchLog, variants: Variants, finish: str, name: str, step: WorkStep) -> Study | None:
    """Study the rates that a step has in studio.toml, those of 0 too; None where it was not timed."""
    timings = [timing for timing in log.timings if (timing.finish, timing.step) == (finish, name)]
    keys = [key for key in ("batch", *MEASURES) if key in step.model_fields_set]
    if not timings or not keys:
        return None
    columns: dict[str, list[float]] = {key: [] for key in keys}
    for timing in timings:
        lots = [lot for lot in log.batches[timing.batch] if takes(studio, lot, finish, name)]
        for key in keys:
            set_ups = float(timing.set_ups)
            columns[key].append(set_ups if key == "batch" else _amount(lots, variants, key, step.repeats))
    study = Study(
        f"{finish}.{name}" if finish else name,
        ("finishes", finish, "steps", name) if finish else ("steps", name),
        f"{studio.finishes[finish].title}: {step.title}" if finish else step.title,
        tuple(Rate(key, getattr(step, key)) for key in keys),
        tuple(timing.batch for timing in timings),
        tuple(float(timing.minutes) for timing in timings),
    )
    return _studied(study, columns, [0.0] * len(timings))


def _amount(lots: Sequence[Lot], variants: Variants, key: str, repeats: bool) -> float:
    """Add up a measure over what was made; what cracks is made again where the step says so."""
    total = Decimal(0)
    for lot in lots:
        measures = variants[lot.variant].measures
        again = measures.broken if repeats and key in CUT_AGAIN else Decimal(0)
        total += lot.count * measures.of(key, repeats) * (1 + again)
    return float(total)


def _solder(studio: Studio, rows: Mapping[str, Material], log: BenchLog, variants: Variants) -> Study | None:
    """Study the grams a metre of seam and of rim; joints and drops are taken as calculated, losses as in the tables."""
    making = studio.making
    loss = 1 + float(rows[making.solder].loss_percent) / 100
    columns: dict[str, list[float]] = {"seam_solder_g_m": [], "rim_solder_g_m": []}
    batches, taken, rest, grams = [], [], [], {"seam": 0.0, "rim": 0.0}
    for batch, weighed in log.spools.items():
        lots = [(lot.count, variants[lot.variant]) for lot in log.batches[batch]]
        if any(variant.made.solder.material != making.solder for _, variant in lots):
            # A metre of another solder has another mass.
            continue
        batches.append(batch)
        taken.append(float(weighed) / loss)
        bodies = [(count, variant.suspension.body) for count, variant in lots]
        rest.append(sum(count * (body.share("joints") + body.share("drops")) for count, body in bodies))
        for part in grams:
            metres = sum(count * _beaded_m(variant, part) for count, variant in lots)
            columns[f"{part}_solder_g_m"].append(metres)
            grams[part] += sum(count * body.share(part) for count, body in bodies)
    if not batches:
        return None
    rates = []
    for part, whole in grams.items():
        metres = sum(columns[f"{part}_solder_g_m"])
        given = getattr(making, f"{part}_solder_g_m")
        rates.append(Rate(f"{part}_solder_g_m", given if given is not None else exact(whole / (metres or 1.0), 2)))
    study = Study("spools", ("making",), rows[making.solder].title, tuple(rates), tuple(batches), tuple(taken))
    return _studied(study, columns, rest)


def _beaded_m(variant: VariantCalculation, part: str) -> float:
    """Give the metres of bead of an item; of the seams of parts in space, the metres of flat seam that take as much."""
    if part == "seam" and variant.made.corner_g_m is not None and variant.made.bead.seam_g_m:
        return variant.suspension.body.share("seam") / variant.made.bead.seam_g_m
    return float(variant.measures.of(f"{part}_m"))


def _studied(study: Study, columns: Mapping[str, Sequence[float]], rest: Sequence[float]) -> Study:
    """Fit a study's rates as far as the log allows. ``rest`` is what each batch takes whatever the rates are."""
    keys = tuple(key for key, column in columns.items() if any(column))
    used = [columns[key] for key in keys]
    target = [amount - known for amount, known in zip(study.taken, rest, strict=True)]
    more_batches = max(1 if len(target) < 2 else 0, len(keys) + SPARE - len(target))
    now = [
        _product([float(rate.now) for rate in study.rates], [columns[rate.key][row] for rate in study.rates])
        for row in range(len(target))
    ]
    standing = tuple(whole + known for whole, known in zip(now, rest, strict=True))
    study = replace(study, standing=standing, more_batches=more_batches, open=keys if more_batches else ())
    if keys and not more_batches:
        if condition(used) > MOST_CONDITION:
            study = replace(study, more_batches=1, open=tuple(keys[place] for place in collinear(used)))
        else:
            fitted = fit(used, target)
            study = _settled(study, keys, fitted)
            if study.way == "apart":
                whole = [_product(fitted.rates, [column[row] for column in used]) for row in range(len(target))]
                return _explained(study, fitted, whole, rest)
    if len(target) < 2 or not any(now):
        return replace(study, expected=standing)
    # Rates that the log cannot settle one by one keep their proportions: one factor for all fits best.
    scaled = fit([now], target)
    factor, error = scaled.rates[0], scaled.errors[0]
    rates = tuple(
        replace(rate, used=float(rate.now) * factor, used_error=None if error is None else float(rate.now) * error)
        for rate in study.rates
    )
    return _explained(replace(study, rates=rates, way="together"), scaled, [factor * whole for whole in now], rest)


def _settled(study: Study, keys: Sequence[str], fitted: Fit) -> Study:
    """Enter the rates that were fitted apart, and use them so if none is open."""
    by_key = dict(zip(keys, zip(fitted.rates, fitted.errors, strict=True), strict=True))
    rates, loose, more_batches = [], [], 0
    for rate in study.rates:
        amount, error = by_key.get(rate.key, (None, None))
        rates.append(replace(rate, fitted=amount, fitted_error=error))
        size = max(amount or 0.0, float(rate.now))
        if rate.key not in by_key or not size:
            continue
        # A rate that the fit holds at 0 has no error of its own.
        doubt = size if error is None else error
        if doubt > MOST_DOUBT * size:
            loose.append(rate.key)
            # A standard error falls with the root of the number of batches.
            more_batches = max(more_batches, math.ceil(len(study.taken) * ((doubt / (MOST_DOUBT * size)) ** 2 - 1)))
    if loose:
        return replace(study, rates=tuple(rates), open=tuple(loose), more_batches=more_batches)
    rates = [replace(rate, used=rate.fitted, used_error=rate.fitted_error) for rate in rates]
    return replace(study, rates=tuple(rates), way="apart")


def _explained(study: Study, fitted: Fit, modelled: Sequence[float], rest: Sequence[float]) -> Study:
    """Enter what a fit gives; the share that it explains is always taken about the mean."""
    expected = tuple(whole + known for whole, known in zip(modelled, rest, strict=True))
    mean = sum(study.taken) / len(study.taken)
    left = sum((amount - whole) ** 2 for amount, whole in zip(study.taken, expected, strict=True))
    apart = sum((amount - mean) ** 2 for amount in study.taken)
    share = 1 - left / apart if apart else None
    return replace(study, expected=expected, spread=fitted.spread, explained=share)


def places(amount: float) -> int:
    """Give how many digits behind the point show three digits of an amount that count, at most four."""
    return max(0, min(4, 2 - math.floor(math.log10(amount)))) if amount > 0 else 2


def _product(rates: Sequence[float], amounts: Sequence[float]) -> float:
    return sum(rate * amount for rate, amount in zip(rates, amounts, strict=True))


def _repeated(log: BenchLog, variants: Variants) -> tuple[Repeated, ...]:
    """Find variants that were made alone in several batches, and fit Wright's curve to them."""
    timed: dict[str, dict[tuple[str, str], float]] = {}
    for timing in log.timings:
        timed.setdefault(timing.batch, {})[timing.finish, timing.step] = float(timing.minutes)
    alone: dict[Variant, list[str]] = {}
    for batch, lots in log.batches.items():
        if len(lots) == 1 and batch in timed:
            alone.setdefault(lots[0].variant, []).append(batch)
    repeated = []
    for variant in (variant for variant in variants if len(alone.get(variant, ())) >= LEAST_BATCHES):
        batches = alone[variant]
        steps = set.intersection(*(set(timed[batch]) for batch in batches))
        counts = tuple(log.batches[batch][0].count for batch in batches)
        minutes = tuple(sum(timed[batch][step] for step in sorted(steps)) for batch in batches)
        if steps:
            repeated.append(Repeated(variant, counts, minutes, curve_through(counts, minutes)))
    return tuple(repeated)
