"""The kinds of value that records are made of, each with the words for what was expected."""

from __future__ import annotations

import re
from datetime import date
from decimal import Decimal, InvalidOperation
from typing import Annotated, Any

from pydantic import BaseModel, BeforeValidator, ConfigDict
from pydantic_core import PydanticCustomError

from catalog_builder.units import length_mm


class Record(BaseModel):
    """A part of content/: frozen, and no key is taken that is not known."""

    model_config = ConfigDict(extra="forbid", frozen=True, arbitrary_types_allowed=True)


def refusal(wrong: str, expected: str, mend: str) -> PydanticCustomError:
    """Make the error by which a value's reader says what is wrong, what was expected and how to mend it."""
    context = {"expected": expected, "mend": mend}
    return PydanticCustomError("refused", wrong.replace("{", "{{").replace("}", "}}"), context)


def _length(value: Any) -> float:
    expected = "a number with a unit (mm, cm, m, in, ft), such as 125 mm"
    if isinstance(value, float):
        return value
    if isinstance(value, str):
        try:
            return length_mm(value)
        except ValueError:
            pass
    if isinstance(value, int | Decimal):
        raise refusal(f"{value} is not a length", expected, "add the unit you meant")
    mend = "write a number above zero, a space and the unit"
    if isinstance(value, str) and "," in value:
        mend = "use a decimal point and add the unit you meant"
    raise refusal(f"{value!r} is not a length", expected, mend)


def _decimal(value: Any) -> Decimal:
    if isinstance(value, bool) or not isinstance(value, str | int | Decimal):
        raise refusal(f"{value!r} is not a number", "a number such as 12.50", "write the number with a point")
    try:
        number = Decimal(str(value).strip())
    except InvalidOperation:
        raise refusal(
            f"{value!r} is not a number",
            "a number such as 12.50, with a point and without a currency sign",
            "write only the number, with a decimal point",
        ) from None
    if not number.is_finite() or abs(number) > Decimal("1e9") or (number.adjusted() < -9 and number != 0):
        raise refusal(f"{value!r} is not a usable number", "a number up to 1,000,000,000", "check the number")
    return number


def _amount(value: Any) -> Decimal:
    number = _decimal(value)
    if number < 0:
        raise refusal(f"{value} is less than nothing", "zero or a number above it", "leave out the minus sign")
    return number


def _percent(value: Any) -> Decimal:
    number = _amount(value)
    if number >= 100:
        raise refusal(
            f"{value} % is not possible here", "a share under 100", "write 12.5 for twelve and a half percent"
        )
    return number


def _day(value: Any) -> date:
    if isinstance(value, date):
        return value
    if isinstance(value, str) and re.fullmatch(r"\d{4}-\d{2}-\d{2}", value.strip()):
        try:
            return date.fromisoformat(value.strip())
        except ValueError:
            pass
    raise refusal(f"{value!r} is not a date", "a date as year-month-day, such as 2026-03-14", "write it in that order")


def _name(value: Any) -> str:
    if isinstance(value, str) and re.fullmatch(r"[a-z0-9]+(-[a-z0-9]+|_[a-z0-9]+)*", value):
        return value
    raise refusal(
        f"{value!r} cannot be used as a name in addresses",
        "lower-case letters a to z, digits and single hyphens",
        "write it like `sea-holly`",
    )


def _line(value: Any) -> str:
    if isinstance(value, int | Decimal) and not isinstance(value, bool):
        value = str(value)
    if not isinstance(value, str):
        shown = "nothing" if value is None else "a list" if isinstance(value, list) else "not a text"
        raise refusal(f"there is {shown} where a text belongs", "a text", "write the text after the colon")
    if not value.strip():
        raise refusal("the text is empty", "a text", "write the text after the colon")
    if len(value) > 2000:
        raise refusal(f"the text is too long ({len(value)} characters)", "at most 2000", "shorten it")
    return " ".join(value.split())


Length = Annotated[float, BeforeValidator(_length)]
Amount = Annotated[Decimal, BeforeValidator(_amount)]
Percent = Annotated[Decimal, BeforeValidator(_percent)]
Day = Annotated[date, BeforeValidator(_day)]
Name = Annotated[str, BeforeValidator(_name)]
Line = Annotated[str, BeforeValidator(_line)]

SHOWN_AS = {
    Length: "a length, such as `80 mm`",
    Amount: "a number from 0",
    Percent: "a percentage from 0, under 100",
    Day: "a date, such as `2026-03-14`",
    Name: "a name for addresses: a to z, digits, hyphens",
    Line: "a text",
}
