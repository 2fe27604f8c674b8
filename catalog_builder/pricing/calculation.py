"""The whole calculation of a variant, for the bench alone: how it is made, what it costs, what it earns."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, fields, replace
from decimal import Decimal
from itertools import groupby

from catalog_builder.making.glass_share import GlassShare
from catalog_builder.making.labour import StepTime
from catalog_builder.making.parcel import PackedPiece
from catalog_builder.making.quantities import Measures
from catalog_builder.offer import AskedPrice, Listing, Offer, Parcel, Standing, cautions, with_lead_frame
from catalog_builder.piece.assembly import AssembledPiece
from catalog_builder.piece.framed_rim import FramedRim
from catalog_builder.piece.hanging.suspension import Suspension
from catalog_builder.piece.made_piece import MadePiece
from catalog_builder.piece.standing.stance import Stance
from catalog_builder.pricing.book import ChannelPrice
from catalog_builder.pricing.consistency import ComparedVariant
from catalog_builder.pricing.cost import Cost
from catalog_builder.pricing.policy import Earning, Price
from catalog_builder.pricing.price_group import Member
from catalog_builder.records.material import Material
from catalog_builder.records.product import GlassChoice, Product
from catalog_builder.records.studio import Finish, ParcelKeys, Studio
from catalog_builder.units import exact

# A twentieth of the glass: from memory of what catches the eye, no source.
VISIBLE_SHARE = 0.05
# Keys of a record that no private paper shows.
FOR_BUYERS = frozenset({"summary", "photos"})


@dataclass(frozen=True, slots=True)
class GlassCharge:
    """What a variant's glass costs by boxes and by the share of a kept layout; the share says which is in force."""

    share: GlassShare
    by_boxes: Decimal
    by_layout: Decimal


@dataclass(frozen=True, slots=True)
class VariantCalculation:
    """Everything about one variant. Private; the buyer's part of it is ``offer``.

    ``count`` is how many of it are planned, were made and sold; ``glass`` is there where a kept layout has it.
    ``reduced`` are the prices of reductions that hold today, by channel.
    """

    product: Product
    assembled: AssembledPiece
    finish: str
    batch: int
    measures: Measures
    times: tuple[StepTime, ...]
    cost: Cost
    standings: Mapping[str, ChannelPrice]
    earnings: Mapping[str, Earning]
    offer: Offer
    packed: PackedPiece | None
    count: int
    glass: GlassCharge | None = None
    reduced: Mapping[str, Price] = field(default_factory=dict)

    def key_parts(self) -> list[object]:
        """What the variant is known by in keys: its record without what buyers alone read, and its piece by its key."""
        record = {name: value for name, value in self.product.keys if name not in FOR_BUYERS}
        own = [getattr(self, each.name) for each in fields(self) if each.name not in ("product", "assembled")]
        return [self.product.slug, record, self.assembled.own_key, *own]

    @property
    def member(self) -> Member:
        """The variant as its price sees it."""
        return Member(self.offer.sku, self.size, self.finish, self.choice, self.cost.total, self.count)

    @property
    def size(self) -> str:
        """The name of its size in the record; empty where there is only one."""
        return self.assembled.size

    @property
    def choice(self) -> str:
        """The name of its choice of glass in the record."""
        return self.assembled.choice

    @property
    def made(self) -> MadePiece:
        """How it is made."""
        return self.assembled.made

    @property
    def suspension(self) -> Suspension:
        """How it hangs."""
        return self.assembled.suspension

    @property
    def light(self) -> VariantCalculation:
        """The same without its outlines, small enough for another process."""
        return replace(self, assembled=replace(self.assembled, made=self.made.without_outlines))

    @property
    def prices(self) -> dict[str, Price]:
        """What is published in each channel."""
        return {name: self.reduced.get(name, standing.published) for name, standing in self.standings.items()}

    @property
    def lines(self) -> dict[str, tuple[Decimal, Decimal]]:
        """Quantity and unit price of each line of the cost, by its key."""
        lines: dict[str, tuple[Decimal, Decimal]] = {}
        for line in self.cost.lines:
            # A material may be used in two ways at one price.
            quantity = lines.get(line.key, (Decimal(0), Decimal(0)))[0]
            lines[line.key] = (quantity + line.quantity, line.unit_price)
        return lines


def listings_of(
    studio: Studio, rows: Mapping[str, Material], calculations: Sequence[VariantCalculation]
) -> tuple[Listing, ...]:
    """Give what buyers may see of each product, in the order of the variants."""
    by_product = groupby(calculations, lambda variant: variant.product.slug)
    groups = [list(variants) for _, variants in by_product]
    return tuple(listing_of(studio, rows, variants[0].product, variants) for variants in groups)


