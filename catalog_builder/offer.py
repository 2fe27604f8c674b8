"""What a buyer may see. Nothing here says what anything costs the maker, or who supplied it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Literal

from catalog_builder.cache.value_bytes import in_many_keys
from catalog_builder.phrase import joined
from catalog_builder.records.hardware_kind import HardwareKind
from catalog_builder.records.product import Availability, Hang
from catalog_builder.records.selling.reductions import Reason


@dataclass(frozen=True, slots=True)
class Parcel:
    """A variant as it is sent: sides in mm outside, the longest first; the most that it may weigh in g, with its box.

    ``band`` is the carrier's, in words, and ``postage`` its price; empty and None where they are not shown.
    """

    sides_mm: tuple[float, float, float]
    mass_g: float
    carrier: str
    band: str
    postage: Decimal | None


Tax = Literal["included", "added", "none"]


@dataclass(frozen=True, slots=True)
class ShownReduction:
    """What a buyer reads beside a reduced price: the earlier one, as printed, why it is reduced and until when.

    The earlier price is the lowest of the 30 days before (Directive 98/6/EC, Article 6a). ``percent`` counts from it
    and is None where no percentage is named; ``note`` may be empty.
    """

    earlier: Decimal
    percent: Decimal | None
    reason: Reason
    last_day: date
    note: str


@dataclass(frozen=True, slots=True)
class AskedPrice:
    """What a buyer is asked for: the price as it is printed, what is paid with all tax, and where the tax stands.

    ``reduction`` is there while the price is reduced.
    """

    printed: Decimal
    paid: Decimal
    tax: Tax
    reduction: ShownReduction | None = None


@dataclass(frozen=True, slots=True)
class Standing:
    """How a variant stands: its sides in mm as it stands, with feet and what is seen of a rod.

    ``footprint_mm`` are the width and depth of what it stands on; None where a rod or a clip holds it.
    ``in_soil_mm`` is how much of a rod goes into the soil.
    """

    width_mm: float
    height_mm: float
    depth_mm: float
    footprint_mm: tuple[float, float] | None
    in_soil_mm: float


@dataclass(frozen=True, slots=True)
class Offer:
    """A variant as it is offered. Lengths in mm, mass in g.

    ``size`` is empty where a product has one size, ``glass`` where it has one choice. ``glass_colours`` are those
    of the sheets that a good part of it is cut from, as #rrggbb, the largest part first. ``in_the_round``: parts
    stand out of its plane, so that its depth matters. ``hung_width_mm`` and ``hung_height_mm`` are as it hangs,
    with its hardware, ``standing`` is there where it does not hang; ``right_lower_mm`` is how much lower the right
    one of two rings sits that each need a hook. The mass is known to within ``mass_within_g``. ``parcel`` is None
    where nothing is known of it; ``by_hand`` says that it is not sent. ``recorded`` is what the product's record
    says of its availability, ``ready`` how many lie ready, None where that is not counted, and ``lead_days`` how
    long it takes to order; None where that is not said.
    """

    sku: str
    size: str
    finish: str
    glass: str
    glass_colours: tuple[str, ...]
    width_mm: float
    height_mm: float
    depth_mm: float
    in_the_round: bool
    hung_width_mm: float
    hung_height_mm: float
    right_lower_mm: float
    mass_g: float
    mass_within_g: float
    online: AskedPrice
    stall: AskedPrice
    parcel: Parcel | None
    by_hand: bool
    recorded: Availability = "made to order"
    ready: int | None = None
    lead_days: int | None = None
    standing: Standing | None = None

    @property
    def anchor(self) -> str:
        """Its place on its product's page: the record's names of its size, finish and glass, as its code has them.

        No id of a page has two hyphens side by side, so that none can be taken for it. A set has no such names.
        """
        names = self.sku.partition("--")[2]
        return names if "--" in names or not names else f"in--{names}"

    @property
    def availability(self) -> Availability:
        """Whether it can be had today: what is not made again is sold once none lies ready."""
        if self.ready == 0 and self.recorded in ("in stock", "one only"):
            return "sold"
        return "in stock" if self.ready and self.recorded == "made to order" else self.recorded

    @property
    def sold(self) -> bool:
        """Whether it is sold, so that it has no price any more."""
        return self.availability == "sold"

    @property
    def sides_mm(self) -> tuple[float, ...]:
        """Width and height, and depth where it matters."""
        flat = (self.width_mm, self.height_mm)
        return (*flat, self.depth_mm) if self.in_the_round else flat

    @property
    def online_price(self) -> Decimal:
        """The price as the catalogue prints it."""
        return self.online.printed

    @property
    def stall_price(self) -> Decimal:
        """The price as the stall's papers print it."""
        return self.stall.printed

    @property
    def words(self) -> str:
        """What sets it apart from the other variants of its product."""
        return joined((self.size, self.finish, self.glass))


