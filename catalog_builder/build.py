"""The whole way: read -> size -> measure -> hang -> pack -> cost -> price -> picture -> publish.

Each stage takes plain values and gives plain values; none reaches back, and none reads a file that an
earlier one should have read. What takes long and is as it was is taken from the store of earlier builds.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date
from functools import partial
from itertools import groupby
from pathlib import Path

from catalog_builder.cache.atomic_file import CACHE_FOLDER
from catalog_builder.cache.build_state import BuildSummary, snapshot_inputs, write_state
from catalog_builder.cache.file_digests import FileDigests
from catalog_builder.cache.store import Store
from catalog_builder.making.glass_share import GlassShare
from catalog_builder.making.labour import read_times
from catalog_builder.making.packing import pack
from catalog_builder.making.parcel import PackedPiece
from catalog_builder.making.quantities import read_measures, read_uses
from catalog_builder.mistake import Finding, Mistakes, WordedFinding
from catalog_builder.offer import Listing
from catalog_builder.piece.assembly import AssembledPiece, Assembler
from catalog_builder.piece.hanging.advice import hanging_findings
from catalog_builder.planning.plan_layout import layout_findings, read_plan_glass, read_shares
from catalog_builder.planning.takings import market_findings
from catalog_builder.pricing.book import Terms, channel_prices
from catalog_builder.pricing.calculation import (
    VariantCalculation,
    compared,
    glass_charge,
    listing_of,
    offer_of,
    parcel_of,
    sku_of,
)
from catalog_builder.pricing.consistency import day_findings, price_findings
from catalog_builder.pricing.cost import read_cost
from catalog_builder.pricing.policy import read_earning
from catalog_builder.pricing.price_moves import PriceMove, book_findings, hold_findings, moves_from_book
from catalog_builder.publish.bench.bench_papers import BenchContent, write_bench
from catalog_builder.publish.bench.history import Panels
from catalog_builder.publish.cache_filling import fill_panels, fill_products
from catalog_builder.publish.catalogue.edition import make_edition
from catalog_builder.publish.catalogue.listing_view import CatalogueContent
from catalog_builder.publish.catalogue.site import write_catalogue
from catalog_builder.publish.drawn_models import picture_model
from catalog_builder.publish.output.folder import Write, output_lock, publish_together
from catalog_builder.publish.pictures.album import check_photos, photo_findings, take_shots
from catalog_builder.publish.pictures.gallery import Pictures, ProductDrawings, draw
from catalog_builder.publish.stall.stall_papers import StallContent, write_stall
from catalog_builder.publish.theme.caution_lines import with_studio_words
from catalog_builder.publish.theme.loading import Theme, read_theme
from catalog_builder.publish.theme.phrasing import Phrasing
from catalog_builder.publish.theme.wording import Wording
from catalog_builder.records.content import Content, read_content
from catalog_builder.records.product import Product
from catalog_builder.records.selling.book_keeping import missing_end
from catalog_builder.units import minor_digits

# Called with what is being done, how many are done, and how many there are.
Progress = Callable[[str, int, int], None]


def quiet(_what: str, _done: int, _total: int) -> None:
    """Tell nobody how far the work is."""


@dataclass(frozen=True, slots=True)
class BuildCache:
    """What earlier builds have left: what they made, and how the files looked that they were made from."""

    store: Store
    inputs: FileDigests

    @classmethod
    def of(cls, project: Path) -> BuildCache:
        """Find it in a project's output; there need be none."""
        folder = project / "site_output" / CACHE_FOLDER
        return cls(Store(folder / "made"), FileDigests(folder / "inputs.json"))


@dataclass(frozen=True, slots=True)
class StudioCalculation:
    """All that a build knows before it makes a picture or writes a file."""

    content: Content
    theme: Theme
    kept: BuildCache
    calculations: tuple[VariantCalculation, ...]
    listings: tuple[Listing, ...]
    moved: tuple[PriceMove, ...]
    findings: tuple[Finding, ...]

    @property
    def phrasing(self) -> Phrasing:
        """The studio's language and numbers, and its theme's labels."""
        return Phrasing(self.theme.labels, Wording.of(self.content.studio.studio))

    @property
    def worded_findings(self) -> tuple[WordedFinding, ...]:
        """The findings in the studio's language."""
        return tuple(map(self.phrasing.finding, self.findings))


def build(project: Path, day: date, workers: int, progress: Progress) -> BuildSummary:
    """Publish a project's catalogue, stall sheets and bench papers as of a day.

    Raises:
        MistakeError: with every mistake in the records; the last good output then stands untouched.
    """
    return calculate_and_publish(project, day, workers, progress)[1]


