"""The studio's rates as its log has them: a page of the bench, and the same as lines for the terminal. Private."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from textwrap import wrap

from markupsafe import Markup

from catalog_builder.phrase import Number, Phrase, phrase
from catalog_builder.planning.estimated_rates import EstimatedRates, Repeated, Study, places
from catalog_builder.pricing.calculation import VariantCalculation
from catalog_builder.publish.bench.bench_writer import BenchWriter
from catalog_builder.publish.bench.plots.axis_words import AxisWords
from catalog_builder.publish.bench.plots.inline_svg import Caption
from catalog_builder.publish.bench.plots.kept_plots import KeptPlots
from catalog_builder.publish.bench.plots.plot import mark_key, plot_pairs
from catalog_builder.publish.output.folder import Folder
from catalog_builder.publish.theme.phrasing import Phrasing
from catalog_builder.publish.theme.wording import Wording
from catalog_builder.units import exact

PAGE = "rates.html"
# More batches than a maker would time to settle a rate.
MANY = 12


@dataclass(frozen=True, slots=True, kw_only=True)
class RateLine:
    """A rate in words: for what it is, as it is today, as least squares have it, as it would be used."""

    measure: str
    now: str
    fitted: str
    used: str


@dataclass(frozen=True, slots=True, kw_only=True)
class StudyPanel:
    """A step's rates in words, with its picture; ``name`` is what the command calls it."""

    name: str
    title: str
    summary: str
    lines: tuple[RateLine, ...]
    plot: Markup


@dataclass(frozen=True, slots=True, kw_only=True)
class RepeatedLine:
    """A variant that was made again and again, in words: minutes of one in each batch, and what the next may take."""

    title: str
    variant: str
    minutes: str
    outlook: str


def write_rates(
    estimated: EstimatedRates,
    calculations: Sequence[VariantCalculation],
    writer: BenchWriter,
    plots: KeptPlots,
    folder: Folder,
) -> None:
    """Write ``rates.html``."""
    labels, phrasing = writer.labels("rates"), writer.phrasing
    writer.write_page(
        folder,
        PAGE,
        PAGE,
        keys=((plots.draw(mark_key, 0), labels["expected"]), (plots.draw(mark_key, 1), labels["standing"])),
        panels=tuple(
            StudyPanel(
                name=study.name,
                title=study.title,
                summary=study_text(study, phrasing),
                lines=rate_lines(study, phrasing),
                plot=_plot(study, phrasing, plots),
            )
            for study in estimated.studies
        ),
        repeated=tuple(_repeated_line(repeated, calculations, phrasing) for repeated in estimated.repeated),
    )


def rates_text(estimated: EstimatedRates, names: Sequence[str], phrasing: Phrasing) -> Iterator[str]:
    """Give the rates as lines for a terminal, of the steps in ``names`` alone where there are any."""
    labels = phrasing.labels["rates"]
    heads = RateLine(measure="", now=labels["now"], fitted=labels["fitted"], used=labels["used"])
    for study in estimated.studies:
        if names and study.name not in names:
            continue
        yield f"{study.name}  ({study.title})"
        yield from wrap(study_text(study, phrasing), 96, initial_indent="  ", subsequent_indent="  ")
        for line in (heads, *rate_lines(study, phrasing)):
            yield f"    {line.measure:<28}{line.now:>10}{line.fitted:>18}{line.used:>18}".rstrip()
        yield ""


def rate_lines(study: Study, phrasing: Phrasing) -> tuple[RateLine, ...]:
    """Give a study's rates in words."""
    return tuple(
        RateLine(
            measure=phrasing.labels["rates"][f"per_{rate.key}"],
            now=phrasing.wording.number(rate.now, 4),
            fitted=_estimate(rate.fitted, rate.fitted_error, phrasing.wording),
            used=_estimate(rate.used, rate.used_error, phrasing.wording),
        )
        for rate in study.rates
    )


