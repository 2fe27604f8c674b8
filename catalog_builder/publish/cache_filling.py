"""Makes what is slow and new ahead of the build, on every core, so that the build finds it in the store.

Only time depends on it: what is not in the store is made when it is asked for.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from contextlib import suppress
from dataclasses import dataclass, replace

from catalog_builder.cache.process_pool import run_each
from catalog_builder.mistake import MistakeError
from catalog_builder.piece.assembly import Assembler
from catalog_builder.pricing.calculation import VariantCalculation
from catalog_builder.publish.bench.bench_writer import BenchWriter
from catalog_builder.publish.bench.history import Panels
from catalog_builder.publish.bench.marking.marked_drawing import kept_drawings
from catalog_builder.publish.bench.pattern_sheet import kept_pattern_sheet
from catalog_builder.publish.catalogue.link_card import Cards
from catalog_builder.publish.drawn_models import expected_model, kept_view
from catalog_builder.publish.pictures.gallery import Shown, draw
from catalog_builder.records.product import Product

Progress = Callable[[int, int], None]
# A panel is soon drawn: a process of its own saves time from this many.
LEAST_PANELS = 100


@dataclass(frozen=True, slots=True, kw_only=True)
class Task:
    """What is the same for every product."""

    assembler: Assembler
    writer: BenchWriter


def fill_products(
    products: Sequence[Product], assembler: Assembler, writer: BenchWriter, workers: int, progress: Progress
) -> None:
    """Assemble and draw every product that the assembler's store has not got."""
    new = [product for product in products if not assembler.store.has("assembly", assembler.key(product))]
    run_each(_prepare, Task(assembler=assembler, writer=writer), new, workers, progress)


def fill_panels(panels: Panels, workers: int, progress: Progress) -> None:
    """Draw every panel of the history that the store does not hold."""
    new = [(key, tuple(each.light for each in kin)) for key, kin in panels.keyed if not panels.store.has("panels", key)]
    task = replace(panels, keyed=())
    run_each(_draw_panel, task, new, workers, progress, LEAST_PANELS)


def _draw_panel(panels: Panels, keyed: tuple[str, tuple[VariantCalculation, ...]]) -> None:
    panels.kept(*keyed)


def _prepare(task: Task, product: Product) -> None:
    """Assemble a product, draw it, and set its pattern sheets and its card."""
    rows, store, writer = task.assembler.materials.rows, task.assembler.store, task.writer
    studio, theme = writer.studio, writer.theme
    # A mistake in the product is reported by the build itself, with those of all others.
    with suppress(MistakeError):
        pieces = task.assembler.assemble(product).pieces
        model = expected_model(product, pieces, rows, studio, writer.phrasing)
        pictures = draw(model, Shown(shots=(), first="", looks={}), store)
        for name in ("drawn", "diagram", "hanging", "choice"):
            pictures.read_drawing(name)
        if not product.keys.photos:
            Cards(theme, store).kept([pictures], product.keys.title, studio.studio.name)
        kept_drawings(product, pieces[0], task.assembler, store)
        for piece in pieces:
            kept_view(product, piece, writer.phrasing, theme.key, store)
        for piece in {piece.size: piece for piece in reversed(pieces)}.values():
            for part in piece.made.parts:
                kept_pattern_sheet(rows, product, piece, part.name, writer, store)
