"""The option `--write` of `reprice`: supposed prices of materials become dated rows, whole or not at all."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from catalog_builder.cli import main
from catalog_builder.records.content import read_content
from catalog_builder.records.keeping import price_keeping
from tests.studio import DAY, project, record


@pytest.fixture
def root(tmp_path: Path) -> Path:
    """A studio whose packs all cost 12.00."""
    return project(tmp_path, {"pane": record()})


def reprice(root: Path, *words: str) -> Result:
    """Run the command on the usual day."""
    return CliRunner().invoke(main, ["reprice", "--folder", str(root), "--day", DAY.isoformat(), *words])


def table(root: Path) -> Path:
    """The table of prices."""
    return root / "content" / "material_prices.csv"


def test_rows_are_added(root: Path) -> None:
    """Every glass 12.5 % dearer: a row of the day for each, the old rows byte for byte, and the report says which."""
    old = table(root).read_bytes()
    result = reprice(root, "--suppose", "glass=+12.5%", "--suppose", "solder=13", "--write")
    assert result.exit_code == 0, result.output
    added = f"reed,{DAY},13.50\nslate,{DAY},13.50\nsolder,{DAY},13.00\n"
    assert table(root).read_bytes() == old + added.encode()
    assert "3 rows were written into content/material_prices.csv:" in result.stdout
    assert "  solder: €13.00 from 20 May 2031" in result.stdout
    price = read_content(root, DAY).materials.price("reed", DAY)
    assert price is not None
    assert (price.day, price.price) == (DAY, Decimal("13.5"))


def test_without_the_option_nothing_is_written(root: Path) -> None:
    """Asking alone leaves the table as it was."""
    old = table(root).read_bytes()
    assert reprice(root, "--suppose", "glass=+12.5%").exit_code == 0
    assert table(root).read_bytes() == old


def test_a_price_is_rounded_to_what_is_paid(root: Path) -> None:
    """A pack is paid in whole cents: 12.00 and a third of a percent more is 12.04."""
    assert reprice(root, "--suppose", "reed=+0.333%", "--write").exit_code == 0
    assert table(root).read_text(encoding="utf-8").endswith(f"reed,{DAY},12.04\n")


def test_a_table_of_a_spreadsheet_stays_one(root: Path) -> None:
    """Byte order mark, semicolons, decimal commas, other columns, line ends and a missing last line end are kept."""
    rows = table(root).read_text(encoding="utf-8").splitlines()[1:]
    lines = ["price;note;material;date", *(f"12,00;a;{row.split(',')[0]};{row.split(',')[1]}" for row in rows)]
    text = b"\xef\xbb\xbf" + "\r\n".join(lines).encode()
    table(root).write_bytes(text)
    result = reprice(root, "--suppose", "reed=15.5", "--write")
    assert result.exit_code == 0, result.output
    assert table(root).read_bytes() == text + f"\r\n15,50;;reed;{DAY}\r\n".encode()


def test_a_row_that_is_there_is_not_doubled(root: Path) -> None:
    """One material has a row of the day: nothing is written for any, and the row is shown with its line."""
    with table(root).open("a", encoding="utf-8") as file:
        file.write(f"slate,{DAY},12.50\n")
    old = table(root).read_bytes()
    result = reprice(root, "--suppose", "glass=+10%", "--write")
    assert result.exit_code == 1
    line = len(old.splitlines())
    assert result.stderr.startswith(f"content/material_prices.csv:{line}: slate has a price from {DAY} already\n")
    assert "change that row to 13.75 yourself" in result.stderr
    assert table(root).read_bytes() == old


@pytest.mark.parametrize(
    ("words", "code", "told"),
    [
        (("--write",), 2, "add --suppose"),
        (("--suppose", "rate=22", "--write"), 1, "not all that was supposed is a price of a material"),
        (("--suppose", "reed=13", "--suppose", "batch=9", "--write"), 1, "not all that was supposed"),
        (("--suppose", "products.pane.batch=9", "--write"), 1, "not all that was supposed"),
        (("--suppose", "reed=12", "--write"), 1, "no material would have another price"),
    ],
)
def test_what_is_not_written_is_told(root: Path, words: tuple[str, ...], code: int, told: str) -> None:
    """Only prices of materials are written, and only those that differ; else nothing is."""
    old = table(root).read_bytes()
    result = reprice(root, *words)
    assert result.exit_code == code
    assert told in result.stderr
    assert table(root).read_bytes() == old


def test_a_table_that_changed_meanwhile_is_left(root: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The maker saves the table while prices are worked out: their rows stay, and the command says so."""
    before = price_keeping.read_material_prices(root)
    with table(root).open("a", encoding="utf-8") as file:
        file.write("wire,2031-01-01,11.00\n")
    now = table(root).read_bytes()
    monkeypatch.setattr(
        price_keeping, "read_material_prices", _Readings(before, price_keeping.read_material_prices(root))
    )
    result = reprice(root, "--suppose", "reed=13", "--write")
    assert result.exit_code == 1
    assert "the table was changed while this was being worked out" in result.stderr
    assert table(root).read_bytes() == now


def test_a_disk_that_refuses_leaves_the_table(root: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Where the new file cannot be written the old one stands, and the mistake says why."""
    old = table(root).read_bytes()

    def refuse(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(price_keeping, "replace_file", refuse)
    result = reprice(root, "--suppose", "reed=13", "--write")
    assert result.exit_code == 1
    assert "the table cannot be written (No space left on device)" in result.stderr
    assert table(root).read_bytes() == old


class _Readings:
    """Gives one reading after the other."""

    def __init__(self, *readings: object) -> None:
        self._readings = iter(readings)

    def __call__(self, _project: Path) -> object:
        return next(self._readings)
