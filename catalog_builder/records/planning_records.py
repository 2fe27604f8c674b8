"""What the planning of batches rests on."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from catalog_builder.records.kept_layout import KeptLayout
from catalog_builder.records.materials import Materials
from catalog_builder.records.stock import Stock
from catalog_builder.records.studio import Studio


@dataclass(frozen=True, slots=True)
class PlanningRecords:
    """The studio's times, materials to buy and what is on hand, kept layouts by the names of plans, and the day."""

    studio: Studio
    materials: Materials
    stock: Stock
    layouts: Mapping[str, KeptLayout]
    day: date
