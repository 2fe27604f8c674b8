"""Every line of every cost, as lists for a spreadsheet and as bars on the cost cards."""

from __future__ import annotations

import csv
from collections import Counter
from decimal import ROUND_HALF_UP, Decimal
from io import BytesIO, StringIO
from pathlib import Path
from zipfile import ZipFile

import pandas as pd
import pytest
from lxml import etree
from openpyxl import load_workbook

from catalog_builder.build import calculate
from catalog_builder.publish.bench.costs.cost_card import GROUPS
from catalog_builder.publish.bench.costs.cost_lines import write_cost_lines
from catalog_builder.publish.output.workbook import as_workbook
from catalog_builder.publish.studio_calculation import quiet
from tests import studio
from tests.publish.bench.test_earnings import pounds
from tests.publish.bench.writing import bench_folder, writer_of
from tests.publish.demo import Demo
from tests.publish.page import read_page, said, text_of


def read_rows(data: bytes) -> list[dict[str, str]]:
    """Read a CSV file as a spreadsheet does."""
    return list(csv.DictReader(StringIO(data.decode("utf-8-sig"), newline="")))


def demo_rows(demo: Demo) -> list[dict[str, str]]:
    """The demo's cost lines."""
    return read_rows((demo.output / "bench" / "cost_lines.csv").read_bytes())


def test_every_line_of_every_cost_is_there(demo: Demo) -> None:
    """The list has the lines of each variant's cost in the order of its card: quantity, price of one and amount."""
    wanted = [
        (
            one.offer.sku,
            demo.calculated.phrasing.show(line.name),
            line.source,
            *(
                amount.quantize(Decimal(1).scaleb(-digits), rounding=ROUND_HALF_UP)
                for amount, digits in ((line.quantity, 6), (line.unit_price, 8), (line.amount, 6))
            ),
        )
        for one in demo.calculations
        for line in one.cost.lines
    ]
    numbers = ("quantity", "unit_price", "amount")
    read = [
        (row["variant"], row["line"], row["source"], *(Decimal(row[name]) for name in numbers))
        for row in demo_rows(demo)
    ]
    assert len(read) > 3000
    assert read == wanted


def test_lines_add_up_to_the_cost(demo: Demo) -> None:
    """A variant's lines add up to its cost, to less than a thousandth of a penny."""
    sums: dict[str, Decimal] = {}
    for row in demo_rows(demo):
        sums[row["variant"]] = sums.get(row["variant"], Decimal(0)) + Decimal(row["amount"])
    assert set(sums) == {one.offer.sku for one in demo.calculations}
    for one in demo.calculations:
        assert abs(sums[one.offer.sku] - one.cost.total) < Decimal("0.00002"), one.offer.sku


def test_workbook_holds_the_same_lines(demo: Demo) -> None:
    """CSV and workbook hold the same rows and columns; people read other headings than programs do."""
    bench, headings = demo.output / "bench", demo.calculated.theme.labels["workbook"]
    table = pd.read_csv(bench / "cost_lines.csv", encoding="utf-8-sig").rename(columns=headings)
    workbook = pd.read_excel(bench / "cost_lines.xlsx", sheet_name="Cost lines")
    assert "Unit price" in workbook.columns
    pd.testing.assert_frame_equal(table, workbook, check_dtype=False)


def lists_in(folder: Path, root: Path) -> tuple[bytes, bytes]:
    """Write a project's cost lines as CSV and as a workbook."""
    calculated = calculate(root, studio.DAY, quiet)
    bench = bench_folder(folder)
    write_cost_lines(calculated.calculations, writer_of(calculated.content), bench)
    return (bench.making / "cost_lines.csv").read_bytes(), (bench.making / "cost_lines.xlsx").read_bytes()


@pytest.mark.parametrize("title", ["=1+1", "@SUM(A1)", "-2", "internal:Sheet!A1", "http://sedge.example/"])
def test_text_is_neither_a_formula_nor_a_link(tmp_path: Path, title: str) -> None:
    """A material named like a formula or a link is plain text in both lists."""
    root = studio.project(tmp_path, {"pane": studio.record()}, materials={"reed": {"title": title}})
    text, workbook = lists_in(tmp_path, root)
    shown = f"'{title}" if title[0] in "=@-" else title
    assert [row["line"] for row in read_rows(text)].count(shown) == 1
    with ZipFile(BytesIO(workbook)) as book:
        sheet = etree.fromstring(book.read("xl/worksheets/sheet1.xml"))
    # A text in its own cell is <is>, a formula <f>, a link <hyperlink>: ECMA-376 Part 1, 18.3.1 (from memory).
    words = [tag.text for tag in sheet.iter("{*}t")]
    kinds = {etree.QName(tag).localname for tag in sheet.iter()}
    assert "v" in kinds
    assert not kinds & {"f", "hyperlink"}
    assert shown in words


def test_any_label_may_name_a_sheet() -> None:
    """A sheet's name is cut to what a spreadsheet allows (from memory): 31 characters, none of : / ? * [ ] ..."""
    rows, name = [{"variant": "pane"}], "Prices: [all] / of a studio, of 2031"
    (sheet,) = load_workbook(BytesIO(as_workbook(rows, name, studio.DAY, 1, str.upper))).worksheets
    assert sheet.title == "Prices   all    of a studio, of"
    assert [cell.value for cell in sheet["A"]] == ["VARIANT", "pane"]


def test_same_bytes_twice(tmp_path: Path) -> None:
    """Written twice, into folders of other names, both lists are the same, byte for byte."""
    root = studio.project(tmp_path, {"pane": studio.record()})
    assert lists_in(tmp_path / "one", root) == lists_in(tmp_path / "another", root)


def test_bars_of_a_card_are_the_costs_parts(demo: Demo) -> None:
    """A card's bars are the parts of its cost by kind, the largest first, as wide as their share, a hundred in all."""
    labels = demo.calculated.theme.labels["groups"]
    for one in demo.calculations:
        card = read_page(demo.output / "bench" / "cards" / f"{one.offer.sku}.html")
        bars: dict[str, tuple[str, Decimal]] = {
            text_of(item.select(".name")[0]): (
                text_of(item.select(".number")[0]),
                Decimal(said(item.select("rect.part")[0], "width")),
            )
            for item in card.select("ul.shares li")
        }
        parts = {labels[group]: one.cost.of(group) for group in GROUPS if one.cost.of(group)}
        assert {name: amount for name, (amount, _) in bars.items()} == {
            name: pounds(amount) for name, amount in parts.items()
        }
        for name, (_, width) in bars.items():
            assert abs(width - parts[name] / one.cost.total * 100) <= Decimal("0.005")
        widths = [width for _, width in bars.values()]
        assert widths == sorted(widths, reverse=True)
        assert abs(sum(widths, Decimal(-100))) < Decimal("0.05")


def test_bars_are_told_in_words(demo: Demo) -> None:
    """Beside each bar stand its amount and its percentage, or that it is under one; the bar itself is mute."""
    seen: Counter[bool] = Counter()
    for one in demo.calculations:
        card = read_page(demo.output / "bench" / "cards" / f"{one.offer.sku}.html")
        for item in card.select("ul.shares li"):
            amount, percent = (text_of(cell) for cell in item.select(".number"))
            share = Decimal(amount.replace("£", "")) / one.cost.total * 100
            little = percent == "under 1%"
            seen[little] += 1
            assert share < Decimal("1.1") if little else abs(Decimal(percent.removesuffix("%")) - share) <= 1
            assert said(item.select("svg")[0], "aria-hidden") == "true"
    assert seen[True] > 100
    assert seen[False] > 800
