"""The text of a record's header: values as YAML that the reader of records takes back as they were."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Mapping
from decimal import Decimal

from catalog_builder.records.drawing.marks import Marks, PieceMark

_WORDS_OF_YAML = {"true", "false", "null"}


def scalar(text: str) -> str:
    """Write a text as one value, in quotation marks where it could be read as something else."""
    plain = text and text[0].isalpha() and all(character.isalnum() or character in " -_." for character in text)
    if plain and text == text.strip() and text.lower() not in _WORDS_OF_YAML:
        return text
    whole_number = text.isascii() and text.isdigit() and text == str(int(text))
    return text if whole_number else json.dumps(text, ensure_ascii=False)


def number(value: float) -> str:
    """Write a number as short as it can be, without an exponent."""
    short = format(Decimal(repr(value + 0.0)), "f")
    return short.rstrip("0").rstrip(".") if "." in short else short


def listing(values: Iterable[str]) -> str:
    """Write values, as YAML already, as a list on one line."""
    return f"[{', '.join(values)}]"


def pairs(values: Mapping[str, str]) -> str:
    """Write keys and values, as YAML already, on one line."""
    return f"{{{', '.join(f'{key}: {value}' for key, value in values.items())}}}"


def marks_lines(marks: Marks) -> Iterator[str]:
    """Write ``marks:`` and all that stands under it, a mark a line. A piece without a glass word has a blank one."""
    yield "marks:"
    if marks.fold is not None:
        yield f"  fold: {_numbers(marks.fold)}"
    for key, points in (("rings", marks.rings), ("open", marks.open)):
        if points:
            yield f"  {key}:"
            yield from (f"    - {_numbers(point)}" for point in points)
    if marks.wires:
        yield "  wires:"
        for wire in marks.wires:
            material = {"material": scalar(wire.material)} if wire.material else {}
            yield f"    - {pairs({'points': listing(map(_numbers, wire.points)), **material})}"
    if marks.pieces:
        yield "  pieces:"
        yield from (f"    - {_piece(piece)}" for piece in marks.pieces)
    if marks.joins:
        yield "  joins:"
        for join in marks.joins:
            part = {"part": scalar(join.part)} if join.part else {}
            yield f"    - {pairs({'line': _numbers(join.line), **part})}"


def _piece(piece: PieceMark) -> str:
    keys = {"at": _numbers(piece.at)}
    if piece.number is not None:
        keys["number"] = scalar(piece.number)
    keys["glass"] = scalar(piece.glass) if piece.glass else ""
    if "grain" in piece.model_fields_set:
        keys["grain"] = "along" if piece.grain is None else number(piece.grain)
    return pairs(keys)


def _numbers(values: Iterable[float]) -> str:
    return listing(map(number, values))
