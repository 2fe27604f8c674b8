"""The report on prices that moved: the same amounts in the terminal, on the page and in the table."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path

import pytest
from bs4 import BeautifulSoup
from click.testing import CliRunner, Result

from catalog_builder.cli import main
from catalog_builder.commands.reprice import PriceReport, read_report
from catalog_builder.publish.output.harmless import harmless
from catalog_builder.publish.studio_calculation import quiet
from tests.book import book_of, dearer, record, rewritten
from tests.publish.demo import bytes_of, outside_cache
from tests.publish.page import read_page, text_of
from tests.studio import DAY, TABLES, project
from tests.studio import record as pane

# How each currency is written in en-GB; CLDR's forms are checked in tests/outside.
FORMS = {"GBP": ("£", 2), "EUR": ("€", 2), "JPY": ("JP¥", 0), "KWD": ("KWD\u00a0", 3)}
HOSTILE = '=HYPERLINK("<b>sea</b>")'


@dataclass(frozen=True, slots=True)
class Saved:
    """A report as it is shown in the terminal and saved as a page and a table."""

    told: PriceReport
    lines: list[str]
    page: BeautifulSoup
    rows: list[dict[str, str]]


def moved_studio(root: Path, currency: str = "EUR") -> Path:
    """Two products, one of them held, recorded; then glass, the hour, a fee and overheads move."""
    tables = {
        "studio": TABLES["studio"].replace("EUR", currency),
        "bench": TABLES["bench"] + '\noverheads_a_year = "900"',
        "channels.stall": TABLES["channels.stall"]
        + '\nfee_percent = "1.75"\ntax_percent = 20\nprice_points = [{ step = 1 }]',
    }
    held = pane(keys="hold_until: 2031-12-31").replace("title: Pane", "title: Held pane")
    project(root, {"pane": pane(), "held-pane": held}, tables, {"reed": {"title": HOSTILE}})
    assert record(root) == 6
    dearer(root, "reed", "30.25")
    dearer(root, "solder", "9.80")
    rewritten(root, 'hourly_rate = "30"', 'hourly_rate = "33.30"')
    rewritten(root, 'overheads_a_year = "900"', 'overheads_a_year = "1000"')
    rewritten(root, 'fee_percent = "1.75"', 'fee_percent = "2.25"')
    return root


def saved(root: Path, *supposed: str) -> Saved:
    """The report of the usual day."""
    told = read_report(root, DAY, supposed, quiet)
    folder = root / "report"
    told.save(folder)
    text = (folder / "repricing.csv").read_bytes().decode("utf-8-sig")
    return Saved(
        told,
        list(told.lines()),
        read_page(folder / "repricing.html"),
        list(csv.DictReader(io.StringIO(text, newline=""))),
    )


@pytest.fixture(scope="module")
def shown(tmp_path_factory: pytest.TempPathFactory) -> Saved:
    """The report in pounds."""
    return saved(moved_studio(tmp_path_factory.mktemp("studio"), "GBP"))


def worded(amount: Decimal, currency: str, signed: bool = False) -> str:
    """An amount in words of the test's own."""
    symbol, digits = FORMS[currency]
    sign = "-" if amount < 0 else "+" if signed and amount > 0 else ""
    return f"{sign}{symbol}{abs(amount):,.{digits}f}"


def by_price(rows: list[dict[str, str]]) -> Mapping[tuple[str, str], list[dict[str, str]]]:
    """The rows of each price by variant and channel."""
    found: dict[tuple[str, str], list[dict[str, str]]] = {}
    for row in rows:
        found.setdefault((row["variant"], row["channel"]), []).append(row)
    return found


@pytest.mark.parametrize("currency", FORMS)
def test_every_output_has_the_same_amounts(tmp_path: Path, currency: str) -> None:
    """Old, new, difference and every cause are the same decimal in terminal, page and table, to the last digit."""
    found = saved(moved_studio(tmp_path, currency))
    prices = by_price(found.rows)
    page_rows = found.page.select("tbody tr")
    titles = {name: one.title for name, one in found.told.calculated.content.studio.channels.items()}
    assert len(found.told.moved) == len(prices) == len(page_rows) == 6
    for count, (one, (key, rows), cells) in enumerate(zip(found.told.moved, prices.items(), page_rows, strict=True)):
        assert key == (one.calculation.offer.sku, one.channel)
        amounts = [Decimal(rows[0][name]) for name in ("old", "new", "by")]
        assert amounts == [one.old, one.new, one.by]
        assert all(-int(amount.as_tuple().exponent) == FORMS[currency][1] for amount in amounts)
        words = [*(worded(amount, currency) for amount in amounts[:2]), worded(amounts[2], currency, True)]
        told = found.lines[3 * count + 1]
        assert told[2:26].strip() == titles[one.channel]
        assert told[26:].removesuffix("  (held)").replace(" -> ", " ").replace("KWD\u00a0", "KWD").split() == [
            text.replace("\u00a0", "") for text in words
        ]
        assert [cell.get_text() for cell in cells.select("td.number")] == words
        causes = [f"{row['cause']} {worded(Decimal(row['amount']), currency, True)}" for row in rows]
        assert found.lines[3 * count + 2].strip() == ", ".join(causes)
        assert cells.select("td.formula")[0].get_text("\n", strip=True).split("\n") == causes


