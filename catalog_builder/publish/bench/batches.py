"""The papers of every plan: a page, a shopping list and cut sheets. Private: they hold costs and suppliers."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal
from functools import partial

from catalog_builder.cache.store import Store, key_of
from catalog_builder.making.cutting_list import BatchGlass
from catalog_builder.making.glass_share import offcut_of
from catalog_builder.making.quantities import amount_of
from catalog_builder.phrase import Money, Number, phrase, quantity
from catalog_builder.planning.kept_glass import KeptGlass
from catalog_builder.planning.plan import PlannedBatch, plan_batch
from catalog_builder.planning.plan_layout import read_plan_glass
from catalog_builder.planning.shopping import Need
from catalog_builder.pricing.calculation import GlassCharge, VariantCalculation
from catalog_builder.publish.bench.bench_writer import BenchWriter
from catalog_builder.publish.bench.cut_sheet import MIRRORED, design_letters, sides_text, write_cut_sheets
from catalog_builder.publish.bench.frame_lines import bar_lines
from catalog_builder.publish.bench.paper_link import PaperLink
from catalog_builder.publish.output.folder import Folder
from catalog_builder.publish.output.workbook import Row, as_csv
from catalog_builder.publish.theme.phrasing import Phrasing
from catalog_builder.records.batch_plan import Plan
from catalog_builder.records.kept_layout import LaidSheet
from catalog_builder.records.planning_records import PlanningRecords
from catalog_builder.units import exact, rounded


@dataclass(frozen=True, slots=True, kw_only=True)
class MadeLine:
    """A variant of a plan. ``letter`` has those of its drawings; ``card`` and ``patterns`` are links."""

    letter: str
    title: str
    card: str
    variant: str
    count: str
    patterns: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class HoursLine:
    """A step's hours, in words."""

    title: str
    finish: str
    hands_on: str
    waiting: str


@dataclass(frozen=True, slots=True, kw_only=True)
class GlassLine:
    """A glass of a plan, in words. ``numbers`` are its pieces with their counts, by design."""

    title: str
    pieces: str
    cracked: str
    spares: str
    area: str
    sheets: str
    offcuts: str
    numbers: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class BuyLine:
    """A material to buy, in words."""

    title: str
    needed: str
    on_hand: str
    packs: str
    pack: str
    cost: str


@dataclass(frozen=True, slots=True, kw_only=True)
class BuyGroup:
    """What is bought from one supplier."""

    supplier: str
    rows: tuple[BuyLine, ...]
    total: str


def glass_note(charge: GlassCharge, phrasing: Phrasing) -> str:
    """Say which way a variant's glass is charged, and what the other would give."""
    share = charge.share
    return phrasing.say(
        phrase(
            "batch.by_layout" if share.adopted else "batch.by_boxes",
            boxes=Money(charge.by_boxes),
            layout=Money(charge.by_layout),
            title=share.title,
            day=share.laid_on,
        )
    )


def write_batches(batches: Sequence[PlannedBatch], writer: BenchWriter, folder: Folder) -> tuple[PaperLink, ...]:
    """Write a folder for each plan, and give the links to them."""
    links = []
    for batch in batches:
        plan = batch.glass.plan
        where = f"batches/{plan.name}"
        if batch.glass.layout is not None:
            write_cut_sheets(batch.glass, batch.glass.layout, writer, folder, f"{where}/cut_sheets.pdf")
        rows = list(shopping_rows(batch))
        folder.make(f"{where}/shopping.csv", key_of("table", rows), partial(as_csv, rows))
        _write_page(batch, writer, folder, f"{where}/index.html")
        links.append(PaperLink(title=plan.keys.title, href=f"{where}/index.html"))
    return tuple(links)


def plan_of(
    records: PlanningRecords, plan: Plan, calculations: Sequence[VariantCalculation], store: Store | None = None
) -> PlannedBatch:
    """Work out a plan as of the build's day."""
    kept_glass = KeptGlass(records.materials.rows, records.studio.making.cutting_clearance_mm, store)
    glass = read_plan_glass(plan, records.layouts.get(plan.name), kept_glass, calculations)
    return plan_batch(glass, records.studio, records.materials, records.stock, records.day)


