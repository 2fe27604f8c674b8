"""How pieces may be sent back, as far as search engines ask for it."""

from __future__ import annotations

from typing import Annotated, Any

from pydantic import BeforeValidator, Field

from catalog_builder.records.reading.values import Record, as_written, refusal

# As many as a search engine takes for one policy (the documentation of merchant listings, MerchantReturnPolicy).
MOST_COUNTRIES = 25


def _country(value: Any) -> str:
    from babel import Locale

    if isinstance(value, str) and len(value) == 2 and value.isalpha() and value in Locale("en").territories:
        return value
    raise refusal(
        f"{as_written(value)} is not a country",
        "a code of ISO 3166-1 with two letters, such as GB",
        "write the code in two capitals",
    )


Country = Annotated[str, BeforeValidator(_country)]


class Returns(Record):
    """``[studio.returns]``: how long and where pieces may be sent back."""

    days: int = Field(ge=0, le=1000, description="days from delivery in which a piece may be sent back; 0 for none")
    countries: tuple[Country, ...] = Field(
        min_length=1, max_length=MOST_COUNTRIES, description="the countries that this holds for, such as [GB]"
    )
    buyer_pays: bool = Field(True, description="false: sending it back costs the buyer nothing")
