"""A product calculated: size, measure, hang, pack, cost and price of each of its variants."""

from __future__ import annotations

from itertools import groupby

from catalog_builder.cache.store import Store
from catalog_builder.making.packing import pack
from catalog_builder.mistake import Finding, Mistakes
from catalog_builder.piece.assembly import Assembler
from catalog_builder.piece.hanging.advice import hanging_findings
from catalog_builder.piece.hanging.ring_advice import ring_findings
from catalog_builder.piece.standing.stance_advice import standing_findings
from catalog_builder.planning.kept_glass import KeptGlass
from catalog_builder.planning.plan_layout import PlanGlass, read_plan_glasses, read_shares
from catalog_builder.pricing.calculation import VariantCalculation
from catalog_builder.pricing.piece_counts import piece_counts
from catalog_builder.pricing.variant_pricer import VariantPricer
from catalog_builder.publish.studio_calculation import StudioCalculation
from catalog_builder.records.content import Content
from catalog_builder.records.naming import check_names
from catalog_builder.records.product import Product


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
            advise = hanging_findings if piece.suspension.stance is None else standing_findings
            findings += advise(product, piece.suspension, size)
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
    return charged_by_layouts(content, pricer, [*variants, *others], calculated.kept.store)[0][: len(variants)]


def charged_by_layouts(
    content: Content, pricer: VariantPricer, variants: list[VariantCalculation], store: Store
) -> tuple[list[VariantCalculation], list[PlanGlass]]:
    """Charge glass by the layouts of plans, once all variants are measured: they are for a whole batch's outlines."""
    making = content.studio.making
    kept_glass = KeptGlass(content.materials.rows, making.cutting_clearance_mm, store)
    glasses = read_plan_glasses(content.plans, content.layouts, kept_glass, variants)
    return pricer.with_layouts(variants, read_shares(glasses, making)), glasses


def pricer_of(content: Content) -> VariantPricer:
    """Give what prices all variants of a studio."""
    counts = piece_counts(content.plans, content.log.batches.values(), content.market_book.sales)
    return VariantPricer(content.studio, content.materials, content.book, content.day, bool(content.boxes), counts)