def test_rows_of_a_price_add_up_to_its_change(shown: Saved) -> None:
    """The table's rows of a price add up to its change, and its change is new less old, to the last penny."""
    for rows in by_price(shown.rows).values():
        (change,) = {Decimal(row["by"]) for row in rows}
        assert sum(Decimal(row["amount"]) for row in rows) == change
        assert Decimal(rows[0]["new"]) - Decimal(rows[0]["old"]) == change
        assert all(Decimal(row["amount"]) for row in rows)


def test_every_cause_is_named_in_the_makers_words(shown: Saved) -> None:
    """Glass, solder, the hour, overheads, the channel's terms and price points are told apart by their titles."""
    causes = {name: {row["cause"] for row in shown.rows if row["channel"] == name} for name in ("online", "stall")}
    moved = {f"price of {HOSTILE}", "price of solder", "hourly rate", "overheads an hour"}
    # Own site prices go up to the penny, so that a price point may make none of the difference.
    assert causes["online"] - {"price point"} == moved
    assert causes["stall"] == moved | {"fees, margin or tax", "price point"}


def test_the_largest_cause_comes_first(shown: Saved) -> None:
    """What moved a price most is named first."""
    for rows in by_price(shown.rows).values():
        sizes = [abs(Decimal(row["amount"])) for row in rows]
        assert sizes == sorted(sizes, reverse=True)


def test_what_must_be_printed_again_is_counted(shown: Saved) -> None:
    """Under the list stands how many prices of each kind must be shown anew; held ones need nothing."""
    assert shown.lines[-5:-2] == [
        "Catalogue, prices that moved: 1. Publish it again.",
        "Private lists, prices that moved: 1. Send them again.",
        "Stall, prices that moved: 1. Print the price sheet and these tags again.",
    ]
    again = [text_of(row.select("td")[-1]) for row in shown.page.select("tbody tr")]
    assert sorted(again) == [
        *["held"] * 3,
        "print the price sheet and the tag",
        "publish the catalogue",
        "send the price list",
    ]


def test_what_holding_leaves_out_is_told(shown: Saved) -> None:
    """The held prices' changes are added up, the same in terminal and page."""
    held = [Decimal(rows[0]["by"]) for rows in by_price(shown.rows).values() if rows[0]["held"] == "yes"]
    assert len(held) == 3
    told = f"Held prices leave out {worded(sum(held, Decimal(0)), 'GBP')}, one of each variant in each channel."
    assert shown.lines[-2] == told
    assert told in text_of(shown.page.select("main")[0])


def test_no_cell_runs_as_a_formula(shown: Saved) -> None:
    """No text of the table begins like a formula, and a title that is one stands on the page as it was written."""
    texts = [row[name] for row in shown.rows for name in ("variant", "channel", "held", "cause")]
    assert not [text for text in texts if text[:1] in set("=+-@\t\r\n")]
    assert all(re.fullmatch(r"-?\d+\.\d\d", row[name]) for row in shown.rows for name in ("old", "new", "by", "amount"))
    assert f"price of {HOSTILE}" in shown.page.get_text()
    assert shown.page.select("td.formula b") == []


@pytest.mark.parametrize("text", ["=1+1", "+1", "-1", "@SUM(A1)", "\t=1", "\r=1"])
def test_what_could_begin_a_formula_is_led_by_an_apostrophe(text: str) -> None:
    """A text that a spreadsheet could run is kept as a text; others stay as they are."""
    assert harmless(text) == f"'{text}"
    assert harmless(f"a{text}") == f"a{text}"


