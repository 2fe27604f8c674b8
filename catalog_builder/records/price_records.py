"""What prices of any day follow from."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from catalog_builder.records.materials import Materials
from catalog_builder.records.selling.price_book import PriceBook
from catalog_builder.records.selling.reductions import Reductions
from catalog_builder.records.studio import Studio


@dataclass(frozen=True, slots=True)
class PriceRecords:
    """The studio's rules, dated prices of materials and variants, reductions for a time, and the day of the build."""

    studio: Studio
    materials: Materials
    book: PriceBook
    reductions: Reductions
    day: date
