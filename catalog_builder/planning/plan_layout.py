"""A plan's glass, with its kept layout as long as that fits; and what the layouts charge."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from catalog_builder.making.cutting_list import BatchGlass
from catalog_builder.making.glass_share import GlassShare, read_share
from catalog_builder.mistake import Finding
from catalog_builder.phrase import phrase
from catalog_builder.planning.kept_glass import KeptGlass
from catalog_builder.pricing.calculation import VariantCalculation
from catalog_builder.records.batch_plan import Ordered, Plan
from catalog_builder.records.kept_layout import KeptLayout
from catalog_builder.records.reading.toml import key_line
from catalog_builder.records.studio import Making

OrderedVariants = tuple[tuple[Ordered, VariantCalculation], ...]


@dataclass(frozen=True, slots=True)
class PlanGlass:
    """The glass of a plan. ``layout`` is None where none is kept, or where it no longer fits (``out_of_date``).

    ``key`` is that of all that the glass and the layout follow from.
    """

    plan: Plan
    ordered_variants: OrderedVariants
    glasses: tuple[BatchGlass, ...]
    layout: KeptLayout | None
    out_of_date: bool
    key: str


def read_plan_glasses(
    plans: Sequence[Plan],
    layouts: Mapping[str, KeptLayout],
    kept_glass: KeptGlass,
    calculations: Sequence[VariantCalculation],
) -> list[PlanGlass]:
    """Give the glass of every plan; ``layouts`` are those that are kept, by the plan's name."""
    return [read_plan_glass(plan, layouts.get(plan.name), kept_glass, calculations) for plan in plans]


def read_plan_glass(
    plan: Plan, layout: KeptLayout | None, kept_glass: KeptGlass, calculations: Sequence[VariantCalculation]
) -> PlanGlass:
    """Gather a plan's variants and glass, and check its kept layout against them."""
    by_names = {(each.product.slug, each.size, each.finish, each.choice): each for each in calculations}
    ordered_variants = tuple((ordered, by_names[ordered.chosen]) for ordered in plan.ordered)
    glass = kept_glass.read(ordered_variants, layout)
    fitting, out_of_date = layout if glass.fits else None, layout is not None and not glass.fits
    return PlanGlass(plan, ordered_variants, glass.glasses, fitting, out_of_date, glass.key)


def read_shares(glasses: Sequence[PlanGlass], making: Making) -> Mapping[str, GlassShare]:
    """Give what the layouts of plans charge each variant, by its code.

    Of several layouts with a variant the adopted one counts, else the latest.
    """
    shares: dict[str, GlassShare] = {}
    for glass in glasses:
        if glass.layout is None:
            continue
        keys = glass.plan.keys
        share = read_share(keys.title, keys.adopted, glass.layout, glass.glasses, making.offcut_mm)
        for _, variant in glass.ordered_variants:
            before = shares.get(variant.offer.sku)
            if before is None or (before.adopted, before.laid_on) <= (share.adopted, share.laid_on):
                shares[variant.offer.sku] = share
    return shares


def layout_findings(glasses: Sequence[PlanGlass]) -> Iterator[Finding]:
    """Find layouts that are out of date or missing. Boxes are charged then: a finding says why a price changed."""
    for glass in glasses:
        plan, adopted = glass.plan, glass.plan.keys.adopted
        if glass.out_of_date:
            code, key = "L01", "layout_out_of_date_adopted" if adopted else "layout_out_of_date"
        elif adopted and glass.layout is None:
            code, key = "L02", "layout_missing"
        else:
            continue
        yield Finding(
            code=code,
            place=plan.source.place(key_line(plan.source.text, ("adopted",))),
            text=phrase(f"findings_making.{key}", plan=plan.name),
            advice=phrase(f"findings_making.{'lay_or_not_adopt' if adopted else 'lay'}", plan=plan.name),
        )