def calculate_and_publish(
    project: Path,
    day: date,
    workers: int,
    progress: Progress,
    look: Callable[[StudioCalculation], None] = lambda _: None,
) -> tuple[StudioCalculation, BuildSummary]:
    """Go the whole way, and give what was reckoned too; ``look`` sees it before anything is published.

    Raises:
        MistakeError: with every mistake in the records; the last good output then stands untouched.
        OutputError: the output cannot be written, or another build is at work in it.
    """
    inputs = snapshot_inputs(project)
    content, theme = read(project, day)
    with output_lock(project / "site_output"):
        kept = BuildCache.of(project)
        fill_products(content, theme, kept.store, workers, partial(progress, "Measuring and drawing"))
        calculated = calculate_all(content, theme, progress, kept)
        look(calculated)
        pictures, panels = picture(calculated, workers, progress)
        published = publish(calculated, pictures, panels, progress)
        kept.inputs.remember()
        kept.store.clear_unused()
        write_state(project, day, inputs, published)
    return calculated, published


def read(project: Path, day: date) -> tuple[Content, Theme]:
    """Read a project's records and its theme.

    Raises:
        MistakeError: with every mistake in the records.
    """
    content = read_content(project, day)
    keys = content.studio.studio
    theme = read_theme(project, keys.theme, keys.language, content.studio_source)
    return content, with_studio_words(theme, content.studio)


def calculate(project: Path, day: date, progress: Progress) -> StudioCalculation:
    """Go the whole way up to prices.

    Raises:
        MistakeError: with every mistake in the records.
    """
    return calculate_all(*read(project, day), progress)


def calculate_all(
    content: Content, theme: Theme, progress: Progress, kept: BuildCache | None = None
) -> StudioCalculation:
    """Reckon every variant of content that has been read.

    Raises:
        MistakeError: with every mistake of the patterns, the hardware and the prices.
    """
    kept = kept or BuildCache.of(content.project)
    assembler = Assembler(content.materials, content.studio.making, content.studio.hanging, content.day, kept.store)
    mistakes = Mistakes(check_photos(content.products, kept.inputs, kept.store))
    findings: list[Finding] = photo_findings(content.products)
    calculations: list[VariantCalculation] = []
    for count, product in enumerate(content.products, 1):
        with mistakes.collect():
            calculations.extend(variants(content, product, assembler, findings))
        progress("Pricing", count, len(content.products))
    mistakes.raise_if_any()
    making, rows = content.studio.making, content.materials.rows
    glasses = [
        read_plan_glass(plan, content.layouts.get(plan.name), rows, making.cutting_clearance_mm, calculations)
        for plan in content.plans
    ]
    shares = read_shares(glasses, making)
    findings.extend(layout_findings(glasses))
    calculations = [charged(content, one, shares.get(one.offer.sku)) for one in calculations]
    findings.extend(day_findings(content.materials, content.day))
    findings.extend(price_findings(content.studio, [compared(one) for one in calculations]))
    moved = moves_from_book(content.studio, content.book, calculations)
    findings.extend(book_findings(content.book, content.studio, content.day, calculations, moved))
    findings.extend(missing_end(content.project, content.book))
    findings.extend(hold_findings(content.products, content.day, calculations, moved))
    findings.extend(market_findings(content.studio.markets, content.market_book))
    of_product = {slug: list(ones) for slug, ones in groupby(calculations, lambda one: one.product.slug)}
    listings = tuple(
        listing_of(content.studio, rows, product, of_product[product.slug]) for product in content.products
    )
    return StudioCalculation(content, theme, kept, tuple(calculations), listings, moved, tuple(dict.fromkeys(findings)))


def variants(
    content: Content, product: Product, assembler: Assembler, findings: list[Finding]
) -> Iterator[VariantCalculation]:
    """Reckon every variant of a product, adding what the bench should know to ``findings``.

    Raises:
        MistakeError: with the faults of its drawing, its hardware or its prices.
    """
    assembly = assembler.assemble(product)  # size, measure, hang
    for size, ones in groupby(assembly.pieces, lambda one: one.size):
        findings.extend(assembly.findings[size])
        for one in ones:
            findings.extend(hanging_findings(product, one.suspension, size))
            coil_mm = content.studio.parcel.coil_mm
            packed, told = pack(content.boxes, content.postage, coil_mm, product, one.suspension)  # pack
            findings.extend(told)
            for finish in product.keys.finishes:
                yield price(content, product, one, finish, packed)


def charged(content: Content, one: VariantCalculation, share: GlassShare | None) -> VariantCalculation:
    """Note what a kept layout would charge for a variant's glass; where it is adopted, price the variant by it.

    This comes after all variants are measured: a layout is held to the outlines of its whole batch.
    """
    if share is None:
        return one
    glass = glass_charge(one, share)
    again = price(content, one.product, one.assembled, one.finish, one.packed, share) if share.adopted else one
    return replace(again, glass=glass)


