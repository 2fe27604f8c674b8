"""The kinds of values in records, each with the words for what was expected."""

from __future__ import annotations

import re
import unicodedata
from datetime import date, datetime
from decimal import Decimal, InvalidOperation
from typing import Annotated, Any

from pydantic import BaseModel, BeforeValidator, ConfigDict
from pydantic_core import PydanticCustomError

from catalog_builder.mistake import quoted
from catalog_builder.units import length_mm

# Far more than anything that hangs in a window; a typing error cannot fill the memory.
MOST_MM = 10_000.0
# Names of files join up to four of these; a disk takes 255 bytes (POSIX.1-2017, NAME_MAX of common disks, from memory).
MOST_NAME = 50


def stands_in_addresses(name: str) -> bool:
    """Say whether the name of a file or folder has only what addresses may have, such as ``sea-holly``."""
    return re.fullmatch(r"[a-z0-9]+(-[a-z0-9]+)*", name) is not None


class Record(BaseModel):
    """A part of content/: frozen, and a key that is not known is refused."""

    model_config = ConfigDict(extra="forbid", frozen=True, arbitrary_types_allowed=True)


def refusal(wrong: str, expected: str, mend: str) -> PydanticCustomError:
    """Make the error of a value: what is wrong, what was expected and how to mend it."""
    # The text stands in the context too: in the message, braces may be taken for places to fill in.
    return PydanticCustomError("refused", wrong, {"wrong": wrong, "expected": expected, "mend": mend})


def as_written(value: Any) -> str:
    """Give a value as the maker wrote it in the file."""
    if value is None:
        return "nothing"
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, dict):
        return "a group of keys"
    if isinstance(value, list | tuple):
        return "a list" if value else "an empty list"
    return quoted(value) if isinstance(value, str) else str(value)[:60]


def _length(value: Any) -> float:
    expected = "a number with a unit (mm, cm, m, in, ft), such as 125 mm"
    if isinstance(value, float):
        return value
    if isinstance(value, str):
        try:
            length = length_mm(value)
        except ValueError:
            pass
        else:
            if length > MOST_MM:
                raise refusal(
                    f"{as_written(value)} is too long", "a length up to 10 m", "check the number and its unit"
                )
            return length
    if isinstance(value, int | Decimal):
        raise refusal(f"{as_written(value)} is not a length", expected, "add the unit you meant")
    mend = "write a number above zero, a space and the unit"
    if isinstance(value, str) and "," in value:
        mend = "use a decimal point and add the unit you meant"
    raise refusal(f"{as_written(value)} is not a length", expected, mend)


def _decimal(value: Any) -> Decimal:
    if isinstance(value, bool) or not isinstance(value, str | int | Decimal):
        raise refusal(f"{as_written(value)} is not a number", "a number such as 12.50", "write the number with a point")
    try:
        number = Decimal(str(value).strip())
    except InvalidOperation:
        raise refusal(
            f"{as_written(value)} is not a number",
            "a number such as 12.50, with a point and without a currency sign",
            "write only the number, with a decimal point",
        ) from None
    if not number.is_finite() or abs(number) > Decimal("1e9") or (number.adjusted() < -9 and number != 0):
        raise refusal(f"{as_written(value)} is not a usable number", "a number up to 1000000000", "check the number")
    return number


def _amount(value: Any) -> Decimal:
    number = _decimal(value)
    if number < 0:
        raise refusal(
            f"{as_written(value)} is less than nothing", "zero or a number above it", "leave out the minus sign"
        )
    return number


def _percent(value: Any) -> Decimal:
    number = _amount(value)
    if number >= 100:
        raise refusal(
            f"{as_written(value)} is not possible as a share",
            "a share under 100",
            "write 12.5 for twelve and a half percent",
        )
    return number


def _day(value: Any) -> date:
    if isinstance(value, date) and not isinstance(value, datetime):
        return value
    if isinstance(value, str) and re.fullmatch(r"\d{4}-\d{2}-\d{2}", value.strip()):
        try:
            return date.fromisoformat(value.strip())
        except ValueError:
            pass
    expected = "a date as year-month-day, such as 2026-03-14"
    raise refusal(f"{as_written(value)} is not a date", expected, "write the day alone, in that order")


def _name(value: Any) -> str:
    if isinstance(value, str) and len(value) > MOST_NAME:
        raise refusal(f"the name has {len(value)} characters", f"at most {MOST_NAME} characters", "shorten it")
    if isinstance(value, str) and re.fullmatch(r"[a-z0-9]+(-[a-z0-9]+|_[a-z0-9]+)*", value):
        return value
    raise refusal(
        f"{as_written(value)} cannot be used as a name in addresses",
        "lower-case letters a to z, digits and single hyphens",
        "write it like `sea-holly`",
    )


def _line(value: Any) -> str:
    if isinstance(value, int | Decimal) and not isinstance(value, bool):
        value = str(value)
    if not isinstance(value, str):
        mend = "write the text there; put it in quotation marks if it looks like something else"
        raise refusal(f"there is {as_written(value)} where a text belongs", "a text", mend)
    if not value.strip():
        raise refusal("the text is empty", "a text", "write the text there")
    # Tabs and line ends become blanks below; other control characters are legal in no page.
    if any(unicodedata.category(character) in ("Cc", "Cs") and not character.isspace() for character in value):
        raise refusal("the text holds a control character", "a text that can be printed", "type the text again")
    # Code points that are no characters (Unicode Standard, 23.7): the feed, which is XML, may not hold them.
    if bad := re.search("[\ufdd0-\ufdef\ufffe\uffff]", value):
        raise refusal(f"U+{ord(bad[0]):04X} in the text is no character", "a text that can be printed", "take it out")
    if len(value) > 2000:
        raise refusal(f"the text is too long ({len(value)} characters)", "at most 2000", "shorten it")
    return " ".join(value.split())


def _colour(value: Any) -> str:
    if isinstance(value, str) and re.fullmatch(r"#[0-9a-fA-F]{6}", value):
        return value
    raise refusal(f"{as_written(value)} is not a colour", "a colour as #rrggbb, such as #e9eef0", "write the colour so")


Length = Annotated[float, BeforeValidator(_length)]
Amount = Annotated[Decimal, BeforeValidator(_amount)]
Percent = Annotated[Decimal, BeforeValidator(_percent)]
Day = Annotated[date, BeforeValidator(_day)]
Name = Annotated[str, BeforeValidator(_name)]
Line = Annotated[str, BeforeValidator(_line)]
Colour = Annotated[str, BeforeValidator(_colour)]
