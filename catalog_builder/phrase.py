"""What is to be said, as values: the key of a label, and the values that fill its {braces}.

Stages before ``publish`` make phrases; ``publish/theme/phrasing.py`` puts them into the studio's language, with its
numbers, units and currency. A plain ``str`` among the values is the maker's own text, such as a title or a row's name,
and is never a word of the program's: such a word is a phrase of its own.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, fields
from datetime import date
from decimal import Decimal
from typing import Any, Literal, TypeAlias

from catalog_builder.units import exact

# The units that stages calculate in; "degrees" are of an angle, "share" is a part of 1 and is shown in percent.
Unit = Literal["mm", "m", "mm2", "dm2", "g", "kg", "g/m", "ml", "min", "h", "degrees", "N", "m/s", "each", "share"]


def joined(words: Iterable[str]) -> str:
    """Give words in a row, those that are empty left out; by semicolons where one of them holds a comma."""
    said = [word for word in words if word]
    return ("; " if any("," in word for word in said) else ", ").join(said)


@dataclass(frozen=True, slots=True)
class Quantity:
    """An amount in a unit, shown with up to ``places`` digits behind the point."""

    amount: Decimal
    unit: Unit
    places: int = 0


@dataclass(frozen=True, slots=True)
class Number:
    """A number without a unit, shown with up to ``places`` digits behind the point."""

    amount: Decimal
    places: int = 0


@dataclass(frozen=True, slots=True)
class Money:
    """An amount in the studio's currency; ``fine`` for the price of a gram or a millilitre, with four more digits."""

    amount: Decimal
    fine: bool = False


@dataclass(frozen=True, slots=True)
class Phrase:
    """A label by its table and key, such as ``findings.tilt_right``, and what fills its {braces}.

    Where the label has the forms ``KEY_one`` and ``KEY_many``, the value ``count`` decides between them.
    """

    key: str
    values: tuple[tuple[str, Value], ...] = ()

    @classmethod
    def __get_pydantic_core_schema__(cls, _source: object, _handler: object) -> Any:
        """Read and write phrases in what is kept from one build to the next."""
        from pydantic_core import core_schema

        serialization = core_schema.plain_serializer_function_ser_schema(_to_json)
        return core_schema.no_info_plain_validator_function(_phrase_from_json, serialization=serialization)


# A tuple is a list of things, worded as "a, b and c".
Value: TypeAlias = "str | int | date | Quantity | Number | Money | Phrase | tuple[Value, ...]"


def phrase(key: str, **values: Value) -> Phrase:
    """Make a phrase; the names of ``values`` are those in the label's {braces}."""
    return Phrase(key, tuple(values.items()))


def quantity(amount: float | Decimal, unit: Unit, places: int = 0) -> Quantity:
    """Make a quantity of a calculated amount, rounded half up to the digits that are shown."""
    return Quantity(exact(float(amount), places), unit, places)


def _to_json(value: Any) -> Any:
    """Give a value as JSON knows it: a list with the name of its type, so that a date is not read as a text."""
    match value:
        case str() | bool() | int():
            return value
        case Decimal() | date():
            return [type(value).__name__, str(value)]
        case tuple():
            return ["tuple", *map(_to_json, value)]
        case _:
            return [type(value).__name__, *(_to_json(getattr(value, field.name)) for field in fields(value))]


def _from_json(value: Any) -> Any:
    """Read what ``_to_json`` gave.

    Raises:
        ValueError: it is of no type that a phrase holds, or its parts are not those of the type.
    """
    if not isinstance(value, list):
        return value
    try:
        name, *parts = value
        return _READERS[name](*map(_from_json, parts))
    except (LookupError, TypeError, ArithmeticError) as error:
        raise ValueError("this is no value of a phrase") from error


def _phrase_from_json(value: Any) -> Phrase:
    read = value if isinstance(value, Phrase) else _from_json(value)
    if not isinstance(read, Phrase):
        raise ValueError("this is no phrase")
    return read


_READERS: dict[str, Callable[..., Any]] = {
    "Decimal": Decimal,
    "date": date.fromisoformat,
    "tuple": lambda *parts: parts,
    "Quantity": Quantity,
    "Number": Number,
    "Money": Money,
    "Phrase": Phrase,
}
