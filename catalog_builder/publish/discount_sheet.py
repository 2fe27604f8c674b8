"""What the stall's prices leave when they are lowered, as a page and as a PDF for the maker's pocket. Private."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict, dataclass
from decimal import Decimal

from catalog_builder.pricing.discount import Discount, Reduced, read_discounts, reduce, room
from catalog_builder.publish.bench_page import bench_page
from catalog_builder.publish.folder import Folder
from catalog_builder.publish.pages import Theme
from catalog_builder.publish.price_sheet import size_words
from catalog_builder.publish.typeset import PAPERS, typeset
from catalog_builder.publish.wording import Wording
from catalog_builder.reckoning import Reckoning
from catalog_builder.records.content import Content
from catalog_builder.units import minor_digits


@dataclass(frozen=True, slots=True)
class Step:
    """A discount on a variant, in words: the price, what it leaves, and whether it goes under the floor price."""

    price: str
    left: str
    under: bool


@dataclass(frozen=True, slots=True)
class DiscountLine:
    """A variant: its stall price, its floor price, what is left after fees, how far it can go down, and each step."""

    variant: str
    price: str
    floor: str
    left: str
    room: str
    steps: tuple[Step, ...]


@dataclass(frozen=True, slots=True)
class DiscountGroup:
    """A product's variants."""

    title: str
    lines: tuple[DiscountLine, ...]


def write_discounts(content: Content, reckonings: Sequence[Reckoning], theme: Theme, folder: Folder) -> None:
    """Write ``discounts.html`` and ``discounts.pdf``."""
    keys, wording = content.studio.studio, Wording.of(content.studio.studio)
    discounts = read_discounts(content.studio.discounts)
    groups = discount_groups(content, reckonings, discounts, theme)
    heads = tuple(_head(one, theme, wording) for one in discounts)
    day = wording.plain_day(content.day)
    folder.write("discounts.html", bench_page(theme, keys, "discounts.html", heads=heads, groups=groups, day=day))
    data = {
        "labels": theme.labels["discounts"],
        "private": theme.labels["bench"]["private"],
        "page": theme.labels["stall"]["page"],
        "language": keys.language,
        "studio": keys.name,
        "day": day,
        "paper": PAPERS[keys.paper],
        "heads": list(heads),
        "groups": [asdict(one) for one in groups],
    }
    folder.write("discounts.pdf", typeset(theme, "bench/discounts.typ", data, content.day))


def discount_groups(
    content: Content, reckonings: Sequence[Reckoning], discounts: tuple[Discount, ...], theme: Theme
) -> tuple[DiscountGroup, ...]:
    """Word every variant that is for sale, product by product in order of their titles."""
    lines: dict[str, list[DiscountLine]] = {}
    for one in sorted(reckonings, key=lambda one: one.product.keys.title.casefold()):
        if one.product.keys.availability != "sold":
            lines.setdefault(one.product.keys.title, []).append(_line(content, one, discounts, theme))
    return tuple(DiscountGroup(title, tuple(found)) for title, found in lines.items())


def _line(content: Content, one: Reckoning, discounts: tuple[Discount, ...], theme: Theme) -> DiscountLine:
    studio, wording = content.studio, Wording.of(content.studio.studio)
    name = studio.channel_on("stall")
    printed, earning = one.prices[name].printed, one.earnings[name]
    steps = reduce(studio.channels[name], printed, one.cost, discounts, minor_digits(studio.studio.currency))
    percent = room(printed, earning.floor)
    labels = theme.labels["discounts"]
    return DiscountLine(
        ", ".join(word for word in (size_words(one.offer, wording), one.offer.finish, one.offer.glass) if word),
        wording.money(printed),
        wording.money(earning.floor),
        wording.money(earning.left_after_fees),
        wording.percent(percent / 100) if percent >= 0 else labels["none"],
        tuple(_step(step, wording) for step in steps),
    )


def _step(step: Reduced, wording: Wording) -> Step:
    return Step(wording.money(step.price), wording.money(step.left_after_fees), not step.covers)


def _head(discount: Discount, theme: Theme, wording: Wording) -> str:
    if discount.percent is None:
        take, pay = (wording.number(Decimal(many), 0) for many in (discount.take, discount.pay))
        return theme.words("discounts", "bundle", take=take, pay=pay)
    return theme.words("discounts", "percent", percent=wording.fine_percent(discount.percent / 100))
