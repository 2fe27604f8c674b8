"""The rows of a small table as typed values, each under a name of its own."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import TypeVar

from catalog_builder.mistake import Mistake, MistakeError
from catalog_builder.records.reading.source import Source
from catalog_builder.records.reading.table import plain, read_table
from catalog_builder.records.reading.validation import admit
from catalog_builder.records.reading.values import Record

Model = TypeVar("Model", bound=Record)

# Far more than any maker keeps by hand.
MOST_ROWS = 500


def read_rows(
    source: Source, model: type[Model], kinds: Mapping[str, str], named: Callable[[Model], str]
) -> dict[int, Model]:
    """Read a table whose columns are a model's fields; give its rows by their lines.

    ``kinds`` is as `plain` takes it. ``named`` gives the words that tell a row from all others.

    Raises:
        MistakeError: with every row that is wrong or stands twice; there are too many rows; a column is missing.
    """
    needed = {name for name, field in model.model_fields.items() if field.is_required()}
    table = read_table(source, set(model.model_fields), needed)
    if len(table.rows) > MOST_ROWS:
        raise _too_many(source, len(table.rows))
    rows: dict[int, Model] = {}
    first: dict[str, int] = {}
    mistakes: list[Mistake] = []
    for row in table.rows:
        try:
            found = admit(model, plain(table, row, kinds), source, lambda _, line=row.line: line)  # type: ignore[misc]
        except MistakeError as fault:
            mistakes.extend(fault.mistakes)
            continue
        name = named(found)
        if name in first:
            mistakes.append(
                Mistake(
                    place=source.place(row.line),
                    wrong=f"{name} stands twice (first on line {first[name]})",
                    expected="one row for each",
                    mend="rename one of them or take it out",
                )
            )
        first.setdefault(name, row.line)
        rows[row.line] = found
    if mistakes:
        raise MistakeError(mistakes)
    return rows


def _too_many(source: Source, count: int) -> MistakeError:
    return MistakeError(
        [
            Mistake(
                place=source.place(),
                wrong=f"the table has {count} rows",
                expected=f"up to {MOST_ROWS} rows",
                mend="keep those that you use",
            )
        ]
    )
