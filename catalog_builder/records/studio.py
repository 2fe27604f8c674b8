"""The studio: ``content/studio.toml``, with its rates, steps, finishes, channels, series and markets."""

from __future__ import annotations

from decimal import Decimal
from typing import Literal

from pydantic import Field, model_validator

from catalog_builder.mistake import Mistakes
from catalog_builder.records.reading.source import Source
from catalog_builder.records.reading.toml import key_line, read_toml
from catalog_builder.records.reading.validation import validate
from catalog_builder.records.reading.values import Amount, Line, Name, Percent, Record
from catalog_builder.records.selling.channel import Channel
from catalog_builder.records.selling.channel_check import check_channels
from catalog_builder.records.selling.discounts import Discounts
from catalog_builder.records.selling.market_date import Market, check_markets
from catalog_builder.records.studio_tables.caution import BenchCautions, Cautions
from catalog_builder.records.studio_tables.look_table import Look
from catalog_builder.records.studio_tables.studio_keys import StudioKeys

# Far more than a studio of many makers needs.
MOST_STUDIO_BYTES = 400_000


class Bench(Record):
    """``[bench]``: what the maker's time costs."""

    hourly_rate: Amount = Field(gt=0, description="what an hour of hands-on work is paid")
    overheads_a_year: Amount = Field(Decimal(0), description="rent, light, insurance ... in a year")
    bench_hours_a_year: Amount = Field(gt=0, description="the hands-on hours that carry the overheads")
    allowance_percent: Percent = Field(
        Decimal(9), description="rest and small delays on top of basic minutes: 9 is a common starting point"
    )
    batch: int = Field(8, ge=1, le=1000, description="how many are made together, where a record does not say")

    @property
    def overhead_an_hour(self) -> Decimal:
        """Overheads carried by one hands-on hour."""
        return self.overheads_a_year / self.bench_hours_a_year


class Making(Record):
    """``[making]``: how pieces are put together. The defaults are common practice, no source."""

    solder: Name = Field(description="the solder of materials.csv that is used")
    wire: Name = Field(description="the wire of materials.csv that is used where a drawing names none")
    ring: Name = Field("auto", description="a ring of materials.csv, or `auto` for the lightest that holds")
    foil: Name = Field("auto", description="a foil of materials.csv, or `auto` for the narrowest that wraps enough")
    foil_gap_mm: Amount = Field(Decimal("0.8"), le=5, description="the strip lost between two pieces")
    foil_overlap_mm: Amount = Field(Decimal(5), description="where the two ends of a piece's foil meet")
    foil_wrap_mm: Amount = Field(Decimal(1), description="the least that foil must wrap onto each face")
    seam_height_mm: Amount = Field(Decimal(1), description="how proud the bead on a seam stands")
    rim_height_mm: Amount = Field(Decimal(1), description="how proud the round bead on a rim stands")
    joint_solder_g: Amount = Field(Decimal("0.05"), description="extra solder where seams meet")
    seam_solder_g_m: Amount | None = Field(None, description="weighed grams a metre of seam; replaces the model")
    rim_solder_g_m: Amount | None = Field(None, description="weighed grams a metre of rim; replaces the model")
    solder_uncertainty_percent: Percent | None = Field(
        None, description="by how much the solder's weight may be off; 20 by the model, 5 by weighed grams"
    )
    ring_seat_mm: Amount = Field(Decimal(6), gt=0, description="how much of a ring's wire is sunk into the seam")
    cutting_clearance_mm: Amount = Field(Decimal(3), description="glass lost beside each piece when it is cut")
    offcut_mm: Amount = Field(
        Decimal(80), gt=0, description="the rest of a sheet is kept as an offcut if both its sides are at least this"
    )
    smallest_piece_mm: Amount = Field(Decimal(6), description="pieces under this across are reported")
    smallest_neck_mm: Amount = Field(Decimal(4), description="glass narrower than this between wider parts is reported")
    grinder_bit_mm: Amount = Field(
        Decimal(6), description="the grinder's smallest bit; corners it cannot reach are reported"
    )
    chord_tolerance_mm: Amount = Field(Decimal("0.01"), gt=0, le=1, description="how closely curves are followed")
    snap_mm: Amount = Field(Decimal("0.3"), le=2, description="line ends that miss by up to this are joined")

    @property
    def solder_share(self) -> float:
        """The share of the solder's mass by which it may be off. The defaults are common practice, no source."""
        if self.solder_uncertainty_percent is not None:
            return float(self.solder_uncertainty_percent) / 100
        return 0.05 if self.solder_source == "weighed" else 0.2

    @property
    def solder_source(self) -> Literal["weighed", "partly_weighed", "model"]:
        """Where the solder of seams and rims comes from."""
        rates = (self.seam_solder_g_m, self.rim_solder_g_m)
        if None not in rates:
            return "weighed"
        return "model" if rates == (None, None) else "partly_weighed"


class Hanging(Record):
    """``[hanging]``: how strong hardware must be."""

    safety_factor: Amount = Field(Decimal(5), ge=1, description="rated load over load; 5 by common practice")
    stiffen_over_g: Amount = Field(Decimal(1000), gt=0, description="heavier pieces ask for a stiffened rim")
    stiffen_over_mm: Amount = Field(Decimal(300), gt=0, description="longer pieces ask for a stiffened rim")


