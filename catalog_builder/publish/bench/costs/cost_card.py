"""A cost card: all that a variant takes, costs, earns, weighs and how it hangs, on a page. Private."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from functools import partial

from markupsafe import Markup

from catalog_builder.cache.store import Store, key_of
from catalog_builder.phrase import Money, Number, Phrase, Quantity, phrase
from catalog_builder.pricing.calculation import VariantCalculation
from catalog_builder.pricing.cost import CostLine
from catalog_builder.publish.bench.batches import glass_note
from catalog_builder.publish.bench.bench_writer import STYLE, BenchWriter
from catalog_builder.publish.bench.costs.cost_shares import shares
from catalog_builder.publish.bench.costs.parcel_lines import parcel_note
from catalog_builder.publish.bench.costs.price_notes import price_notes
from catalog_builder.publish.bench.frame_lines import frame_notes
from catalog_builder.publish.drawn_models import kept_view, view_key
from catalog_builder.publish.output.folder import Folder
from catalog_builder.publish.theme.phrasing import Phrasing
from catalog_builder.publish.theme.wording import Wording
from catalog_builder.publish.weighing import weight_notes, weight_rows
from catalog_builder.records.material import Material
from catalog_builder.records.studio import Studio

GROUPS = ("glass", "foil", "solder", "wire", "frame", "hanging", "consumables", "packing", "labour", "overhead")


@dataclass(frozen=True, slots=True, kw_only=True)
class CardLine:
    """A line of a cost card, in words."""

    name: str
    quantity: str
    unit_price: str
    source: str
    amount: str


@dataclass(frozen=True, slots=True, kw_only=True)
class CardGroup:
    """Lines of one kind with their heading."""

    heading: str
    rows: tuple[CardLine, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class StepLine:
    """A step's minutes, what they cost, and how they were calculated."""

    name: str
    minutes: str
    formula: str
    amount: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ChannelLine:
    """What a channel's price leaves."""

    title: str
    price: str
    kept: str
    margin: str
    hour: str
    floor: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Parcels:
    """Whether the studio keeps a table of boxes, and one of postage."""

    boxes: bool
    postage: bool


def write_cards(
    variants: Sequence[VariantCalculation],
    materials: Mapping[str, Material],
    parcels: Parcels,
    writer: BenchWriter,
    store: Store,
    folder: Folder,
) -> None:
    """Write every variant's card.

    There may be thousands of cards, and to word one takes longer than to look at its figures: so a card is known by
    what it is worded from, the whole variant, not by the words that its template is handed.
    """
    shared = key_of("card", writer.theme.key, writer.studio, parcels)
    words = {variant.offer.sku: variant.offer.words for variant in variants}
    for variant in variants:
        prices = tuple(price_notes(variant, words, writer.studio))
        hanging = view_key(variant.assembled, writer.phrasing, writer.theme.key)
        store.use("views", hanging)
        make = partial(_drawn_card, variant, materials, parcels, prices, writer, store)
        folder.make(f"cards/{variant.offer.sku}.html", key_of(shared, hanging, prices, variant), make)


def _drawn_card(
    variant: VariantCalculation,
    materials: Mapping[str, Material],
    parcels: Parcels,
    prices: Sequence[Phrase],
    writer: BenchWriter,
    store: Store,
) -> str:
    hanging = kept_view(variant.product, variant.assembled, writer.phrasing, writer.theme.key, store)
    return card_page(variant, materials, parcels, hanging, prices, writer)


def card_page(
    variant: VariantCalculation,
    materials: Mapping[str, Material],
    parcels: Parcels,
    hanging: str,
    prices: Sequence[Phrase],
    writer: BenchWriter,
) -> str:
    """Fill a variant's card; ``hanging`` is the drawing of how it hangs, as SVG, ``prices`` what is said of prices."""
    wording, suspension = writer.wording, variant.suspension
    return writer.page(
        "cost_card.html",
        f"../{STYLE}",
        title=variant.product.keys.title,
        variant=variant.offer.words,
        groups=tuple(card_groups(variant, writer.phrasing, sum_bench_time=True)),
        total=wording.money(variant.cost.total),
        shares=shares(variant.cost, GROUPS, writer.phrasing),
        steps=tuple(_steps(variant, writer.phrasing)),
        channels=channel_lines(variant, writer.studio, wording),
        prices=tuple(map(writer.phrasing.say, prices)),
        notes=tuple(_notes(variant, parcels, writer)),
        weights=weight_rows(materials, variant.made, suspension, writer.phrasing),
        weight=wording.fine_mass(suspension.mass_g),
        weight_notes=tuple(weight_notes(writer.studio.hanging, variant.made, suspension, writer.phrasing)),
        hanging=Markup(hanging),  # noqa: S704 - drawn by this program
        stands=suspension.stance is not None,
    )