def shopping_rows(batch: PlannedBatch) -> Iterator[Row]:
    """Give a row for each material of a plan, also where enough is on hand."""
    for need in batch.needs:
        yield {
            "supplier": need.material.supplier or "",
            "material": need.material.material,
            "title": need.material.title,
            "needed": rounded(need.needed, 3),
            "on_hand": rounded(need.on_hand, 3),
            "unit": need.material.unit,
            "packs": need.packs,
            "pack": f"{need.material.pack_size:g} {need.material.pack_unit}",
            "pack_price": need.pack_price,
            "cost": need.cost,
            "estimate": "yes" if need.estimated else "",
        }


def _write_page(batch: PlannedBatch, writer: BenchWriter, folder: Folder, name: str) -> None:
    keys = batch.glass.plan.keys
    writer.write_page(
        folder,
        name,
        "batch_plan.html",
        title=keys.title,
        subtitle=writer.say(
            "batch.subtitle", items=phrase("batch.items", count=batch.items), begins=keys.begins, ready_by=keys.ready_by
        ),
        cost=writer.wording.money(batch.cost),
        layout_text=_layout_text(batch, writer),
        laid=batch.glass.layout is not None,
        variants=tuple(_made_lines(batch, writer)),
        time_texts=tuple(_time_texts(batch, writer)),
        steps=tuple(
            HoursLine(
                title=step.title,
                finish=step.finish,
                hands_on=_tenths(step.hands_on / 60, writer),
                waiting=_tenths(step.waiting / 60, writer) if step.waiting else "",
            )
            for step in batch.steps
        ),
        hands_on=_tenths(batch.hands_on_hours, writer),
        waiting=_tenths(batch.waiting_hours, writer),
        glasses=tuple(_glass_lines(batch, writer)),
        bars=bar_lines(((variant.made.frame, each.count) for each, variant in batch.glass.ordered_variants), writer),
        groups=tuple(_buy_groups(batch, writer)),
        enough=tuple(_buy_line(need, writer) for need in batch.needs if not need.packs),
        shopping_note=writer.say("batch.shopping_note", day=writer.day),
    )


def _layout_text(batch: PlannedBatch, writer: BenchWriter) -> str:
    layout, plan = batch.glass.layout, batch.glass.plan
    if layout is None:
        return writer.say("batch.out_of_date" if batch.glass.out_of_date else "batch.not_laid", name=plan.name)
    charged = phrase("batch.charged_layout" if plan.keys.adopted else "batch.charged_boxes")
    return writer.say("batch.laid", day=layout.laid_on, charged=charged)


def _made_lines(batch: PlannedBatch, writer: BenchWriter) -> Iterator[MadeLine]:
    letters = design_letters(batch.glass)
    for ordered, variant in batch.glass.ordered_variants:
        designs = [(ordered.product.slug, ordered.size, part.name) for part in variant.made.parts]
        yield MadeLine(
            letter=" ".join(letters[design] for design in designs),
            title=variant.product.keys.title,
            card=f"../../cards/{variant.offer.sku}.html",
            variant=variant.offer.words,
            count=writer.phrasing.show(ordered.count),
            patterns=tuple(f"../../patterns/{'--'.join(word for word in design if word)}.pdf" for design in designs),
        )


def _time_texts(batch: PlannedBatch, writer: BenchWriter) -> Iterator[str]:
    keys = batch.glass.plan.keys
    if batch.days_left:
        begins = max(writer.day, keys.begins)
        yield writer.say("batch.days_left", count=batch.days_left, day=begins, hours=_hours(batch.hours_left))
    else:
        yield writer.say("batch.no_days_left", ready_by=keys.ready_by)
    needed, left = rounded(batch.hands_on_hours, 1), rounded(batch.hours_left, 1)
    if left >= needed:
        yield writer.say("batch.hours_over", needed=_hours(needed), over=_hours(left - needed))
    else:
        yield writer.say("batch.hours_short", needed=_hours(needed), short=_hours(needed - left))


