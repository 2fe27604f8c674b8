"""What stands beside a reduced price: why it is lower and until when, and the lowest price of the 30 days before."""

from __future__ import annotations

from catalog_builder.offer import AskedPrice
from catalog_builder.phrase import Number, phrase
from catalog_builder.publish.theme.phrasing import Phrasing


def reduction_words(phrasing: Phrasing, asked: AskedPrice) -> str:
    """Say all of it in a line; nothing where the price is not reduced."""
    shown = asked.reduction
    if shown is None:
        return ""
    # The key of a label: sale, second or end_of_line.
    reason = phrase(f"reduced.reason_{shown.reason.replace(' ', '_')}")
    key = "until" if shown.percent is None else "percent_until"
    percent = Number(shown.percent or shown.earlier, 1)
    until = phrasing.say(phrase(f"reduced.{key}", reason=reason, day=shown.last_day, percent=percent))
    return " ".join(words for words in (until, earlier_words(phrasing, asked), shown.note) if words)


def earlier_words(phrasing: Phrasing, asked: AskedPrice) -> str:
    """Say what the lowest price of the 30 days before was; nothing where the price is not reduced."""
    if asked.reduction is None:
        return ""
    return phrasing.say(phrase("reduced.earlier", price=phrasing.wording.money(asked.reduction.earlier)))
