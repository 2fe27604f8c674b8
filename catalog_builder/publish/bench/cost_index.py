"""The bench's first page: findings, links to all papers, and the list of all designs and variants. Private."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from catalog_builder.cache.store import key_of
from catalog_builder.mistake import WordedFinding
from catalog_builder.pricing.calculation import VariantCalculation
from catalog_builder.publish.bench.batches import BatchLink
from catalog_builder.publish.bench.bench_page import bench_page
from catalog_builder.publish.bench.pattern_sheet import SheetLinks
from catalog_builder.publish.output.folder import Folder
from catalog_builder.publish.sheets.pagination import SheetPart, in_parts
from catalog_builder.publish.theme.loading import Theme
from catalog_builder.publish.theme.wording import Wording
from catalog_builder.records.content import Content

PAGE = "index.html"


@dataclass(frozen=True, slots=True)
class IndexLine:
    """A variant in the list of all."""

    title: str
    href: str
    variant: str
    cost: str
    prices: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class FrontPage:
    """What the first page shows besides designs: batches, the words and addresses of more papers, and findings."""

    batches: tuple[BatchLink, ...] = ()
    more: tuple[tuple[str, str], ...] = ()
    findings: tuple[WordedFinding, ...] = ()


@dataclass(frozen=True, slots=True)
class CostIndex:
    """A page of the list: the pattern sheets of its designs, and their variants.

    ``begins`` is what each page begins with. ``front`` is nothing on all but the first.
    """

    content: Content
    theme: Theme
    part: SheetPart
    begins: tuple[str, ...]
    patterns: Sequence[SheetLinks]
    variants: Sequence[VariantCalculation]
    front: FrontPage | None

    @property
    def key(self) -> str:
        """The key of all that it shows."""
        rows = [
            (one.product.keys.title, one.offer.sku, one.offer.words, one.cost.total, one.prices)
            for one in self.variants
        ]
        return key_of(
            "index", self.theme.key, self.content.studio, self.part, self.begins, self.patterns, self.front, rows
        )

    def html(self) -> str:
        """Fill the page."""
        front = self.front or FrontPage()
        return bench_page(
            self.theme,
            self.content.studio.studio,
            "cost_index.html",
            rows=tuple(map(self._line, self.variants)),
            patterns=tuple(self.patterns),
            batches=front.batches,
            channel_titles=tuple(channel.title for channel in self.content.studio.channels.values()),
            more=front.more,
            findings=tuple(f"{finding.code}: {finding.text}. {finding.advice}" for finding in front.findings),
            is_front=self.front is not None,
            part=self.part.words(self.theme),
            parts=self.part.links(self.theme, PAGE, self.begins),
        )

    def _line(self, one: VariantCalculation) -> IndexLine:
        wording = Wording.of(self.content.studio.studio)
        return IndexLine(
            one.product.keys.title,
            f"cards/{one.offer.sku}.html",
            one.offer.words,
            wording.money(one.cost.total),
            tuple(wording.money(one.prices[name].printed) for name in self.content.studio.channels),
        )


def write_index(
    content: Content,
    calculations: Sequence[VariantCalculation],
    theme: Theme,
    patterns: Sequence[SheetLinks],
    front: FrontPage,
    folder: Folder,
) -> None:
    """Write ``index.html``, and ``index-2.html`` and so on."""
    variants: Mapping[str, list[VariantCalculation]] = {one.title: [] for one in patterns}
    for one in calculations:
        variants[one.product.keys.title].append(one)
    parts = in_parts(patterns)
    begins = tuple(ones[0].title for _, ones in parts) if len(parts) > 1 else ()
    for part, ones in parts:
        shown = [variant for one in ones for variant in variants[one.title]]
        page = CostIndex(content, theme, part, begins, ones, shown, front if part.number == 1 else None)
        folder.make(part.name(PAGE), page.key, page.html)
