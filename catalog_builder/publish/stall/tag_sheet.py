"""Price tags on a sheet of labels, as a PDF."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import asdict, dataclass
from datetime import date
from math import ceil
from typing import Any

from catalog_builder.mistake import Finding, Place, WordedFinding
from catalog_builder.offer import Listing, Offer
from catalog_builder.phrase import joined, quantity
from catalog_builder.publish.sheets.pagination import in_parts
from catalog_builder.publish.sheets.typeset import typeset
from catalog_builder.publish.stall.tag_layout import BLANK_MM, LEAST_MODULE_MM, QUIET, Code, TagLayout, encode, lay_tag
from catalog_builder.publish.theme.loading import Theme
from catalog_builder.publish.theme.phrasing import Phrasing
from catalog_builder.publish.theme.reduction_words import earlier_words
from catalog_builder.publish.theme.set_words import contents_words
from catalog_builder.publish.theme.side_words import size_words
from catalog_builder.publish.theme.standing_words import standing_words
from catalog_builder.publish.theme.tax_words import tax_on_top
from catalog_builder.publish.theme.wording import Wording
from catalog_builder.records.selling.label_sheet import LabelSheet
from catalog_builder.records.studio_tables.studio_keys import StudioKeys

# Crop marks stand this far off the tags and are at most so long.
MARK_OFF_MM = 1.0
MARK_MM = 5.0
# So many sheets stand in one file: a thousand tags take 500 MB of memory.
SHEETS = 40


@dataclass(frozen=True, slots=True)
class TagOrder:
    """A variant whose tag is printed, so many times."""

    listing: Listing
    offer: Offer
    count: int


@dataclass(frozen=True, slots=True)
class TagSheet:
    """How tags are printed: on which sheet, from which of its cells on (from 0), and whether with crop marks."""

    sheet: LabelSheet
    first: int
    crop_marks: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Tags:
    """The PDFs, how many tags stand on how many sheets, and the smallest module of a code on them in mm, 0 for none."""

    pdfs: tuple[bytes, ...]
    count: int
    sheets: int
    least_module_mm: float
    findings: tuple[WordedFinding, ...]


def make_tags(orders: Sequence[TagOrder], on: TagSheet, studio: StudioKeys, day: date, theme: Theme) -> Tags:
    """Set the tags of each order, in their order."""
    wording = Wording.for_buyers(studio)
    addresses = {order.offer.sku: address_of(studio, order, on.sheet) for order in orders}
    codes = {sku: encode(address) for sku, address in addresses.items()}
    layouts = {sku: lay_tag(on.sheet, code) for sku, code in codes.items()}
    tags, cells = [], iter(range(on.first, on.first + sum(order.count for order in orders)))
    for order in orders:
        words = _words(order, studio, wording, theme)
        for _ in range(order.count):
            page, cell = divmod(next(cells), on.sheet.count)
            left, top = on.sheet.corner(cell)
            tags.append({**words, "page": page, "left": left, "top": top})
    pages = ceil((on.first + len(tags)) / on.sheet.count)
    tags_on: list[list[dict[str, Any]]] = [[] for _ in range(pages)]
    for tag in tags:
        tags_on[tag["page"]].append(tag)
    shared = {
        "labels": theme.labels["tags"],
        "language": studio.language,
        "studio": studio.name,
        "paper": list(on.sheet.paper_mm),
        "label": [on.sheet.width, on.sheet.height],
        "marks": crop_marks(on.sheet) if on.crop_marks else [],
    }

    def pdf(numbers: Sequence[int]) -> bytes:
        sheets = [[{**tag, "page": tag["page"] - numbers[0]} for tag in tags_on[number]] for number in numbers]
        skus = dict.fromkeys(tag["kind"] for sheet in sheets for tag in sheet)
        kinds = {sku: _kind(addresses[sku], codes[sku], layouts[sku], theme) for sku in skus}
        return typeset(theme, "stall/tags.typ", {**shared, "kinds": kinds, "pages": sheets}, day)

    modules = [layout.module_mm for layout in layouts.values() if layout.code is not None]
    pdfs = tuple(pdf(numbers) for _, numbers in in_parts(range(pages), SHEETS))
    return Tags(
        pdfs=pdfs,
        count=len(tags),
        sheets=pages,
        least_module_mm=min(modules, default=0.0),
        findings=tuple(map(Phrasing(theme.labels, wording).finding, _findings(on.sheet, codes, layouts))),
    )


def address_of(studio: StudioKeys, order: TagOrder, sheet: LabelSheet) -> str:
    """Give the address that a tag's code leads to: the variant's, or its page's where only that fits on the label."""
    address = studio.address + order.listing.page_of(order.offer)
    return address if lay_tag(sheet, encode(address)).code is not None else address.partition("#")[0]


