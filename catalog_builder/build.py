"""The whole way: read -> size -> measure -> hang -> pack -> cost -> price -> picture -> publish.

Each stage takes plain values and gives plain values; none reaches back, and none reads a file that an
earlier one should have read. What takes long and has not changed comes from the cache of earlier builds.
"""

from __future__ import annotations

from datetime import date
from functools import partial
from pathlib import Path

from catalog_builder.cache.build_state import BuildSummary, snapshot_inputs, write_state
from catalog_builder.mistake import Mistakes
from catalog_builder.planning.takings import market_findings
from catalog_builder.pricing.agreement import agreement_findings
from catalog_builder.pricing.calculation import VariantCalculation, compared, listings_of
from catalog_builder.pricing.consistency import day_findings, price_findings
from catalog_builder.pricing.price_moves import book_findings, hold_findings, moves_from_book
from catalog_builder.pricing.ready_stock import ready_findings, with_ready_stock
from catalog_builder.pricing.reduced_prices import Reducer, with_reductions
from catalog_builder.pricing.set_calculation import calculate_sets, set_findings
from catalog_builder.pricing.shared_values import MANY, SharedValues, sharing_costs
from catalog_builder.publish.audiences import publish_audiences
from catalog_builder.publish.bench.bench_writer import BenchWriter
from catalog_builder.publish.cache_filling import fill_products
from catalog_builder.publish.output.publication import Together, output_lock, publish_together
from catalog_builder.publish.pictures.album import check_photos, photo_findings
from catalog_builder.publish.product_calculation import ProductCalculator
from catalog_builder.publish.sheets.printable import letter_findings
from catalog_builder.publish.studio_calculation import BuildCache, Progress, StudioCalculation
from catalog_builder.publish.studio_pictures import BeforePublishing, make_panels, make_pictures
from catalog_builder.publish.theme.caution_lines import with_studio_words
from catalog_builder.publish.theme.loading import Theme, read_theme
from catalog_builder.publish.theme.studio_look import with_studio_look
from catalog_builder.records.content import Content, read_content
from catalog_builder.records.selling.book_keeping import missing_end


def build(project: Path, day: date, workers: int, progress: Progress) -> BuildSummary:
    """Publish a project's catalogue, stall sheets and bench papers as of a day.

    Raises:
        MistakeError: with every mistake in the records; the last good output is unchanged.
        OutputError: the output cannot be written, or another build is at work in it.
    """
    return calculate_and_publish(project, day, workers, progress)[1]


def calculate_and_publish(
    project: Path,
    day: date,
    workers: int,
    progress: Progress,
    before_publishing: BeforePublishing = lambda *_: None,
) -> tuple[StudioCalculation, BuildSummary]:
    """Run every stage as ``build`` does, and give what was calculated too; ``before_publishing`` may still stop it."""
    inputs = snapshot_inputs(project)
    content, theme = read(project, day)
    with output_lock(project / "site_output"):
        cache = BuildCache.of(project)
        calculated, summary = make_everything(
            content, theme, cache, workers, progress, before_publishing=before_publishing
        )
        cache.inputs.remember()
        cache.store.clear_unused()
        write_state(project, day, inputs, summary)
    return calculated, summary


def make_everything(  # noqa: PLR0913 - what a whole build rests on
    content: Content,
    theme: Theme,
    cache: BuildCache,
    workers: int,
    progress: Progress,
    *,
    together: Together = publish_together,
    before_publishing: BeforePublishing = lambda *_: None,
) -> tuple[StudioCalculation, BuildSummary]:
    """Go from content that has been read to the audiences' folders; ``together`` puts these in place, or only tries.

    Raises:
        MistakeError: with every mistake of the patterns, the hardware, the prices and the photos.
        OutputError: the output cannot be written.
    """
    writer = BenchWriter(studio=content.studio, theme=theme, day=content.day)
    assembler = ProductCalculator.of(content, cache.store).assembler
    fill_products(content.products, assembler, writer, workers, partial(progress, "Measuring and drawing"))
    calculated = calculate_all(content, theme, progress, cache)
    pictures = make_pictures(calculated, workers, progress)
    before_publishing(calculated, pictures)
    panels = make_panels(calculated, workers, progress)
    return calculated, publish_audiences(calculated, pictures, panels, progress, together)


def calculate(project: Path, day: date, progress: Progress) -> StudioCalculation:
    """Run the stages up to prices; raises ``MistakeError`` as ``read`` and ``calculate_all`` do."""
    return calculate_all(*read(project, day), progress)


def read(project: Path, day: date) -> tuple[Content, Theme]:
    """Read a project's records and its theme.

    Raises:
        MistakeError: with every mistake in the records, or in the theme and the studio's own look.
    """
    content = read_content(project, day)
    keys = content.studio.studio
    theme = read_theme(project, keys.theme, keys.language, content.studio_source)
    theme = with_studio_look(theme, content.studio.look, project, content.studio_source)
    return content, with_studio_words(theme, content.studio)


def calculate_all(
    content: Content, theme: Theme, progress: Progress, cache: BuildCache | None = None
) -> StudioCalculation:
    """Calculate every variant of content that has been read.

    Raises:
        MistakeError: with every mistake of the patterns, the hardware and the prices.
    """
    cache, studio, materials = cache or BuildCache.of(content.project), content.studio, content.materials
    calculator, variants = ProductCalculator.of(content, cache.store), list[VariantCalculation]()
    mistakes = Mistakes(check_photos([*content.products, *content.sets], cache.inputs, cache.store))
    findings = photo_findings(content.products, content.sets, studio.studio.show_pattern)
    shared = SharedValues() if len(content.products) >= MANY else None
    for count, product in enumerate(content.products, 1):
        with mistakes.collect():
            variants += sharing_costs(calculator.variants(product, findings), shared)
        progress("Pricing", count, len(content.products))
    mistakes.raise_if_any()
    variants = calculator.charged_by_layouts(content.plans, content.layouts, variants, findings)
    variants = with_ready_stock(content.ready, variants)
    moves = moves_from_book(studio, content.book, variants)
    findings += day_findings(materials, content.day)
    findings += price_findings(studio, [compared(variant) for variant in variants])
    findings += agreement_findings(studio, variants)
    findings += book_findings(content.book, studio, content.day, variants, moves)
    findings += missing_end(content.project, content.book)
    findings += hold_findings(content.products, content.day, variants, moves)
    variants = with_reductions(Reducer(studio, content.book, content.reductions), variants, content.day, findings)
    findings += letter_findings(content.printed_sources(), content.products, studio.studio.language, theme)
    findings += market_findings(studio.markets, content.market_book)
    findings += ready_findings(content.ready, variants)
    listings = listings_of(studio, materials.rows, variants)
    sets = calculate_sets(content.sets, studio, materials.rows, calculator.packer, variants, listings)
    findings += set_findings(studio, sets)
    reported = tuple(dict.fromkeys(findings))
    return StudioCalculation(content, theme, cache, tuple(variants), listings, moves, reported, sets)
