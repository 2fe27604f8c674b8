"""Answers a marking page that ``look`` shows: what its marks cost, by the build's own stages, and saves them."""

from __future__ import annotations

from dataclasses import dataclass, field
from decimal import Decimal
from json import loads
from threading import Lock
from typing import Any

from pydantic import ValidationError

from catalog_builder.mistake import MistakeError
from catalog_builder.publish.bench.bench_writer import BenchWriter
from catalog_builder.publish.bench.marking.marking_page import marked_prices
from catalog_builder.publish.product_calculation import calculate_product
from catalog_builder.publish.studio_calculation import StudioCalculation
from catalog_builder.records.keeping.mark_keeping import AskedRecord, asked_product, record_digest

# Nobody marks more by hand.
MOST_BYTES = 400_000


class QuestionError(ValueError):
    """What came is no question of a marking page."""


@dataclass(slots=True)
class MarkingDesk:
    """Works on the studio as the last good build has read it; one question at a time."""

    calculated: StudioCalculation | None = None
    _lock: Lock = field(default_factory=Lock)

    def price(self, question: bytes) -> dict[str, Any]:
        """Give cost and prices of a product's variants with the asked marks; nothing is written.

        Raises:
            QuestionError: the question cannot be read, or is about no product of the studio.
        """
        return self._answer(question, write=False)

    def save(self, question: bytes) -> dict[str, Any]:
        """Write the asked marks into the product's record, unless the program cannot make it so.

        Raises:
            QuestionError: the question cannot be read, or is about no product of the studio.
        """
        return self._answer(question, write=True)

    def _answer(self, question: bytes, *, write: bool) -> dict[str, Any]:
        asked, calculated = read_question(question), self.calculated
        products = calculated.content.products if calculated is not None else ()
        product = next((product for product in products if product.slug == asked.product), None)
        if calculated is None or product is None:
            raise QuestionError("There is no such product")
        content = calculated.content
        writer = BenchWriter(studio=content.studio, theme=calculated.theme, day=content.day)
        with self._lock:
            try:
                change = asked_product(content.project, product, asked)
                variants = calculate_product(calculated, change.product)
                if write:
                    change.write()
            except MistakeError as fault:
                return {"faults": [f"{mistake.wrong} - {mistake.mend}" for mistake in fault.mistakes]}
        prices = {price.sku: price.money for price in marked_prices(variants, writer)}
        return {"faults": [], "prices": prices, **({"seen": record_digest(change.product)} if write else {})}


def read_question(data: bytes) -> AskedRecord:
    """Read what a page asks.

    Raises:
        QuestionError: it is not what a marking page sends.
    """
    try:
        return AskedRecord.model_validate(loads(data, parse_float=Decimal))
    except ValidationError as error:
        wrong = error.errors(include_url=False, include_input=False, include_context=False)[0]
        raise QuestionError(f"{'.'.join(str(part) for part in wrong['loc'])[:100]}: {wrong['msg'][:200]}") from None
    except (ValueError, RecursionError):
        raise QuestionError("This is no question of a marking page") from None
