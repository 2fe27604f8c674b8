"""The words of a theme in a language: its own over those of the themes that it builds on, with none missing."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path, PurePosixPath
from string import Formatter

from catalog_builder.mistake import Mistake, MistakeError, listed
from catalog_builder.publish.theme.spelling import SPELLING, respell, spelling_mistakes
from catalog_builder.records.reading.source import Source, read
from catalog_builder.records.reading.toml import key_line, read_toml

# A table's name, a key in it, and its words.
Labels = dict[str, dict[str, str]]


def read_labels(folders: Sequence[Path], language: str, studio: Source) -> Labels:
    """Read the labels of a theme for a language such as ``de-AT``: ``de.toml``, and over it ``de-AT.toml``.

    ``folders`` are the theme's own and those of the themes that it builds on, in that order. The labels of the last
    one in English say which words there are to be, and which {braces} the program fills in. What a region's files
    spell otherwise holds for every label of the language.

    Raises:
        MistakeError: there are no labels for the language, or some are missing or cannot be filled in.
    """
    sources = [_source(path) for path in label_files(folders, language)]
    if not sources:
        raise MistakeError([_no_words(folders, language, studio)])
    labels: Labels = {}
    mistakes: list[Mistake] = []
    standard = _tables(_source(folders[-1] / "labels" / f"{_standard(folders[-1])}.toml"), [])
    files = [(source, _tables(source, mistakes)) for source in sources]
    of_language = [tables for source, tables in files if not _of_region(source)]
    spelling: dict[str, str] = {}
    for source, tables in files:
        mistakes.extend(_unfilled(source, tables, standard))
        letters = tables.pop(SPELLING, {})
        mistakes.extend(spelling_mistakes(source, letters, of_language if _of_region(source) else None))
        spelling |= letters
    for source, tables in files:
        for table, words in tables.items():
            kept = words if _of_region(source) else {key: respell(text, spelling) for key, text in words.items()}
            labels.setdefault(table, {}).update(kept)
    missing = missing_keys(labels, standard)
    if missing:
        mistakes.append(
            Mistake(
                place=sources[-1].place(),
                wrong=f"words are missing, {len(missing)} in all: {listed(missing)}",
                expected=f"every key of {_standard(folders[-1])}.toml of the theme {folders[-1].name!r}",
                mend="copy the missing lines from there and translate them",
            )
        )
    if mistakes:
        raise MistakeError(mistakes)
    return labels


def label_files(folders: Sequence[Path], language: str) -> list[Path]:
    """Give the files with a theme's words for a language, those of the themes below before its own."""
    names = dict.fromkeys((language.partition("-")[0], language))
    paths = (folder / "labels" / f"{name}.toml" for folder in reversed(folders) for name in names)
    return [path for path in paths if path.is_file()]


def missing_keys(labels: Mapping[str, Mapping[str, str]], standard: Mapping[str, Mapping[str, str]]) -> list[str]:
    """Give the keys of the standard language that labels lack, as ``table.key``."""
    return [f"{table}.{key}" for table, words in standard.items() for key in words if key not in labels.get(table, {})]


def _source(path: Path) -> Source:
    return read(path.parents[3], path)


def _of_region(source: Source) -> bool:
    return "-" in PurePosixPath(source.path).stem


def _standard(folder: Path) -> str:
    """Give the language that says which words there are to be: English, where the theme has it."""
    languages = sorted(path.stem for path in (folder / "labels").glob("*.toml"))
    return "en" if "en" in languages or not languages else languages[0]


def _tables(source: Source, mistakes: list[Mistake]) -> Labels:
    tables: Labels = {}
    for table, words in read_toml(source).items():
        if not isinstance(words, dict):
            mistakes.append(_not_text(source, (table,), "a table of words in [brackets]"))
            continue
        tables[table] = {key: text for key, text in words.items() if isinstance(text, str)}
        mistakes.extend(
            _not_text(source, (table, key), "a text in quotation marks")
            for key, text in words.items()
            if not isinstance(text, str)
        )
    return tables


def _not_text(source: Source, path: tuple[str, ...], expected: str) -> Mistake:
    return Mistake(
        place=source.place(key_line(source.text, path)),
        wrong=f"{'.'.join(path)}: this is no label",
        expected=expected,
        mend="write the words there",
        marked=path[-1],
    )


def _unfilled(source: Source, tables: Labels, standard: Labels) -> Iterator[Mistake]:
    """Find labels with {braces} that the program does not fill in."""
    for table, words in tables.items():
        for key, text in words.items():
            label = standard.get(table, {}).get(key)
            known = braces(label) if label is not None else None
            names = braces(text)
            if names is None or (known is not None and not names <= known):
                yield Mistake(
                    place=source.place(key_line(source.text, (table, key))),
                    wrong=f"{table}.{key}: not every {{brace}} in it can be filled in",
                    expected=", ".join(f"{{{name}}}" for name in sorted(known or ())) or "no {braces} in this label",
                    mend="spell the words in braces as the English label does; they are not translated",
                    marked=key,
                )


def braces(text: str) -> set[str] | None:
    """Give the names that stand in {braces} in a label, or None where a brace is left open or holds more than a name.

    More than a name could reach behind the value that it stands for, or widen the label without end.
    """
    try:
        fields = [field for field in Formatter().parse(text) if field[1] is not None]
    except ValueError:
        return None
    if not all(str(name).isidentifier() and not form for _, name, form, _ in fields):
        return None
    return {str(name) for _, name, _, _ in fields}


def _no_words(folders: Sequence[Path], language: str, studio: Source) -> Mistake:
    languages = sorted({path.stem for folder in folders for path in (folder / "labels").glob("*.toml")})
    return Mistake(
        place=studio.place(key_line(studio.text, ("studio", "language"))),
        wrong=f"studio.language: the theme {folders[0].name!r} has no words for {language!r}",
        expected=f"a language it has labels for: {', '.join(languages)}",
        mend=f"copy labels/{_standard(folders[-1])}.toml of the theme to labels/{language.partition('-')[0]}.toml "
        "and translate it",
        marked=language,
    )