def test_a_table_opens_in_a_spreadsheet(shown: Saved) -> None:
    """The table begins with a byte order mark, ends its rows as the standard for CSV does, and names its columns.

    RFC 4180, 2.1 (M).
    """
    data = (shown.told.calculated.content.project / "report" / "repricing.csv").read_bytes()
    assert data.startswith(b"\xef\xbb\xbfvariant,channel,old,new,by,held,cause,amount\r\n")
    assert data.endswith(b"\r\n")
    assert data.count(b"\n") == data.count(b"\r\n") == len(shown.rows) + 1


def test_nothing_moved_is_said(tmp_path: Path) -> None:
    """Where no price moved, terminal and page say so, and the table has its columns alone."""
    project(tmp_path, {"pane": pane()})
    record(tmp_path)
    found = saved(tmp_path)
    assert found.lines == ["No price has moved.", "1 price on the table: €18.47"]
    assert "No price has moved." in text_of(found.page.select("main")[0])
    assert found.page.select("table") == []
    assert found.rows == []


# The command


def reprice(root: Path, *arguments: str) -> Result:
    """Run `reprice` on the usual day."""
    return CliRunner().invoke(main, ["reprice", "--folder", str(root), "--day", DAY.isoformat(), *arguments])


def test_the_command_prints_the_report_and_saves_it(tmp_path: Path) -> None:
    """`reprice` prints what the report says, changes no record, and saves page, style and table where it is told."""
    root = moved_studio(tmp_path / "studio")
    before = outside_cache(root)
    expected = "\n".join(read_report(root, DAY, (), quiet).lines()) + "\n"
    result = reprice(root, "--save", str(tmp_path / "out" / "report"))
    assert (result.exit_code, result.stdout) == (0, expected)
    assert outside_cache(root) == before
    first = bytes_of(tmp_path / "out" / "report")
    assert set(first) == {"bench.css", "repricing.csv", "repricing.html"}
    reprice(root, "--save", str(tmp_path / "again"))
    assert bytes_of(tmp_path / "again") == first


def test_without_a_book_there_is_nothing_to_have_moved_from(tmp_path: Path) -> None:
    """A studio that keeps no book is told so, not that all its prices stand; a supposition needs none."""
    root = project(tmp_path, {"pane": pane()})
    told = "There is no price book yet to hold today's prices against; --record writes the first.\n"
    told += "1 price on the table: €18.47\n"
    assert reprice(root).stdout == told
    assert "price of reed" in reprice(root, "--suppose", "glass=+50%").stdout
    first = reprice(root, "--record").stdout
    assert first.startswith(told)
    assert first.endswith(" prices were written into content/price_book.csv.\n")
    assert reprice(root).stdout == "No price has moved.\n1 price on the table: €18.47\n"


def test_the_makers_word_writes_what_was_shown(tmp_path: Path) -> None:
    """With `--record` the new prices go into the book, with the words beside them; held ones do not."""
    root = moved_studio(tmp_path)
    free = {
        (one.calculation.offer.sku, one.channel, one.new)
        for one in read_report(root, DAY, (), quiet).moved
        if not one.held
    }
    result = reprice(root, "--record", "--why", "glass and the hour are dearer")
    assert result.exit_code == 0
    assert result.stdout.endswith("\n3 prices were written into content/price_book.csv.\n")
    added = book_of(root).rows[6:]
    assert {(one.variant, one.channel, one.price) for one in added} == free
    assert {one.why for one in added} == {"glass and the hour are dearer"}
    assert reprice(root, "--record").stdout.endswith("\n0 prices were written into content/price_book.csv.\n")


def test_a_damaged_book_ends_the_command_with_1(tmp_path: Path) -> None:
    """A book that breaks off is told with its line; the command ends with 1 and leaves it as it is."""
    root = moved_studio(tmp_path)
    book = root / "content" / "price_book.csv"
    cut = book.read_bytes()[:-40]
    book.write_bytes(cut)
    result = reprice(root, "--record")
    assert result.exit_code == 1
    assert result.stderr.startswith("content/price_book.csv:7: the last row of the book breaks off\n")
    assert "Nothing was changed." in result.stderr
    assert book.read_bytes() == cut


@pytest.mark.parametrize("currency", FORMS)
def test_the_book_keeps_the_currencys_digits(tmp_path: Path, currency: str) -> None:
    """Prices stand in the book with the digits of the currency: none of yen, three of a dinar."""
    root = moved_studio(tmp_path, currency)
    assert {-int(row.price.as_tuple().exponent) for row in book_of(root).rows} == {FORMS[currency][1]}
