"""A link from the bench's first page to one of its papers. Private."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class PaperLink:
    """The title of a paper and its path in the bench's folder."""

    title: str
    href: str
