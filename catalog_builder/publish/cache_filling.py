"""What is slow and new, made ahead on every core, so that it lies in the store when it is asked for.

Nothing depends on it but time: what is not in the store is made when it is asked for.
"""

from __future__ import annotations

from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass, replace

from catalog_builder.cache.process_pool import run_each
from catalog_builder.cache.store import Store
from catalog_builder.mistake import MistakeError
from catalog_builder.piece.assembly import Assembler
from catalog_builder.pricing.calculation import VariantCalculation
from catalog_builder.publish.bench.history import Panels
from catalog_builder.publish.bench.pattern_sheet import kept_pattern_sheet
from catalog_builder.publish.catalogue.link_card import Cards
from catalog_builder.publish.drawn_models import kept_view, picture_model
from catalog_builder.publish.pictures.gallery import draw
from catalog_builder.publish.theme.loading import Theme
from catalog_builder.publish.theme.wording import Wording
from catalog_builder.records.content import Content
from catalog_builder.records.product import Product

Progress = Callable[[int, int], None]


@dataclass(frozen=True, slots=True)
class Task:
    """What all the work has in common; ``content`` is without its products, which are given out one by one."""

    content: Content
    theme: Theme
    store: Store


def fill_products(content: Content, theme: Theme, store: Store, workers: int, progress: Progress) -> None:
    """Assemble and draw every product that the store has not got."""
    assembler = _assembler(content, store)
    new = [product for product in content.products if not store.has("assembly", assembler.key(product))]
    run_each(_prepare, _task(content, theme, store), new, workers, progress)


def fill_panels(panels: Panels, workers: int, progress: Progress) -> None:
    """Draw every panel of the history that the store has not got."""
    new = [(key, one.light) for key, one in panels.keyed if not panels.store.has("panels", key)]
    task = replace(panels, content=replace(panels.content, products=()), keyed=())
    run_each(_draw_panel, task, new, workers, progress)


def _assembler(content: Content, store: Store) -> Assembler:
    return Assembler(content.materials, content.studio.making, content.studio.hanging, content.day, store)


def _task(content: Content, theme: Theme, store: Store) -> Task:
    return Task(replace(content, products=()), theme, store)


def _draw_panel(panels: Panels, keyed: tuple[str, VariantCalculation]) -> None:
    panels.kept(*keyed)


def _prepare(task: Task, product: Product) -> None:
    """Assemble a product, draw it, and set its pattern sheets and its card."""
    content, theme, store = task.content, task.theme, task.store
    with suppress(MistakeError):  # told where the product is reckoned
        pieces = _assembler(content, store).assemble(product).pieces
        pictures = draw(picture_model(content, product, pieces[0], theme), (), store)
        for name in ("drawn", "diagram", "hanging"):
            pictures.read_drawing(name)
        if not product.keys.photos:
            Cards(theme, store).kept([pictures], product.keys.title, content.studio.studio.name)
        wording = Wording.of(content.studio.studio)
        for one in pieces:
            kept_view(product, one, theme, wording, store)
        for one in {one.size: one for one in reversed(pieces)}.values():
            for part in one.made.parts:
                kept_pattern_sheet(content, product, one, part.name, theme, store)
