"""A set calculated: its cost and weight are those of its pieces together, its price their sum less a share. Private."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from catalog_builder.making.packing import Packer
from catalog_builder.mistake import Finding
from catalog_builder.offer import AskedPrice, Listing, Offer, SetPart
from catalog_builder.phrase import Money
from catalog_builder.pricing.calculation import VariantCalculation, asked_price, parcel_of
from catalog_builder.pricing.policy import Price, floor_of, lead_of, price_before_tax, printed_price, to_point
from catalog_builder.pricing.policy import set_price as set_by_rule
from catalog_builder.pricing.ready_stock import variant_of
from catalog_builder.records.material import Material
from catalog_builder.records.product_set import ProductSet
from catalog_builder.records.selling.channel import Channel
from catalog_builder.records.studio import Studio
from catalog_builder.records.studio_tables.caution import Cautions
from catalog_builder.records.variant import Variant
from catalog_builder.units import minor_digits

# The order in which cautions are read; pieces with lead and without may lie in one set.
_ORDER = Cautions.codes()


@dataclass(frozen=True, slots=True)
class SetPrice:
    """A set's price in a channel, what its pieces are sold for singly, its floor price, and what is left of it."""

    price: Price
    singly: Decimal
    floor: Decimal
    left_after_fees: Decimal
    profit: Decimal


@dataclass(frozen=True, slots=True)
class SetCalculation:
    """All about a set: its pieces with their counts, its cost, its minutes at the bench, and its prices by channel."""

    product_set: ProductSet
    members: tuple[tuple[VariantCalculation, int], ...]
    cost: Decimal
    minutes: Decimal
    prices: Mapping[str, SetPrice]
    listing: Listing

    @property
    def printed(self) -> dict[str, Price]:
        """What is published in each channel."""
        return {name: each.price for name, each in self.prices.items()}


def calculate_sets(
    product_sets: Sequence[ProductSet],
    studio: Studio,
    rows: Mapping[str, Material],
    packer: Packer,
    variants: Sequence[VariantCalculation],
    listings: Sequence[Listing],
) -> tuple[SetCalculation, ...]:
    """Calculate every set from its variants as they are sold today; ``listings`` are those of the products."""
    by_slug = {listing.slug: listing for listing in listings}
    by_names = {variant_of(variant): variant for variant in variants} if product_sets else {}
    sets = []
    for each in product_sets:
        members = tuple((by_names[variant], count) for variant, count in each.members)
        cost = sum((variant.cost.total * count for variant, count in members), Decimal(0))
        minutes = sum((variant.cost.minutes * count for variant, count in members), Decimal(0))
        prices = {name: _set_price(studio, each, members, cost, name) for name in studio.channels}
        offer = _offer(studio, packer, each, members, {name: price.price for name, price in prices.items()})
        listing = _listing(rows, each, members, offer, by_slug)
        sets.append(SetCalculation(each, members, cost, minutes, prices, listing))
    return tuple(sets)


def set_price(
    channels: Mapping[str, Channel], name: str, singly: Mapping[str, Decimal], less_percent: Decimal, digits: int
) -> Price:
    """Give a channel's price of pieces that cost so much singly, by channel: less the share, to a price point.

    A channel that follows another follows its price of the set. No price is more than the pieces cost singly.
    """
    channel, leader = channels[name], channels[name].follows
    if leader is not None and leader in singly:
        lead = set_price(channels, leader, singly, less_percent, digits)
        before_tax = price_before_tax(channel, Decimal(0), lead_of(channel, channels[leader], lead))
        printed = set_by_rule(channel, before_tax, digits).printed
    else:
        printed = to_point(singly[name] * (1 - less_percent / 100), channel.points, digits, channel.rounding)
    return printed_price(channel, min(printed, singly[name]), digits)


def price_on(studio: Studio, each: ProductSet, channel: str, printed: Mapping[str, Mapping[Variant, Decimal]]) -> Price:
    """Give a set's price in a channel where its variants are printed so, by channel, such as on another day."""
    singly = {
        name: sum((prices[variant] * count for variant, count in each.members), Decimal(0))
        for name, prices in printed.items()
    }
    digits = minor_digits(studio.studio.currency)
    return set_price(studio.channels, channel, singly, each.keys.less_percent, digits)


