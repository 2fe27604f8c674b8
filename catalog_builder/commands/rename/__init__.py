"""The command ``rename``: a name changed in every file that holds it, whole or not at all."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from contextlib import nullcontext
from dataclasses import replace
from datetime import date
from decimal import Decimal
from pathlib import Path

from catalog_builder.build import calculate, calculate_all, read
from catalog_builder.commands.check import try_content
from catalog_builder.commands.rename.asked_name import read_asked_name
from catalog_builder.commands.rename.content_copy import ContentCopy, not_written
from catalog_builder.commands.rename.edited_content import edit_content, keep_in_force
from catalog_builder.commands.rename.new_name import Kind, NewName
from catalog_builder.making.cutting_list import fingerprint
from catalog_builder.mistake import MistakeError
from catalog_builder.planning.kept_glass import KeptGlass
from catalog_builder.planning.plan_layout import read_plan_glass, read_plan_glasses
from catalog_builder.pricing.calculation import VariantCalculation
from catalog_builder.publish.output.publication import output_lock
from catalog_builder.publish.studio_calculation import BuildCache, Progress, StudioCalculation
from catalog_builder.records.selling.book_keeping import replacing_book
from catalog_builder.records.variant import Variant


def rename(
    project: Path, day: date, kind: Kind, names: Sequence[str], workers: int, progress: Progress
) -> tuple[str, ...]:
    """Change a name in every file of content/, and give lines that say what was done.

    ``names`` are the old one and the new one, of a size or a choice of glass after the product's name.

    Raises:
        MistakeError: the records have mistakes, the old name is not there, the new one cannot be used, or with it
            ``check`` would not pass or a price would change; nothing is changed.
        OutputError: a build is at work.
    """
    before = calculate(project, day, progress)
    name = read_asked_name(before.content, kind, names)
    copy = ContentCopy(project)
    with output_lock(project / "site_output"):
        try:
            copy.make()
            _edit(copy, before, name, progress)
            cache = BuildCache.of(project)
            after, _ = try_content(*read(copy.folder, day), cache, workers, progress)
            _check_prices(before.calculations, after.calculations, name)
            with replacing_book(project) if before.content.book.rows else nullcontext():
                copy.put_in_place()
        except OSError as fault:
            raise not_written(fault) from None
        finally:
            copy.clear()
    return tuple(_lines(name, sorted(set(copy.edited)), sum(len(variant.prices) for variant in after.calculations)))


def _edit(copy: ContentCopy, before: StudioCalculation, name: NewName, progress: Progress) -> None:
    """Change the name in the copy's files, and keep those layouts in force that are so now."""
    edit_content(copy, before.content.layouts, name, _codes(before.calculations, name))
    content, clearance = before.content, before.content.studio.making.cutting_clearance_mm
    kept_glass = KeptGlass(content.materials.rows, clearance, before.kept.store)
    glasses = read_plan_glasses(content.plans, content.layouts, kept_glass, before.calculations)
    plans = [glass.plan.name for glass in glasses if glass.layout is not None]
    if plans:
        copied, theme = read(copy.folder, content.day)
        after = calculate_all(copied, theme, progress, BuildCache.of(copy.project))
        new_glass = KeptGlass(copied.materials.rows, clearance)
        keep_in_force(
            copy,
            copied.layouts,
            {
                plan.name: fingerprint(read_plan_glass(plan, None, new_glass, after.calculations).glasses, clearance)
                for plan in copied.plans
                if plan.name in plans
            },
        )


def _codes(before: Sequence[VariantCalculation], name: NewName) -> dict[str, str]:
    """Give the code that each of today's variants will have."""
    codes = {}
    for variant in before:
        names = name.variant(_variant(variant))
        last = [names.choice] if len(variant.product.keys.glass) > 1 else []
        codes[variant.offer.sku] = "--".join(word for word in (names.product, names.size, names.finish, *last) if word)
    return codes


def _variant(variant: VariantCalculation) -> Variant:
    return Variant(variant.product.slug, variant.size, variant.finish, variant.choice)


def _check_prices(before: Sequence[VariantCalculation], after: Sequence[VariantCalculation], name: NewName) -> None:
    """Refuse a name with which a cost or a price would be another: two of one kind may be chosen by their names.

    Raises:
        MistakeError: with the first variant of which this is so.
    """
    new = {_variant(variant): variant for variant in after}
    for variant in before:
        expected = variant.cost.total, {name.of("channel", key): price for key, price in _printed(variant).items()}
        other = new.get(name.variant(_variant(variant)))
        if other is None or (other.cost.total, _printed(other)) != expected:
            raise MistakeError.at(
                replace(variant.product.source.place(), line=None, text=None),
                wrong=f"with the new name, the prices of {variant.offer.sku} would be others",
                expected="a new name alone changes no price",
                mend="choose another name, one that stands elsewhere in the order of letters",
            )


def _printed(variant: VariantCalculation) -> Mapping[str, Decimal]:
    return {channel: price.printed for channel, price in variant.prices.items()}


def _lines(name: NewName, edited: Sequence[str], prices: int) -> list[str]:
    lines = [f"Renamed {name.old} to {name.new} in {len(edited)} files:", *(f"  {path}" for path in edited)]
    lines.append(f"All {prices} prices are as they were.")
    if name.kind == "product":
        lines.append(f"Publish next: products/{name.old}.html then leads on to products/{name.new}.html.")
    return lines
