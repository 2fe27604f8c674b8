"""The words of the readers, for a search to put in: keys, columns, attributes, elements and signs."""

from __future__ import annotations

from collections.abc import Iterable

from catalog_builder.pattern.svg.mark import ATTRIBUTES, KINDS
from catalog_builder.records.reference import reference

_SIGNS = (
    "---\n", "```svg\n", "```\n", ": ", "- ", "&a ", "*a", "!!str ", "<<: ", "? ", "| ", "> ", "{}", "[]", "[[a]]\n",
    "'''", '"""', ",,", '""', "sep=;\n", "\ufeff", "\u2028", "1e9", "1e-9", "-1", "nan", "0", "12,5", "2026-02-30",
)  # fmt: skip
_DRAWN = (
    '<svg xmlns="http://www.w3.org/2000/svg">', "</svg>", "<g>", "</g>", "<path d='", "<use href='#a'/>", "<symbol ",
    "<text ", "<tspan ", "<style>", "</style>", "<rect ", "<circle ", "<ellipse ", "<line ", "<polyline ", "<polygon ",
    ' id="a"', ' transform="', "matrix(", "skewX(", "rotate(", ' viewBox="', ' preserveAspectRatio="', ' display="',
    ' class="', ' style="', " width='1mm'", " height='1mm'", " d='M0 0", "A1 1 0 0 1 5 5", "C1 2 3 4 5 6", "S1 1 2 2",
    "Q1 1 2 2", "T9 9", "H1", "V1", "Z", "<!ENTITY a 'b'>", "&a;", "<!DOCTYPE svg [", "]>", "<![CDATA[", "]]>",
)  # fmt: skip


def words() -> list[str]:
    """Give every word, in order."""
    keys = {word.strip("`:.,;") for word in reference().split() if word.startswith("`")}
    marks = {f' data-{name}="' for name in ATTRIBUTES} | KINDS
    return sorted({*_SIGNS, *_DRAWN, *keys, *marks} - {""})


def as_dictionary(found: Iterable[str]) -> str:
    """Write words in the form that the search reads: in quotation marks, each byte that is no letter as its number."""
    return "".join('"' + "".join(_byte(one) for one in word.encode()[:120]) + '"\n' for word in found)


def _byte(one: int) -> str:
    return chr(one) if chr(one).isascii() and chr(one).isalnum() else f"\\x{one:02x}"
