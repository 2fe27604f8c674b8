"""A product as the catalogue's pages show it: cards, pictures, choices, facts and advice, all in words."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from markupsafe import Markup

from catalog_builder.cache.store import Store
from catalog_builder.offer import Listing, SetPart
from catalog_builder.phrase import Money, joined, phrase
from catalog_builder.publish.catalogue.choice_words import ChoiceWords
from catalog_builder.publish.pictures.album import Shot
from catalog_builder.publish.pictures.choice_drawing import LENGTH_MM, beside
from catalog_builder.publish.pictures.gallery import Pictures
from catalog_builder.publish.theme.caution_lines import caution_lines
from catalog_builder.publish.theme.loading import Theme, marked_up
from catalog_builder.publish.theme.phrasing import Phrasing
from catalog_builder.publish.theme.set_words import contents_words, piece_words
from catalog_builder.publish.theme.side_words import side_ranges, side_words
from catalog_builder.publish.theme.standing_words import standing_lines
from catalog_builder.publish.theme.tax_words import price_words
from catalog_builder.publish.theme.wording import Wording
from catalog_builder.publish.views import (
    CardView,
    FactView,
    ImageSource,
    LinkView,
    PageView,
    PictureView,
    ProductView,
    SetPartView,
)
from catalog_builder.records.own_page import OwnPage
from catalog_builder.records.selling.market_date import Market
from catalog_builder.records.studio import Series
from catalog_builder.records.studio_tables.studio_keys import StudioKeys

NEIGHBOURS = 3


def newest_first(listings: Iterable[Listing]) -> tuple[Listing, ...]:
    """Give products in the order in which the catalogue shows them."""
    return tuple(sorted(listings, key=lambda listing: (-listing.added.toordinal(), listing.slug)))


@dataclass(frozen=True, slots=True, kw_only=True)
class CatalogueContent:
    """All that the catalogue is made of."""

    studio: StudioKeys
    all_series: Mapping[str, Series]
    markets: tuple[Market, ...]
    texts: Mapping[str, str]
    own_pages: tuple[OwnPage, ...]
    listings: tuple[Listing, ...]
    pictures: Mapping[str, Pictures]
    day: date
    theme: Theme
    store: Store


class ListingViews:
    """Words listings for the theme's templates. ``newest`` holds all of them, the newest first."""

    def __init__(self, content: CatalogueContent, newest: tuple[Listing, ...]) -> None:
        self.studio = content.studio
        self.theme = content.theme
        self.wording = Wording.for_buyers(content.studio)
        self.phrasing = Phrasing(content.theme.labels, self.wording)
        self.choices = ChoiceWords(content.studio, content.theme, self.wording)
        self.all_series = content.all_series
        self.pictures_of = content.pictures
        self.newest = newest
        self.inside: dict[str, list[Listing]] = {}
        for listing in newest:
            self.inside.setdefault(listing.series, []).append(listing)

    def neighbours(self, listing: Listing) -> list[Listing]:
        """Give the newest others of a product's series."""
        first = self.inside[listing.series][: NEIGHBOURS + 1]
        return [other for other in first if other.slug != listing.slug][:NEIGHBOURS]

    def card(self, listing: Listing, root: str) -> CardView:
        """Give a product as a list shows it; ``root`` leads back to the catalogue's front folder."""
        price = self._prices(listing)[0]
        several = len({offer.online_price for offer in listing.for_sale}) > 1
        sides = side_ranges(self.theme, self.wording, (offer.sides_mm for offer in listing.offers))
        return CardView(
            title=listing.title,
            href=f"{root}products/{listing.slug}.html",
            summary=listing.summary,
            picture=self.lead(listing, root),
            price_from=self.theme.words("product", "from_price", price=price) if several else price,
            sizes_text=contents_words(listing) or sides,
            availability=self.choices.availability.of_card(listing),
        )

    def _prices(self, listing: Listing) -> tuple[str, str]:
        """Give a product's lowest and highest price; empty where it is sold."""
        prices = sorted((offer.online for offer in listing.for_sale), key=lambda price: price.printed)
        if not prices:
            return "", ""
        low, high = (price_words(self.theme, self.wording, price) for price in (prices[0], prices[-1]))
        return low, high

    def lead(self, listing: Listing, root: str) -> PictureView:
        """Give the picture that stands for a product: a photo of what is offered first, or the drawn one."""
        return self.pictures(listing, root)[0]

    def pictures(self, listing: Listing, root: str) -> tuple[PictureView, ...]:
        """Give a product's photos and the picture drawn from its pattern, where it may be seen or no photo is there."""
        pictures = self.pictures_of[listing.slug]
        shots = tuple(self._shot(listing, shot, root) for shot in pictures.shots)
        if not pictures.with_drawing:
            return shots
        width, height = pictures.drawn_size
        drawn = PictureView(
            src=f"{root}pictures/{listing.slug}.svg",
            alt=self.theme.words("product", "drawn_alt" if pictures.shown else "glass_alt", title=listing.title),
            width=width,
            height=height,
            sources=(),
            colour=pictures.colour,
            focus="50% 50%",
            drawn=True,
            stands=listing.stands,
        )
        return (*shots, drawn) if pictures.leading else (drawn, *shots)

    def _shot(self, listing: Listing, shot: Shot, root: str) -> PictureView:
        renditions = shot.prints.renditions
        base = f"{root}pictures/{shot.name}"

        def candidates(ending: str) -> str:
            return ", ".join(f"{base}-{size.width}.{ending} {size.width}w" for size in renditions)

        middle = renditions[min(1, len(renditions) - 1)]
        return PictureView(
            src=f"{base}-{middle.width}.jpg",
            alt=shot.alt or listing.title,
            width=middle.width,
            height=middle.height,
            sources=(
                ImageSource(mime="image/webp", srcset=candidates("webp")),
                ImageSource(mime="image/jpeg", srcset=candidates("jpg")),
            ),
            colour=shot.prints.colour,
            focus=f"{shot.focus[0] * 100:g}% {shot.focus[1] * 100:g}%",
            drawn=False,
            stands=False,
            shows=shot.shows,
            largest=f"{base}-{renditions[-1].width}.jpg",
        )

    def product(self, listing: Listing, page: PageView) -> ProductView:
        """Give all that a product's own page shows."""
        own = self.pictures_of[listing.slug]
        choices = self.choices.views(listing, own.looks)
        scale = self._scale(listing)
        several = [name for name in ("size", "finish", "glass") if any(getattr(choice, name) for choice in choices)]
        differ = len({choice.availability for choice in choices}) > 1 and not listing.sold
        can_be_had = ["availability"] if differ else []
        held = [name for name in ("hung_size", "standing_size") if any(getattr(choice, name) for choice in choices)]
        measures = [] if listing.parts else ["framed_size" if listing.frame else "glass_size", *held]
        priced = [] if listing.sold else ["price"]
        sent = [name for name in ("packed", "postage") if any(getattr(choice, name) for choice in choices)]
        low, high = self._prices(listing)
        series = self.all_series[listing.series]
        return ProductView(
            title=listing.title,
            summary=listing.summary,
            description=marked_up(listing.description),
            series=LinkView(text=series.title, href=f"{page.root}series/{listing.series}.html", current=False),
            pictures=self.pictures(listing, page.root),
            drawing=Markup(own.choice),  # noqa: S704 - drawn by this program
            drawing_text=self.theme.words("showing", "drawn", title=listing.title, scale=scale),
            drawing_scale=scale,
            pattern=Markup(own.diagram),  # noqa: S704 - drawn by this program
            hanging_drawing=Markup(own.hanging),  # noqa: S704 - drawn by this program
            choices=choices,
            choice_columns=(*several, *priced, *can_be_had, *measures, "weight", *sent),
            price_range=low if low == high else self.theme.words("product", "price_range", lowest=low, highest=high),
            availability=self.choices.availability.of_page(listing),
            sold=listing.sold,
            facts=self._facts(listing),
            hanging=self._hanging(listing),
            stands=listing.stands,
            cautions=caution_lines(listing, self.theme),
            neighbours=tuple(self.card(neighbour, page.root) for neighbour in self.neighbours(listing)),
            first=choices[listing.offers.index(listing.first)],
            enquiry_note=self.choices.enquiries.note,
            parts=tuple(self._part(part, page.root) for part in listing.parts),
            singly=self._singly(listing),
        )

    def _scale(self, listing: Listing) -> str:
        """Say what stands beside the drawing, and how long it is."""
        kind = beside(max(offer.hung_height_mm for offer in listing.offers))
        return self.theme.words("showing", f"beside_{kind}", length=self.wording.length(LENGTH_MM[kind]))

    def _part(self, part: SetPart, root: str) -> SetPartView:
        offer = part.offer
        return SetPartView(
            text=piece_words(part),
            href=f"{root}products/{part.slug}.html#{offer.anchor}",
            size=side_words(self.theme, self.wording, *offer.sides_mm),
            price="" if offer.sold else price_words(self.theme, self.wording, offer.online),
        )

    def _singly(self, listing: Listing) -> str:
        """Say what the pieces of a set cost one by one; nothing where it is sold, or costs as much."""
        amount = sum((part.offer.online_price * part.count for part in listing.parts), Decimal(0))
        if listing.sold or amount <= listing.offers[0].online_price:
            return ""
        return self.phrasing.say(phrase("sets.singly", price=Money(amount)))

    def _facts(self, listing: Listing) -> tuple[FactView, ...]:
        labels = self.theme.labels["facts"]
        finishes = list(dict.fromkeys(offer.finish for offer in listing.offers if offer.finish))
        rows = [
            ("technique", labels["technique_value"]),
            ("pieces", self.wording.number(Decimal(listing.pieces), 0)),
            ("glass", joined(listing.glass_names)),
            ("finish", joined(finishes)),
            *self._frame(listing),
            ("rings", self.wording.number(Decimal(listing.rings), 0) if listing.rings else ""),
            ("added", self.wording.month(listing.added)),
        ]
        return tuple(FactView(name=labels[name], value=value) for name, value in rows if value)

    def _frame(self, listing: Listing) -> list[tuple[str, str]]:
        if not listing.frame:
            return []
        width = self.wording.length(listing.frame_mm)
        return [("frame", self.theme.words("frames", "framed_in", material=listing.frame, width=width))]

    def _hanging(self, listing: Listing) -> tuple[str, ...]:
        if listing.parts:
            held = {bool(part.offer.standing) for part in listing.parts}
            key = "both" if len(held) > 1 else "standing" if listing.stands else "hanging"
            estimates = [name for name, stands in (("hanging", False), ("standing", True)) if stands in held]
            return (self.theme.labels["sets"][key], *(self.theme.words(name, "estimate") for name in estimates))
        length = self.wording.length(listing.hang_mm)
        hardware = phrase(f"hardware.hang_by_{listing.hang_by}", length=length, count=listing.rings)
        lines = [self.phrasing.say(hardware)]
        if not listing.hang_by.hangs:
            estimate = self.theme.words("standing", "estimate")
            return (*lines, *standing_lines(listing, self.phrasing), estimate)
        if listing.rings > 1 and not listing.hang_by.by_length:
            lines.append(self.theme.words("hanging", "rings", rings=listing.rings))
        turns = [
            (listing.tilt_degrees, "tilt_right" if listing.tilt_degrees > 0 else "tilt_left"),
            (listing.lean_degrees, "lean_forward" if listing.lean_degrees > 0 else "lean_back"),
        ]
        turned = [(abs(degrees), key) for degrees, key in turns if round(abs(degrees)) >= 1]
        stand = [self.theme.words("hanging", key, angle=self.wording.angle(degrees)) for degrees, key in turned]
        stand += self._uneven_rings(listing)
        level = self.theme.words("hanging", "level")
        return (*lines, *(stand or [level]), self.theme.words("hanging", "estimate"))

    def _uneven_rings(self, listing: Listing) -> list[str]:
        """Say by how much one of two hooks must be higher, for each size; nothing where the rings are level."""
        steps = {offer.size: offer.right_lower_mm for offer in listing.offers}
        if all(round(abs(step)) < 1 for step in steps.values()):
            return []
        heights = {size: self.wording.length(abs(step)) for size, step in steps.items()}
        several = len(set(heights.values())) > 1
        text = joined(f"{size} {height}" for size, height in heights.items()) if several else min(heights.values())
        return [self.theme.words("hanging", "uneven_left" if max(steps.values()) > 0 else "uneven_right", height=text)]
