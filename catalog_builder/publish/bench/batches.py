"""The papers of every plan: a page, a shopping list and cut sheets. Private: they hold costs and suppliers."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal

from babel.numbers import format_decimal

from catalog_builder.making.cutting_list import BatchGlass
from catalog_builder.making.glass_share import offcut_of
from catalog_builder.planning.plan import PlannedBatch, plan_batch
from catalog_builder.planning.plan_layout import read_plan_glass
from catalog_builder.planning.shopping import Need
from catalog_builder.pricing.calculation import GlassCharge, VariantCalculation
from catalog_builder.publish.bench.bench_page import STYLE, bench_page
from catalog_builder.publish.bench.cut_sheet import MIRRORED, cut_sheets, design_letters
from catalog_builder.publish.output.folder import Folder
from catalog_builder.publish.output.workbook import Row, as_csv
from catalog_builder.publish.theme.loading import Theme
from catalog_builder.publish.theme.wording import Wording
from catalog_builder.records.batch_plan import Plan
from catalog_builder.records.content import Content
from catalog_builder.records.kept_layout import LaidSheet
from catalog_builder.units import exact, rounded

UNITS = {"each": "", "dm2": " dm²"}


@dataclass(frozen=True, slots=True)
class BatchLink:
    """A plan in the list of the bench's papers."""

    title: str
    href: str


@dataclass(frozen=True, slots=True)
class MadeLine:
    """A variant of a plan."""

    letter: str
    title: str
    card: str
    variant: str
    count: str
    patterns: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class HoursLine:
    """A step's hours, worded."""

    title: str
    finish: str
    hands_on: str
    waiting: str


@dataclass(frozen=True, slots=True)
class GlassLine:
    """A glass of a plan, worded. ``numbers`` are its pieces with their counts, by design."""

    title: str
    pieces: str
    cracked: str
    spares: str
    area: str
    sheets: str
    offcuts: str
    numbers: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class BuyLine:
    """A material to buy, worded."""

    title: str
    needed: str
    on_hand: str
    packs: str
    pack: str
    cost: str


@dataclass(frozen=True, slots=True)
class BuyGroup:
    """What is bought from one supplier."""

    supplier: str
    rows: tuple[BuyLine, ...]
    total: str


def glass_note(glass: GlassCharge, theme: Theme, wording: Wording) -> str:
    """Say which way a variant's glass is charged, and what the other would give."""
    share = glass.share
    return theme.words(
        "batch",
        "by_layout" if share.adopted else "by_boxes",
        boxes=wording.money(glass.by_boxes),
        layout=wording.money(glass.by_layout),
        title=share.title,
        day=wording.plain_day(share.laid_on),
    )


def write_batches(
    content: Content, calculations: Sequence[VariantCalculation], theme: Theme, folder: Folder
) -> tuple[BatchLink, ...]:
    """Write a folder for each plan, and give the links to them."""
    links = []
    for plan in content.plans:
        planned = plan_of(content, plan, calculations)
        where = f"batches/{plan.name}"
        if planned.found.layout is not None:
            folder.write(f"{where}/cut_sheets.pdf", cut_sheets(content, planned.found, theme))
        folder.write(f"{where}/shopping.csv", as_csv(list(shopping_rows(planned))))
        folder.write(f"{where}/index.html", _page(content, planned, theme))
        links.append(BatchLink(plan.keys.title, f"{where}/index.html"))
    return tuple(links)


def plan_of(content: Content, plan: Plan, calculations: Sequence[VariantCalculation]) -> PlannedBatch:
    """Work out a plan as of the build's day."""
    clearance, layout = content.studio.making.cutting_clearance_mm, content.layouts.get(plan.name)
    glass = read_plan_glass(plan, layout, content.materials.rows, clearance, calculations)
    return plan_batch(glass, content.studio, content.materials, content.stock, content.day)


def shopping_rows(planned: PlannedBatch) -> Iterator[Row]:
    """Give a row for each material of a plan, also where enough is on hand."""
    for need in planned.needs:
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


def _page(content: Content, planned: PlannedBatch, theme: Theme) -> str:
    wording, plan, found = Wording.of(content.studio.studio), planned.found.plan, planned.found
    return bench_page(
        theme,
        content.studio.studio,
        "batch_plan.html",
        f"../../{STYLE}",
        title=plan.keys.title,
        subtitle=theme.words(
            "batch",
            "subtitle",
            items=planned.items,
            begins=wording.plain_day(plan.keys.begins),
            ready_by=wording.plain_day(plan.keys.ready_by),
        ),
        cost=wording.money(planned.cost),
        layout_text=_layout_text(planned, theme, wording),
        laid=found.layout is not None,
        made=tuple(_made(planned)),
        time_texts=tuple(_time_texts(content, planned, theme, wording)),
        steps=tuple(HoursLine(one.title, one.finish, _hours(one.hands_on, wording), _wait(one.waiting, wording))
                    for one in planned.steps),
        hands_on=_tenths(planned.hands_on_hours, wording),
        waiting=_tenths(planned.waiting_hours, wording),
        glasses=tuple(_glasses(content, planned, theme, wording)),
        groups=tuple(_groups(planned, theme, wording)),
        enough=tuple(_buy(need, theme, wording) for need in planned.needs if not need.packs),
        shopping_note=theme.words("batch", "shopping_note", day=wording.plain_day(content.day)),
    )  # fmt: skip


