"""The studio's own colours and letters: the table ``[look]`` of ``content/studio.toml``."""

from __future__ import annotations

import re
from typing import Annotated, Any

from pydantic import BeforeValidator, Field

from catalog_builder.records.reading.values import Colour, Record, as_written, refusal

# The families that every browser has under these names (CSS Fonts 4, 2.1.1 "generic font families").
FAMILIES = ("serif", "sans-serif", "monospace", "system-ui", "ui-serif", "ui-sans-serif", "ui-rounded")


def _typeface(value: Any) -> str:
    if isinstance(value, str) and (value in FAMILIES or re.fullmatch(r"[A-Za-z0-9][\w-]{0,80}\.woff2", value)):
        return value
    raise refusal(
        f"{as_written(value)} is no typeface that can be shown",
        f"a file of content/ that ends in .woff2, such as letters.woff2, or one of: {', '.join(FAMILIES)}",
        "put the file beside studio.toml and write its name, or take one of these words",
    )


class Look(Record):
    """``[look]``: the catalogue in the studio's own colours and letters. What is left out stays the theme's."""

    accent: Colour | None = Field(None, description="links and buttons, as #rrggbb; it must be readable on the paper")
    ink: Colour | None = Field(None, description="words")
    paper: Colour | None = Field(None, description="what the words stand on")
    dark_accent: Colour | None = Field(
        None, description="the same on a screen that is set to dark; left out, `accent` made as light as it must be"
    )
    dark_ink: Colour | None = Field(None, description="words on a dark screen")
    dark_paper: Colour | None = Field(None, description="what they stand on there")
    typeface: Annotated[str, BeforeValidator(_typeface)] | None = Field(
        None,
        description="a file of letters in content/ that ends in .woff2, up to 300 kB, whose licence lets you publish "
        "it; or one of " + ", ".join(FAMILIES),
    )
