"""What the stall's prices leave when they are lowered, as a page and as a PDF for the maker's pocket. Private."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass
from decimal import Decimal

from catalog_builder.cache.store import key_of
from catalog_builder.pricing.calculation import VariantCalculation
from catalog_builder.pricing.discount import Discount, Reduced, most_percent_off, read_discounts, reduced_prices
from catalog_builder.publish.bench.bench_page import bench_page
from catalog_builder.publish.output.folder import Folder
from catalog_builder.publish.sheets.pagination import SheetPart, in_parts
from catalog_builder.publish.sheets.price_sheet import size_words
from catalog_builder.publish.sheets.typeset import PAPERS, typeset
from catalog_builder.publish.theme.loading import Theme
from catalog_builder.publish.theme.wording import Wording
from catalog_builder.publish.views import LinkView
from catalog_builder.records.content import Content
from catalog_builder.units import minor_digits


@dataclass(frozen=True, slots=True)
class DiscountStep:
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
    steps: tuple[DiscountStep, ...]


@dataclass(frozen=True, slots=True)
class DiscountGroup:
    """A product's variants."""

    title: str
    lines: tuple[DiscountLine, ...]


def write_discounts(content: Content, calculations: Sequence[VariantCalculation], theme: Theme, folder: Folder) -> None:
    """Write ``discounts.html`` and ``discounts.pdf``, and ``discounts-2.html`` and so on."""
    parts = in_parts(list(_for_sale(calculations).items()))
    begins = [designs[0][0] for _, designs in parts] if len(parts) > 1 else []
    for part, designs in parts:
        links = part.links(theme, "discounts.html", begins)
        sheet = DiscountSheet(content, dict(designs), theme, part, links)
        folder.make(part.name("discounts.html"), key_of("discount page", sheet.key), sheet.page)
        folder.make(part.name("discounts.pdf"), key_of("discounts", sheet.key), sheet.pdf)


def _for_sale(calculations: Sequence[VariantCalculation]) -> dict[str, list[VariantCalculation]]:
    """Give the variants of each design that is for sale, in the order of their titles."""
    designs: dict[str, list[VariantCalculation]] = {}
    for one in sorted(calculations, key=lambda one: one.product.keys.title.casefold()):
        if one.product.keys.availability != "sold":
            designs.setdefault(one.product.keys.title, []).append(one)
    return designs


@dataclass(frozen=True, slots=True)
class DiscountSheet:
    """A part of the sheet: the variants of its designs by their titles, and links to all parts."""

    content: Content
    designs: Mapping[str, Sequence[VariantCalculation]]
    theme: Theme
    part: SheetPart
    links: tuple[LinkView, ...]

    @property
    def key(self) -> str:
        """The key of all that it shows."""
        studio, stall = self.content.studio, self.content.studio.channel_on("stall")
        rows = [
            (title, [(one.offer, one.cost, one.prices[stall], one.earnings[stall]) for one in ones])
            for title, ones in self.designs.items()
        ]
        return key_of(self.theme.key, studio, self.content.day, self.part, self.links, rows)

    @property
    def heads(self) -> tuple[str, ...]:
        """The words over the columns of discounts."""
        wording = Wording.of(self.content.studio.studio)
        return tuple(_head(one, self.theme, wording) for one in read_discounts(self.content.studio.discounts))

    @property
    def groups(self) -> tuple[DiscountGroup, ...]:
        """Every variant in words."""
        discounts = read_discounts(self.content.studio.discounts)
        return tuple(
            DiscountGroup(title, tuple(_line(self.content, one, discounts, self.theme) for one in ones))
            for title, ones in self.designs.items()
        )

    @property
    def day(self) -> str:
        """The day of its prices."""
        return Wording.of(self.content.studio.studio).plain_day(self.content.day)

    def page(self) -> str:
        """Fill the page."""
        return bench_page(
            self.theme,
            self.content.studio.studio,
            "discounts.html",
            heads=self.heads,
            groups=self.groups,
            day=self.day,
            part=self.part.words(self.theme),
            parts=self.links,
            pdf=self.part.name("discounts.pdf"),
        )

    def pdf(self) -> bytes:
        """Set the sheet for the pocket."""
        keys, labels = self.content.studio.studio, self.theme.labels
        data = {
            "labels": labels["discounts"],
            "private": labels["bench"]["private"],
            "page": labels["stall"]["page"],
            "language": keys.language,
            "studio": keys.name,
            "day": self.day,
            "part": self.part.words(self.theme),
            "paper": PAPERS[keys.paper],
            "heads": list(self.heads),
            "groups": [asdict(one) for one in self.groups],
        }
        return typeset(self.theme, "bench/discounts.typ", data, self.content.day, several=self.part.count > 1)


def _line(content: Content, one: VariantCalculation, discounts: tuple[Discount, ...], theme: Theme) -> DiscountLine:
    studio, wording = content.studio, Wording.of(content.studio.studio)
    name = studio.channel_on("stall")
    printed, earning = one.prices[name].printed, one.earnings[name]
    steps = reduced_prices(studio.channels[name], printed, one.cost, discounts, minor_digits(studio.studio.currency))
    percent = most_percent_off(printed, earning.floor)
    labels = theme.labels["discounts"]
    return DiscountLine(
        ", ".join(word for word in (size_words(one.offer, wording), one.offer.finish, one.offer.glass) if word),
        wording.money(printed),
        wording.money(earning.floor),
        wording.money(earning.left_after_fees),
        wording.percent(percent / 100) if percent >= 0 else labels["none"],
        tuple(_step(step, wording) for step in steps),
    )


def _step(step: Reduced, wording: Wording) -> DiscountStep:
    return DiscountStep(wording.money(step.price), wording.money(step.left_after_fees), not step.covers)


def _head(discount: Discount, theme: Theme, wording: Wording) -> str:
    if discount.percent is None:
        take, pay = (wording.number(Decimal(many), 0) for many in (discount.take, discount.pay))
        return theme.words("discounts", "bundle", take=take, pay=pay)
    return theme.words("discounts", "percent", percent=wording.fine_percent(discount.percent / 100))
