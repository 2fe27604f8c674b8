"""All that a build knows of a studio before it makes a picture or writes a file."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from catalog_builder.cache.atomic_file import CACHE_FOLDER
from catalog_builder.cache.file_digests import FileDigests
from catalog_builder.cache.store import Store
from catalog_builder.cache.value_bytes import forget_values
from catalog_builder.mistake import Finding, WordedFinding
from catalog_builder.offer import Listing
from catalog_builder.pricing.calculation import VariantCalculation
from catalog_builder.pricing.price_moves import PriceMove
from catalog_builder.pricing.set_calculation import SetCalculation
from catalog_builder.publish.theme.loading import Theme
from catalog_builder.publish.theme.phrasing import Phrasing
from catalog_builder.records.content import Content

# Called with what is being done, how many are done, and how many there are.
Progress = Callable[[str, int, int], None]


def quiet(_what: str, _done: int, _total: int) -> None:
    """Show no progress."""


@dataclass(frozen=True, slots=True)
class BuildCache:
    """What earlier builds have left: what they made, and the digests of the photos that it was made from."""

    store: Store
    inputs: FileDigests

    @classmethod
    def of(cls, project: Path) -> BuildCache:
        """Open the cache in a project's output; it may be missing."""
        forget_values()
        folder = project / "site_output" / CACHE_FOLDER
        return cls(Store(folder / "made"), FileDigests(folder / "inputs.json"))


@dataclass(frozen=True, slots=True)
class StudioCalculation:
    """A studio's records, its theme, every variant calculated, and what the maker should know."""

    content: Content
    theme: Theme
    kept: BuildCache
    calculations: tuple[VariantCalculation, ...]
    listings: tuple[Listing, ...]
    moved: tuple[PriceMove, ...]
    findings: tuple[Finding, ...]
    sets: tuple[SetCalculation, ...] = ()

    @property
    def all_listings(self) -> tuple[Listing, ...]:
        """What buyers may see: products, and the sets made of them."""
        return (*self.listings, *(each.listing for each in self.sets))

    @property
    def phrasing(self) -> Phrasing:
        """The studio's language and numbers, and its theme's labels."""
        return Phrasing.of(self.theme, self.content.studio.studio)

    @property
    def worded_findings(self) -> tuple[WordedFinding, ...]:
        """The findings in the studio's language."""
        return tuple(map(self.phrasing.finding, self.findings))
