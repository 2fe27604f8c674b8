"""What moved, by how much and why: for the terminal, as a page, and as CSV. Private."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

from catalog_builder.pricing.change import Cause
from catalog_builder.pricing.price_moves import PriceMove
from catalog_builder.publish.bench.bench_page import STYLE, bench_page
from catalog_builder.publish.output.folder import Folder
from catalog_builder.publish.output.harmless import harmless
from catalog_builder.publish.sheets.pagination import WHOLE, SheetPart, in_parts
from catalog_builder.publish.theme.loading import Theme
from catalog_builder.publish.theme.wording import Wording
from catalog_builder.records.content import Content

PAGE = "repricing.html"
# As many moved prices stand on a page.
LINES = 1_000
# What must be printed or put up again, by where a channel's prices are shown.
AGAIN = {"catalogue": "again_catalogue", "stall": "again_stall", "shops": "again_shops", "private": "again_private"}


@dataclass(frozen=True, slots=True)
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


def change_lines(moved: Sequence[PriceMove], content: Content, theme: Theme) -> tuple[ChangeLine, ...]:
    """Word every moved price."""
    wording = Wording.of(content.studio.studio)
    return tuple(_line(one, content, theme, wording) for one in moved)


def _line(one: PriceMove, content: Content, theme: Theme, wording: Wording) -> ChangeLine:
    offer, channel = one.calculation.offer, content.studio.channels[one.channel]
    return ChangeLine(
        one.calculation.product.keys.title,
        offer.words,
        channel.title,
        wording.money(one.old),
        wording.money(one.new),
        signed(one.by, wording),
        tuple((cause_text(cause, content, theme), signed(cause.amount, wording)) for cause in one.causes),
        theme.labels["repricing"][AGAIN[channel.shown_on]],
        one.held,
    )


def cause_text(cause: Cause, content: Content, theme: Theme) -> str:
    """Word a cause: which material, step or term."""
    labels: Mapping[str, str] = theme.labels["repricing"]
    material = content.materials.rows.get(cause.key)
    step = content.studio.step(cause.key)
    name = material.title if material else step.title if step else labels.get(cause.key, cause.key)
    return labels[f"cause_{cause.kind}"].format(name=name)


def signed(amount: Decimal, wording: Wording) -> str:
    """An amount with its sign, plus too."""
    return ("+" if amount > 0 else "") + wording.money(amount)


def held_cost(moved: Sequence[PriceMove]) -> Decimal:
    """What held prices leave out, one of each variant in each channel."""
    return sum((one.by for one in moved if one.held), Decimal(0))


def change_text(moved: Sequence[PriceMove], content: Content, theme: Theme) -> Iterator[str]:
    """Give the report for the terminal, line by line."""
    labels = theme.labels["repricing"]
    wording = Wording.of(content.studio.studio)
    if not moved:
        yield labels["nothing"]
        return
    for line in change_lines(moved, content, theme):
        held = f"  ({labels['held']})" if line.held else ""
        yield f"{line.title}, {line.variant}"
        yield f"  {line.channel:<24.24} {line.old:>10} -> {line.new:>10}  {line.by:>9}{held}"
        yield f"      {', '.join(f'{what} {amount}' for what, amount in line.causes)}"
    yield ""
    for where, count in sorted(_again(moved, content).items()):
        yield labels[AGAIN[where] + "_count"].format(count=count)
    if any(one.held for one in moved):
        yield labels["held_cost"].format(amount=wording.money(held_cost(moved)))


def _again(moved: Sequence[PriceMove], content: Content) -> dict[str, int]:
    counts: dict[str, int] = {}
    for one in moved:
        if not one.held:
            where = content.studio.channels[one.channel].shown_on
            counts[where] = counts.get(where, 0) + 1
    return counts


def write_changes(moved: Sequence[PriceMove], content: Content, theme: Theme, folder: Folder) -> None:
    """Write ``repricing.html``, and ``repricing-2.html`` and so on, and all of it as ``repricing.csv``."""
    for part, ones in in_parts(moved, LINES):
        folder.write(part.name(PAGE), change_page(ones, content, theme, part=part))
    folder.write("repricing.csv", change_csv(moved, content, theme))


def change_page(
    moved: Sequence[PriceMove],
    content: Content,
    theme: Theme,
    style_href: str = STYLE,
    supposed: Sequence[str] = (),
    part: SheetPart = WHOLE,
) -> str:
    """Give the report, or a part of it, as a page of the bench; ``supposed`` says what was supposed, if anything."""
    keys = content.studio.studio
    wording = Wording.of(keys)
    return bench_page(
        theme,
        keys,
        "repricing.html",
        style_href,
        lines=change_lines(moved, content, theme),
        held_cost=wording.money(held_cost(moved)) if any(one.held for one in moved) else "",
        basis=theme.words(
            "repricing",
            "as_if" if supposed else "as_of",
            day=wording.plain_day(content.day),
            supposed=", ".join(supposed),
        ),
        part=part.words(theme),
        parts=part.links(theme, PAGE),
    )


def change_csv(moved: Sequence[PriceMove], content: Content, theme: Theme) -> bytes:
    """Give the report as CSV: a row for each cause, so that the rows of a price add up to its change."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(("variant", "channel", "old", "new", "by", "held", "cause", "amount"))
    for one in moved:
        for cause in one.causes:
            writer.writerow(
                (
                    harmless(one.calculation.offer.sku),
                    one.channel,
                    f"{one.old:f}",
                    f"{one.new:f}",
                    f"{one.by:f}",
                    "yes" if one.held else "no",
                    harmless(cause_text(cause, content, theme)),
                    f"{cause.amount:f}",
                )
            )
    return out.getvalue().encode("utf-8-sig")