@dataclass(frozen=True, slots=True)
class SetPart:
    """A piece of a set: the product that it is of, the variant as it is offered singly, and how many of it."""

    slug: str
    title: str
    offer: Offer
    count: int


@in_many_keys
@dataclass(frozen=True, slots=True)
class Listing:
    """A product or a set as it is offered, with its variants in the order of the record.

    ``cautions`` are codes that the theme's labels put into words. ``hang_by`` is the kind of
    hardware, ``hang_mm`` the length of it, ``tilt_degrees`` and ``lean_degrees`` the largest of its
    variants, as in its suspension.
    ``added_cautions`` are the studio's own and the product's own, in words. ``parts`` are the pieces of a set, which
    has one offer: its sides are those of its widest piece. A product has none. ``frame`` is what is round it in a
    buyer's words and ``frame_mm`` how wide that is, empty and 0 without a frame; sides are those of its outside.
    ``formerly`` are the names that its page had before.
    """

    slug: str
    title: str
    summary: str
    series: str
    added: date
    description: str
    offers: tuple[Offer, ...]
    pieces: int
    glass_names: tuple[str, ...]
    hang_by: HardwareKind
    hang_mm: float
    rings: int
    tilt_degrees: float
    lean_degrees: float
    cautions: tuple[str, ...]
    added_cautions: tuple[str, ...]
    parts: tuple[SetPart, ...] = ()
    frame: str = ""
    frame_mm: float = 0.0
    formerly: tuple[str, ...] = ()

    @property
    def for_sale(self) -> tuple[Offer, ...]:
        """The variants that are not sold."""
        return tuple(offer for offer in self.offers if not offer.sold)

    @property
    def sold(self) -> bool:
        """Whether every variant is sold."""
        return not self.for_sale

    @property
    def first(self) -> Offer:
        """The variant that is offered first: the first that is not sold, if there is any."""
        return next(iter(self.for_sale), self.offers[0])

    def page_of(self, offer: Offer) -> str:
        """Give where a variant stands in the catalogue: its product's page, and its place there if there are several.

        As a path from the catalogue's front folder.
        """
        place = f"#{offer.anchor}" if len(self.offers) > 1 else ""
        return f"products/{self.slug}.html{place}"

    @property
    def stands(self) -> bool:
        """Whether it stands, or is held from below; of a set whether all in it does."""
        if self.parts:
            return all(part.offer.standing for part in self.parts)
        return not self.hang_by.hangs

    @property
    def ready(self) -> int:
        """How many lie ready of all its variants together, as far as they are counted."""
        return sum(offer.ready or 0 for offer in self.for_sale)


def cautions(hang: Hang, leaded: bool, patina: bool, heavy: bool, uneven_rings: bool) -> tuple[str, ...]:
    """Give the codes of the cautions that apply, in the order in which they are read.

    A studio can reword what the theme says under them and add to it; it cannot leave one out.
    """
    return (
        "lead_solder" if leaded else "lead_free",
        *(("patina",) if patina else ()),
        "not_toy",
        "children",
        *(("cord",) if hang.by.by_length else ()),
        "not_food",
        "wash_hands",
        *(_hung(hang, heavy, uneven_rings) if hang.by.hangs else _stood(hang)),
        "damage",
        "sun_heat",
        "estimate",
        "local_rules",
    )


def _hung(hang: Hang, heavy: bool, uneven_rings: bool) -> Iterator[str]:
    yield "hang_point"
    if hang.by is HardwareKind.SUCTION_HOOK:
        yield "suction"
    if hang.by is HardwareKind.MAGNET:
        yield "magnet"
    if uneven_rings:
        yield "uneven_rings"
    if heavy:
        yield "heavy"
    if hang.outdoors:
        yield "outdoors"


def _stood(hang: Hang) -> Iterator[str]:
    yield str(hang.by)
    if hang.outdoors:
        yield "outdoors_standing"
    yield "tealight" if hang.tealight else "flame"


def with_lead_frame(codes: tuple[str, ...]) -> tuple[str, ...]:
    """Add the caution on a frame of lead to those of a piece: it comes after the one on solder."""
    return (codes[0], "lead_frame", *codes[1:])
