"""The folders of the three audiences, written apart and put in place together."""

from __future__ import annotations

from collections.abc import Mapping
from functools import partial

from catalog_builder.cache.build_state import BuildSummary
from catalog_builder.publish.bench.bench_papers import BenchContent, write_bench
from catalog_builder.publish.bench.history import Panels
from catalog_builder.publish.catalogue.listing_view import CatalogueContent
from catalog_builder.publish.catalogue.sending.edition import make_edition
from catalog_builder.publish.catalogue.site import write_catalogue
from catalog_builder.publish.output.folder import Write
from catalog_builder.publish.output.publication import Together, publish_together
from catalog_builder.publish.pictures.gallery import Pictures, ProductDrawings
from catalog_builder.publish.stall.stall_papers import StallContent, write_stall
from catalog_builder.publish.studio_calculation import Progress, StudioCalculation


def catalogue_content(calculated: StudioCalculation, pictures: Mapping[str, Pictures]) -> CatalogueContent:
    """Give what the catalogue is made of: nothing that is private."""
    content, studio = calculated.content, calculated.content.studio
    return CatalogueContent(
        studio=studio.studio,
        all_series=studio.series,
        markets=studio.markets,
        texts=content.texts,
        own_pages=content.pages,
        listings=calculated.all_listings,
        pictures=pictures,
        day=content.day,
        theme=calculated.theme,
        store=calculated.kept.store.only("cards", "edition"),
    )


def publish_audiences(
    calculated: StudioCalculation,
    pictures: Mapping[str, Pictures],
    panels: Panels,
    progress: Progress,
    together: Together = publish_together,
) -> BuildSummary:
    """Write the catalogue, the stall's sheets and the bench's papers; all are put in place, or none.

    Raises:
        OutputError: the output cannot be written.
    """
    content, theme, listings = calculated.content, calculated.theme, calculated.all_listings
    studio, drawn = content.studio, ProductDrawings(pictures)
    catalogue = catalogue_content(calculated, pictures)
    edition = make_edition(catalogue, studio.sending.most_mb, content.studio_source)
    findings = (*calculated.worded_findings, *map(calculated.phrasing.finding, edition.findings))
    stall = StallContent(
        studio=studio.studio,
        all_series=studio.series,
        listings=listings,
        drawn=drawn,
        day=content.day,
        theme=theme,
    )
    bench = BenchContent(
        content=content,
        calculations=calculated.calculations,
        findings=findings,
        moved=calculated.moved,
        theme=theme,
        listings=listings,
        drawn=drawn,
        panels=panels,
        sets=calculated.sets,
    )
    writers: dict[str, Write] = {
        "catalogue": lambda folder: write_catalogue(catalogue, edition, folder),
        "stall": lambda folder: write_stall(stall, folder),
        "bench": lambda folder: write_bench(bench, folder),
    }
    # About how many files there will be: a card for each variant, and of a product what shows it.
    files = len(calculated.calculations) + 6 * len(listings) + 80
    output = content.project / "site_output"
    outcome = together(output, writers, partial(progress, "Writing pages"), files)
    return BuildSummary(
        products=len(content.products),
        variants=len(calculated.calculations),
        pages=outcome.pages,
        photos=sum(len(product.shots) for product in pictures.values()),
        prices=sum(len(variant.prices) for variant in calculated.calculations),
        findings=findings,
        carried_over=outcome.carried_over,
    )
