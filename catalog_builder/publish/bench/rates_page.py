"""What the log teaches of the studio's rates: a page of the bench, and the same as lines for the terminal. Private."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal
from textwrap import wrap

from markupsafe import Markup

from catalog_builder.planning.estimated_rates import EstimatedRates, Repeated, Study, estimate_rates, places
from catalog_builder.pricing.calculation import VariantCalculation
from catalog_builder.publish.bench.bench_page import bench_page
from catalog_builder.publish.bench.inline_svg import Caption
from catalog_builder.publish.bench.plot import mark_key, plot_pairs
from catalog_builder.publish.output.folder import Folder
from catalog_builder.publish.theme.loading import Theme
from catalog_builder.publish.theme.wording import Wording
from catalog_builder.records.content import Content
from catalog_builder.units import exact

# More batches than a maker would time to settle a rate.
MANY = 12


@dataclass(frozen=True, slots=True)
class RateLine:
    """A rate in words: for what it is, as it stands, as least squares have it, as it would be used."""

    measure: str
    now: str
    fitted: str
    used: str


@dataclass(frozen=True, slots=True)
class StudyPanel:
    """A step's rates in words, with its picture; ``name`` is what the command calls it."""

    name: str
    title: str
    told: str
    lines: tuple[RateLine, ...]
    plot: Markup


@dataclass(frozen=True, slots=True)
class RepeatedLine:
    """A variant that was made again and again, in words: minutes of one in each batch, and what the next may take."""

    title: str
    variant: str
    minutes: str
    told: str


def write_rates(content: Content, calculations: Sequence[VariantCalculation], theme: Theme, folder: Folder) -> bool:
    """Write ``rates.html`` if anything was timed or weighed, and say whether it was."""
    learned = estimate_rates(content.studio, content.materials.rows, content.log, calculations)
    if not learned.studies:
        return False
    wording = Wording.of(content.studio.studio)
    labels = theme.labels["rates"]
    panels = tuple(
        StudyPanel(one.name, one.title, told(one, theme, wording), lines_of(one, theme, wording),
                   _plot(one, theme, wording))
        for one in learned.studies
    )  # fmt: skip
    page = bench_page(
        theme,
        content.studio.studio,
        "rates.html",
        keys=((mark_key(0), labels["expected"]), (mark_key(1), labels["standing"])),
        panels=panels,
        repeated=tuple(_repeated(one, calculations, theme, wording) for one in learned.repeated),
    )
    folder.write("rates.html", page)
    return True


def rates_text(learned: EstimatedRates, names: Sequence[str], theme: Theme, wording: Wording) -> Iterator[str]:
    """Give the rates as lines for a terminal, of the steps in ``names`` alone where there are any."""
    labels = theme.labels["rates"]
    for study in learned.studies:
        if names and study.name not in names:
            continue
        yield f"{study.name}  ({study.title})"
        yield from wrap(told(study, theme, wording), 96, initial_indent="  ", subsequent_indent="  ")
        heads = RateLine("", labels["now"], labels["fitted"], labels["used"])
        for line in (heads, *lines_of(study, theme, wording)):
            yield f"    {line.measure:<28}{line.now:>10}{line.fitted:>18}{line.used:>18}".rstrip()
        yield ""


def lines_of(study: Study, theme: Theme, wording: Wording) -> tuple[RateLine, ...]:
    """Give a study's rates in words."""
    return tuple(
        RateLine(
            theme.labels["rates"][f"per_{rate.key}"],
            wording.number(rate.now, 4),
            _sure(rate.fitted, rate.fitted_error, wording),
            _sure(rate.used, rate.used_error, wording),
        )
        for rate in study.rates
    )


def _sure(amount: float | None, error: float | None, wording: Wording) -> str:
    if amount is None:
        return "–"
    digits = places(max(amount, error or 0.0))
    doubt = "" if error is None else f" ± {wording.places(error, digits)}"
    return f"{wording.places(amount, digits)}{doubt}"


def told(study: Study, theme: Theme, wording: Wording) -> str:
    """Say what the log can tell of a study's rates, and what it would take to tell more."""
    labels = theme.labels["rates"]
    weighed = study.path == ("making",)
    count = theme.words("rates", ("weighed" if weighed else "timed") + ("_one" if len(study.batches) == 1 else ""),
                        count=len(study.batches))  # fmt: skip
    unit = labels["grams" if weighed else "minutes"]
    miss = ""
    if study.spread is not None and study.explained is not None:
        spread, share = wording.number(exact(study.spread, 1), 1), wording.percent(exact(study.explained, 6))
        miss = theme.words("rates", "miss", spread=spread, unit=unit, share=share)
    names = ", ".join(labels[f"per_{key}"] for key in study.open)
    sentences = [count]
    if study.way == "together":
        one = next(rate for rate in study.rates if rate.now and rate.used is not None)
        factor = wording.number(exact((one.used or 0.0) / float(one.now), 3), 3)
        sentences += [theme.words("rates", "together", names=names), theme.words("rates", "factor", factor=factor)]
    else:
        sentences.append(labels[study.way])
    if study.wanted:
        sentences.append(theme.words("rates", "many" if study.wanted > MANY else "wanted" if study.wanted > 1 else
                                     "wanted_one", count=study.wanted))  # fmt: skip
    return " ".join(one for one in (*sentences, miss) if one)


def _plot(study: Study, theme: Theme, wording: Wording) -> Markup:
    labels = theme.labels["rates"]
    weighed = study.path == ("making",)
    pairs = [list(zip(calculated, study.taken, strict=True)) for calculated in (study.expected, study.standing)]
    caption = Caption(
        f"rates-{study.name.replace('.', '-')}",
        theme.words("rates", "plot_title", title=study.title),
        theme.words("rates", "plot_text", batches=", ".join(study.batches)),
    )
    words = labels["reckoned"], labels["grams_weighed" if weighed else "minutes_timed"]
    return plot_pairs(pairs, words, lambda amount: wording.number(exact(amount, 2), 2), caption)


def _repeated(
    one: Repeated, calculations: Sequence[VariantCalculation], theme: Theme, wording: Wording
) -> RepeatedLine:
    """Say how a variant's minutes fell, and what as many again as last time may take by Wright's curve."""
    variant = one.variant
    found = next(
        each
        for each in calculations
        if (each.product.slug, each.size, each.finish, each.choice)
        == (variant.product, variant.size, variant.finish, variant.choice)
    )
    each = [exact(minutes / count, 1) for minutes, count in zip(one.minutes, one.counts, strict=True)]
    again = one.counts[-1]
    following = one.curve.of(sum(one.counts), again)
    words = theme.words(
        "rates", "curve" if one.curve.share < 1 else "no_curve",
        share=wording.percent(exact(one.curve.share, 4)), count=again,
        minutes=wording.number(exact(following, 0), 0), hours=wording.number(exact(following / 60, 1), 1),
    )  # fmt: skip
    return RepeatedLine(
        found.product.keys.title,
        found.offer.words,
        "; ".join(
            theme.words("rates", "each", count=count, minutes=wording.number(Decimal(minutes), 1))
            for count, minutes in zip(one.counts, each, strict=True)
        ),
        words,
    )
