"""What moved, by how much and why: for the terminal, as a page, and as CSV. Private."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

from catalog_builder.phrase import Money, phrase
from catalog_builder.pricing.agreement import prices_hung
from catalog_builder.pricing.calculation import VariantCalculation
from catalog_builder.pricing.change import Cause
from catalog_builder.pricing.price_moves import PriceMove
from catalog_builder.publish.bench.bench_writer import STYLE, BenchWriter
from catalog_builder.publish.bench.costs.price_notes import hung_phrase
from catalog_builder.publish.output.folder import Folder
from catalog_builder.publish.output.harmless import harmless
from catalog_builder.publish.sheets.pagination import WHOLE, SheetPart, in_parts
from catalog_builder.publish.theme.wording import Wording
from catalog_builder.records.material import Material

PAGE = "repricing.html"
# As many moved prices stand on a page.
LINES = 1_000
# What must be printed or published again, by where a channel's prices are shown.
AGAIN = {name: f"again_{name}" for name in ("catalogue", "stall", "shops", "stockists", "private")}
Materials = Mapping[str, Material]


@dataclass(frozen=True, slots=True, kw_only=True)
class ChangeLine:
    """A price that moved, in words. ``causes`` pairs what with how much, the largest first."""

    title: str
    variant: str
    channel: str
    old: str
    new: str
    by: str
    causes: tuple[tuple[str, str], ...]
    again: str
    held: bool


def _change_line(move: PriceMove, materials: Materials, writer: BenchWriter) -> ChangeLine:
    wording, channel = writer.wording, writer.studio.channels[move.channel]
    return ChangeLine(
        title=move.calculation.product.keys.title,
        variant=move.calculation.offer.words,
        channel=channel.title,
        old=wording.money(move.old),
        new=wording.money(move.new),
        by=signed(move.by, wording),
        causes=tuple((cause_text(cause, materials, writer), signed(cause.amount, wording)) for cause in move.causes),
        again=writer.labels("repricing")[AGAIN[channel.shown_on]],
        held=move.held,
    )


def cause_text(cause: Cause, materials: Materials, writer: BenchWriter) -> str:
    """Word a cause: which material, step or term."""
    material, step = materials.get(cause.key), writer.studio.step(cause.key)
    name = material.title if material else step.title if step else None
    return writer.say(
        f"repricing.cause_{cause.kind}",
        name=name or (phrase("repricing.overheads") if cause.key == "overheads" else cause.key),
    )


def signed(amount: Decimal, wording: Wording) -> str:
    """An amount with its sign, plus too."""
    return ("+" if amount > 0 else "") + wording.money(amount)


def held_cost(moved: Sequence[PriceMove]) -> Decimal:
    """What held prices leave out, one of each variant in each channel."""
    return sum((move.by for move in moved if move.held), Decimal(0))


def change_text(moved: Sequence[PriceMove], materials: Materials, writer: BenchWriter) -> Iterator[str]:
    """Give the report for the terminal, line by line."""
    labels = writer.labels("repricing")
    if not moved:
        yield labels["nothing"]
        return
    for move in moved:
        line = _change_line(move, materials, writer)
        held = f"  ({labels['held']})" if line.held else ""
        yield f"{line.title}, {line.variant}"
        yield f"  {line.channel:<24.24} {line.old:>10} -> {line.new:>10}  {line.by:>9}{held}"
        yield f"      {', '.join(f'{what} {amount}' for what, amount in line.causes)}"
    yield ""
    for audience, count in sorted(_counts_by_audience(moved, writer).items()):
        yield writer.say(f"repricing.{AGAIN[audience]}_count", count=count)
    if any(move.held for move in moved):
        yield writer.say("repricing.held_cost", amount=Money(held_cost(moved)))


def hung_text(calculations: Sequence[VariantCalculation], writer: BenchWriter) -> str:
    """Say how many different prices hang at the stall."""
    return writer.phrasing.say(hung_phrase(prices_hung(calculations, writer.studio.channel_on("stall"))))


def _counts_by_audience(moved: Sequence[PriceMove], writer: BenchWriter) -> dict[str, int]:
    """Count the prices that change, by where they are shown."""
    counts: dict[str, int] = {}
    for move in moved:
        if not move.held:
            audience = writer.studio.channels[move.channel].shown_on
            counts[audience] = counts.get(audience, 0) + 1
    return counts


def write_change_sheet(moved: Sequence[PriceMove], materials: Materials, writer: BenchWriter, folder: Folder) -> None:
    """Write ``repricing.html``, and ``repricing-2.html`` and so on, and all of it as ``repricing.csv``."""
    for part, moves in in_parts(moved, LINES):
        writer.write_page(folder, part.name(PAGE), PAGE, **_page_values(moves, materials, writer, part))
    folder.write("repricing.csv", change_csv(moved, materials, writer))


def change_page(
    moved: Sequence[PriceMove],
    materials: Materials,
    writer: BenchWriter,
    style_href: str = STYLE,
    supposed: Sequence[str] = (),
) -> str:
    """Give the report as a page of the bench; ``supposed`` says what was supposed, if anything."""
    return writer.page(PAGE, style_href, **_page_values(moved, materials, writer, WHOLE, supposed))


def _page_values(
    moved: Sequence[PriceMove], materials: Materials, writer: BenchWriter, part: SheetPart, supposed: Sequence[str] = ()
) -> dict[str, object]:
    held = any(move.held for move in moved)
    basis = phrase("repricing.as_if", supposed=", ".join(supposed), day=writer.day)
    return {
        "lines": tuple(_change_line(move, materials, writer) for move in moved),
        "held_cost": writer.wording.money(held_cost(moved)) if held else "",
        "basis": writer.phrasing.say(basis if supposed else phrase("repricing.as_of", day=writer.day)),
        "part": part.words(writer.theme),
        "parts": part.links(writer.theme, PAGE),
    }


def change_csv(moved: Sequence[PriceMove], materials: Materials, writer: BenchWriter) -> bytes:
    """Give the report as CSV: a row for each cause, so that the rows of a price add up to its change."""
    out = io.StringIO()
    rows = csv.writer(out, lineterminator="\r\n")
    rows.writerow(("variant", "channel", "old", "new", "by", "held", "cause", "amount"))
    for move in moved:
        for cause in move.causes:
            rows.writerow(
                (
                    harmless(move.calculation.offer.sku),
                    move.channel,
                    f"{move.old:f}",
                    f"{move.new:f}",
                    f"{move.by:f}",
                    "yes" if move.held else "no",
                    harmless(cause_text(cause, materials, writer)),
                    f"{cause.amount:f}",
                )
            )
    return out.getvalue().encode("utf-8-sig")
