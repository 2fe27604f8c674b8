"""Cautions in words: the theme's, or the studio's own in their place, and those that it adds."""

from __future__ import annotations

from collections.abc import Sequence

from catalog_builder.mistake import MistakeError, Place, listed
from catalog_builder.offer import Listing
from catalog_builder.publish.theme.loading import Theme
from catalog_builder.records.studio import Studio
from catalog_builder.records.studio_tables.caution import BenchCautions, Cautions


def with_studio_words(theme: Theme, studio: Studio) -> Theme:
    """Give the theme with the studio's own words for cautions and for no tax, where the studio has some.

    Raises:
        MistakeError: the theme itself has no words for a caution.
    """
    codes = {"cautions": Cautions.codes(), "bench_cautions": BenchCautions.codes()}
    wordless = [
        f"{table}.{code}"
        for table, known in codes.items()
        for code in known
        if not str(theme.labels.get(table, {}).get(code, "")).strip()
    ]
    if wordless:
        raise _wordless_cautions(theme, wordless)
    reworded = {"cautions": studio.cautions.reworded, "bench_cautions": studio.bench_cautions.reworded}
    words = {
        table: {code: reworded[table].get(code, theme.labels[table][code]) for code in known}
        for table, known in codes.items()
    }
    # The bench's pages know their studio's rates and names, but not its tables: what it adds goes with the theme.
    words["bench_cautions"].update({f"also {n}": line for n, line in enumerate(studio.bench_cautions.also, 1)})
    if studio.studio.no_tax_note:
        words["stall"] = {**theme.labels["stall"], "no_tax": studio.studio.no_tax_note}
    return theme.worded({**theme.labels, **words})


def _wordless_cautions(theme: Theme, wordless: Sequence[str]) -> MistakeError:
    return MistakeError.at(
        Place(path="content/studio.toml"),
        wrong=f"studio.theme: the theme {theme.folder.name!r} has no words for {listed(wordless)}",
        expected="words for every caution in the theme's labels: one can be reworded, not silenced",
        mend="copy the missing lines from the labels of the theme `daylight`, and put them in your own words",
    )


def caution_lines(listing: Listing, theme: Theme) -> tuple[str, ...]:
    """Give every caution of a product, in the order in which they are read."""
    # Nothing is filled in here: a brace in a studio's own words is a brace.
    return (*(theme.labels["cautions"][code] for code in listing.cautions), *listing.added_cautions)


def all_caution_lines(listings: Sequence[Listing], theme: Theme) -> tuple[str, ...]:
    """Give every caution of some products once; what is added for some of them alone is said with their names."""
    codes = {code for listing in listings for code in listing.cautions}
    added: dict[str, list[str]] = {}
    for listing in listings:
        for line in listing.added_cautions:
            added.setdefault(line, []).append(listing.title)
    return (
        *(theme.labels["cautions"][code] for code in Cautions.codes() if code in codes),
        *(line for line, titles in added.items() if len(titles) == len(listings)),
        *(
            theme.words("care", "of_some", titles=", ".join(sorted(titles)), caution=line)
            for line, titles in added.items()
            if len(titles) < len(listings)
        ),
    )
