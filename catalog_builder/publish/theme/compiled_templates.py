"""The code of templates: compiled once in a process, and again only for a template whose text changed."""

from __future__ import annotations

from types import CodeType

from jinja2 import BytecodeCache
from jinja2.bccache import Bucket

# More than the templates of two themes; the oldest goes first.
_MOST = 200


class CompiledTemplates(BytecodeCache):
    """Keeps the code of each template by its name and its text, for all environments that have the same settings.

    A template with the same name and text in another folder has the same code.
    """

    def __init__(self) -> None:
        self._codes: dict[tuple[str, str], CodeType] = {}

    def get_cache_key(self, name: str, filename: str | None = None) -> str:
        """Tell templates apart by name; their texts are told apart by ``Bucket.checksum``."""
        del filename
        return name

    def load_bytecode(self, bucket: Bucket) -> None:
        """Give a bucket its code, where it is known."""
        bucket.code = self._codes.get((bucket.key, bucket.checksum))

    def dump_bytecode(self, bucket: Bucket) -> None:
        """Keep a bucket's code."""
        if bucket.code is not None:
            while len(self._codes) >= _MOST:
                self._codes.pop(next(iter(self._codes)))
            self._codes[bucket.key, bucket.checksum] = bucket.code