def crop_marks(sheet: LabelSheet) -> list[list[float]]:
    """Give short lines in the paper's margins, in line with every edge of a tag: x, y, x, y."""
    width, height = sheet.paper_mm
    xs = _edges(sheet.left, sheet.across, sheet.width, sheet.columns)
    ys = _edges(sheet.top, sheet.down, sheet.height, sheet.rows)
    sides = ((sheet.top, sheet.bottom, height, xs, False), (sheet.left, sheet.right, width, ys, True))
    marks = list[list[float]]()
    for near, far, paper, places, turned in sides:
        for begin, end in ((near - MARK_OFF_MM, BLANK_MM), (far + MARK_OFF_MM, paper - BLANK_MM)):
            length = min(MARK_MM, abs(end - begin))
            tip = begin - length if begin == near - MARK_OFF_MM else begin + length
            marks.extend([begin, at, tip, at] if turned else [at, begin, at, tip] for at in places)
    return [[round(value, 4) for value in mark] for mark in marks]


def room_for_marks(sheet: LabelSheet) -> bool:
    """True where a crop mark of 1 mm or more fits in every margin."""
    width, height = sheet.paper_mm
    least = min(sheet.left, sheet.top, width - sheet.right, height - sheet.bottom)
    return least >= BLANK_MM + MARK_OFF_MM + 1


def _edges(first: float, pitch: float, size: float, count: int) -> list[float]:
    edges = [edge for index in range(count) for edge in (first + index * pitch, first + index * pitch + size)]
    return sorted({round(edge, 4) for edge in edges})


def _words(order: TagOrder, studio: StudioKeys, wording: Wording, theme: Theme) -> dict[str, Any]:
    offer = order.offer
    included = theme.labels["tags"]["tax_included"] if offer.stall.tax == "included" else ""
    tax = tax_on_top(theme, wording, offer.stall) or included
    return {
        "kind": order.offer.sku,
        "title": order.listing.title,
        "lines": [
            contents_words(order.listing) or size_words(theme, wording, offer),
            *_standing(offer, theme, wording),
            joined((offer.finish, offer.glass)),
        ],
        "price": wording.money(offer.stall_price),
        "tax": " ".join(words for words in (tax, earlier_words(Phrasing(theme.labels, wording), offer.stall)) if words),
        "studio": studio.name,
    }


def _standing(offer: Offer, theme: Theme, wording: Wording) -> tuple[str, ...]:
    words = standing_words(offer, Phrasing(theme.labels, wording))
    return (words,) if words else ()


def _kind(address: str, code: Code, layout: TagLayout, theme: Theme) -> dict[str, Any]:
    """Give what all tags of a variant share."""
    side = code.whole
    box = f'viewBox="{-QUIET} {-QUIET} {side} {side}" width="{side}" height="{side}"'
    return {
        "words": asdict(layout.words),
        "code": asdict(layout.code) if layout.code else None,
        "svg": f'<svg xmlns="http://www.w3.org/2000/svg" {box}><path d="{code.path}"/></svg>',
        "alt": theme.words("tags", "code", address=address),
    }


def _findings(sheet: LabelSheet, codes: dict[str, Code], layouts: dict[str, TagLayout]) -> list[Finding]:
    bare = [sku for sku, layout in layouts.items() if layout.code is None]
    if not bare:
        return []
    side = max(codes[sku].whole for sku in bare)
    return [
        Finding.of(
            "T01",
            Place(path=sheet.name),
            "findings_publish.small_codes",
            count=_designs(bare),
            all=_designs(layouts),
            side=side,
            least=quantity(LEAST_MODULE_MM, "mm", 2),
            room=quantity(side * LEAST_MODULE_MM, "mm"),
        )
    ]


def _designs(skus: Iterable[str]) -> int:
    """Count the designs that variants are of: a variant's code begins with its product's name."""
    return len({sku.partition("--")[0] for sku in skus})
