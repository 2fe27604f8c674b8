"""All sizes of a photo in the store: a head that says what there is, and the bytes of each size and format."""

from __future__ import annotations

import json
from functools import partial
from pathlib import Path

from catalog_builder.cache.atomic_file import digest_of
from catalog_builder.cache.file_digests import FileDigests
from catalog_builder.cache.store import Store, key_of, program
from catalog_builder.mistake import Mistake, MistakeError, Place
from catalog_builder.publish.pictures.photo import FORMATS_MADE, Prints, Rendition, make_prints, read_photo


def is_kept(path: Path, inputs: FileDigests, store: Store) -> bool:
    """Say whether a photo stands as it did when it was made ready, so that it need not be opened."""
    digest = inputs.known(path)
    return digest is not None and _head(store, _key(digest)) is not None


def kept_prints(path: Path, inputs: FileDigests, store: Store) -> Prints:
    """Give all sizes of a photo, made now if it is new.

    Raises:
        PhotoError: it is not a picture that can be read to its end.
    """
    known = inputs.known(path)
    if known is not None and (head := _head(store, _key(known))) is not None:
        return _prints(head, path, known, store)
    data, digest = inputs.read(path, read_photo)
    head = _head(store, _key(digest)) or _made(data, digest, store)
    return _prints(head, path, digest, store)


def _key(digest: str) -> str:
    return key_of(digest, program())


def _head(store: Store, key: str) -> Prints | None:
    """Read what there is of a photo, without its bytes."""
    found = store.find("photos", key)
    if found is None:
        return None
    head = json.loads(found)
    return Prints(
        tuple(Rendition(width, height, digests=dict(digests)) for width, height, digests in head["sizes"]),
        head["colour"],
    )


def _made(data: bytes, digest: str, store: Store) -> Prints:
    key, prints = _key(digest), make_prints(data)
    sizes = list[tuple[int, int, dict[str, str]]]()
    for one in prints.renditions:
        digests = {}
        for kind in FORMATS_MADE:
            made = one.data(kind)
            store.keep("prints", key_of(key, one.width, kind), made)
            digests[kind] = digest_of(made)
        sizes.append((one.width, one.height, digests))
    store.keep("photos", key, json.dumps({"colour": prints.colour, "sizes": sizes}).encode())
    return Prints(tuple(Rendition(width, height, digests=digests) for width, height, digests in sizes), prints.colour)


def _prints(head: Prints, path: Path, digest: str, store: Store) -> Prints:
    """Give the sizes with the way to their bytes."""
    read = partial(_read, path, digest, store)
    for one in head.renditions:
        for kind in FORMATS_MADE:
            store.use("prints", key_of(_key(digest), one.width, kind))
    renditions = [Rendition(one.width, one.height, partial(read, one.width), one.digests) for one in head.renditions]
    return Prints(tuple(renditions), head.colour, _key(digest))


def _read(path: Path, digest: str, store: Store, width: int, kind: str) -> bytes:
    """Find the bytes of a size and format, or make the photo ready again where the store has lost them.

    Raises:
        MistakeError: the photo has been changed since.
    """
    found = store.find("prints", key_of(_key(digest), width, kind))
    if found is not None:
        return found
    data = read_photo(path)
    if digest_of(data) != digest:
        raise MistakeError([_edited(path)])
    prints = make_prints(data)
    for one in prints.renditions:
        for other in FORMATS_MADE:
            store.keep("prints", key_of(_key(digest), one.width, other), one.data(other))
    return next(one for one in prints.renditions if one.width == width).data(kind)


def _edited(path: Path) -> Mistake:
    return Mistake(
        # content/products/<product>/<photo>
        place=Place(path="/".join(path.parts[-4:])),
        wrong="the photo was changed while the site was being made",
        expected="the same photo from the beginning of a build to its end",
        mend="publish again",
    )
