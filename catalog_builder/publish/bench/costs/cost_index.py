"""The bench's first page: what is due, findings, links to all papers, and every design and variant. Private."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from catalog_builder.mistake import WordedFinding
from catalog_builder.pricing.calculation import VariantCalculation
from catalog_builder.publish.bench.bench_writer import BenchWriter
from catalog_builder.publish.bench.due import DueLine
from catalog_builder.publish.bench.paper_link import PaperLink
from catalog_builder.publish.bench.pattern_sheet import SheetLinks
from catalog_builder.publish.output.folder import Folder
from catalog_builder.publish.sheets.pagination import in_parts

PAGE = "index.html"


@dataclass(frozen=True, slots=True, kw_only=True)
class IndexLine:
    """A variant in the list of all."""

    title: str
    href: str
    variant: str
    cost: str
    prices: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class FindingLine:
    """A finding in words, and what to do about it."""

    code: str
    text: str
    advice: str
    place: str


@dataclass(frozen=True, slots=True, kw_only=True)
class FrontPage:
    """What the first page shows besides designs."""

    due: tuple[DueLine, ...] = ()
    batches: tuple[PaperLink, ...] = ()
    more: tuple[PaperLink, ...] = ()
    findings: tuple[WordedFinding, ...] = ()


def write_index(
    calculations: Sequence[VariantCalculation],
    patterns: Sequence[SheetLinks],
    front: FrontPage,
    writer: BenchWriter,
    folder: Folder,
) -> None:
    """Write ``index.html``, and ``index-2.html`` and so on: the front stands on the first alone."""
    variants: Mapping[str, list[VariantCalculation]] = {design.title: [] for design in patterns}
    for variant in calculations:
        variants[variant.product.keys.title].append(variant)
    parts = in_parts(patterns)
    begins = tuple(designs[0].title for _, designs in parts) if len(parts) > 1 else ()
    for part, designs in parts:
        is_front = part.number == 1
        page_front = front if is_front else FrontPage()
        writer.write_page(
            folder,
            part.name(PAGE),
            "cost_index.html",
            rows=tuple(_line(variant, writer) for design in designs for variant in variants[design.title]),
            patterns=tuple(designs),
            due=page_front.due,
            nothing_due=writer.say("due.nothing", day=writer.day),
            batches=page_front.batches,
            channel_titles=tuple(channel.title for channel in writer.studio.channels.values()),
            more=page_front.more,
            findings=tuple(_finding_line(finding) for finding in page_front.findings),
            is_front=is_front,
            part=part.words(writer.theme),
            parts=part.links(writer.theme, PAGE, begins),
        )


def _finding_line(finding: WordedFinding) -> FindingLine:
    return FindingLine(
        code=finding.code, text=_sentence(finding.text), advice=_sentence(finding.advice), place=str(finding.place)
    )


def _sentence(text: str) -> str:
    """Give a text a capital and a full stop; a first word that may be a code, a file or a command stays as it is."""
    first = text.partition(" ")[0].replace("'", "")
    begun = text[:1].upper() + text[1:] if first.isalpha() else text
    return begun if begun.endswith((".", "!", "?")) else f"{begun}."


def _line(variant: VariantCalculation, writer: BenchWriter) -> IndexLine:
    wording = writer.wording
    return IndexLine(
        title=variant.product.keys.title,
        href=f"cards/{variant.offer.sku}.html",
        variant=variant.offer.words,
        cost=wording.money(variant.cost.total),
        prices=tuple(wording.money(variant.prices[name].printed) for name in writer.studio.channels),
    )
