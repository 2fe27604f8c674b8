"""The rows of a table as typed values, each with its line, and the mistakes of those that are none."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Generic, TypeVar

from catalog_builder.mistake import Mistake, MistakeError
from catalog_builder.records.reading.file import is_there
from catalog_builder.records.reading.source import Source, read
from catalog_builder.records.reading.table import plain, read_table
from catalog_builder.records.reading.validation import admit
from catalog_builder.records.reading.values import Record

Keys = TypeVar("Keys", bound=Record)


@dataclass(frozen=True, slots=True)
class TableEntry(Generic[Keys]):
    """A row as it was typed, and its line in the file."""

    line: int
    keys: Keys


@dataclass(slots=True)
class TableEntries(Generic[Keys]):
    """A table's rows, and what is wrong with those that are not among them; its readers add what they find."""

    source: Source
    rows: list[TableEntry[Keys]] = field(default_factory=list)
    mistakes: list[Mistake] = field(default_factory=list)

    def refuse_doubles(self, same: Callable[[Keys], Hashable], what: str, mend: str) -> None:
        """Tell rows that say again what an earlier one says; ``same`` gives what may stand once only."""
        first: dict[Hashable, int] = {}
        for entry in self.rows:
            self.refuse_second(first, same(entry.keys), entry.line, what, mend)

    def refuse_second(self, first: dict[Hashable, int], key: Hashable, line: int, what: str, mend: str) -> None:
        """Tell a row whose key is in ``first``, which holds the lines of those before it, and enter it there."""
        if key in first:
            self.mistakes.append(
                Mistake(
                    place=self.source.place(line),
                    wrong=f"{what} stands twice (first on line {first[key]})",
                    expected="one row for it",
                    mend=mend,
                )
            )
        first.setdefault(key, line)


def read_entries(project: Path, path: Path, model: type[Keys], kinds: Mapping[str, str]) -> TableEntries[Keys]:
    """Read a table, which may be missing; ``kinds`` names the columns that hold a number or a date."""
    entries = TableEntries[Keys](Source(path.relative_to(project).as_posix(), ""))
    if not is_there(path):
        return entries
    needed = {name for name, found in model.model_fields.items() if found.is_required()}
    try:
        entries.source = source = read(project, path)
        table = read_table(source, set(model.model_fields), needed)
    except MistakeError as fault:
        entries.mistakes.extend(fault.mistakes)
        return entries
    for row in table.rows:
        try:
            keys = admit(model, plain(table, row, kinds), source, lambda _, line=row.line: line)  # type: ignore[misc]
        except MistakeError as fault:
            entries.mistakes.extend(fault.mistakes)
        else:
            entries.rows.append(TableEntry(row.line, keys))
    return entries