def price(
    content: Content,
    product: Product,
    one: AssembledPiece,
    finish_name: str,
    packed: PackedPiece | None,
    share: GlassShare | None = None,
) -> VariantCalculation:
    """Cost a variant, and price it in every channel. Its glass is charged by boxes, or by a layout's ``share``.

    Raises:
        MistakeError: a material has no price on the build's day.
    """
    made, studio, finish = one.made, content.studio, content.studio.finishes[finish_name]
    digits = minor_digits(studio.studio.currency)
    batch = product.keys.batch or studio.bench.batch
    measures = read_measures(made, content.glass(product.keys.glass[one.choice]))
    times = read_times(studio, finish, measures, batch)
    uses = read_uses(studio, content.materials.rows, product, finish, one)
    if share is not None:
        uses = share.charge(uses, made, product.keys.glass[one.choice])
    cost = read_cost(content.materials, studio.bench, content.day, uses, times)  # cost
    held = product.keys.hold_until is not None and product.keys.hold_until >= content.day
    terms = Terms(content.day, digits, held, studio.book.keep_within_percent)
    sku = sku_of(product, one.size, finish_name, one.choice)
    standings = channel_prices(content.book, sku, studio.channels, cost.total, terms)  # price
    prices = {name: standing.published for name, standing in standings.items()}
    earnings = {
        name: read_earning(channel, prices[name], cost, studio.bench.hourly_rate, digits)
        for name, channel in studio.channels.items()
    }
    offer = replace(
        offer_of(studio, content.materials.rows, product, one, finish_name, prices),
        parcel=parcel_of(studio.parcel, packed) if packed is not None else None,
        by_hand=bool(content.boxes) and packed is None,
    )
    return VariantCalculation(
        product, one, finish_name, batch, measures, times, cost, standings, earnings, offer, packed
    )


def picture(calculated: StudioCalculation, workers: int, progress: Progress) -> tuple[Mapping[str, Pictures], Panels]:
    """Make every product's photos ready, those that are new, draw its pattern, and its prices over time.

    Raises:
        MistakeError: with every photo that turns out to be damaged.
    """
    content, kept = calculated.content, calculated.kept
    kept.store.make_room()
    products = content.products
    photos = sum(len(product.keys.photos) for product in products)
    done = iter(range(1, photos + 1))
    shots = take_shots(
        products, workers, kept.inputs, kept.store, lambda: progress("Making photos ready", next(done), photos)
    )
    firsts = {one.product.slug: one.assembled for one in reversed(calculated.calculations)}
    pictures = {}
    for product in products:
        model = picture_model(content, product, firsts[product.slug], calculated.theme)
        pictures[product.slug] = draw(model, shots[product.slug], kept.store)
    panels = Panels.of(content, calculated.calculations, calculated.theme, kept.store)
    fill_panels(panels, workers, partial(progress, "Drawing prices over time"))
    return pictures, panels


def _files(calculated: StudioCalculation) -> int:
    """Tell about how many files there will be: a card for each variant, and of a product what shows it."""
    return len(calculated.calculations) + 6 * len(calculated.listings) + 80


def publish(
    calculated: StudioCalculation, pictures: Mapping[str, Pictures], panels: Panels, progress: Progress
) -> BuildSummary:
    """Write the three audiences' folders, and put them in place only once all three are whole."""
    content, theme = calculated.content, calculated.theme
    studio, output = content.studio, content.project / "site_output"
    drawn, store = ProductDrawings(pictures), calculated.kept.store
    shown = CatalogueContent(
        studio=studio.studio,
        collections=studio.collections,
        markets=studio.markets,
        texts=content.texts,
        listings=calculated.listings,
        pictures=pictures,
        day=content.day,
        theme=theme,
        store=store.only("cards", "edition"),
    )
    edition = make_edition(shown, studio.sending.most_mb, content.studio_source)
    findings = (*calculated.worded_findings, *map(calculated.phrasing.finding, edition.findings))
    laid = StallContent(
        studio=studio.studio,
        collections=studio.collections,
        listings=calculated.listings,
        drawn=drawn,
        day=content.day,
        theme=theme,
    )
    papers = BenchContent(
        content, calculated.calculations, findings, calculated.moved, theme, calculated.listings, drawn, panels
    )
    writers: dict[str, Write] = {
        "catalogue": lambda folder: write_catalogue(shown, edition, folder),
        "stall": lambda folder: write_stall(laid, folder),
        "bench": lambda folder: write_bench(papers, folder),
    }
    outcome = publish_together(output, writers, partial(progress, "Writing pages"), _files(calculated))
    return BuildSummary(
        len(content.products),
        len(calculated.calculations),
        outcome.pages,
        sum(len(one.shots) for one in pictures.values()),
        sum(len(one.prices) for one in calculated.calculations),
        findings,
        outcome.carried_over,
    )
