"""The whole way: read -> size -> measure -> hang -> pack -> cost -> price -> picture -> publish.

Each stage takes plain values and gives plain values; none reaches back, and none reads a file that an
earlier one should have read. What takes long and has not changed comes from the cache of earlier builds.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from functools import partial
from itertools import groupby
from pathlib import Path

from catalog_builder.cache.build_state import BuildSummary, snapshot_inputs, write_state
from catalog_builder.making.packing import pack
from catalog_builder.mistake import Finding, Mistakes
from catalog_builder.piece.assembly import Assembler
from catalog_builder.piece.hanging.advice import hanging_findings
from catalog_builder.piece.hanging.ring_advice import ring_findings
from catalog_builder.planning.plan_layout import PlanGlass, layout_findings, read_plan_glasses, read_shares
from catalog_builder.planning.takings import market_findings
from catalog_builder.pricing.agreement import agreement_findings
from catalog_builder.pricing.calculation import VariantCalculation, compared, listings_of
from catalog_builder.pricing.consistency import day_findings, price_findings
from catalog_builder.pricing.piece_counts import piece_counts
from catalog_builder.pricing.price_moves import book_findings, hold_findings, moves_from_book
from catalog_builder.pricing.ready_stock import ready_findings, with_ready_stock
from catalog_builder.pricing.reduced_prices import Reducer, with_reductions
from catalog_builder.pricing.set_calculation import calculate_sets, set_findings
from catalog_builder.pricing.variant_pricer import VariantPricer
from catalog_builder.publish.audiences import publish_audiences
from catalog_builder.publish.cache_filling import fill_products
from catalog_builder.publish.output.publication import output_lock
from catalog_builder.publish.pictures.album import check_photos, photo_findings
from catalog_builder.publish.sheets.printable import letter_findings
from catalog_builder.publish.studio_calculation import BuildCache, Progress, StudioCalculation
from catalog_builder.publish.studio_pictures import make_pictures
from catalog_builder.publish.theme.caution_lines import with_studio_words
from catalog_builder.publish.theme.loading import Theme, read_theme
from catalog_builder.records.content import Content, read_content
from catalog_builder.records.naming import check_names
from catalog_builder.records.product import Product
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
    before_publishing: Callable[[StudioCalculation], None] = lambda _: None,
) -> tuple[StudioCalculation, BuildSummary]:
    """Go the whole way as ``build``, and give what was calculated too; ``before_publishing`` may still stop it."""
    inputs = snapshot_inputs(project)
    content, theme = read(project, day)
    with output_lock(project / "site_output"):
        cache = BuildCache.of(project)
        fill_products(content, theme, cache.store, workers, partial(progress, "Measuring and drawing"))
        calculated = calculate_all(content, theme, progress, cache)
        before_publishing(calculated)
        pictures, panels = make_pictures(calculated, workers, progress)
        summary = publish_audiences(calculated, pictures, panels, progress)
        cache.inputs.remember()
        cache.store.clear_unused()
        write_state(project, day, inputs, summary)
    return calculated, summary


def calculate(project: Path, day: date, progress: Progress) -> StudioCalculation:
    """Go the whole way up to prices; raises ``MistakeError`` as ``read`` and ``calculate_all`` do."""
    return calculate_all(*read(project, day), progress)


def read(project: Path, day: date) -> tuple[Content, Theme]:
    """Read a project's records and its theme.

    Raises:
        MistakeError: with every mistake in the records.
    """
    content = read_content(project, day)
    keys = content.studio.studio
    theme = read_theme(project, keys.theme, keys.language, content.studio_source)
    return content, with_studio_words(theme, content.studio)


def calculate_all(
    content: Content, theme: Theme, progress: Progress, cache: BuildCache | None = None
) -> StudioCalculation:
    """Calculate every variant of content that has been read.

    Raises:
        MistakeError: with every mistake of the patterns, the hardware and the prices.
    """
    cache, studio, materials = cache or BuildCache.of(content.project), content.studio, content.materials
    assembler = Assembler(materials, studio.making, studio.hanging, content.day, cache.store)
    mistakes = Mistakes(check_photos([*content.products, *content.sets], cache.inputs, cache.store))
    findings = photo_findings([*content.products, *content.sets])
    variants, pricer = list[VariantCalculation](), pricer_of(content)
    for count, product in enumerate(content.products, 1):
        with mistakes.collect():
            variants += calculate_variants(content, product, assembler, pricer, findings)
        progress("Pricing", count, len(content.products))
    mistakes.raise_if_any()
    variants, glasses = _charged_by_layouts(content, pricer, variants)
    variants = with_ready_stock(content.ready, variants)
    moves = moves_from_book(studio, content.book, variants)
    findings += layout_findings(glasses)
    findings += day_findings(materials, content.day)
    findings += price_findings(studio, [compared(variant) for variant in variants])
    findings += agreement_findings(studio, variants)
    findings += book_findings(content.book, studio, content.day, variants, moves)
    findings += missing_end(content.project, content.book)
    findings += hold_findings(content.products, content.day, variants, moves)
    variants = with_reductions(Reducer(studio, content.book, content.reductions), variants, content.day, findings)
    findings += letter_findings(content, theme)
    findings += market_findings(studio.markets, content.market_book)
    findings += ready_findings(content.ready, variants)
    listings = listings_of(studio, materials.rows, variants)
    sets = calculate_sets(content, variants, listings)
    findings += set_findings(studio, sets)
    told = tuple(dict.fromkeys(findings))
    return StudioCalculation(content, theme, cache, tuple(variants), listings, moves, told, sets)


def calculate_variants(
    content: Content, product: Product, assembler: Assembler, pricer: VariantPricer, findings: list[Finding]
) -> list[VariantCalculation]:
    """Calculate every variant of a product, adding what the maker should know to ``findings``.

    Raises:
        MistakeError: with the mistakes of its drawing, its hardware or its prices.
    """
    costed, studio = [], content.studio
    room = studio.parcel.coil_mm, studio.making.rim_height_mm
    assembly = assembler.assemble(product)  # size, measure, hang
    for size, pieces in groupby(assembly.pieces, lambda piece: piece.size):
        findings += assembly.findings[size]
        for piece in pieces:
            findings += hanging_findings(product, piece.suspension, size)
            packed, packing_findings = pack(content.boxes, content.postage, *room, product, piece.suspension)  # pack
            findings += packing_findings
            costed += [pricer.cost(product, piece, finish, packed) for finish in product.keys.finishes]  # cost
    heaviest = assembly.heaviest
    findings += ring_findings(product, heaviest.suspension, assembly.rings, heaviest.size)
    return pricer.price(product, costed)  # price


def calculate_product(calculated: StudioCalculation, product: Product) -> list[VariantCalculation]:
    """Calculate a product as the whole build would, if its record were other than it is.

    Raises:
        MistakeError: with the mistakes of its record, its drawing, its hardware or its prices.
    """
    content, mistakes = calculated.content, Mistakes()
    check_names(product, content.studio, content.materials, mistakes)
    mistakes.raise_if_any()
    making, hanging = content.studio.making, content.studio.hanging
    assembler, pricer = (
        Assembler(content.materials, making, hanging, content.day, calculated.kept.store),
        pricer_of(content),
    )
    variants = calculate_variants(content, product, assembler, pricer, [])
    others = [variant for variant in calculated.calculations if variant.product.slug != product.slug]
    return _charged_by_layouts(content, pricer, [*variants, *others])[0][: len(variants)]


def _charged_by_layouts(
    content: Content, pricer: VariantPricer, variants: list[VariantCalculation]
) -> tuple[list[VariantCalculation], list[PlanGlass]]:
    """Charge glass by the layouts of plans, once all variants are measured: they are for a whole batch's outlines."""
    making = content.studio.making
    glasses = read_plan_glasses(content.plans, content.layouts, content.materials.rows, making, variants)
    return pricer.with_layouts(variants, read_shares(glasses, making)), glasses


def pricer_of(content: Content) -> VariantPricer:
    """Give what prices all variants of a studio."""
    counts = piece_counts(content)
    return VariantPricer(content.studio, content.materials, content.book, content.day, bool(content.boxes), counts)
