"""The command ``order``: what a shop sends back is checked line by line, confirmed and listed for packing."""

from __future__ import annotations

import csv
import re
from decimal import Decimal
from io import StringIO
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from catalog_builder.build import build
from catalog_builder.cli import main
from catalog_builder.publish.studio_calculation import quiet
from tests import studio
from tests.publish.sheet import pdf_text

SHOPS = """title = "Shops"
shown_on = "shops"
terms = "Paid in 30 days."
markup_percent = 20
price_points = [{ step = 1 }]
tax_percent = 20
tax = "added"
least_order = 3
least_first_order = 6
lead_days = 28"""
WHO = 'buyer = "Ferry Stores"\ndated = 2031-05-06\nreference = "FS 9"\ncarriage = "7.50"\n'
SIZES = "sizes: {small: 100 mm, large: 140 mm}"


@pytest.fixture
def project(tmp_path: Path) -> Path:
    """A studio that sells to shops: a pane in two sizes, one that is sold, and one of which there is one only."""
    sold, single = (
        studio.record(keys=f"availability: {words}").replace("title: Pane", f"title: {title}")
        for title, words in (("Gone", "sold"), ("Lone", "one only"))
    )
    records = {"pane": studio.record(keys=SIZES), "gone": sold, "lone": single}
    return studio.project(tmp_path, records, {"channels.trade": SHOPS})


def run(project: Path, rows: str, who: str = WHO, name: str = "ferry") -> Result:
    """Lay an order and run the command."""
    folder = project / "content" / "orders"
    folder.mkdir(exist_ok=True)
    (folder / "ferry.csv").write_text(rows, encoding="utf-8")
    (folder / "ferry.toml").write_text(who, encoding="utf-8")
    return CliRunner().invoke(main, ["order", name, "--folder", str(project), "--day", "2031-05-20"])


def papers(project: Path) -> tuple[str, str]:
    """The words of the confirmation and of the packing list."""
    folder = project / "site_output" / "orders" / "ferry"
    confirmed, packing = (
        " ".join(pdf_text(folder / f"{name}.pdf").split()) for name in ("confirmation", "packing_list")
    )
    return confirmed, packing


def listed(project: Path) -> dict[str, dict[str, str]]:
    """The rows of the trade list's table by code."""
    build(project, studio.DAY, 1, quiet)
    text = (project / "site_output" / "bench" / "trade_list.csv").read_text(encoding="utf-8-sig")
    return {row["code"]: row for row in csv.DictReader(StringIO(text))}


def test_sums_add_up_and_both_papers_say_what_is_sent(project: Path) -> None:
    """Trade prices by count, carriage and 20 % tax on the sum make the total; 28 days after 6 May is 3 June."""
    trade = {code: Decimal(row["price"]) for code, row in listed(project).items()}
    result = run(project, "code,count\npane--small--bright,2\npane--large--bright,3\nlone--bright,\n")
    assert result.exit_code == 0, result.output
    net = 2 * trade["pane--small--bright"] + 3 * trade["pane--large--bright"] + Decimal("7.50")
    tax = (net / 5).quantize(Decimal("0.01"))
    confirmed, packing = papers(project)
    for amount in (net, tax, net + tax, 3 * trade["pane--large--bright"]):
        assert f"€{amount:,.2f}" in confirmed
    assert f"5 pieces, €{net + tax:,.2f}, of which VAT €{tax:,.2f}" in result.output
    for text in (confirmed, packing):
        for words in ("Ferry Stores", "FS 9", "Sent by 3 June 2031", "pane--large--bright"):
            assert words in text
        assert "lone" not in text
    assert "Paid in 30 days." in confirmed
    assert "The solder contains lead." in confirmed
    assert "5 pieces, " in packing
    assert "€" not in packing


def test_the_table_that_shops_get_can_be_sent_back(project: Path) -> None:
    """Every variant that can be had is on the list with its two prices; filled in and sent back, it is an order."""
    rows = listed(project)
    assert set(rows) == {"pane--small--bright", "pane--large--bright", "lone--bright"}
    retail = {code: Decimal(row["retail"]) for code, row in rows.items()}
    content_day = studio.DAY.strftime("%-d %B %Y")
    text = " ".join(pdf_text(project / "site_output" / "bench" / "trade_list.pdf").split())
    for words in (content_day, "A first order is 6 pieces or more.", "An order is 3 pieces or more.", "within 28 days"):
        assert words in text
    for code, row in rows.items():
        assert re.search(rf"{code} €{row['price']} \+ VAT = €[\d.]+ €{retail[code]}", text), code
        row["count"] = "2" if code.startswith("pane") else ""
    out = StringIO()
    writer = csv.DictWriter(out, list(rows["lone--bright"]), delimiter=";")
    writer.writeheader()
    writer.writerows(rows.values())
    result = run(project, out.getvalue())
    assert result.exit_code == 0, result.output
    assert "Q02" not in result.output