class Book(Record):
    """``[book]``: how the price book is kept."""

    keep_within_percent: Percent = Field(
        Decimal(0), description="a price of the book stands while the policy's is within this of it"
    )


class ParcelKeys(Record):
    """``[parcel]``: how pieces are packed in the boxes of ``boxes.csv``."""

    coil_mm: Amount = Field(Decimal(6), le=200, description="room for a hook, or cord or chain coiled up on the glass")
    show_postage: bool = Field(False, description="true: buyers read the carrier's band and price beside the size")


class Sending(Record):
    """``[sending]``: the catalogue as one file and as a book to print."""

    most_mb: Amount = Field(
        Decimal(7),
        ge=1,
        le=100,
        description="neither grows larger, if smaller and fewer pictures can help it; mail makes 10 MB of 7",
    )


class WorkStep(Record):
    """A step of the work: minutes for each of what it depends on."""

    title: Line = Field(description="what is done; private")
    batch: Amount = Field(Decimal(0), description="minutes once a batch, shared over it")
    item: Amount = Field(Decimal(0), description="minutes for each item")
    piece: Amount = Field(Decimal(0), description="minutes for each piece of glass")
    joint: Amount = Field(Decimal(0), description="minutes for each point where seams meet")
    seam_m: Amount = Field(Decimal(0), description="minutes a metre of seam")
    rim_m: Amount = Field(Decimal(0), description="minutes a metre of rim")
    frame_m: Amount = Field(Decimal(0), description="minutes a metre of frame: came or moulding")
    corner: Amount = Field(Decimal(0), description="minutes for each corner of a frame, cut and joined")
    edge_m: Amount = Field(Decimal(0), description="minutes a metre of ground and foiled edge")
    dm2: Amount = Field(Decimal(0), description="minutes a square decimetre of glass")
    repeats: bool = Field(
        False,
        description="true: done on glass cut from sheets alone, and again for pieces that crack, by its loss_percent",
    )
    waiting: Amount = Field(Decimal(0), description="minutes that only delay: drying, soaking; not paid")


class Finish(Record):
    """``[finishes.NAME]``: what a finish takes."""

    title: Line = Field(description="what a buyer reads")
    materials: tuple[Name, ...] = Field((), description="consumables of materials.csv used for this finish alone")
    steps: dict[Name, WorkStep] = Field({}, description="steps done for this finish: `[finishes.NAME.steps.STEP]`")


class Series(Record):
    """``[series.NAME]``: products that are shown together."""

    title: Line = Field(description="what a buyer reads")
    summary: Line = Field(description="a sentence or two under the title")


class Studio(Record):
    """All of ``content/studio.toml``."""

    studio: StudioKeys = Field(description="a table `[studio]`")
    bench: Bench = Field(description="a table `[bench]`")
    making: Making = Field(description="a table `[making]`")
    hanging: Hanging = Field(Hanging.model_validate({}), description="a table `[hanging]`")
    book: Book = Field(Book.model_validate({}), description="a table `[book]`")
    parcel: ParcelKeys = Field(ParcelKeys.model_validate({}), description="a table `[parcel]`")
    cautions: Cautions = Field(Cautions.model_validate({}), description="a table `[cautions]`")
    bench_cautions: BenchCautions = Field(BenchCautions.model_validate({}), description="a table `[bench_cautions]`")
    look: Look = Field(Look.model_validate({}), description="a table `[look]`")
    sending: Sending = Field(Sending.model_validate({}), description="a table `[sending]`")
    steps: dict[Name, WorkStep] = Field(
        min_length=1, description="tables `[steps.NAME]`, one for each step of the work"
    )
    finishes: dict[Name, Finish] = Field(min_length=1, description="tables `[finishes.NAME]`")
    channels: dict[Name, Channel] = Field(min_length=1, description="tables `[channels.NAME]`")
    series: dict[Name, Series] = Field(min_length=1, description="tables `[series.NAME]`")
    markets: tuple[Market, ...] = Field((), description="tables `[[markets]]`")
    discounts: Discounts = Field(Discounts.model_validate({}), description="a table `[discounts]`")

    @model_validator(mode="after")
    def _pay_hours(self) -> Studio:
        """Let channels know what an hour is paid."""
        return self.with_bench(self.bench)

    def with_bench(self, bench: Bench) -> Studio:
        """Give the studio with another table ``[bench]``; the hours of its channels are paid by it too."""
        channels = {name: channel.at_rate(bench.hourly_rate) for name, channel in self.channels.items()}
        return self.model_copy(update={"bench": bench, "channels": channels})

    def step(self, name: str) -> WorkStep | None:
        """Give a step of the work by its name; a finish's own step replaces the step of that name for every finish."""
        tables = (*(finish.steps for finish in reversed(self.finishes.values())), self.steps)
        return next((steps[name] for steps in tables if name in steps), None)

    def channel_on(self, audience: str) -> str:
        """Give the name of the channel whose prices are shown on the catalogue or at the stall."""
        return next(name for name, channel in self.channels.items() if channel.shown_on == audience)


def read_studio(source: Source) -> Studio:
    """Read ``studio.toml``.

    Raises:
        MistakeError: with every value that is wrong, missing or unknown.
    """
    values = read_toml(source)
    studio = validate(Studio, values, source, lambda path: key_line(source.text, path))
    mistakes = Mistakes()
    check_channels(studio.channels, source, mistakes)
    check_markets(studio.markets, source, mistakes)
    mistakes.raise_if_any()
    return studio