def card_groups(
    variant: VariantCalculation, phrasing: Phrasing, *, sum_bench_time: bool = False
) -> Iterator[CardGroup]:
    """Give the lines of a cost card in their groups; all bench time in a line where its steps have their own table."""
    for group in GROUPS:
        lines = [line for line in variant.cost.lines if line.group == group]
        if lines and group == "labour" and sum_bench_time:
            rows = [_bench_time(variant, lines, phrasing)]
        else:
            rows = [_line(line, phrasing) for line in lines]
        if rows:
            yield CardGroup(heading=phrasing.labels["groups"][group], rows=tuple(rows))


def _bench_time(variant: VariantCalculation, lines: Sequence[CostLine], phrasing: Phrasing) -> CardLine:
    minutes = sum((line.quantity for line in lines), Decimal(0))
    return replace(
        _line(replace(lines[0], quantity=minutes), phrasing),
        name=phrasing.labels["bench"]["steps"],
        source="; ".join(phrasing.show(part) for part in (lines[0].pack, lines[0].source)),
        amount=phrasing.wording.money(variant.cost.of("labour")),
    )


def _steps(variant: VariantCalculation, phrasing: Phrasing) -> Iterator[StepLine]:
    amounts = {line.key: line.amount for line in variant.cost.lines if line.group == "labour"}
    for time in variant.times:
        if not (time.minutes or time.waiting):
            continue
        yield StepLine(
            name=time.title,
            minutes=phrasing.wording.number(time.minutes, 1),
            formula=phrasing.show(time.basis),
            amount=phrasing.wording.money(amounts.get(f"step:{time.name}", Decimal(0))),
        )


def _line(line: CostLine, phrasing: Phrasing) -> CardLine:
    show = phrasing.show
    price, symbol = Money(line.unit_price, fine=True), phrasing.wording.symbol(line.unit)
    if line.unit == "min":
        # Time is paid by the hour.
        price, symbol = Money(line.unit_price * 60), phrasing.wording.symbol("h")
    return CardLine(
        name=show(line.name),
        quantity=show(Quantity(line.quantity, line.unit, 3)),
        unit_price=show(phrase("bench.price_per", price=price, unit=symbol) if symbol else price),
        source="; ".join(show(part) for part in (line.pack, line.source, line.basis)),
        amount=phrasing.wording.money(line.amount),
    )


def channel_lines(variant: VariantCalculation, studio: Studio, wording: Wording) -> tuple[ChannelLine, ...]:
    """Give what each channel's price leaves."""
    return tuple(
        ChannelLine(
            title=channel.title,
            price=wording.money(variant.prices[name].printed),
            kept=wording.money(variant.earnings[name].left_after_fees),
            margin=wording.percent(variant.earnings[name].margin),
            hour=wording.money(variant.earnings[name].an_hour),
            floor=wording.money(variant.earnings[name].floor),
        )
        for name, channel in studio.channels.items()
    )


def _notes(variant: VariantCalculation, parcels: Parcels, writer: BenchWriter) -> Iterator[str]:
    yield writer.say(
        "bench.measured",
        pieces=phrase("bench.pieces", count=variant.made.pieces),
        seam=Number(variant.measures.seam_m, 2),
        rim=Number(variant.measures.rim_m, 2),
        joints=phrase("bench.joints", count=variant.made.joints),
    )
    yield from frame_notes(variant.made.frame, writer)
    if parcels.boxes:
        yield parcel_note(variant.packed, parcels.postage, writer)
    yield writer.say("bench.waiting", minutes=Number(variant.cost.waiting))
    if variant.glass is not None:
        yield glass_note(variant.glass, writer.phrasing)
