"""Mistakes while a file of the maker's is written."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

from catalog_builder.mistake import MistakeError, Place


@contextmanager
def writing(place: Place, what: str) -> Iterator[None]:
    """Write a file in the block, which leaves it as it was where the disk refuses; ``what`` is the file in words.

    Raises:
        MistakeError: it cannot be written.
    """
    try:
        yield
    except OSError as error:
        raise MistakeError.at(
            place,
            wrong=f"{what} cannot be written ({error.strerror})",
            expected="a file and a folder that this user may write, with room on the disk",
            mend="close it in other programs and check these; nothing was written",
        ) from None


def changed_since(place: Place, what: str) -> MistakeError:
    """Make the error of a file that is not as it was when the program read it."""
    return MistakeError.at(
        place,
        wrong=f"{what} was changed while this was being worked out",
        expected=f"{what} as it was read",
        mend="run the command again; nothing was written",
    )
