"""Price books for tests: rows written by hand, prices recorded by the program, and what has moved since."""

from __future__ import annotations

import csv
from collections.abc import Callable
from datetime import date
from io import StringIO
from pathlib import Path

import pytest

from catalog_builder.build import calculate
from catalog_builder.commands.reprice import record_prices
from catalog_builder.mistake import MistakeError
from catalog_builder.pricing.calculation import VariantCalculation
from catalog_builder.pricing.price_moves import PriceMove
from catalog_builder.publish.studio_calculation import StudioCalculation, quiet
from catalog_builder.records.reading.source import read
from catalog_builder.records.selling.price_book import MOST_BOOK_BYTES, BookKeys, PriceBook, read_price_book
from tests.studio import DAY, project
from tests.studio import record as pane

# The one variant of the tests' studio.
PANE = "pane--bright"


def book_file(root: Path) -> Path:
    """The path of a project's price book."""
    return root / "content" / "price_book.csv"


def by_hand(root: Path, *rows: str) -> Path:
    """Write a book as a maker would: day, variant, channel, price."""
    text = "".join(f"{row}\n" for row in ("date,variant,channel,price", *rows))
    book_file(root).write_text(text, encoding="utf-8", newline="")
    return root


def book_of(root: Path) -> PriceBook:
    """A project's price book as it is read."""
    return read_price_book(read(root, book_file(root), MOST_BOOK_BYTES))


def record(root: Path, day: date = DAY, why: str | None = None) -> int:
    """Write the prices of a day into the book, by the maker's word; how many they were."""
    return record_prices(root, calculate(root, day, quiet), why)


def moved(root: Path, day: date = DAY) -> tuple[PriceMove, ...]:
    """The prices of the book that a day's costs would move."""
    return calculate(root, day, quiet).moved


def only(calculated: StudioCalculation) -> VariantCalculation:
    """The one variant of a project."""
    (one,) = calculated.calculations
    return one


def on_day(root: Path, day: date = DAY) -> VariantCalculation:
    """The one variant of a project, as of a day."""
    return only(calculate(root, day, quiet))


def dearer(root: Path, material: str, price: str, day: date = DAY) -> None:
    """Add a material's price from a day on."""
    with (root / "content" / "material_prices.csv").open("a", encoding="utf-8", newline="") as file:
        file.write(f"{material},{day},{price}\n")


def rewritten(root: Path, old: str, new: str) -> None:
    """Change the studio's record."""
    studio = root / "content" / "studio.toml"
    text = studio.read_text(encoding="utf-8")
    if old not in text:
        raise LookupError(old)
    studio.write_text(text.replace(old, new), encoding="utf-8", newline="")


def resaved(root: Path, separator: str, change: Callable[[str], str] = str, mark: bytes = b"") -> bytes:
    """Save the book anew as a spreadsheet does, each cell changed, and give its bytes."""
    out = StringIO(newline="")
    writer = csv.writer(out, delimiter=separator, lineterminator="\r\n")
    text = book_file(root).read_text(encoding="utf-8")
    writer.writerows([change(cell) for cell in row] for row in csv.reader(StringIO(text, newline="")))
    book_file(root).write_bytes(mark + out.getvalue().encode())
    return book_file(root).read_bytes()


def row(price: str = "20.00", **cells: object) -> BookKeys:
    """A row for the book; the usual day, variant and channel where no other is given."""
    return BookKeys.model_validate({"date": DAY, "variant": PANE, "channel": "online", "price": price, **cells})


def recorded(root: Path) -> Path:
    """A studio with one product, its prices recorded on the usual day."""
    project(root, {"pane": pane()})
    if record(root, why="first prices") != 3:
        raise LookupError("three channels")
    return root


def refused(change: Callable[[], object]) -> str:
    """What is told when something is refused: the one mistake, in words."""
    with pytest.raises(MistakeError) as caught:
        change()
    (mistake,) = caught.value.mistakes
    assert mistake.place.path == "content/price_book.csv"
    return mistake.worded()


def cells_in(root: Path, separator: str) -> list[list[str]]:
    """The cells of every row but the first, by the csv module alone."""
    text = book_file(root).read_text(encoding="utf-8-sig").replace("\r\n", "\n")
    return list(csv.reader(StringIO(text), delimiter=separator))[1:]


def listing(root: Path) -> list[str]:
    """What lies in the content folder, hidden files too."""
    return sorted(path.name for path in (root / "content").iterdir())


def edited(root: Path, change: Callable[[list[str]], object]) -> None:
    """Change the rows of the book, the first row being the columns."""
    lines = book_file(root).read_text(encoding="utf-8").splitlines()
    change(lines)
    book_file(root).write_text("\n".join(lines) + "\n", encoding="utf-8")
