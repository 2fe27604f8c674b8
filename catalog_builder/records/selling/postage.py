"""What carriers take and ask: ``content/postage.csv``, copied by the maker from the carriers' own tables.

The file may be missing; then parcels have no price.
"""

from __future__ import annotations

import math

from pydantic import Field

from catalog_builder.records.reading.entries import read_named_rows
from catalog_builder.records.reading.source import Source
from catalog_builder.records.reading.values import MOST_MM, Amount, Line, Record
from catalog_builder.records.selling.boxes import MOST_MASS_G


class PostageBand(Record):
    """A row of ``postage.csv``: what a carrier takes at a price. A limit that is left out does not count."""

    carrier: Line = Field(description="who carries it, as a buyer reads it")
    band: Line = Field(description="the carrier's name for the service or size, as a buyer reads it")
    most_length_mm: Amount | None = Field(None, gt=0, le=MOST_MM, description="of the longest side")
    most_width_mm: Amount | None = Field(None, gt=0, le=MOST_MM, description="of the middle side")
    most_depth_mm: Amount | None = Field(None, gt=0, le=MOST_MM, description="of the shortest side")
    most_girth_mm: Amount | None = Field(
        None, gt=0, le=6 * MOST_MM, description="of length and girth together: length + 2 x (width + depth)"
    )
    most_mass_g: Amount = Field(gt=0, le=MOST_MASS_G, description="the most that the parcel may weigh")
    price: Amount = Field(description="what the carrier asks, in the studio's currency")

    @property
    def most_sides_mm(self) -> tuple[float, float, float]:
        """The limits of the three sides, the longest first. No side is longer than one that comes before it."""
        length = math.inf if self.most_length_mm is None else float(self.most_length_mm)
        width = length if self.most_width_mm is None else float(self.most_width_mm)
        depth = width if self.most_depth_mm is None else float(self.most_depth_mm)
        first, second, third = sorted((length, width, depth), reverse=True)
        return first, second, third


_NUMBERS = {name: "number" for name in PostageBand.model_fields if name.startswith("most_") or name == "price"}


def read_postage(source: Source) -> tuple[PostageBand, ...]:
    """Read the bands, the cheapest first.

    Raises:
        MistakeError: with every row that is wrong or stands twice.
    """
    rows = read_named_rows(source, PostageBand, _NUMBERS, _named)
    return tuple(sorted(rows.values(), key=lambda band: (band.price, band.carrier, band.band, band.most_mass_g)))


def _named(band: PostageBand) -> str:
    # Carriers give one name to several steps of mass.
    return f"the band {band.band!r} of {band.carrier} up to {band.most_mass_g} g"
