"""All pictures of a studio: photos made ready, patterns drawn, and prices over time."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import partial
from itertools import groupby

from catalog_builder.publish.bench.history import Panels
from catalog_builder.publish.cache_filling import fill_panels
from catalog_builder.publish.drawn_models import first_model, looks_of, set_piece
from catalog_builder.publish.pictures.album import take_shots
from catalog_builder.publish.pictures.gallery import Pictures, Shown, draw
from catalog_builder.publish.pictures.set_drawing import draw_set
from catalog_builder.publish.studio_calculation import Progress, StudioCalculation
from catalog_builder.records.product import Product
from catalog_builder.records.product_set import ProductSet

# Called when all is there that will be written, by a command that shows some of it first, or stops the build.
BeforePublishing = Callable[[StudioCalculation, Mapping[str, Pictures]], None]


def make_pictures(calculated: StudioCalculation, workers: int, progress: Progress) -> Mapping[str, Pictures]:
    """Make every product's pictures, by the product's name.

    Raises:
        MistakeError: with every photo that turns out to be damaged.
    """
    content, kept = calculated.content, calculated.kept
    kept.store.make_room()
    pictured: list[Product | ProductSet] = [*content.products, *content.sets]
    photos = sum(len(product.keys.photos) for product in pictured)
    done = iter(range(1, photos + 1))
    shots = take_shots(
        pictured, workers, kept.inputs, kept.store, lambda: progress("Making photos ready", next(done), photos)
    )
    firsts = {listing.slug: listing.first.sku for listing in calculated.listings}
    kin = {slug: list(each) for slug, each in groupby(calculated.calculations, lambda each: each.product.slug)}
    materials, studio = content.materials.rows, content.studio
    pictures = {}
    for product in content.products:
        slug, variants = product.slug, kin[product.slug]
        model = first_model(variants, firsts[slug], materials, studio, calculated.phrasing)
        looks = looks_of(variants, firsts[slug], studio)
        pictures[slug] = draw(model, Shown(shots=shots[slug], first=firsts[slug], looks=looks), kept.store)
    for each in calculated.sets:
        slug, members = each.product_set.slug, [variant for variant, count in each.members for _ in range(count)]
        pieces = [set_piece(variant, studio) for variant in members]
        pictures[slug] = draw_set(slug, each.listing.title, pieces, shots[slug], kept.store)
    return pictures


def make_panels(calculated: StudioCalculation, workers: int, progress: Progress) -> Panels:
    """Make the plots of prices over time."""
    panels = Panels.of(
        calculated.content.price_records, calculated.calculations, calculated.theme, calculated.kept.store
    )
    fill_panels(panels, workers, partial(progress, "Drawing prices over time"))
    return panels
