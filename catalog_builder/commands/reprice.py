"""The command ``reprice``: the report on prices that moved, recorded when the maker asks for it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path

from catalog_builder.build import calculate, calculate_all
from catalog_builder.cache.atomic_file import replace_file
from catalog_builder.mistake import MistakeError, Place
from catalog_builder.phrase import Money, phrase
from catalog_builder.pricing.consistency import OLD_PRICES
from catalog_builder.pricing.price_moves import PriceMove, moves_between, rows_to_write
from catalog_builder.pricing.suppositions.assumptions import Assumptions
from catalog_builder.pricing.suppositions.suppose import suppose, supposed_prices
from catalog_builder.publish.bench.bench_writer import BenchWriter
from catalog_builder.publish.bench.change_sheet import change_csv, change_page, change_text, hung_text
from catalog_builder.publish.output.harmless import harmless
from catalog_builder.publish.studio_calculation import Progress, StudioCalculation, quiet
from catalog_builder.publish.theme.phrasing import Phrasing
from catalog_builder.records.content import Content
from catalog_builder.records.keeping.price_keeping import add_prices
from catalog_builder.records.reading.source import Source
from catalog_builder.records.selling.book_keeping import add_rows


@dataclass(frozen=True, slots=True)
class PriceReport:
    """A report: what is, and what moved against it; with suppositions, what is assumed for them."""

    calculated: StudioCalculation
    moved: tuple[PriceMove, ...]
    supposed: tuple[str, ...] = ()
    assumed: Assumptions | None = None

    def lines(self) -> Iterator[str]:
        """Give the report for the terminal."""
        for finding in self.calculated.worded_findings:
            if finding.code == OLD_PRICES:
                yield finding.text
        if not self.supposed and not self.calculated.content.book.rows:
            yield self.calculated.phrasing.say(phrase("commands.no_book"))
        else:
            yield from change_text(self.moved, self.calculated.content.materials.rows, self._writer)
        yield hung_text(self.calculated.calculations, self._writer)

    @property
    def _writer(self) -> BenchWriter:
        content = self.calculated.content
        return BenchWriter(studio=content.studio, theme=self.calculated.theme, day=content.day)

    def save(self, folder: Path) -> None:
        """Write the report as a page and as CSV.

        Raises:
            MistakeError: the folder cannot be written.
        """
        materials, writer = self.calculated.content.materials.rows, self._writer
        page = change_page(self.moved, materials, writer, "bench.css", self.supposed)
        try:
            folder.mkdir(parents=True, exist_ok=True)
            replace_file(folder / "bench.css", writer.theme.file("assets/bench.css").read_bytes())
            replace_file(folder / "repricing.html", page.encode())
            replace_file(folder / "repricing.csv", change_csv(self.moved, materials, writer))
        except OSError as error:
            raise MistakeError.at(
                Place(path=f"--save {folder}"),
                wrong=f"the report cannot be written there ({error.strerror})",
                expected="a folder that this user may write",
                mend="name another folder",
            ) from None


def read_report(project: Path, day: date, supposed: Sequence[str], progress: Progress) -> PriceReport:
    """Compare today's policy with the book; or, with suppositions, with what is published today.

    Raises:
        MistakeError: the records have mistakes, or a supposition cannot be read.
    """
    calculated = calculate(project, day, progress)
    if not supposed:
        return PriceReport(calculated, calculated.moved)
    assumed = _assumed_today(calculated.content)
    for text in supposed:
        assumed = suppose(assumed, text)
    content = replace(calculated.content, studio=assumed.studio, materials=assumed.materials, products=assumed.products)
    after = calculate_all(content, calculated.theme, quiet)
    moved = moves_between(assumed.studio, calculated.calculations, after.calculations)
    return PriceReport(calculated, moved, tuple(supposed), assumed)


def _assumed_today(content: Content) -> Assumptions:
    return Assumptions(content.studio, content.materials, content.products, content.day)


def record_prices(project: Path, calculated: StudioCalculation, why: str | None) -> int:
    """Write the prices of the day into the book, and give how many.

    Raises:
        MistakeError: the book cannot be written now; it stands as it was.
    """
    # The book opens in a spreadsheet too.
    content, note = calculated.content, harmless(why) if why is not None else None
    rows = rows_to_write(content.studio, content.day, calculated.calculations, note)
    if rows:
        add_rows(project, content.book, rows, content.day)
    return len(rows)


def write_supposed(project: Path, known: Source, report: PriceReport) -> tuple[str, ...]:
    """Write supposed prices of materials as rows of the day, and say which; ``known`` is the table as it was read.

    Raises:
        MistakeError: something else was supposed too, no price would change, a material has a row of that day, or the
            table cannot be written; it stands as it was.
    """
    calculated, place = report.calculated, Place(path="--write")
    prices = supposed_prices(_assumed_today(calculated.content), report.assumed) if report.assumed is not None else None
    if prices is None:
        raise MistakeError.at(
            place,
            wrong="not all that was supposed is a price of a material",
            expected="suppositions about materials alone, such as glass=+15%",
            mend="leave the others out; what stands in studio.toml or in a record is changed there",
        )
    if not prices:
        raise MistakeError.at(
            place,
            wrong="no material would have another price",
            expected="a supposition that changes a price",
            mend="leave --write out to see the report",
        )
    add_prices(project, known, prices, [each for rows in calculated.content.materials.prices.values() for each in rows])
    phrasing, path = calculated.phrasing, "content/material_prices.csv"
    rows = (
        phrase("supposed.row", material=price.material, price=Money(price.price), day=price.day) for price in prices
    )
    return (phrasing.say(phrase("supposed.written", count=len(prices), path=path)), *map(phrasing.say, rows))


def recorded_words(phrasing: Phrasing, count: int) -> str:
    """Say how many prices were written into the book."""
    return phrasing.say(phrase("commands.recorded", count=count, path="content/price_book.csv"))
