"""A variant as a product's page shows it: what can be chosen, what it is then, and how to ask for it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from catalog_builder.cache.store import key_of
from catalog_builder.offer import Listing, Offer
from catalog_builder.phrase import joined
from catalog_builder.publish.catalogue.availability_words import AvailabilityWords
from catalog_builder.publish.catalogue.enquiry import Enquiries
from catalog_builder.publish.pictures.piece_drawing import metal_of
from catalog_builder.publish.theme.loading import Theme
from catalog_builder.publish.theme.phrasing import Phrasing
from catalog_builder.publish.theme.reduction_words import reduction_words
from catalog_builder.publish.theme.side_words import side_words
from catalog_builder.publish.theme.tax_words import price_words
from catalog_builder.publish.theme.wording import Wording
from catalog_builder.publish.views import ChoiceView
from catalog_builder.records.studio_tables.studio_keys import StudioKeys

# More colours than these are no swatch but a pattern.
_MOST_COLOURS = 4
# What has been worded, by its key: a product's page, the page to send and the look book show the same.
_WORDED: dict[str, tuple[ChoiceView, ...]] = {}
_MOST_WORDED = 500


class ChoiceWords:
    """Words the variants of products."""

    def __init__(self, studio: StudioKeys, theme: Theme, wording: Wording) -> None:
        self.studio = studio
        self.theme = theme
        self.wording = wording
        self.phrasing = Phrasing(theme.labels, wording)
        self.availability = AvailabilityWords(theme, wording)
        self.enquiries = Enquiries(studio, theme, wording)

    def views(self, listing: Listing, looks: Mapping[str, str]) -> tuple[ChoiceView, ...]:
        """Give all variants of a product, in the order of its record; ``looks`` are by their codes."""
        key = key_of(self.theme.key, self.studio, self.wording, listing, looks)
        if key not in _WORDED:
            if len(_WORDED) >= _MOST_WORDED:
                _WORDED.clear()
            several_finishes = len({offer.finish for offer in listing.offers}) > 1
            _WORDED[key] = tuple(
                replace(self._view(listing, offer, several_finishes), hung_size=size, look=looks.get(offer.sku, ""))
                for offer, size in zip(listing.offers, self._hung_sizes(listing), strict=True)
            )
        return _WORDED[key]

    def _view(self, listing: Listing, offer: Offer, several_finishes: bool) -> ChoiceView:
        reduced, standing = None if offer.sold else offer.online.reduction, offer.standing
        own_size = side_words(self.theme, self.wording, *offer.sides_mm)
        stands = (standing.width_mm, standing.height_mm, standing.depth_mm) if standing else ()
        standing_size = side_words(self.theme, self.wording, *stands)
        return ChoiceView(
            sku=offer.sku,
            anchor=offer.anchor,
            address=self.studio.address + listing.page_of(offer),
            enquiry_href=self.enquiries.href(listing, offer),
            look="",
            swatch=_bands(offer.glass_colours[:_MOST_COLOURS]),
            metal=_shining(offer.finish),
            size=offer.size,
            finish=offer.finish if several_finishes else "",
            glass=offer.glass,
            price="" if offer.sold else price_words(self.theme, self.wording, offer.online),
            glass_size="" if listing.frame else own_size,
            framed_size=own_size if listing.frame else "",
            hung_size="",
            standing_size=standing_size if standing_size != own_size else "",
            weight=self.theme.words("product", "weight", weight=self.wording.mass(offer.mass_g, offer.mass_within_g)),
            packed=self._packed(offer),
            postage=self._postage(offer),
            availability=self.availability.of_offer(offer),
            sold=offer.sold,
            earlier=self.wording.money(reduced.earlier) if reduced else "",
            reduction=reduction_words(self.phrasing, offer.online) if reduced else "",
        )

    def _hung_sizes(self, listing: Listing) -> tuple[str, ...]:
        """Say how wide and high each variant hangs; nothing of any where hardware adds nothing that can be read."""
        glass, hung = (
            tuple(side_words(self.theme, self.wording, *sides) for sides in pieces)
            for pieces in (
                [(offer.width_mm, offer.height_mm) for offer in listing.offers],
                [(offer.hung_width_mm, offer.hung_height_mm) for offer in listing.offers],
            )
        )
        stands = any(offer.standing for offer in listing.offers)
        return ("",) * len(hung) if listing.parts or stands or hung == glass else hung

    def _packed(self, offer: Offer) -> str:
        parcel = offer.parcel
        if parcel is None:
            return self.theme.words("product", "by_hand") if offer.by_hand else ""
        size, mass = self.wording.parcel(parcel.sides_mm), self.wording.parcel_mass(parcel.mass_g)
        return self.theme.words("product", "packed", size=size, weight=mass)

    def _postage(self, offer: Offer) -> str:
        parcel = offer.parcel
        if parcel is None or parcel.postage is None:
            return ""
        price = self.wording.money(parcel.postage)
        service = joined((parcel.carrier, parcel.band))
        return self.theme.words("product", "postage", price=price, service=service)


def _bands(colours: Sequence[str]) -> str:
    """Give stripes of colours as a CSS paint, the first one the widest."""
    if not colours:
        return ""
    weights = [len(colours) - place for place in range(len(colours))]
    ends = [round(100 * sum(weights[: place + 1]) / sum(weights)) for place in range(len(colours))]
    stops = ", ".join(
        f"{colour} {begin}% {end}%" for colour, begin, end in zip(colours, [0, *ends], ends, strict=False)
    )
    return f"linear-gradient(120deg, {stops})"


def _shining(finish: str) -> str:
    """Give a bead of solder in a finish as a CSS paint."""
    metal = metal_of(finish)
    return f"linear-gradient(120deg, {metal.body} 30%, {metal.shine} 50%, {metal.body} 70%)"
