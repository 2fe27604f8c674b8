"""The page on pairs and sets: what each costs, and what it leaves in every channel. Private."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from catalog_builder.phrase import quantity
from catalog_builder.pricing.set_calculation import SetCalculation
from catalog_builder.publish.bench.bench_writer import BenchWriter
from catalog_builder.publish.output.folder import Folder
from catalog_builder.publish.theme.set_words import piece_words


@dataclass(frozen=True, slots=True, kw_only=True)
class SetLine:
    """A set in a channel, in words; ``under`` says that its price is under the floor price."""

    channel: str
    singly: str
    price: str
    floor: str
    kept: str
    margin: str
    under: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class SetCost:
    """A set with its pieces, its cost and minutes, and a line for each channel."""

    title: str
    pieces: tuple[str, ...]
    cost: str
    minutes: str
    lines: tuple[SetLine, ...]


def write_sets(sets: Sequence[SetCalculation], writer: BenchWriter, folder: Folder) -> None:
    """Write ``sets.html``."""
    writer.write_page(folder, "sets.html", "sets.html", sets=tuple(_cost(each, writer) for each in sets))


def _cost(each: SetCalculation, writer: BenchWriter) -> SetCost:
    wording, channels = writer.wording, writer.studio.channels
    lines = (
        SetLine(
            channel=channels[name].title,
            singly=wording.money(price.singly),
            price=wording.money(price.price.printed),
            floor=wording.money(price.floor),
            kept=wording.money(price.left_after_fees),
            margin=wording.percent(price.profit / price.price.before_tax if price.price.before_tax else price.profit),
            under=price.price.printed < price.floor,
        )
        for name, price in each.prices.items()
    )
    return SetCost(
        title=each.listing.title,
        pieces=tuple(piece_words(part) for part in each.listing.parts),
        cost=wording.money(each.cost),
        minutes=writer.phrasing.show(quantity(each.minutes, "min")),
        lines=tuple(lines),
    )
