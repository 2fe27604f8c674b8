"""A studio's own link for enquiries: a shop, a form or a messenger, with places for what is asked for."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Annotated, Any
from urllib.parse import quote, urlsplit

from pydantic import BeforeValidator

from catalog_builder.mistake import listed
from catalog_builder.records.reading.values import as_written, refusal

PLACES = ("title", "variant", "code", "price", "address")
_PLACE = re.compile(r"\{([^{}]*)\}")
_MOST = 500


def _enquiry_link(value: Any) -> str:
    """Take a link that leads to one host, mailbox or telephone, whatever a product is called."""
    if not isinstance(value, str) or len(value) > _MOST or re.search(r"[\s<>\"'`\\^|]", value):
        raise _not_a_link(value)
    unknown = [place for place in _PLACE.findall(value) if place not in PLACES]
    if unknown or re.search(r"[{}]", _PLACE.sub("", value)):
        raise refusal(
            f"{as_written(value)} has a place that is not known",
            "places such as {code}; they are: " + listed(PLACES),
            "correct the word in braces",
        )
    scheme, _, rest = value.partition(":")
    if scheme == "https" and re.fullmatch(r"//[A-Za-z0-9.-]+(:\d+)?([/?#].*)?", rest) and urlsplit(value).hostname:
        return value
    if scheme == "mailto" and re.fullmatch(r"[^{}?@]+@[^{}?@]+(\?.*)?", rest):
        return value
    if scheme == "tel" and re.fullmatch(r"\+?[0-9().-]+", rest):
        return value
    raise _not_a_link(value)


def _not_a_link(value: Any) -> Exception:
    return refusal(
        f"{as_written(value)} is not a link for enquiries",
        "an address with https://, mailto: or tel:, and places such as {code} after its host or mailbox",
        "write it like https://shop.example/ask?piece={code}",
    )


EnquiryLink = Annotated[str, BeforeValidator(_enquiry_link)]


def filled(link: str, words: Mapping[str, str]) -> str:
    """Put words into the places of a link, percent-encoded so that none of them can be a part of its syntax.

    Source: RFC 3986, 2.1 and 2.4: all but letters, digits and ``-._~`` is encoded.
    """
    return _PLACE.sub(lambda place: quote(words[place[1]], safe=""), link)
