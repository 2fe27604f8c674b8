"""A textbook's job cost sheet as a studio's records, built, and its sale read from the printed lists.

Job MAC001 of OpenStax, Principles of Accounting, Volume 2: Managerial Accounting, chapter 4 "Job Order Costing",
sections 4.2 to 4.4 (S, read in the publisher's source repository): materials 700, labour 66, overhead 165 at 2.50 for
each 1 of labour, in all 931; sold for 2,000.
"""

from __future__ import annotations

import csv
from decimal import Decimal
from pathlib import Path

import pytest

from catalog_builder.build import build
from catalog_builder.publish.studio_calculation import quiet
from tests.publish.page import read_page, structured_data, text_of
from tests.publish.sheet import page_lines, pdf_text
from tests.studio import DAY, MATERIALS, TABLES, project, record

# Of each material the units and the cost of one.
REQUISITION = {
    "vinyl": ("1", "300"),
    "black-ink": ("2", "50"),
    "red-ink": ("1", "60"),
    "gold-ink": ("1", "60"),
    "grommets": ("12", "10"),
    "wood": ("40", "1.50"),
}
STUDIO = {
    "studio": TABLES["studio"].replace("EUR", "USD").replace("en-GB", "en-US"),
    # Hours as paid, without an allowance. Two at 15 and two at 18 are four at 16.50; 2.50 of overhead for each 1 of
    # labour is 41.25 an hour.
    "bench": 'hourly_rate = "16.50"\noverheads_a_year = "41250"\nbench_hours_a_year = 1000\nbatch = 1\n'
    "allowance_percent = 0",
    "steps.cut": 'title = "Print and finish"\nbatch = 240',
    # Of the book's sale (2,000 - 931) / 2,000 = 53.45 % is gross profit (C).
    "channels.online": 'title = "Own site"\nshown_on = "catalogue"\nmargin_percent = "53.45"',
    "channels.stall": 'title = "Stall"\nshown_on = "stall"\nmarkup_percent = 100\nfee_percent = "2.5"\n'
    'fee_each = "0.30"\ntax_percent = 20',
}


@pytest.fixture(scope="module")
def output(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """What is published of the job; the glass and metal of the piece that stands for it cost nothing."""
    rows = {
        name: {"kind": "consumable", "pack_size": "1", "pack_unit": "each", "use_unit": "each", "use_per": "item",
               "use_amount": units}
        for name, (units, _) in REQUISITION.items()
    }  # fmt: skip
    costs = {**dict.fromkeys(MATERIALS, "0"), **{name: cost for name, (_, cost) in REQUISITION.items()}}
    prices = "".join(f"{name},2031-01-01,{cost}\n" for name, cost in costs.items())
    root = project(tmp_path_factory.mktemp("job"), {"sign": record()}, STUDIO, rows, prices)
    build(root, DAY, 1, quiet)
    return root / "site_output"


def test_cost_lines(output: Path) -> None:
    """Each line of the job cost sheet stands among the costs of the piece, and together they are 931."""
    with (output / "bench" / "cost_lines.csv").open(encoding="utf-8-sig", newline="") as file:
        amounts = [(line["line"], Decimal(line["amount"])) for line in csv.DictReader(file)]
    charged = sorted(amount for _, amount in amounts if amount)
    assert charged == [60, 60, 60, 66, 100, 120, 165, 300]
    assert sum(charged) == 931


def test_printed_price(output: Path) -> None:
    """The catalogue sells the job at the book's 2,000."""
    page = read_page(output / "catalogue" / "products" / "sign.html")
    assert [variant["offers"]["price"] for variant in structured_data(page)["hasVariant"]] == ["2000.00"]
    assert "$2,000" in text_of(page)


def test_price_with_tax_and_fees(output: Path) -> None:
    """A buyer's payment on the printed list leaves twice 931, once tax and fees are taken out of it.

    Tax is one sixth of a price with tax at 20 % (HM Revenue & Customs, VAT guide, Notice 700, "VAT fraction"; S2, in
    accountants' copies). Card fees are a share of all that is paid, tax too (common practice, no source).
    """
    (line,) = page_lines(output / "stall" / "price_sheet.html")
    assert line.price in pdf_text(output / "stall" / "price_sheet.pdf")
    paid = Decimal(line.price.strip("$").replace(",", ""))
    left = paid - paid / 6 - (paid * Decimal("0.025") + Decimal("0.30"))
    assert left == pytest.approx(2 * 931, abs=Decimal("0.01"))
