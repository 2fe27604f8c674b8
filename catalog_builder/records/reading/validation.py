"""The border where files become typed values: a model's refusals are worded as mistakes with their lines."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from typing import Any, TypeVar

from pydantic import ValidationError
from pydantic_core import ErrorDetails

from catalog_builder.mistake import Mistake, MistakeError, listed, nearest, quoted
from catalog_builder.records.reading.header import KeyPath
from catalog_builder.records.reading.source import Source
from catalog_builder.records.reading.values import Record, told

Model = TypeVar("Model", bound=Record)

# Nobody reads more of them, and each takes time to word.
MOST_TOLD = 200


def admit(
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
    except ValidationError as fault:
        details = fault.errors(include_url=False)
        more = len(details) - MOST_TOLD
        details = details[:MOST_TOLD]
        meant = {_meant(model, detail) for detail in details}
        # A key that is only misspelled is told once, not as missing too.
        # A list of which every part is at fault is not told as too short besides.
        at_fault = {detail["loc"][:end] for detail in details for end in range(len(detail["loc"]))}
        again: dict[str, set[Any]] = {"missing": set(meant), "too_short": at_fault}
        told_once = [detail for detail in details if detail["loc"] not in again.get(detail["type"], set())]
        mistakes = [_worded(model, detail, source, line_of) for detail in told_once]
        raise MistakeError([*mistakes, *([_untold(source, more)] if more > 0 else [])]) from None


def _untold(source: Source, count: int) -> Mistake:
    return Mistake(
        place=source.place(),
        wrong=f"the file has {count} mistakes more than are told here",
        expected=f"at most {MOST_TOLD} mistakes at a time",
        mend="mend those below first; check that this is the file you meant",
    )


def _meant(model: type[Record], detail: ErrorDetails) -> KeyPath | None:
    """Give the key that an unknown key is probably meant to be."""
    *path, key = detail["loc"]
    guess = nearest(str(key), _known(model, tuple(path))) if detail["type"] == "extra_forbidden" else None
    return (*path, guess) if guess else None


def _worded(
    model: type[Record],
    detail: ErrorDetails,
    source: Source,
    line_of: Callable[[KeyPath], int | None],
) -> Mistake:
    path = tuple(part for part in detail["loc"] if part != "[key]")
    kind, context = detail["type"], detail.get("ctx", {})
    key = str(path[-1]) if path else "the record"
    field = _field(model, path)
    place = source.place(_line(path, line_of))
    shown = ".".join(str(part + 1) if isinstance(part, int) else part for part in path)
    if kind == "extra_forbidden":
        known = _known(model, path[:-1])
        guess = nearest(key, known)
        return Mistake(
            place=place,
            wrong=f"the key {quoted(key)} is not known" + (f" in {shown.rpartition('.')[0]}" if len(path) > 1 else ""),
            expected=f"one of: {listed(known, most=40)}",
            mend=f"did you mean {guess!r}?" if guess else "take the line out, or correct the key",
            marked=key,
        )
    description = field.description if field is not None and field.description else "a value"
    if kind == "missing" and not isinstance(path[-1], int):
        group = bool(_models(model, path))
        return Mistake(
            place=place,
            wrong=f"the key {quoted(shown)} is missing",
            expected=description,
            mend="add it; `catalog-builder keys` lists what belongs in it" if group else f"add {key!r} and its value",
        )
    if kind == "refused":
        return Mistake(
            place=place,
            wrong=f"{shown}: {detail['msg']}",
            expected=str(context["expected"]),
            mend=str(context["mend"]),
            marked=_marked(detail["input"], key),
        )
    words = re.findall(r"'([^']+)'", str(context.get("expected", "")))
    guess = nearest(detail["input"], words) if isinstance(detail["input"], str) else None
    expected = {
        "literal_error": f"one of: {listed(words)}",
        "enum": f"one of: {listed(words)}",
        "missing": "one value more",
        "int_type": "a whole number",
        "int_parsing": "a whole number",
        "int_from_float": "a whole number",
        "bool_type": "true or false",
        "bool_parsing": "true or false",
        "list_type": "a list in square brackets, such as [black, copper]",
        "tuple_type": "a list in square brackets, such as [black, copper]",
        "dict_type": "keys with values, indented below this one",
        "model_type": "keys with values, indented below this one",
        "greater_than_equal": f"a number from {context.get('ge')}",
        "greater_than": f"a number above {context.get('gt')}",
        "less_than_equal": f"a number up to {context.get('le')}",
        "too_short": f"at least {context.get('min_length')} of them",
        "too_long": f"at most {context.get('max_length')} of them",
    }.get(kind, description)
    return Mistake(
        place=place,
        wrong=f"{shown}: {told(detail['input'])} cannot be used here",
        expected=expected,
        mend=f"did you mean {guess!r}?" if guess else "change the value; `catalog-builder keys` tells what it may be",
        marked=_marked(detail["input"], key),
    )


def _marked(value: Any, key: str) -> str:
    if value is None or isinstance(value, dict | list | tuple):
        return key
    return (value if isinstance(value, str) else told(value)) or key


def _line(path: KeyPath, line_of: Callable[[KeyPath], int | None]) -> int | None:
    while path:
        line = line_of(path)
        if line is not None:
            return line
        path = path[:-1]
    return line_of(())


def _models(model: type[Record], path: KeyPath) -> list[type[Record]]:
    """Give the models that a key path may end in, by walking the annotations."""
    current: list[Any] = [model]
    for part in path:
        following: list[Any] = []
        for one in current:
            if isinstance(one, type) and issubclass(one, Record):
                found = one.model_fields.get(str(part))
                if found is not None:
                    following.append(found.annotation)
            else:
                following.extend(getattr(one, "__args__", ()))
        current = [inner for one in following for inner in _opened(one)]
    return [one for one in current if isinstance(one, type) and issubclass(one, Record)]


def _opened(annotation: Any) -> list[Any]:
    if isinstance(annotation, type) and issubclass(annotation, Record):
        return [annotation]
    return [annotation, *(inner for part in getattr(annotation, "__args__", ()) for inner in _opened(part))]


def _known(model: type[Record], path: KeyPath) -> set[str]:
    return {name for one in _models(model, path) for name in one.model_fields}


def _field(model: type[Record], path: KeyPath) -> Any:
    for one in _models(model, path[:-1]) if path else []:
        found = one.model_fields.get(str(path[-1]))
        if found is not None:
            return found
    return None
