"""Writes the marking page of each product, which opens from the disk and knows what the build knew. Private."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from itertools import groupby
from typing import Any

from markupsafe import Markup

from catalog_builder.cache.store import Store, key_of
from catalog_builder.phrase import quantity
from catalog_builder.piece.assembly import Assembler
from catalog_builder.pricing.calculation import VariantCalculation
from catalog_builder.publish.bench.bench_writer import STYLE, BenchWriter
from catalog_builder.publish.bench.marking.marked_drawing import kept_drawings
from catalog_builder.publish.output.folder import Folder
from catalog_builder.publish.pictures.svg_text import digits
from catalog_builder.records.drawing.part_keys import PartKeys
from catalog_builder.records.keeping.mark_keeping import record_digest
from catalog_builder.records.material import Material
from catalog_builder.records.product import Hang, Product

# The folder of the pages, in the bench's.
FOLDER = "marking"
# What a click on the pattern may ask, in the order of the page.
QUESTIONS = ("glass", "number", "grain", "ring", "wire", "open", "fold")


@dataclass(frozen=True, slots=True, kw_only=True)
class MarkedPrice:
    """A variant on the marking page: its code, choice of glass and words; ``money`` is its cost, then each price."""

    sku: str
    choice: str
    words: str
    money: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class MarkQuestion:
    """What a click on the pattern answers: its name, the question and how it is answered."""

    name: str
    title: str
    help: str


@dataclass(frozen=True, slots=True, kw_only=True)
class MarkedGlass:
    """A glass of the studio on the marking page; ``colour`` is as #rrggbb."""

    name: str
    title: str
    colour: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class MarkedField:
    """A field of the pattern: its outline as an SVG path, and its number with the middle and height of its letters."""

    path: str
    number: str
    x: float
    y: float
    size: float
    colour: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class MarkedPattern:
    """A drawing on the marking page: its title, its ``viewBox``, the width of its lines, its fields and drawn wires."""

    title: str
    box: str
    line: str
    wires: tuple[str, ...]
    fields: tuple[MarkedField, ...]


def page_of(slug: str) -> str:
    """Give the path of a product's marking page in the bench's folder."""
    return f"{FOLDER}/{slug}.html"


def marked_prices(variants: Sequence[VariantCalculation], writer: BenchWriter) -> tuple[MarkedPrice, ...]:
    """Word cost and prices of a product's variants."""
    money, channels = writer.wording.money, writer.studio.channels
    return tuple(
        MarkedPrice(
            sku=variant.offer.sku,
            choice=variant.choice,
            words=variant.offer.words,
            money=(money(variant.cost.total), *(money(variant.prices[name].printed) for name in channels)),
        )
        for variant in variants
    )


def write_marking_pages(
    glasses: Sequence[Material],
    calculations: Sequence[VariantCalculation],
    assembler: Assembler,
    writer: BenchWriter,
    store: Store,
    folder: Folder,
) -> int:
    """Write a page for each product, filled again only where something that it shows changed; count them."""
    pages = 0
    shared = key_of("marking", writer.theme.key, writer.studio, tuple(glasses))
    for _, group in groupby(calculations, lambda variant: variant.product.slug):
        variants = list(group)
        prices, product = marked_prices(variants, writer), variants[0].product
        drawn = variants[0].assembled.own_key
        store.use("marking", drawn)
        key = key_of(shared, drawn, prices, record_digest(product))
        folder.make(
            page_of(product.slug), key, partial(marking_page, glasses, variants, prices, assembler, writer, store)
        )
        pages += 1
    return pages


