"""The rows of a table as typed values, each with its line, and the mistakes of the rows that are none."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Generic, TypeVar

from catalog_builder.mistake import MistakeError, Mistakes
from catalog_builder.records.reading.file import is_there
from catalog_builder.records.reading.source import Source, read
from catalog_builder.records.reading.table import Row, Table, normalized_cells, read_table
from catalog_builder.records.reading.validation import validate
from catalog_builder.records.reading.values import Record

Keys = TypeVar("Keys", bound=Record)

# Far more rows than a maker keeps by hand in a table of boxes or bands.
MOST_NAMED_ROWS = 500


@dataclass(frozen=True, slots=True)
class TableEntry(Generic[Keys]):
    """A row's values, and its line in the file."""

    line: int
    keys: Keys


@dataclass(slots=True)
class TableEntries(Generic[Keys]):
    """A table's rows, and the mistakes of the others; whoever checks the rows further adds to them."""

    source: Source
    rows: list[TableEntry[Keys]] = field(default_factory=list)
    mistakes: Mistakes = field(default_factory=Mistakes)

    def refuse_doubles(self, same: Callable[[Keys], Hashable], what: str, mend: str) -> None:
        """Add a mistake for each row that repeats an earlier one; ``same`` gives what only one row may hold."""
        first: dict[Hashable, int] = {}
        for entry in self.rows:
            self.refuse_second(first, same(entry.keys), entry.line, what, mend)

    def refuse_second(self, first: dict[Hashable, int], key: Hashable, line: int, what: str, mend: str) -> None:
        """Add a mistake if ``key`` is in ``first``, which holds the lines of earlier keys; enter it there if not."""
        if key in first:
            self.mistakes.add(
                self.source.place(line),
                wrong=f"{what} stands twice (first on line {first[key]})",
                expected="one row for it",
                mend=mend,
            )
        first.setdefault(key, line)


def validated_rows(
    table: Table, model: type[Keys], kinds: Mapping[str, str], mistakes: Mistakes
) -> Iterator[TableEntry[Keys]]:
    """Give each row of a table as a model; the mistakes of rows that are none are added to ``mistakes``.

    ``kinds`` names the columns that hold a ``number``, a ``date`` or a ``yes`` or no.
    """
    for row in table.rows:
        keys = mistakes.attempt(_validated, table, row, model, kinds)
        if keys is not None:
            yield TableEntry(row.line, keys)


def _validated(table: Table, row: Row, model: type[Keys], kinds: Mapping[str, str]) -> Keys:
    return validate(model, normalized_cells(table, row, kinds), table.source, lambda _: row.line)


def read_entries(project: Path, path: Path, model: type[Keys], kinds: Mapping[str, str]) -> TableEntries[Keys]:
    """Read a table whose columns are a model's fields, and which may be missing; ``kinds`` as in `validated_rows`."""
    entries = TableEntries[Keys](Source(path.relative_to(project).as_posix(), ""))
    if not is_there(path):
        return entries
    with entries.mistakes.collect():
        entries.source = read(project, path)
        table = read_table(entries.source, set(model.model_fields), _needed(model))
        entries.rows.extend(validated_rows(table, model, kinds, entries.mistakes))
    return entries


def read_named_rows(
    source: Source, model: type[Keys], kinds: Mapping[str, str], named: Callable[[Keys], str]
) -> dict[int, Keys]:
    """Read a small table whose columns are a model's fields; give its rows by their lines.

    ``kinds`` is as in `validated_rows`. ``named`` gives the words for a row that no other row may share.

    Raises:
        MistakeError: with every row that is wrong or stands twice; there are too many rows; a column is missing.
    """
    table = read_table(source, set(model.model_fields), _needed(model))
    if len(table.rows) > MOST_NAMED_ROWS:
        raise MistakeError.at(
            source.place(),
            wrong=f"the table has {len(table.rows)} rows",
            expected=f"up to {MOST_NAMED_ROWS} rows",
            mend="keep those that you use",
        )
    rows: dict[int, Keys] = {}
    first: dict[str, int] = {}
    mistakes = Mistakes()
    for entry in validated_rows(table, model, kinds, mistakes):
        name = named(entry.keys)
        if name in first:
            mistakes.add(
                source.place(entry.line),
                wrong=f"{name} stands twice (first on line {first[name]})",
                expected="one row for each",
                mend="rename one of them or take it out",
            )
        first.setdefault(name, entry.line)
        rows[entry.line] = entry.keys
    mistakes.raise_if_any()
    return rows


def _needed(model: type[Record]) -> set[str]:
    return {name for name, field in model.model_fields.items() if field.is_required()}