def test_the_list_holds_nothing_else_of_the_makers(project: Path) -> None:
    """Every amount on the list is a trade price, with or without tax, or a suggested retail price: no cost."""
    rows = listed(project).values()
    trade = {Decimal(row["price"]) for row in rows}
    asked = trade | {(price * 6 / 5).quantize(Decimal("0.01")) for price in trade}
    asked |= {Decimal(row["retail"]) for row in rows}
    text = pdf_text(project / "site_output" / "bench" / "trade_list.pdf")
    assert {Decimal(amount) for amount in re.findall(r"€(\d+\.\d\d)", text)} == asked


def test_every_fault_is_told_with_its_line_and_nothing_is_written(project: Path) -> None:
    """An unknown code, a sold piece, two of which there is one, and too few in all: each with its line and a mend."""
    result = run(project, "code,count\npane--smal--bright,1\ngone--bright,1\n")
    assert result.exit_code == 1
    assert "content/orders/ferry.csv:2: the code 'pane--smal--bright' is not on the trade list" in result.output
    assert "did you mean 'pane--small--bright'?" in result.output
    assert "content/orders/ferry.csv:3: gone--bright is sold out" in result.output
    assert "take the row out and tell the shop" in result.output
    assert (
        "content/orders/ferry.csv:3: the order ends here with 2 pieces in all, under the least order of 3"
        in result.output
    )
    result = run(project, "code,count\nlone--bright,2\npane--small--bright,4\n")
    assert "content/orders/ferry.csv:2: 2 of lone--bright are ordered, and there is only 1" in result.output
    assert not (project / "site_output" / "orders").exists()


@pytest.mark.parametrize(
    ("first", "count", "exit_code"), [("false", 3, 0), ("false", 2, 1), ("true", 5, 1), ("true", 6, 0)]
)
def test_the_least_order_is_a_number(project: Path, first: str, count: int, exit_code: int) -> None:
    """Three pieces are enough of a later order, six of a first one."""
    result = run(project, f"code,count\npane--small--bright,{count}\n", f"{WHO}first = {first}\n")
    assert result.exit_code == exit_code, result.output
    if exit_code:
        assert (
            f"agree with the shop on 1 more, or change least_{'first_' if first == 'true' else ''}order"
            in result.output
        )


@pytest.mark.parametrize(
    ("rows", "who", "said"),
    [
        ("code,count\npane--small--bright,3\npane--small--bright,1\n", WHO, "csv:3: this code stands twice"),
        ("code,count\npane--small--bright,\n", WHO, "nothing is ordered"),
        ("code,count\npane--small--bright,-3\n", WHO, "csv:2: count: '-3' cannot be used here"),
        ("kode,count\npane--small--bright,3\n", WHO, "did you mean 'code'?"),
        ("code,count\npane--small--bright,3\n", WHO.replace("buyer", "byer"), "toml:1: the key 'byer' is not known"),
        ("code,count\npane--small--bright,3\n", WHO.replace("05-06", "13-06"), "toml:2: "),
    ],
)
def test_bad_files_are_told(project: Path, rows: str, who: str, said: str) -> None:
    """Rows that stand twice, empty orders, counts below zero, misspelled columns and keys."""
    result = run(project, rows, who)
    assert result.exit_code == 1
    assert said in result.output
    assert "mend:" in result.output


def test_an_order_of_nobody_is_told(project: Path) -> None:
    """Without the file that says who ordered, the table alone is no order."""
    assert run(project, "code,count\npane--small--bright,3\n").exit_code == 0
    (project / "content" / "orders" / "ferry.toml").unlink()
    result = CliRunner().invoke(main, ["order", "ferry", "--folder", str(project)])
    assert result.exit_code == 1
    assert "content/orders/ferry.toml: the file is missing, which says who ordered and when" in result.output


def test_a_price_that_moved_is_told(project: Path) -> None:
    """An order by an old list is confirmed at the price of its day, and the maker is told to say so."""
    result = run(project, "code,count,price\npane--small--bright,3,1.00\n")
    assert result.exit_code == 0
    assert "Q02 content/orders/ferry.csv:2: the order names €1.00 for pane--small--bright" in result.output


def test_without_a_channel_for_shops_nothing_is_confirmed(tmp_path: Path) -> None:
    """There is no trade price to confirm, and no list to order from."""
    root = studio.project(tmp_path, {"pane": studio.record()})
    result = run(root, "code,count\npane--bright,3\n")
    assert result.exit_code == 1
    assert "no channel of studio.toml is for shops" in result.output
    build(root, studio.DAY, 1, quiet)
    assert not [*(root / "site_output" / "bench").glob("trade*")]


def test_an_unknown_order_names_the_nearest(project: Path) -> None:
    """A misspelled name ends with 1 and says which was meant."""
    result = run(project, "code,count\npane--small--bright,3\n", name="fery")
    assert result.exit_code == 1
    assert "did you mean 'ferry'?" in result.output
