"""A product calculated: size, measure, hang, pack, cost and price of each of its variants."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby

from catalog_builder.cache.store import Store
from catalog_builder.making.packing import Packer
from catalog_builder.mistake import Finding, Mistakes
from catalog_builder.piece.assembly import Assembler
from catalog_builder.piece.hanging.advice import hanging_findings
from catalog_builder.piece.hanging.ring_advice import ring_findings
from catalog_builder.piece.standing.stance_advice import standing_findings
from catalog_builder.planning.kept_glass import KeptGlass
from catalog_builder.planning.plan_layout import layout_findings, read_plan_glasses, read_shares
from catalog_builder.pricing.calculation import VariantCalculation
from catalog_builder.pricing.piece_counts import piece_counts
from catalog_builder.pricing.variant_pricer import VariantPricer
from catalog_builder.publish.studio_calculation import StudioCalculation
from catalog_builder.records.batch_plan import Plan
from catalog_builder.records.content import Content
from catalog_builder.records.kept_layout import KeptLayout
from catalog_builder.records.naming import check_names
from catalog_builder.records.product import Product


@dataclass(frozen=True, slots=True)
class ProductCalculator:
    """What calculates products: assembles, packs, costs and prices them, and reads the glass of plans."""

    assembler: Assembler
    packer: Packer
    pricer: VariantPricer
    kept_glass: KeptGlass

    @classmethod
    def of(cls, content: Content, store: Store) -> ProductCalculator:
        """Calculate by a studio's records, with what earlier builds left in the store."""
        studio, making = content.studio, content.studio.making
        counts = piece_counts(content.plans, content.log.batches.values(), content.market_book.sales)
        return cls(
            Assembler(content.materials, making, studio.hanging, content.day, store),
            Packer(content.boxes, content.postage, studio.parcel.coil_mm, making.rim_height_mm),
            VariantPricer(studio, content.materials, content.book, content.day, bool(content.boxes), counts),
            KeptGlass(content.materials.rows, making.cutting_clearance_mm, store),
        )

    def variants(self, product: Product, findings: list[Finding]) -> list[VariantCalculation]:
        """Calculate every variant of a product, adding what the maker should know to ``findings``.

        Raises:
            MistakeError: with the mistakes of its drawing, its hardware or its prices.
        """
        costed = []
        assembly = self.assembler.assemble(product)  # size, measure, hang
        for size, pieces in groupby(assembly.pieces, lambda piece: piece.size):
            findings += assembly.findings[size]
            for piece in pieces:
                advise = hanging_findings if piece.suspension.stance is None else standing_findings
                findings += advise(product, piece.suspension, size)
                packed, packing_findings = self.packer.pack(product, piece.suspension)  # pack
                findings += packing_findings
                costed += [self.pricer.cost(product, piece, finish, packed) for finish in product.keys.finishes]  # cost
        heaviest = assembly.heaviest
        findings += ring_findings(product, heaviest.suspension, assembly.rings, heaviest.size)
        return self.pricer.price(product, costed)  # price

    def charged_by_layouts(
        self,
        plans: Sequence[Plan],
        layouts: Mapping[str, KeptLayout],
        variants: list[VariantCalculation],
        findings: list[Finding],
    ) -> list[VariantCalculation]:
        """Charge glass by the layouts of plans, which are for whole batches, once all variants are measured."""
        glasses = read_plan_glasses(plans, layouts, self.kept_glass, variants)
        findings += layout_findings(glasses)
        return self.pricer.with_layouts(variants, read_shares(glasses, self.pricer.studio.making))


def calculate_product(calculated: StudioCalculation, product: Product) -> list[VariantCalculation]:
    """Calculate a product as the whole build would, if its record were other than it is.

    Raises:
        MistakeError: with the mistakes of its record, its drawing, its hardware or its prices.
    """
    content, mistakes = calculated.content, Mistakes()
    check_names(product, content.studio, content.materials, mistakes)
    mistakes.raise_if_any()
    calculator = ProductCalculator.of(content, calculated.kept.store)
    variants = calculator.variants(product, [])
    others = [variant for variant in calculated.calculations if variant.product.slug != product.slug]
    return calculator.charged_by_layouts(content.plans, content.layouts, [*variants, *others], [])[: len(variants)]
