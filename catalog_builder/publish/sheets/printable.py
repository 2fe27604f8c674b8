"""Characters that no font of the printed sheets has: a box stands for each, and a finding names its place.

The typesetter refuses an accessible PDF (PDF/UA, ISO 14289-1) that holds a character without a glyph. It brings fonts
of its own beside the theme's, so that it is asked itself what it can set.
"""

from __future__ import annotations

import re
import string
from collections.abc import Iterable, Iterator, Sequence, Set
from functools import lru_cache
from unicodedata import category, normalize
from urllib.parse import quote

from catalog_builder.mistake import Finding
from catalog_builder.phrase import phrase
from catalog_builder.publish.sheets.pdf import compile_here
from catalog_builder.publish.theme.labels import label_files
from catalog_builder.publish.theme.loading import Theme
from catalog_builder.records.product import Product
from catalog_builder.records.reading.source import Source, lines_of, read

BOX = "\u25a1"
# So many characters of a line are named.
MOST_NAMED = 8
# Characters that are seen by themselves: letters, numbers, punctuation, symbols, blanks (Unicode Standard, 4.5).
_VISIBLE = "LNPSZ"
# Of those that are not seen, the typesetter heeds these: a soft hyphen, a place to break. The rest are left out.
_HEEDED = ("\u00ad", "\u200b")
_VARIANTS = range(0xFE00, 0xFE10)
# Characters outside ASCII, with the one before them, on which a mark may stand.
_RUN = r"[ !#-\[\]-~]?[^\t\n\r -~]+"
# In JSON: an address, which is not to change; a control character; another escape; a run.
_IN_JSON = re.compile(rf'"(?:https?://|mailto:)[^"\\\s]*"|\\u[0-9a-f]{{4}}|\\[bf]|\\.|{_RUN}')


def boxed(data: str, theme: Theme) -> str:
    """Put a box into the JSON of a sheet for each character that no font has."""
    text = normalize("NFC", data)
    runs = (match[0] for match in _IN_JSON.finditer(text) if match[0][0] not in '"\\')
    missing = _missing({cluster for run in runs for cluster in _parted(run)}, theme)
    return _IN_JSON.sub(lambda match: _printed(match[0], missing), text)


def boxed_all(data: str) -> str:
    """Put a box for every character but Latin letters and their punctuation, where beside others one has no glyph."""
    return re.sub("[^\0-\u024f\u2010-\u2027\u20ac]", BOX, data)


def missing_from(text: str, theme: Theme) -> set[str]:
    """Give the characters of a text, each with the marks on it, that no font has."""
    return _missing(set(_clusters(normalize("NFC", text))), theme)


def _missing(clusters: Set[str], theme: Theme) -> set[str]:
    known = _known(theme.files)
    new = sorted(clusters - known.keys())
    single = [cluster for cluster in new if len(cluster) == 1 and category(cluster)[0] in _VISIBLE]
    known |= dict.fromkeys(new, False) | dict.fromkeys(set(single) - _refused(single, theme), True)
    return {cluster for cluster in clusters if not known[cluster]}


def letter_findings(
    printed: Iterable[Source], products: Sequence[Product], language: str, theme: Theme
) -> Iterator[Finding]:
    """Find each line of the records and labels with characters that no font of the printed sheets has.

    ``printed`` are the files whose texts are printed; a record is read again where its description lacks something.
    """
    lacking_records = (product for product in products if missing_from(product.description, theme))
    again = [product.folder / "product.md" for product in lacking_records]
    again += label_files(theme.folders, language)
    for source in (*printed, *(read(path.parents[3], path) for path in again)):
        missing = missing_from(source.text, theme)
        if not missing:
            continue
        for number, line in enumerate(lines_of(source.text), source.first_line):
            lacking = [cluster for cluster in dict.fromkeys(_clusters(normalize("NFC", line))) if cluster in missing]
            if lacking:
                names = tuple(map(_name, lacking[:MOST_NAMED]))
                text = phrase("findings_sheets.letters", letters=names, count=len(lacking))
                yield Finding(
                    code="F01", place=source.place(number), text=text, advice=phrase("findings_sheets.letters_advice")
                )


def _clusters(text: str) -> Iterator[str]:
    """Give each character outside ASCII, those with marks together with the marks; without those that are not seen."""
    for match in re.finditer(_RUN, text):
        yield from (cluster for cluster in _parted(match[0]) if not cluster.isascii() or not cluster.isprintable())


def _parted(run: str) -> list[str]:
    clusters: list[str] = []
    for character in run:
        kind = category(character)
        if (kind == "Cf" and character not in _HEEDED) or ord(character) in _VARIANTS:
            continue
        if kind[0] == "M" and clusters:
            clusters[-1] += character
        else:
            clusters.append(character)
    return clusters


def _printed(part: str, missing: Set[str]) -> str:
    """Give a part of JSON as it is printed."""
    if part.startswith('"'):
        return quote(part, safe=string.printable)
    if part.startswith("\\"):
        return BOX if part[1] in "ubf" else part
    return "".join(BOX if cluster in missing else cluster for cluster in _parted(part))


@lru_cache(maxsize=4)
def _known(_files: str) -> dict[str, bool]:
    """Give what is known of characters with the files of a theme: whether a font has them."""
    return dict.fromkeys(_HEEDED, True)


def _refused(letters: Sequence[str], theme: Theme) -> set[str]:
    """Give those of some single characters that the typesetter cannot set: each stands in a paragraph of its own."""
    if not letters:
        return set()
    paragraphs = (f'#"\\u{{{ord(letter):x}}}"' for letter in letters)
    page = "\n\n".join(('#set document(title: "Letters")', *paragraphs))
    try:
        compile_here(
            {
                "input": page.encode(),
                "font_paths": theme.font_folders(),
                "ignore_system_fonts": True,
                "pdf_standards": "ua-1",
            }
        )
    except RuntimeError as fault:
        lines = re.findall(r"\.typ:(\d+):", str(getattr(fault, "diagnostic", "")))
        return {letters[int(line) // 2 - 1] for line in lines}
    return set()


def _name(cluster: str) -> str:
    """Name a character by itself, where it can be shown, and by its numbers."""
    numbers = " ".join(f"U+{ord(character):04X}" for character in cluster)
    return f"{cluster} ({numbers})" if cluster.isprintable() else numbers
