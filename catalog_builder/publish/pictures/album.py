"""All photos of all products, resized on as many threads as there are workers."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass

from catalog_builder.cache.file_digests import FileDigests
from catalog_builder.cache.store import Store
from catalog_builder.mistake import Finding, Mistake, MistakeError
from catalog_builder.photo_files.photo_file import PhotoError
from catalog_builder.publish.pictures.photo import Prints, check_photo
from catalog_builder.publish.pictures.photo_store import is_kept, kept_prints
from catalog_builder.records.drawing.shown_pattern import ShownPattern
from catalog_builder.records.product import Product
from catalog_builder.records.product_set import ProductSet


@dataclass(frozen=True, slots=True, kw_only=True)
class Shot:
    """A photo of a product, in all its sizes. ``alt`` is empty where the record gives none.

    ``shows`` are the codes of the variants that it shows.
    """

    name: str
    alt: str
    focus: tuple[float, float]
    prints: Prints
    shows: tuple[str, ...] = ()


def check_photos(products: Sequence[Product | ProductSet], inputs: FileDigests, store: Store) -> list[Mistake]:
    """Check the head of every new photo, without decoding it."""
    mistakes = []
    for product in products:
        for index, photo in enumerate(product.keys.photos):
            path = product.folder / photo.file
            try:
                if not is_kept(path, inputs, store):
                    check_photo(path)
            except PhotoError as error:
                mistakes.append(_mistake(product, index, error))
    return mistakes


def photo_findings(products: Sequence[Product], sets: Sequence[ProductSet], usual: ShownPattern) -> list[Finding]:
    """Find photos without alt text, which people who cannot see them need, and what nobody can see.

    ``usual`` is what the studio shows of a pattern where a record does not say.
    """
    pictured: list[Product | ProductSet] = [*products, *sets]
    without_alt = [
        Finding.of(
            "P01",
            each.source.place(each.line("photos", index)),
            "findings_publish.no_alt",
            title=each.keys.title,
            file=str(photo.file),
        )
        for each in pictured
        for index, photo in enumerate(each.keys.photos)
        if photo.alt is None
    ]
    return [*without_alt, *_unseen(products, sets, usual)]


def _unseen(products: Sequence[Product], sets: Sequence[ProductSet], usual: ShownPattern) -> Iterator[Finding]:
    """Find what has no photo, while its pattern, or that of a piece in it, is not to be seen."""
    hidden = {product.slug for product in products if product.shown_pattern(usual) == "no"}
    unseen: list[Product | ProductSet] = [product for product in products if product.slug in hidden]
    unseen += (each for each in sets if any(variant.product in hidden for variant, _ in each.members))
    for each in unseen:
        if not each.keys.photos:
            yield Finding.of(
                "P02", each.source.place(each.line("show_pattern")), "findings_publish.unseen", title=each.keys.title
            )


def take_shots(
    products: Sequence[Product | ProductSet],
    workers: int,
    inputs: FileDigests,
    store: Store,
    progress: Callable[[], None],
) -> dict[str, tuple[Shot, ...]]:
    """Make every photo ready, or take from the store what an earlier build made of it; call ``progress`` after each.

    Raises:
        MistakeError: with every photo that is damaged.
    """
    jobs = [(product, index) for product in products for index in range(len(product.keys.photos))]
    mistakes: list[Mistake] = []

    def work(job: tuple[Product | ProductSet, int]) -> Shot | Mistake:
        product, index = job
        photo = product.keys.photos[index]
        try:
            prints = kept_prints(product.folder / photo.file, inputs, store)
        except PhotoError as error:
            return _mistake(product, index, error)
        finally:
            progress()
        name = f"{product.slug}-{index + 1}"
        shows = product.shown_in(index) if isinstance(product, Product) else ("",)
        return Shot(name=name, alt=photo.alt or "", focus=photo.focus, prints=prints, shows=shows)

    shots: dict[str, list[Shot]] = {product.slug: [] for product in products}
    # Pillow releases the interpreter lock while it decodes, resizes and encodes: threads use all cores.
    pool = ThreadPoolExecutor(workers)
    try:
        for (product, _), result in zip(jobs, pool.map(work, jobs), strict=True):
            if isinstance(result, Mistake):
                mistakes.append(result)
            else:
                shots[product.slug].append(result)
    finally:
        # A build that is stopped does not wait for photos that no thread has begun.
        pool.shutdown(cancel_futures=True)
    if mistakes:
        raise MistakeError(mistakes)
    return {slug: tuple(prints) for slug, prints in shots.items()}


def preview(shots: Sequence[Shot]) -> bytes:
    """Give a JPEG for link previews: the first photo at its largest."""
    return max(shots[0].prints.renditions, key=lambda size: size.width).jpeg


def _mistake(product: Product | ProductSet, index: int, error: PhotoError) -> Mistake:
    name = product.keys.photos[index].file
    return Mistake(
        place=product.source.place(product.line("photos", index, "file")),
        wrong=f"the photo {name!r} cannot be used: {error}",
        expected="a JPEG, PNG, WebP or HEIC picture straight from the camera or phone",
        mend=error.mend,
        marked=name,
    )
