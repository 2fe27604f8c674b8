"""The page on which a buyer finds a piece: the options, and which of them each product matches.

All of it is worked out here. The page's script only compares words of the page.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import asdict, dataclass
from decimal import Decimal

from catalog_builder.offer import Listing, Offer
from catalog_builder.publish.catalogue.descriptors import in_script
from catalog_builder.publish.catalogue.finder_views import FacetView, FinderView, OptionView
from catalog_builder.publish.catalogue.list_page import ListPage
from catalog_builder.publish.catalogue.listing_view import ListingViews
from catalog_builder.publish.catalogue.price_band import PriceBand, bands
from catalog_builder.publish.pictures.glass.colour_word import WORDS, colour_word
from catalog_builder.records.studio import Series
from catalog_builder.units import MM_PER, exact, minor_digits, rounded

# The folder of the parts of the data, in a large studio.
FOLDER = "pieces/"
# How many cards a part has, and how many are shown at a time. Results come from all over the list: small parts bring
# little that is not shown.
CARDS = 24


@dataclass(frozen=True, slots=True)
class PieceEntry:
    """What a product answers to, as ``FinderView.data`` describes it; ``words`` has three ranks."""

    href: str
    words: tuple[str, ...]
    variants: tuple[Mapping[str, list[str]], ...]
    places: tuple[str, ...]


class Finder:
    """Words what buyers can look for among listings, the newest first, and in which series."""

    def __init__(self, views: ListingViews, all_series: Mapping[str, Series]) -> None:
        self.views = views
        self.theme = views.theme
        self.wording = views.wording
        self.all_series = all_series
        self.listings = views.newest
        offers = [offer for listing in self.listings for offer in listing.offers]
        self.prices = bands([self._price(offer) for offer in offers if not offer.sold])
        self.sizes = bands([self._side(offer) for offer in offers])
        # A set whose pieces differ has no finish of its own.
        self.finishes = list(dict.fromkeys(offer.finish for offer in offers if offer.finish))

    def view(self, shown: ListPage, version: str) -> FinderView:
        """Give what a page of the list shows; ``version`` is that of the parts that a list on several pages loads."""
        parted = shown.count > 1
        facets = (
            self._available(),
            self._all_series(),
            self._colours(),
            self._size(),
            self._price_facet(),
            self._finishes(),
        )
        return FinderView(
            facets=tuple(facet for facet in facets if len(facet.options) > 1),
            cards=tuple(self.views.card(listing, "") for listing in shown.listings),
            data=in_script(self._parted(version) if parted else [asdict(self.entry(each)) for each in self.listings]),
            searches=shown.number == 1,
            parted=parted,
        )

    def _parted(self, version: str) -> dict[str, object]:
        return {"count": len(self.listings), "folder": FOLDER, "version": version, "cards": CARDS, "step": CARDS}

    def entry(self, listing: Listing) -> PieceEntry:
        """Give a product's search words in ranks, and the options that each of its variants matches."""
        said = [listing.summary, self.all_series[listing.series].title]
        seen = list(listing.glass_names)
        variants: list[dict[str, list[str]]] = []
        places: list[str] = []
        for offer in listing.offers:
            colours = list(dict.fromkeys(colour_word(colour) for colour in offer.glass_colours))
            said += [offer.size, offer.finish]
            seen += [offer.glass, *(self._label("colours", word) for word in colours)]
            variant = {
                "series": [listing.series],
                "colour": colours,
                "size": [band.name for band in self.sizes if band.holds(self._side(offer))],
                "price": [band.name for band in self.prices if not offer.sold and band.holds(self._price(offer))],
                "finish": [offer.finish] if offer.finish else [],
                "availability": [_value(offer)],
            }
            if variant not in variants:
                variants.append(variant)
                places.append(offer.anchor if len(listing.offers) > 1 else "")
        words = tuple(" ".join(dict.fromkeys(" ".join(rank).split())) for rank in ([listing.title], said, seen))
        return PieceEntry(f"products/{listing.slug}.html", words, tuple(variants), tuple(places))

    def _all_series(self) -> FacetView:
        used = {listing.series for listing in self.listings}
        options = [
            OptionView(value=slug, text=series.title, swatch="")
            for slug, series in self.all_series.items()
            if slug in used
        ]
        return self._facet("series", options)

    def _colours(self) -> FacetView:
        """Give the colours that some glass has, each with the sheet's own colour that most variants show."""
        counts = Counter(
            colour for listing in self.listings for offer in listing.offers for colour in offer.glass_colours
        )
        often = sorted(counts, key=lambda colour: (-counts[colour], colour))
        options = []
        for word in WORDS:
            swatch = next((colour for colour in often if colour_word(colour) == word), None)
            if swatch is not None:
                options.append(OptionView(value=word, text=self._label("colours", word), swatch=swatch))
        return self._facet("colour", options)

    def _size(self) -> FacetView:
        return self._facet("size", self._banded(self.sizes, self._length))

    def _price_facet(self) -> FacetView:
        return self._facet("price", self._banded(self.prices, self.wording.round_money))

    def _finishes(self) -> FacetView:
        return self._facet("finish", [OptionView(value=title, text=title, swatch="") for title in self.finishes])

    def _available(self) -> FacetView:
        used = {_value(offer): offer for listing in self.listings for offer in listing.offers}
        options = [
            OptionView(value=value, text=self._label("availability", value), swatch="") for value in sorted(used)
        ]
        return FacetView(name="availability", title=self._label("columns", "availability"), options=tuple(options))

    def _banded(self, price_bands: Sequence[PriceBand], worded: Callable[[Decimal], str]) -> Iterable[OptionView]:
        for band in price_bands:
            low, high = (None if border is None else worded(border) for border in (band.low, band.high))
            if low is None:
                text = self._label("find", "up_to", high=high)
            elif high is None:
                text = self._label("find", "from", low=low)
            else:
                text = self._label("find", "between", low=low, high=high)
            yield OptionView(value=band.name, text=text, swatch="")

    def _facet(self, name: str, options: Iterable[OptionView]) -> FacetView:
        return FacetView(name=name, title=self._label("find", name), options=tuple(options))

    def _price(self, offer: Offer) -> Decimal:
        return rounded(offer.online_price, minor_digits(self.wording.currency))

    def _side(self, offer: Offer) -> Decimal:
        """Give the longer side of the glass as buyers read it: in whole millimetres, or in tenths of an inch."""
        longer = max(offer.sides_mm)
        return exact(longer / self._unit_mm, 1 if self.wording.units == "imperial" else 0)

    def _length(self, side: Decimal) -> str:
        return self.wording.length(float(side) * self._unit_mm)

    @property
    def _unit_mm(self) -> float:
        return float(MM_PER["in" if self.wording.units == "imperial" else "mm"])

    def _label(self, table: str, key: str, **values: object) -> str:
        return self.theme.words(table, key, **values)


def _value(offer: Offer) -> str:
    """Give an offer's availability as addresses and labels call it."""
    return offer.availability.replace(" ", "_")