def _layout_text(planned: PlannedBatch, theme: Theme, wording: Wording) -> str:
    found = planned.found
    if found.layout is None:
        return theme.words("batch", "out_of_date" if found.out_of_date else "not_laid", name=found.plan.name)
    charged = theme.labels["batch"]["charged_layout" if found.plan.keys.adopted else "charged_boxes"]
    return theme.words("batch", "laid", day=wording.plain_day(found.layout.laid_on), charged=charged)


def _made(planned: PlannedBatch) -> Iterator[MadeLine]:
    letters = design_letters(planned.found)
    for ordered, one in planned.found.wanted:
        designs = [(ordered.product.slug, ordered.size, part.name) for part in one.made.parts]
        yield MadeLine(
            " ".join(letters[design] for design in designs),
            one.product.keys.title,
            f"../../cards/{one.offer.sku}.html",
            one.offer.words,
            str(ordered.count),
            tuple(f"../../patterns/{'--'.join(word for word in design if word)}.pdf" for design in designs),
        )


def _time_texts(content: Content, planned: PlannedBatch, theme: Theme, wording: Wording) -> Iterator[str]:
    keys = planned.found.plan.keys
    if planned.days_left:
        yield theme.words(
            "batch",
            "days_left",
            days=planned.days_left,
            day=wording.plain_day(max(content.day, keys.begins)),
            hours=wording.number(planned.hours_left, 1),
        )
    else:
        yield theme.words("batch", "no_days_left", ready_by=wording.plain_day(keys.ready_by))
    needed, left = rounded(planned.hands_on_hours, 1), rounded(planned.hours_left, 1)
    over = wording.number(abs(left - needed), 1)
    word = "hours_over" if left >= needed else "hours_short"
    yield theme.words("batch", word, needed=wording.number(needed, 1), over=over, short=over)


def _hours(minutes: Decimal, wording: Wording) -> str:
    return _tenths(minutes / 60, wording)


def _tenths(amount: Decimal, wording: Wording) -> str:
    """Give a number with one digit behind the point, also where that is nothing: figures in a column line up."""
    return str(format_decimal(rounded(amount, 1), format="#,##0.0", locale=wording.locale))


def _wait(minutes: Decimal, wording: Wording) -> str:
    return _hours(minutes, wording) if minutes else ""


def _glasses(content: Content, planned: PlannedBatch, theme: Theme, wording: Wording) -> Iterator[GlassLine]:
    found = planned.found
    laid = {one.material: one.sheets for one in found.layout.glasses} if found.layout else {}
    letters = design_letters(found)
    for glass in found.glasses:
        sheets = laid.get(glass.material.material, ())
        kept = [one for sheet in sheets if (one := offcut_of(sheet, content.studio.making.offcut_mm))]
        yield GlassLine(
            glass.material.title,
            str(glass.count),
            _tenths(glass.cracked, wording),
            str(glass.spares),
            _tenths(exact(glass.area_mm2 / 10_000), wording),
            _sheets(sheets, theme),
            ", ".join(f"{width:.0f} × {height:.0f} mm" for width, height in kept),
            tuple(_numbers(glass, letters)),
        )


def _sheets(sheets: Sequence[LaidSheet], theme: Theme) -> str:
    offcuts = sum(sheet.offcut for sheet in sheets)
    counts = (("whole_sheets", len(sheets) - offcuts), ("offcuts_used", offcuts))
    return ", ".join(theme.words("batch", word, count=count) for word, count in counts if count)


def _numbers(glass: BatchGlass, letters: dict[tuple[str, str, str], str]) -> Iterator[str]:
    """Give a line for each design: its letter, and its pieces with their counts."""
    for design, mark in letters.items():
        pieces = [piece for piece in glass.pieces if piece.key.design == design]
        if pieces:
            listed = ", ".join(
                f"{piece.key.number}{MIRRORED if piece.key.mirrored else ''} ×\u00a0{piece.count}" for piece in pieces
            )
            yield f"{mark}: {listed}" if mark else listed


def _groups(planned: PlannedBatch, theme: Theme, wording: Wording) -> Iterator[BuyGroup]:
    bought = [need for need in planned.needs if need.packs]
    for supplier in sorted({need.material.supplier or "" for need in bought}):
        needs = [need for need in bought if (need.material.supplier or "") == supplier]
        total = sum((need.cost for need in needs), Decimal(0))
        yield BuyGroup(
            supplier or theme.labels["batch"]["no_supplier"],
            tuple(_buy(need, theme, wording) for need in needs),
            wording.money(total),
        )


def _buy(need: Need, theme: Theme, wording: Wording) -> BuyLine:
    material = need.material
    unit = UNITS.get(material.unit, f" {material.unit}")
    estimate = f" ({theme.labels['batch']['estimated']})" if need.estimated else ""
    return BuyLine(
        material.title,
        f"{wording.number(rounded(need.needed, 1), 1)}{unit}{estimate}",
        f"{wording.number(rounded(need.on_hand, 1), 1)}{unit}" if need.on_hand else "",
        str(need.packs),
        f"{wording.number(material.pack_size, 3)} {material.pack_unit}, {wording.money(need.pack_price)}",
        wording.money(need.cost),
    )
