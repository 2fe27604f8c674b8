"""The table ``[studio]`` of ``content/studio.toml``: who the studio is, where it is met, and how its papers look."""

from __future__ import annotations

import re
from contextlib import suppress
from typing import Annotated, Any, Literal
from urllib.parse import urlsplit

from pydantic import BeforeValidator, Field

from catalog_builder.records.drawing.shown_pattern import SHOWN, ShownPattern
from catalog_builder.records.reading.values import Line, Name, Record, as_written, refusal
from catalog_builder.records.selling.enquiry_link import EnquiryLink
from catalog_builder.records.selling.returns import Country, Returns
from catalog_builder.records.studio_tables.paper import Paper


def _currency(value: Any) -> str:
    from babel import Locale

    known = Locale("en").currencies
    if isinstance(value, str) and value in known and re.fullmatch("[A-Z]{3}", value):
        return value
    raise refusal(
        f"{as_written(value)} is not a currency", "a code of ISO 4217, such as GBP", "write the code in three capitals"
    )


def _language(value: Any) -> str:
    from babel import Locale, UnknownLocaleError

    try:
        Locale.parse(str(value), sep="-")
    except (ValueError, UnknownLocaleError):
        raise refusal(
            f"{as_written(value)} is not a language tag that is known",
            "a tag such as en-GB, de-DE or fr-FR",
            "write the language in small letters, a hyphen and the country in capitals",
        ) from None
    return str(value)


def _address(value: Any) -> str:
    if isinstance(value, str) and len(value) < 300 and re.fullmatch(r"https?://[^\s<>\"'?#]+", value):
        with suppress(ValueError):  # a bracket that is not closed, a port that is no number
            address = urlsplit(value)
            if address.hostname and address.port != 0:
                return value if value.endswith("/") else value + "/"
    raise refusal(
        f"{as_written(value)} is not a web address",
        "the address where the catalogue will stand, such as https://studio.example/",
        "write it in full, with https://",
    )


def _email(value: Any) -> str:
    if isinstance(value, str) and len(value) < 300 and re.fullmatch(r"[^@\s<>\"]+@[^@\s<>\"]+\.[^@\s<>\"]+", value):
        return value
    expected = "an address such as hello@studio.example"
    raise refusal(f"{as_written(value)} is not a mail address", expected, "write one address, with its @")


class StudioKeys(Record):
    """``[studio]``: the studio's name, place and language."""

    name: Line = Field(description="the studio's name")
    maker: Line = Field(description="the maker's name, as the public reads it")
    tagline: Line = Field(description="one line under the name")
    place: Line = Field(description="where the studio is, as the public reads it")
    email: Annotated[str, BeforeValidator(_email)] = Field(description="where enquiries go")
    lead_days: int | None = Field(
        None, ge=1, le=1000, description="days from an order until a piece made to order is ready; buyers read it"
    )
    address: Annotated[str, BeforeValidator(_address)] = Field(description="where the catalogue will stand on the web")
    currency: Annotated[str, BeforeValidator(_currency)] = Field(description="a code of ISO 4217, such as GBP")
    language: Annotated[str, BeforeValidator(_language)] = Field(description="such as en-GB; decides how numbers look")
    units: Literal["metric", "centimetres", "imperial"] = Field(
        "metric", description="what buyers read: metric (mm and g), centimetres (cm and g) or imperial (in and oz)"
    )
    show_zero_cents: bool = Field(
        False, description="true: buyers read £135.00; false: £135, on pages, tags and price sheets"
    )
    paper: Paper = Field("A4", description="for printed sheets")
    show_pattern: ShownPattern = Field(
        "in colour", description=f"how much of a pattern the public sees, where a record does not say. {SHOWN}"
    )
    theme: Name = Field("daylight", description="a folder of themes/")
    enquiry: EnquiryLink | None = Field(
        None,
        description="your own link for enquiries, in place of a mail: https://, mailto: or tel:, in which {title}, "
        "{variant}, {code}, {price} and {address} stand for those of the piece asked for",
    )
    posts_to: Country | None = Field(
        None, description="the country that postage.csv is for, such as GB; search engines read postage with it alone"
    )
    returns: Returns | None = Field(None, description="how pieces may be sent back, for search engines")
    no_tax_note: Line | None = Field(
        None,
        description="what buyers read where a channel has no tax, such as the sentence that the law asks of a small "
        "business; without it, the theme's own",
    )
