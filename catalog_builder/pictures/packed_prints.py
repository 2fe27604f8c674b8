"""All sizes of a photo as one run of bytes, for the store."""

from __future__ import annotations

import json

from catalog_builder.pictures.photo import Prints, Rendition

_HEAD = 8


def packed(prints: Prints) -> bytes:
    """Write prints as the length of a head, the head, which is JSON, and the pictures it speaks of, one by one."""
    sizes = [[one.width, one.height, len(one.jpeg), len(one.webp)] for one in prints.renditions]
    head = json.dumps({"colour": prints.colour, "sizes": sizes}).encode()
    pictures = (picture for one in prints.renditions for picture in (one.jpeg, one.webp))
    return b"".join((len(head).to_bytes(_HEAD, "big"), head, *pictures))


def unpacked(data: bytes) -> Prints:
    """Read prints back."""
    at = _HEAD + int.from_bytes(data[:_HEAD], "big")
    head = json.loads(data[_HEAD:at])
    renditions = []
    for width, height, jpeg, webp in head["sizes"]:
        renditions.append(Rendition(width, height, data[at : at + jpeg], data[at + jpeg : at + jpeg + webp]))
        at += jpeg + webp
    return Prints(tuple(renditions), head["colour"])