def set_findings(studio: Studio, sets: Sequence[SetCalculation]) -> Iterator[Finding]:
    """Find sets whose price does not cover the cost of their pieces."""
    for each in sets:
        for name, price in each.prices.items():
            if price.price.printed < price.floor:
                values = {"title": each.product_set.keys.title, "channel": studio.channels[name].title}
                yield Finding.of(
                    "R03",
                    each.product_set.source.place(each.product_set.line("less_percent")),
                    "sets.under_floor",
                    **values,
                    floor=Money(price.floor),
                )


def _set_price(
    studio: Studio,
    each: ProductSet,
    members: Sequence[tuple[VariantCalculation, int]],
    cost: Decimal,
    name: str,
) -> SetPrice:
    channel, digits = studio.channels[name], minor_digits(studio.studio.currency)
    singly = {
        other: sum((variant.prices[other].printed * count for variant, count in members), Decimal(0))
        for other in studio.channels
    }
    price = set_price(studio.channels, name, singly, each.keys.less_percent, digits)
    # A set is one sale: it bears the fixed fees once.
    left = price.before_tax - price.paid * channel.fee_percent / 100 - channel.fixed_fee
    return SetPrice(price, singly[name], floor_of(channel, cost, digits), left, left - cost)


def _largest(members: Sequence[tuple[VariantCalculation, int]]) -> VariantCalculation:
    return max((variant for variant, _ in members), key=lambda variant: variant.offer.width_mm)


def _listing(
    rows: Mapping[str, Material],
    each: ProductSet,
    members: Sequence[tuple[VariantCalculation, int]],
    offer: Offer,
    listings: Mapping[str, Listing],
) -> Listing:
    keys = each.keys
    names = {name for variant, _ in members for name in variant.product.keys.glass[variant.choice].pieces.values()}
    products = [listings[slug] for slug in dict.fromkeys(variant.product.slug for variant, _ in members)]
    codes = {code for listing in products for code in listing.cautions}
    added = (line for listing in products for line in listing.added_cautions)
    return Listing(
        slug=each.slug,
        title=keys.title,
        summary=keys.summary,
        series=keys.series,
        added=keys.added,
        description=each.description,
        offers=(offer,),
        pieces=sum(variant.made.pieces * count for variant, count in members),
        glass_names=tuple(sorted(rows[name].public_title for name in names)),
        hang_by=_largest(members).product.keys.hang.by,
        hang_mm=0.0,
        rings=sum(len(variant.suspension.rings) * count for variant, count in members),
        tilt_degrees=0.0,
        lean_degrees=0.0,
        cautions=tuple(sorted(codes, key=_ORDER.index)),
        added_cautions=tuple(dict.fromkeys((*added, *keys.cautions))),
        parts=tuple(
            SetPart(variant.product.slug, variant.product.keys.title, variant.offer, count)
            for variant, count in members
        ),
    )


def _offer(
    studio: Studio,
    packer: Packer,
    each: ProductSet,
    members: Sequence[tuple[VariantCalculation, int]],
    prices: Mapping[str, Price],
) -> Offer:
    """Give what a buyer may see of a set: its sides are those of its widest piece, its mass that of all."""
    offers = [(variant.offer, count) for variant, count in members]
    packed = packer.pack_together([(variant.suspension, count) for variant, count in members])
    to_order = any(offer.recorded == "made to order" for offer, _ in offers)
    sold = any(offer.sold or (offer.recorded == "in stock" and _short(offer, count)) for offer, count in offers)
    counted = [offer.ready // count for offer, count in offers if offer.ready is not None]
    times = [offer.lead_days for offer, _ in offers if offer.lead_days is not None]
    online, stall = (_asked(studio, prices, audience) for audience in ("catalogue", "stall"))
    return replace(
        _largest(members).offer,
        sku=each.slug,
        size="",
        finish="",
        glass="",
        glass_colours=tuple(dict.fromkeys(colour for offer, _ in offers for colour in offer.glass_colours)),
        right_lower_mm=0.0,
        mass_g=sum(offer.mass_g * count for offer, count in offers),
        mass_within_g=sum(offer.mass_within_g * count for offer, count in offers),
        online=online,
        stall=stall,
        parcel=parcel_of(studio.parcel, packed) if packed is not None else None,
        by_hand=bool(packer.boxes) and packed is None,
        recorded="sold" if sold else "made to order" if to_order else "in stock",
        ready=min(counted) if len(counted) == len(offers) else None,
        lead_days=max(times) if times else None,
    )


def _asked(studio: Studio, prices: Mapping[str, Price], audience: str) -> AskedPrice:
    return asked_price(studio, prices, studio.channel_on(audience))


def _short(offer: Offer, count: int) -> bool:
    return offer.ready is not None and offer.ready < count
