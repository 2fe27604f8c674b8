"""All sizes of a photo in the store: a head that says what there is, and the bytes of each size and format."""

from __future__ import annotations

import json
from collections.abc import Iterator
from functools import partial
from pathlib import Path

from catalog_builder.cache.atomic_file import digest_of
from catalog_builder.cache.file_digests import FileDigests
from catalog_builder.cache.store import Store, key_of, program
from catalog_builder.mistake import Mistake, MistakeError, Place
from catalog_builder.publish.pictures.photo import FORMATS_MADE, Prints, Rendition, make_prints, read_photo


def is_kept(path: Path, inputs: FileDigests, store: Store) -> bool:
    """True where the store has all sizes of a photo as it is now, so that it need not be opened."""
    digest = inputs.known(path)
    return digest is not None and _read_head(store, digest) is not None


def kept_prints(path: Path, inputs: FileDigests, store: Store) -> Prints:
    """Give all sizes of a photo, made now if it is new.

    Raises:
        PhotoError: it is not a picture that can be read to its end.
    """
    known = inputs.known(path)
    if known is not None and (head := _read_head(store, known)) is not None:
        return _with_bytes(head, path, known, store)
    data, digest = inputs.read(path, read_photo)
    head = _read_head(store, digest)
    if head is None:
        head = make_prints(data)
        _keep_bytes(head, digest, store)
        sizes = [(size.width, size.height, size.digests) for size in head.renditions]
        store.keep("photos", _key(digest), json.dumps({"colour": head.colour, "sizes": sizes}).encode())
    return _with_bytes(head, path, digest, store)


def _key(digest: str, *size: object) -> str:
    """Give the key of a photo, or of one size and format of it."""
    return key_of(digest, program(), *size)


def _read_head(store: Store, digest: str) -> Prints | None:
    """Read what sizes there are of a photo, without their bytes."""
    data = store.find("photos", _key(digest))
    if data is None:
        return None
    head = json.loads(data)
    return Prints(
        tuple(Rendition(width, height, digests=dict(digests)) for width, height, digests in head["sizes"]),
        head["colour"],
    )


def _keep_bytes(prints: Prints, digest: str, store: Store) -> None:
    for size, kind in _files(prints):
        store.keep("prints", _key(digest, size.width, kind), size.data(kind))


def _files(prints: Prints) -> Iterator[tuple[Rendition, str]]:
    return ((size, kind) for size in prints.renditions for kind in FORMATS_MADE)


def _with_bytes(head: Prints, path: Path, digest: str, store: Store) -> Prints:
    """Give the sizes with the way to their bytes."""
    for size, kind in _files(head):
        store.use("prints", _key(digest, size.width, kind))
    read = partial(_read, path, digest, store)
    sizes = (Rendition(size.width, size.height, partial(read, size.width), size.digests) for size in head.renditions)
    return Prints(tuple(sizes), head.colour, _key(digest))


def _read(path: Path, digest: str, store: Store, width: int, kind: str) -> bytes:
    """Find the bytes of a size and format, or make the photo's sizes again where the store has lost them.

    Raises:
        MistakeError: the photo has been changed since.
    """
    kept = store.find("prints", _key(digest, width, kind))
    if kept is not None:
        return kept
    data = read_photo(path)
    if digest_of(data) != digest:
        raise MistakeError([_edited(path)])
    prints = make_prints(data)
    _keep_bytes(prints, digest, store)
    return next(size for size in prints.renditions if size.width == width).data(kind)


def _edited(path: Path) -> Mistake:
    return Mistake(
        # content/products/<product>/<photo>
        place=Place(path="/".join(path.parts[-4:])),
        wrong="the photo was changed while the site was being made",
        expected="the same photo from the beginning of a build to its end",
        mend="publish again",
    )