def listing_of(
    studio: Studio, rows: Mapping[str, Material], product: Product, variants: Sequence[VariantCalculation]
) -> Listing:
    """Give what a buyer may see of a product; ``rows`` are the materials by name."""
    keys = product.keys
    names = {material for choice in keys.glass.values() for material in choice.pieces.values()}
    finishes = [studio.finishes[name] for name in keys.finishes]
    first = variants[0]
    listing = Listing(
        slug=product.slug,
        title=keys.title,
        summary=keys.summary,
        series=keys.series,
        added=keys.added,
        description=product.description,
        offers=tuple(variant.offer for variant in variants),
        pieces=first.made.pieces,
        glass_names=tuple(sorted(rows[name].public_title for name in names)),
        hang_by=first.suspension.hung_by,
        hang_mm=first.suspension.hanger_mm or float(first.suspension.hanger.length_mm or 0)
        if first.suspension.hanger
        else 0.0,
        rings=len(first.suspension.rings),
        tilt_degrees=max((variant.suspension.tilt_degrees for variant in variants), key=abs),
        lean_degrees=max((variant.suspension.lean_degrees for variant in variants), key=abs),
        cautions=cautions(
            keys.hang,
            leaded=any(variant.suspension.leaded for variant in variants),
            patina=any(has_patina(finish) for finish in finishes),
            heavy=any(variant.suspension.heavy for variant in variants),
            uneven_rings=any(round(abs(variant.offer.right_lower_mm)) >= 1 for variant in variants),
        ),
        added_cautions=tuple(dict.fromkeys((*studio.cautions.also, *keys.cautions))),
        formerly=keys.formerly,
    )
    return _with_frame(listing, first.made.frame)


def _with_frame(listing: Listing, framed: FramedRim | None) -> Listing:
    """Say what is round a piece, and what to be careful of with lead."""
    if framed is None:
        return listing
    material = framed.material
    codes = with_lead_frame(listing.cautions) if material.leaded else listing.cautions
    return replace(listing, frame=material.public_title, frame_mm=float(material.width_mm or 0), cautions=codes)


def offer_of(
    studio: Studio,
    rows: Mapping[str, Material],
    product: Product,
    piece: AssembledPiece,
    finish: str,
    prices: Mapping[str, Price],
) -> Offer:
    """Give what a buyer may see of a variant, without its parcel; ``rows`` are the materials by name."""
    glass, suspension = product.keys.glass, piece.suspension
    return Offer(
        sku=product.code(piece.size, finish, piece.choice),
        size=product.keys.size_title(piece.size),
        finish=studio.finishes[finish].title,
        glass=(glass[piece.choice].title or "") if len(glass) > 1 else "",
        glass_colours=glass_colours(piece.made, glass[piece.choice], rows),
        width_mm=suspension.width_mm,
        height_mm=suspension.height_mm,
        depth_mm=suspension.depth_mm,
        in_the_round=bool(product.keys.parts),
        hung_width_mm=suspension.turned_mm[0],
        hung_height_mm=suspension.hung_height_mm,
        right_lower_mm=0.0 if product.keys.hang.by.by_length else suspension.right_lower_mm,
        mass_g=suspension.mass_g,
        mass_within_g=suspension.mass_uncertainty_g,
        online=asked_price(studio, prices, studio.channel_on("catalogue")),
        stall=asked_price(studio, prices, studio.channel_on("stall")),
        parcel=None,
        by_hand=False,
        recorded=product.keys.availability,
        lead_days=product.keys.lead_days or studio.studio.lead_days,
        standing=standing_of(suspension.stance) if suspension.stance is not None else None,
    )


def standing_of(stance: Stance) -> Standing:
    """Give what a buyer may see of how a piece stands; how far it can be tipped is for the bench."""
    width, _, depth = stance.outer_mm
    size = stance.footprint.size_mm if stance.footprint is not None else None
    return Standing(width, stance.height_mm, depth, size, stance.in_soil_mm)


def asked_price(studio: Studio, prices: Mapping[str, Price], channel: str) -> AskedPrice:
    """Give what the buyer of a channel is asked for."""
    return AskedPrice(prices[channel].printed, prices[channel].paid, studio.channels[channel].shown_tax)


def parcel_of(settings: ParcelKeys, packed: PackedPiece) -> Parcel:
    """Give what a buyer may see of a parcel: the band and its price only where the studio shows them."""
    band = packed.band if settings.show_postage else None
    carriage = (band.carrier, band.band, band.price) if band is not None else ("", "", None)
    return Parcel(packed.sides_mm, packed.mass_g, *carriage)


def glass_charge(variant: VariantCalculation, share: GlassShare) -> GlassCharge:
    """Compare what a variant's glass costs by boxes, as it was calculated, with what a layout's share would."""
    charged = share.charged_dm2(variant.made, variant.product.keys.glass[variant.choice])
    lines = [line for line in variant.cost.lines if line.group == "glass"]
    by_layout = sum((charged[line.key] * line.unit_price for line in lines), Decimal(0))
    return GlassCharge(share, variant.cost.of("glass"), by_layout)


def glass_colours(made: MadePiece, choice: GlassChoice, rows: Mapping[str, Material]) -> tuple[str, ...]:
    """Give the colours of glass that a buyer sees in a piece, the one with the largest area first.

    A colour under ``VISIBLE_SHARE`` of the glass, such as an eye's, is not what a buyer looks for.
    """
    areas: dict[str, float] = {}
    for word, tally in made.tallies.items():
        colour = (rows[choice.pieces[word]].colour or "").lower()
        areas[colour] = areas.get(colour, 0.0) + tally.area_mm2
    least = sum(areas.values()) * VISIBLE_SHARE
    visible = sorted((-exact(area, 2), colour) for colour, area in areas.items() if colour and area >= least)
    return tuple(colour for _, colour in visible)


def has_patina(finish: Finish) -> bool:
    """Say whether a finish is a chemical patina: a material of it or its title says so."""
    return any("patina" in word.lower() for word in (finish.title, *finish.materials))


def compared(variant: VariantCalculation) -> ComparedVariant:
    """Give what the comparison of prices needs of a variant."""
    return ComparedVariant(
        variant.product,
        variant.size,
        variant.finish,
        variant.choice,
        variant.suspension.width_mm,
        variant.cost.total,
        variant.prices,
        variant.earnings,
    )
