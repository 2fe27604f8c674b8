"""A plan's glass, with its kept layout as long as that fits; and what the layouts charge."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from catalog_builder.making.cutting_list import BatchGlass, batch_glass, fingerprint
from catalog_builder.making.glass_share import GlassShare, read_share
from catalog_builder.making.sheet_layout import holds
from catalog_builder.mistake import Finding
from catalog_builder.pricing.calculation import VariantCalculation
from catalog_builder.records.batch_plan import Ordered, Plan
from catalog_builder.records.content import Content
from catalog_builder.records.kept_layout import KeptLayout
from catalog_builder.records.reading.toml import key_line

Wanted = tuple[tuple[Ordered, VariantCalculation], ...]


@dataclass(frozen=True, slots=True)
class PlanGlass:
    """The glass of a plan. ``layout`` is None where none is kept, or where it no longer fits (``out_of_date``)."""

    plan: Plan
    wanted: Wanted
    glasses: tuple[BatchGlass, ...]
    layout: KeptLayout | None
    out_of_date: bool


def read_plan_glass(content: Content, plan: Plan, calculations: Sequence[VariantCalculation]) -> PlanGlass:
    """Gather a plan's variants and glass, and hold its kept layout to them."""
    known = {(one.product.slug, one.size, one.finish, one.choice): one for one in calculations}
    wanted = tuple((ordered, known[ordered.chosen]) for ordered in plan.ordered)
    glasses = batch_glass(content.materials.rows, ((ordered, one.made) for ordered, one in wanted))
    layout, clearance = content.layouts.get(plan.name), content.studio.making.cutting_clearance_mm
    fits = (
        layout is not None
        and layout.fingerprint == fingerprint(glasses, clearance)
        and holds(layout, glasses, clearance)
    )
    return PlanGlass(plan, wanted, glasses, layout if fits else None, layout is not None and not fits)


def read_shares(
    content: Content, calculations: Sequence[VariantCalculation]
) -> tuple[Mapping[str, GlassShare], tuple[Finding, ...]]:
    """Give what the layouts charge each variant, by its code; and what stands in the way of those adopted.

    Of several layouts with a variant the adopted one counts, else the latest.
    """
    shares: dict[str, GlassShare] = {}
    findings: list[Finding] = []
    for plan in content.plans:
        found = read_plan_glass(content, plan, calculations)
        findings.extend(_told(found))
        if found.layout is None:
            continue
        offcut_mm = content.studio.making.offcut_mm
        share = read_share(plan.keys.title, plan.keys.adopted, found.layout, found.glasses, offcut_mm)
        for _, one in found.wanted:
            before = shares.get(one.offer.sku)
            if before is None or (before.adopted, before.laid_on) <= (share.adopted, share.laid_on):
                shares[one.offer.sku] = share
    return shares, tuple(findings)


def _told(found: PlanGlass) -> list[Finding]:
    """Say that a layout is out of date or missing. Then boxes are charged, so that a price never changes unseen."""
    plan = found.plan
    adopted = plan.keys.adopted
    place = plan.source.place(key_line(plan.source.text, ("adopted",)))
    if found.out_of_date:
        charged = "; glass is charged by boxes until it is laid again" if adopted else ""
        text = (
            f"the layout of {plan.name} is out of date: pieces, counts, sheets or the clearance have changed{charged}"
        )
        advice = f"run `catalog-builder batch {plan.name} --lay`"
        return [Finding(code="L01", place=place, text=text, advice=advice + _or_not(adopted))]
    if adopted and found.layout is None:
        text = f"the layout of {plan.name} is adopted, but none is kept; glass is charged by boxes"
        advice = f"run `catalog-builder batch {plan.name} --lay`"
        return [Finding(code="L02", place=place, text=text, advice=advice + _or_not(adopted))]
    return []


def _or_not(adopted: bool) -> str:
    return ", or write `adopted = false`" if adopted else ""