def _hours(hours: Decimal) -> Number:
    return Number(hours, 1)


def _tenths(amount: Decimal, writer: BenchWriter) -> str:
    """Give a number with one digit behind the point, also where it is 0: figures in a column line up."""
    return writer.wording.places(float(amount), 1)


def _glass_lines(batch: PlannedBatch, writer: BenchWriter) -> Iterator[GlassLine]:
    plan_glass, show = batch.glass, writer.phrasing.show
    layout = plan_glass.layout
    laid_sheets = {glass.material: glass.sheets for glass in layout.glasses} if layout else {}
    letters = design_letters(plan_glass)
    for glass in plan_glass.glasses:
        sheets = laid_sheets.get(glass.material.material, ())
        offcuts = [offcut_of(sheet, writer.studio.making.offcut_mm) for sheet in sheets]
        yield GlassLine(
            title=glass.material.title,
            pieces=show(glass.count),
            cracked=_tenths(glass.cracked, writer),
            spares=show(glass.spares),
            area=_tenths(exact(glass.area_mm2 / 10_000), writer),
            sheets=_sheets_text(sheets, writer),
            offcuts="; ".join(sides_text(*offcut, writer.wording) for offcut in offcuts if offcut),
            numbers=tuple(_number_lines(glass, sheets, letters, writer)),
        )


def _sheets_text(sheets: Sequence[LaidSheet], writer: BenchWriter) -> str:
    offcuts = sum(sheet.offcut for sheet in sheets)
    counts = (("batch.whole_sheets", len(sheets) - offcuts), ("batch.offcuts_used", offcuts))
    return ", ".join(writer.say(key, count=count) for key, count in counts if count)


def _number_lines(
    glass: BatchGlass, sheets: Sequence[LaidSheet], letters: dict[tuple[str, str, str], str], writer: BenchWriter
) -> Iterator[str]:
    """Give a line for each design: its letter, and its pieces with their counts and how many are cut face down."""
    downs = Counter(piece.key for sheet in sheets for piece in sheet.pieces if piece.face_down)
    for design, letter in letters.items():
        counts = ", ".join(
            writer.say(
                "batch.piece_count_down" if downs[piece.key] else "batch.piece_count",
                number=f"{piece.key.number}{MIRRORED if piece.key.mirrored else ''}",
                count=piece.count + (piece.spares if downs[piece.key] else 0),
                down=downs[piece.key],
            )
            for piece in glass.pieces
            if piece.key.design == design
        )
        if counts:
            yield f"{letter}: {counts}" if letter else counts


def _buy_groups(batch: PlannedBatch, writer: BenchWriter) -> Iterator[BuyGroup]:
    bought = [need for need in batch.needs if need.packs]
    for supplier in sorted({need.material.supplier or "" for need in bought}):
        needs = [need for need in bought if (need.material.supplier or "") == supplier]
        yield BuyGroup(
            supplier=supplier or writer.labels("batch")["no_supplier"],
            rows=tuple(_buy_line(need, writer) for need in needs),
            total=writer.wording.money(sum((need.cost for need in needs), Decimal(0))),
        )


def _buy_line(need: Need, writer: BenchWriter) -> BuyLine:
    material, show = need.material, writer.phrasing.show
    needed = quantity(need.needed, material.unit, 1)
    amount = amount_of(material, material.pack_size, material.pack_unit)
    return BuyLine(
        title=material.title,
        needed=show(phrase("batch.estimate_text", amount=needed) if need.estimated else needed),
        on_hand=show(quantity(need.on_hand, material.unit, 1)) if need.on_hand else "",
        packs=show(need.packs),
        pack=show(phrase("batch.pack_text", amount=amount, price=Money(need.pack_price))),
        cost=writer.wording.money(need.cost),
    )
