"""Many hands: what is slow and new of each product is made ahead, on every core, and lands in the store.

Nothing depends on it but time: what is not in the store when it is asked for is made then.
"""

from __future__ import annotations

import multiprocessing
import pickle
import signal
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import FIRST_COMPLETED, Future, ProcessPoolExecutor, wait
from concurrent.futures.process import BrokenProcessPool
from contextlib import suppress
from dataclasses import dataclass, replace
from itertools import islice
from pathlib import Path
from tempfile import TemporaryDirectory

from catalog_builder.assembly import Assembler
from catalog_builder.mistake import MistakeError
from catalog_builder.pictures.gallery import draw_all
from catalog_builder.publish.models import kept_view, model_of
from catalog_builder.publish.pages import Theme
from catalog_builder.publish.pattern_sheet import kept_pattern_sheet
from catalog_builder.publish.wording import Wording
from catalog_builder.records.content import Content
from catalog_builder.records.product import Product
from catalog_builder.store import Store

# A hand takes a second or two to get ready: so many products each make it worth while.
WORTH = 8
# So many products are given out to each hand at a time, so that one that is stopped has little to finish.
AHEAD = 2


@dataclass(frozen=True, slots=True)
class Task:
    """What a hand works with; the products are given to it one by one."""

    content: Content
    theme: Theme
    store: Store


def make_ahead(task: Task, workers: int, tell: Callable[[int, int], None]) -> None:
    """Make what the store lacks of each product; ``tell`` is called with how many are done and how many there are."""
    assembler = Assembler(task.content, task.store)
    new = [product for product in task.content.products if not task.store.has("assembly", assembler.key(product))]
    hands = min(workers, len(new) // WORTH)
    for done, _ in enumerate(_apart(task, new, hands) if hands > 1 else _here(task, new), 1):
        tell(done, len(new))


def _here(task: Task, products: Sequence[Product]) -> Iterator[None]:
    for product in products:
        _work(task, product)
        yield


def _apart(task: Task, products: Sequence[Product], hands: int) -> Iterator[None]:
    """Give products out to processes of their own, a few at a time."""
    # A process that is begun anew knows nothing of threads and locks of this one, on any system.
    context = multiprocessing.get_context("spawn")
    with TemporaryDirectory() as place:
        # By a file, not by a pipe: one that is full, and whose reader has been stopped, would hold this process up.
        path = Path(place, "task")
        path.write_bytes(pickle.dumps(replace(task, content=replace(task.content, products=()))))
        pool = ProcessPoolExecutor(hands, context, _begin, (str(path),))
        left, under_way = iter(products), set[Future[None]]()
        try:
            while True:
                under_way |= {pool.submit(_work_apart, one) for one in islice(left, hands * AHEAD - len(under_way))}
                if not under_way:
                    return
                done, under_way = wait(under_way, return_when=FIRST_COMPLETED)
                for future in done:
                    yield future.result()
        except BrokenProcessPool:
            return  # the system has stopped a hand; what is missing is made when it is asked for
        finally:
            pool.shutdown(cancel_futures=True)


_TASK: list[Task] = []


def _begin(path: str) -> None:
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # the process that gave the work out sees to it
    _TASK[:] = [pickle.loads(Path(path).read_bytes())]  # noqa: S301 - it was written a moment ago, for this process


def _work_apart(product: Product) -> None:
    _work(_TASK[0], product)


def _work(task: Task, product: Product) -> None:
    with suppress(MistakeError):  # told where the product is reckoned
        prepare(task, product)


def prepare(task: Task, product: Product) -> None:
    """Assemble a product, draw it and set its pattern sheets, all into the store.

    Raises:
        MistakeError: with the faults of its drawings or its hardware.
    """
    content, theme, store = task.content, task.theme, task.store
    pieces = Assembler(content, store).assemble(product).pieces
    draw_all(model_of(content, product, pieces[0], theme), store, pixels=not product.keys.photos)
    wording = Wording.of(content.studio.studio)
    for one in pieces:
        kept_view(product, one, theme, wording, store)
    firsts = {one.size: one for one in reversed(pieces)}
    for one in firsts.values():
        for part in one.made.parts:
            kept_pattern_sheet(content, product, one, part.name, theme, store)
