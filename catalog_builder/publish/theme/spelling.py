"""What a region spells otherwise than its language: ss for ß, color for colour."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence

from catalog_builder.mistake import Mistake
from catalog_builder.records.reading.source import Source
from catalog_builder.records.reading.toml import key_line

# The table of a region's labels that holds letters, and those that stand in their place.
SPELLING = "spelling"
# What the program fills in, and what it reads itself, is spelled the same everywhere.
_NO_WORDS = re.compile(r"(\{[^{}]*\}|`[^`]*`)")


def respell(text: str, spelling: Mapping[str, str]) -> str:
    """Give a label with letters replaced, the longest that fit first; {braces} and `code` stay as they are."""
    if not spelling:
        return text
    letters = re.compile("|".join(re.escape(letters) for letters in sorted(spelling, key=len, reverse=True)))
    parts = _NO_WORDS.split(text)
    # Every second part is what the pattern between the words matched.
    parts[::2] = [letters.sub(lambda match: spelling[match[0]], words) for words in parts[::2]]
    return "".join(parts)


def spelling_mistakes(
    source: Source, spelling: Mapping[str, str], inherited: Sequence[Mapping[str, Mapping[str, str]]] | None
) -> Iterator[Mistake]:
    """Find what cannot be replaced.

    ``inherited`` are the labels of the language, file by file; None where the file is a language's own.
    """
    if spelling and inherited is None:
        yield Mistake(
            place=source.place(key_line(source.text, (SPELLING,))),
            wrong="a language has no spelling beside its own words",
            expected="the table [spelling] in the file of a region, such as de-CH.toml",
            mend="write the words as they are spelled, or move the table to a region's file",
            marked=SPELLING,
        )
        return
    for letters, instead in spelling.items():
        if not letters or set("{}`") & set(letters + instead):
            wrong, mend = "these are no letters that can be replaced", "write letters without {braces} and `code`"
        elif not any(
            letters in text for tables in inherited or () for words in tables.values() for text in words.values()
        ):
            wrong, mend = (
                f"no label of the language holds {letters!r}",
                "spell it as the language's labels do, or take the line out",
            )
        else:
            continue
        yield Mistake(
            place=source.place(key_line(source.text, (SPELLING, letters))),
            wrong=f"spelling: {wrong}",
            expected='letters of the language\'s labels, and what stands in their place, such as "ß" = "ss"',
            mend=mend,
            marked=letters or '""',
        )