def marking_page(
    glasses: Sequence[Material],
    variants: Sequence[VariantCalculation],
    prices: Sequence[MarkedPrice],
    assembler: Assembler,
    writer: BenchWriter,
    store: Store,
) -> str:
    """Fill a product's page."""
    product, labels = variants[0].product, writer.labels("marking")
    drawings = json.loads(kept_drawings(product, variants[0].assembled, assembler, store))
    record = {
        "product": product.slug,
        "seen": record_digest(product),
        "glasses": {row.material: {"title": row.title, "colour": row.colour} for row in glasses},
        "choices": [
            {"name": name, "title": choice.title, "pieces": choice.pieces}
            for name, choice in product.keys.glass.items()
        ],
        "variants": {price.sku: {"choice": price.choice, "money": price.money} for price in prices},
        "hang": {"by": str(product.keys.hang.by), **_hang(product.keys.hang)},
        "parts": {name: _part(part) for name, part in product.keys.parts.items()},
        "drawings": [_for_script(drawing) for drawing in drawings],
        "words": {name: text for name, text in labels.items() if name.startswith("script_")},
    }
    first = next(iter(product.keys.glass.values()))
    return writer.page(
        "marking.html",
        f"../{STYLE}",
        title=product.keys.title,
        record=Markup(json.dumps(record, ensure_ascii=False).replace("<", "\\u003c")),  # noqa: S704 - it opens no tag
        questions=tuple(
            MarkQuestion(name=name, title=labels[f"ask_{name}"], help=labels[f"help_{name}"])
            for name in QUESTIONS
            # What stands has no ring.
            if name != "ring" or product.keys.hang.by.hangs
        ),
        prices=tuple(prices),
        channel_titles=tuple(channel.title for channel in writer.studio.channels.values()),
        patterns=tuple(_pattern(product, drawing, first.pieces, glasses, writer) for drawing in drawings),
        words=tuple(first.pieces.items()),
        glasses=tuple(MarkedGlass(name=row.material, title=row.title, colour=row.colour) for row in glasses),
        folded=any(drawing["fold"] for drawing in drawings),
        proposals=tuple(
            writer.say(f"marking.proposal_{proposal['kind']}", tilt=quantity(proposal["tilt"], "degrees", 1))
            for proposal in drawings[0]["proposals"]
        ),
    )


def _pattern(
    product: Product,
    drawing: Mapping[str, Any],
    pieces: Mapping[str, str],
    glasses: Sequence[Material],
    writer: BenchWriter,
) -> MarkedPattern:
    key, part = "pattern_part" if drawing["part"] else "pattern", drawing["part"]
    colours = {row.material: row.colour for row in glasses}
    return MarkedPattern(
        title=writer.say(f"marking.{key}", product=product.keys.title, part=part),
        box=drawing["box"],
        line=digits(drawing["side"] / 250),
        wires=tuple(drawing["wires"]),
        fields=tuple(
            MarkedField(
                path=field["path"],
                number=field["number"] + field["side"],
                x=field["at"][0],
                y=field["at"][1],
                size=field["size"],
                colour="none" if field["open"] else colours[pieces[field["glass"]]],
            )
            for field in drawing["fields"]
        ),
    )


def _for_script(drawing: Mapping[str, Any]) -> dict[str, Any]:
    """Leave out what stands in the page already."""
    fields = [{key: value for key, value in field.items() if key != "path"} for field in drawing["fields"]]
    return {key: value for key, value in drawing.items() if key not in ("wires", "box")} | {"fields": fields}


def _part(part: PartKeys) -> dict[str, Any]:
    """Give the keys of a part that are no marks, to be copied with them."""
    keys: dict[str, Any] = {"set_at": [_whole(turn) for turn in part.set_at]} if part.set_at is not None else {}
    if part.inside_angle is not None:
        keys["inside_angle"] = _whole(part.inside_angle)
    return keys | {name: value for name in ("sits_on", "around", "pattern") if (value := getattr(part, name))}


def _whole(angle: float) -> float:
    """Give an angle as it would be written: without a point where it is whole."""
    return int(angle) if angle == int(angle) else angle


def _hang(hang: Hang) -> dict[str, Any]:
    """Give how a product hangs, but for the kind of hardware and its material, to be copied with another kind."""
    length = {} if hang.length is None else {"length": f"{hang.length:g} mm"}
    return {**length, **({"outdoors": True} if hang.outdoors else {})}