def _estimate(amount: float | None, error: float | None, wording: Wording) -> str:
    """Give an amount with its standard error, three digits of the larger one."""
    if amount is None:
        return "–"
    digits = places(max(amount, error or 0.0))
    doubt = "" if error is None else f" ± {wording.places(error, digits)}"
    return f"{wording.places(amount, digits)}{doubt}"


def _weighed(study: Study) -> bool:
    """Whether a study is of the solder, which is weighed; all others are timed."""
    return study.path == ("making",)


def study_text(study: Study, phrasing: Phrasing) -> str:
    """Say what the log shows of a study's rates, and what it would take to show more."""
    return " ".join(phrasing.say(sentence) for sentence in _sentences(study, phrasing))


def _sentences(study: Study, phrasing: Phrasing) -> Iterator[Phrase]:
    yield phrase("rates.weighed" if _weighed(study) else "rates.timed", count=len(study.batches))
    if study.way == "together":
        names = ", ".join(phrasing.labels["rates"][f"per_{key}"] for key in study.open)
        factor = next(
            (rate.used or 0.0) / float(rate.now) for rate in study.rates if rate.now and rate.used is not None
        )
        yield phrase("rates.together", names=names)
        yield phrase("rates.factor", factor=Number(exact(factor, 3), 3))
    else:
        yield phrase(f"rates.{study.way}")
    if study.more_batches > MANY:
        yield phrase("rates.too_many")
    elif study.more_batches:
        yield phrase("rates.wanted", count=study.more_batches)
    if study.spread is not None and study.explained is not None:
        yield phrase(
            "rates.miss",
            spread=Number(exact(study.spread, 1), 1),
            unit=phrase("rates.grams" if _weighed(study) else "rates.minutes"),
            share=phrasing.wording.percent(exact(study.explained, 6)),
        )


def _plot(study: Study, phrasing: Phrasing, plots: KeptPlots) -> Markup:
    labels = phrasing.labels["rates"]
    pairs = [list(zip(calculated, study.taken, strict=True)) for calculated in (study.expected, study.standing)]
    caption = Caption(
        name=f"rates-{study.name.replace('.', '-')}",
        title=phrasing.say(phrase("rates.plot_title", title=study.title)),
        text=phrasing.say(phrase("rates.plot_text", batches=", ".join(study.batches))),
    )
    words = labels["calculated"], labels["grams_weighed" if _weighed(study) else "minutes_timed"]
    return plots.draw(plot_pairs, pairs, words, AxisWords(wording=phrasing.wording, places=2), caption)


def _repeated_line(repeated: Repeated, calculations: Sequence[VariantCalculation], phrasing: Phrasing) -> RepeatedLine:
    """Say how a variant's minutes fell, and what as many again as last time may take by Wright's curve."""
    chosen = repeated.variant
    variant = next(
        variant
        for variant in calculations
        if (variant.product.slug, variant.size, variant.finish, variant.choice)
        == (chosen.product, chosen.size, chosen.finish, chosen.choice)
    )
    minutes_each = (minutes / count for minutes, count in zip(repeated.minutes, repeated.counts, strict=True))
    again = repeated.counts[-1]
    minutes = repeated.curve.of(sum(repeated.counts), again)
    outlook = phrase(
        "rates.curve" if repeated.curve.share < 1 else "rates.no_curve",
        share=phrasing.wording.percent(exact(repeated.curve.share, 4)),
        count=again,
        minutes=Number(exact(minutes, 0)),
        hours=Number(exact(minutes / 60, 1), 1),
    )
    return RepeatedLine(
        title=variant.product.keys.title,
        variant=variant.offer.words,
        minutes="; ".join(
            phrasing.say(phrase("rates.each", count=count, minutes=Number(exact(minutes, 1), 1)))
            for count, minutes in zip(repeated.counts, minutes_each, strict=True)
        ),
        outlook=phrasing.say(outlook),
    )
