"""Values of files become typed values here; what a model refuses becomes mistakes with their lines."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from typing import Any, TypeVar

from pydantic import ValidationError
from pydantic.fields import FieldInfo
from pydantic_core import ErrorDetails

from catalog_builder.mistake import Mistake, MistakeError, listed, nearest, quoted, suggestion
from catalog_builder.records.reading.header import KeyPath, nearest_line
from catalog_builder.records.reading.source import Source
from catalog_builder.records.reading.values import Record, as_written

Model = TypeVar("Model", bound=Record)

# Nobody reads more of them, and each takes time.
MOST_MISTAKES = 200


def validate(
    model: type[Model],
    values: Mapping[str, Any],
    source: Source,
    line_of: Callable[[KeyPath], int | None],
) -> Model:
    """Make a typed record of plain values.

    ``line_of`` gives the line of a key path, or None where it is not known.

    Raises:
        MistakeError: with one mistake for each value that the model refuses.
    """
    try:
        return model.model_validate(values)
    except ValidationError as error:
        details = error.errors(include_url=False)
        more = len(details) - MOST_MISTAKES
        details = details[:MOST_MISTAKES]
        # A key that is only misspelled is reported once, not as missing too.
        misspelled = {_meant(model, detail) for detail in details}
        # A list with a wrong part is not reported as too short besides.
        wrong_inside = {detail["loc"][:end] for detail in details for end in range(len(detail["loc"]))}
        twice: dict[str, set[Any]] = {"missing": set(misspelled), "too_short": wrong_inside}
        mistakes = [
            _mistake(model, detail, source, line_of)
            for detail in details
            if detail["loc"] not in twice.get(detail["type"], set())
        ]
        raise MistakeError([*mistakes, *([_further(source, more)] if more > 0 else [])]) from None


def _further(source: Source, count: int) -> Mistake:
    return Mistake(
        place=source.place(),
        wrong=f"the file has {count} mistakes more than are told here",
        expected=f"at most {MOST_MISTAKES} mistakes at a time",
        mend="mend those below first; check that this is the file you meant",
    )


def _meant(model: type[Record], detail: ErrorDetails) -> KeyPath | None:
    """Give the key that an unknown key is probably meant to be."""
    *path, key = detail["loc"]
    guess = nearest(str(key), _known(model, tuple(path))) if detail["type"] == "extra_forbidden" else None
    return (*path, guess) if guess else None


def _mistake(
    model: type[Record],
    detail: ErrorDetails,
    source: Source,
    line_of: Callable[[KeyPath], int | None],
) -> Mistake:
    path = tuple(part for part in detail["loc"] if part != "[key]")
    kind, context = detail["type"], detail.get("ctx", {})
    key = str(path[-1]) if path else "the record"
    field = _field(model, path)
    place = source.place(nearest_line(path, line_of))
    dotted = ".".join(str(part + 1) if isinstance(part, int) else part for part in path)
    if kind == "extra_forbidden":
        known = _known(model, path[:-1])
        inside = f" in {dotted.rpartition('.')[0]}" if len(path) > 1 else ""
        return Mistake(
            place=place,
            wrong=f"the key {quoted(key)} is not known{inside}",
            expected=f"one of: {listed(known, most=40)}",
            mend=suggestion(key, known, "take the line out, or correct the key"),
            marked=key,
        )
    description = field.description if field is not None and field.description else "a value"
    if kind == "missing" and not isinstance(path[-1], int):
        group = bool(_models(model, path))
        return Mistake(
            place=place,
            wrong=f"the key {quoted(dotted)} is missing",
            expected=description,
            mend="add it; `catalog-builder guide keys` lists what belongs in it"
            if group
            else f"add {key!r} and its value",
        )
    if kind == "refused":
        return Mistake(
            place=place,
            wrong=f"{dotted}: {context['wrong']}",
            expected=str(context["expected"]),
            mend=str(context["mend"]),
            marked=_marked(detail["input"], key),
        )
    words = re.findall(r"'([^']+)'", str(context.get("expected", "")))
    value, otherwise = detail["input"], "change the value; `catalog-builder guide keys` tells what it may be"
    return Mistake(
        place=place,
        wrong=f"{dotted}: {as_written(value)} cannot be used here",
        expected=_expected(kind, context, words) or description,
        mend=suggestion(value, words, otherwise) if isinstance(value, str) else otherwise,
        marked=_marked(value, key),
    )


def _expected(kind: str, context: Mapping[str, Any], words: list[str]) -> str | None:
    """Say what a model's own check expects, by the check's name in pydantic."""
    match kind:
        case "literal_error" | "enum":
            return f"one of: {listed(words)}"
        case "missing":
            return "one value more"
        case "int_type" | "int_parsing" | "int_from_float":
            return "a whole number"
        case "bool_type" | "bool_parsing":
            return "true or false"
        case "list_type" | "tuple_type":
            return "a list in square brackets, such as [black, copper]"
        case "dict_type" | "model_type":
            return "keys with values, indented below this one"
    limits = {
        "greater_than_equal": ("a number from {}", "ge"),
        "greater_than": ("a number above {}", "gt"),
        "less_than_equal": ("a number up to {}", "le"),
        "too_short": ("at least {} of them", "min_length"),
        "too_long": ("at most {} of them", "max_length"),
    }
    text, limit = limits.get(kind, ("", ""))
    return text.format(context.get(limit)) or None


def _marked(value: Any, key: str) -> str:
    if value is None or isinstance(value, dict | list | tuple):
        return key
    return (value if isinstance(value, str) else as_written(value)) or key


def _models(model: type[Record], path: KeyPath) -> list[type[Record]]:
    """Give the models that a key path may end in, by walking the annotations."""
    current: list[Any] = [model]
    for part in path:
        following: list[Any] = []
        for annotation in current:
            if isinstance(annotation, type) and issubclass(annotation, Record):
                field = annotation.model_fields.get(str(part))
                if field is not None:
                    following.append(field.annotation)
            else:
                following.extend(getattr(annotation, "__args__", ()))
        current = [inner for annotation in following for inner in _inner_annotations(annotation)]
    return [annotation for annotation in current if isinstance(annotation, type) and issubclass(annotation, Record)]


def _inner_annotations(annotation: Any) -> list[Any]:
    """Give an annotation with all those inside it; of a model, the model alone."""
    if isinstance(annotation, type) and issubclass(annotation, Record):
        return [annotation]
    parts = getattr(annotation, "__args__", ())
    return [annotation, *(inner for part in parts for inner in _inner_annotations(part))]


def _known(model: type[Record], path: KeyPath) -> set[str]:
    return {name for inner in _models(model, path) for name in inner.model_fields}


def _field(model: type[Record], path: KeyPath) -> FieldInfo | None:
    fields = (inner.model_fields.get(str(path[-1])) for inner in _models(model, path[:-1])) if path else ()
    return next((field for field in fields if field is not None), None)
