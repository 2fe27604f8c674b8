"""The border where files become typed values: a model's refusals are worded as mistakes with their lines."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any, TypeVar

from pydantic import ValidationError
from pydantic_core import ErrorDetails

from catalog_builder.mistake import Mistake, MistakeError, listed, nearest
from catalog_builder.records.header import KeyPath
from catalog_builder.records.source import Source
from catalog_builder.records.values import Record

Model = TypeVar("Model", bound=Record)


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
        raise MistakeError([_worded(model, detail, source, line_of) for detail in details]) from None


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
            wrong=f"the key {key!r} is not known" + (f" in {shown.rpartition('.')[0]}" if len(path) > 1 else ""),
            expected=f"one of: {listed(known, most=40)}",
            mend=f"did you mean {guess!r}?" if guess else "take the line out, or correct the key",
            marked=key,
        )
    if kind == "missing":
        description = field.description if field is not None and field.description else "a value"
        return Mistake(
            place=place,
            wrong=f"the key {shown!r} is missing",
            expected=description,
            mend=f"add a line with {key!r} and its value",
        )
    if kind == "refused":
        return Mistake(
            place=place,
            wrong=f"{shown}: {detail['msg']}",
            expected=str(context["expected"]),
            mend=str(context["mend"]),
            marked=_marked(detail["input"], key),
        )
    expected = {
        "literal_error": f"one of: {context.get('expected', '')}".replace("'", ""),
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
    }.get(kind, detail["msg"][:1].lower() + detail["msg"][1:])
    return Mistake(
        place=place,
        wrong=f"{shown}: {_shown(detail['input'])} cannot be used here",
        expected=expected,
        mend="change the value, or see the key in the list that `catalog-builder keys` prints",
        marked=_marked(detail["input"], key),
    )


def _shown(value: Any) -> str:
    if value is None:
        return "nothing"
    text = repr(value) if isinstance(value, str) else "a group of keys" if isinstance(value, dict) else str(value)
    return text if len(text) <= 60 else text[:57] + "..."


def _marked(value: Any, key: str) -> str:
    return str(value) if isinstance(value, str | int) and str(value) else key


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
