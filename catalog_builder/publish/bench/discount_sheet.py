"""What the stall's prices leave when they are lowered, as a page and as a PDF for the maker's pocket. Private."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import asdict, dataclass
from functools import cache, partial

from catalog_builder.phrase import Number, joined, phrase
from catalog_builder.pricing.calculation import VariantCalculation
from catalog_builder.pricing.discount import Discount, Reduced, most_percent_off, read_discounts, reduced_prices
from catalog_builder.publish.bench.bench_writer import BenchWriter
from catalog_builder.publish.output.folder import Folder
from catalog_builder.publish.sheets.pagination import SheetPart, in_parts
from catalog_builder.publish.sheets.typeset import PAPERS
from catalog_builder.publish.theme.side_words import size_words
from catalog_builder.publish.theme.wording import Wording
from catalog_builder.units import minor_digits

PAGE, SHEET = "discounts.html", "discounts.pdf"


@dataclass(frozen=True, slots=True, kw_only=True)
class DiscountStep:
    """A discount on a variant, in words: the price, what it leaves, and whether it goes under the floor price."""

    price: str
    left: str
    under: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class DiscountLine:
    """A variant: its stall price, its floor price, what is left after fees, how far it can go down, and each step."""

    variant: str
    price: str
    floor: str
    left: str
    room: str
    steps: tuple[DiscountStep, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class DiscountGroup:
    """A product's variants."""

    title: str
    lines: tuple[DiscountLine, ...]


def write_discounts(calculations: Sequence[VariantCalculation], writer: BenchWriter, folder: Folder) -> None:
    """Write ``discounts.html`` and ``discounts.pdf``, and ``discounts-2.html`` and so on."""
    parts = in_parts(list(_for_sale(calculations).items()))
    begins = tuple(designs[0][0] for _, designs in parts) if len(parts) > 1 else ()
    for part, designs in parts:
        key, words = writer.key("discounts", part, begins, designs), cache(partial(_words, designs, part, writer))
        folder.make(part.name(PAGE), key, partial(_page, words, part, begins, writer))
        folder.make(part.name(SHEET), key, partial(_sheet, words, part, writer))


# A design's title and its variants.
_Design = tuple[str, list[VariantCalculation]]


@dataclass(frozen=True, slots=True)
class _Words:
    """What both the page and the PDF say."""

    heads: tuple[str, ...]
    groups: tuple[DiscountGroup, ...]
    day: str
    part: str


def _words(designs: Sequence[_Design], part: SheetPart, writer: BenchWriter) -> _Words:
    discounts = read_discounts(writer.studio.discounts)
    groups = (
        DiscountGroup(title=title, lines=tuple(_line(variant, discounts, writer) for variant in variants))
        for title, variants in designs
    )
    heads = tuple(_head(discount, writer) for discount in discounts)
    return _Words(heads, tuple(groups), writer.wording.plain_day(writer.day), part.words(writer.theme))


def _page(words: Callable[[], _Words], part: SheetPart, begins: Sequence[str], writer: BenchWriter) -> str:
    said = words()
    return writer.page(
        "discounts.html",
        heads=said.heads,
        groups=said.groups,
        day=said.day,
        part=said.part,
        parts=part.links(writer.theme, PAGE, begins),
        pdf=part.name(SHEET),
    )


def _sheet(words: Callable[[], _Words], part: SheetPart, writer: BenchWriter) -> bytes:
    data = {
        **asdict(words()),
        "labels": writer.labels("discounts"),
        "page": writer.labels("stall")["page"],
        "paper": PAPERS[writer.studio.studio.paper],
    }
    return writer.sheet("bench/discounts.typ", data, several=part.count > 1).pdf()


def _for_sale(calculations: Sequence[VariantCalculation]) -> Mapping[str, list[VariantCalculation]]:
    """Give the variants of each design that is for sale, in the order of their titles."""
    designs: dict[str, list[VariantCalculation]] = {}
    for variant in sorted(calculations, key=lambda variant: variant.product.keys.title.casefold()):
        if not variant.offer.sold:
            designs.setdefault(variant.product.keys.title, []).append(variant)
    return designs


def _line(variant: VariantCalculation, discounts: tuple[Discount, ...], writer: BenchWriter) -> DiscountLine:
    studio, wording, offer = writer.studio, writer.wording, variant.offer
    name = studio.channel_on("stall")
    printed, earning = variant.prices[name].printed, variant.earnings[name]
    steps = reduced_prices(
        studio.channels[name], printed, variant.cost, discounts, minor_digits(studio.studio.currency)
    )
    percent = most_percent_off(printed, earning.floor)
    return DiscountLine(
        variant=joined((size_words(writer.theme, wording, offer), offer.finish, offer.glass)),
        price=wording.money(printed),
        floor=wording.money(earning.floor),
        left=wording.money(earning.left_after_fees),
        room=wording.percent(percent / 100) if percent >= 0 else writer.labels("discounts")["none"],
        steps=tuple(_step(step, wording) for step in steps),
    )


def _step(step: Reduced, wording: Wording) -> DiscountStep:
    return DiscountStep(
        price=wording.money(step.price), left=wording.money(step.left_after_fees), under=not step.covers
    )


def _head(discount: Discount, writer: BenchWriter) -> str:
    if discount.percent is None:
        bundle = phrase("discounts.bundle", take=Number(discount.take), pay=Number(discount.pay))
        return writer.phrasing.say(bundle)
    return writer.say("discounts.percent", percent=writer.wording.fine_percent(discount.percent / 100))
