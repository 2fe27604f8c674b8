"""Consistency: prices that contradict each other or the studio's own terms are told, each once a product."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from pathlib import Path

import pytest

from catalog_builder.pricing.calculation import compared
from catalog_builder.pricing.consistency import price_findings
from tests.english import english
from tests.studio import calculations, content, record

TWO_SIZES = "sizes: {small: 60 mm, large: 120 mm}"


@pytest.mark.parametrize(
    ("online", "stall", "shops", "codes"),
    [
        ("markup_percent = 50", "markup_percent = 50", "markup_percent = 20", []),
        # A price under cost is told as that, and not as one that pays badly besides.
        ("markup_percent = 50", "markup_percent = 50", "markup_percent = 0\nfee_percent = 30", []),
        ("markup_percent = 50", "markup_percent = 40", "markup_percent = 20", ["C03"]),
        ("markup_percent = 50", "markup_percent = 50\ntax_percent = 20", "markup_percent = 20", []),
        ("markup_percent = 50\ntax_percent = 20", "markup_percent = 50", "markup_percent = 20", ["C03"]),
        # What the buyer pays is compared, and not what is printed, where one of the two adds the tax.
        (
            'markup_percent = 50\ntax_percent = 20\ntax = "added"',
            "markup_percent = 50",
            "markup_percent = 20",
            ["C03"],
        ),
        (
            "markup_percent = 50",
            'markup_percent = 45\ntax_percent = 20\ntax = "added"',
            "markup_percent = 20",
            [],
        ),
        ("markup_percent = 50", "markup_percent = 50", "times_trade = 0.5", ["C01"]),
    ],
)
def test_channels(tmp_path: Path, online: str, stall: str, shops: str, codes: list[str]) -> None:
    """A price under cost is told, and a stall where the buyer pays less than online.

    What is in step is not.
    """
    tables = {
        "channels.online": f'title = "Own site"\nshown_on = "catalogue"\n{online}',
        "channels.stall": f'title = "Stall"\nshown_on = "stall"\n{stall}',
        "channels.shops": f'title = "Galleries"\nshown_on = "private"\n{shops}',
        "channels.trade": 'title = "Shops"\nshown_on = "shops"\nmarkup_percent = 20',
    }
    records = content(tmp_path, record(keys=TWO_SIZES), tables)
    findings = price_findings(records.studio, [compared(variant) for variant in calculations(records)])
    assert [finding.code for finding in findings] == codes


@pytest.mark.parametrize(("lost", "codes"), [(0, []), (2, ["C02"]), (40, ["C01"])])
def test_pays_too_little(tmp_path: Path, lost: int, codes: list[str]) -> None:
    """An hour that earns less than the studio's rate is told.

    A price that does not even cover cost is worse.
    """
    records = content(tmp_path)
    variant = compared(calculations(records)[0])
    earning = variant.earnings["trade"]
    profit = earning.profit - earning.profit * lost / 2 if lost < 40 else -earning.profit
    poor = replace(
        earning, profit=profit, an_hour=earning.an_hour if lost == 0 else records.studio.bench.hourly_rate - 1
    )
    findings = price_findings(records.studio, [replace(variant, earnings={**variant.earnings, "trade": poor})])
    assert [finding.code for finding in findings] == codes


def test_smaller_dearer(tmp_path: Path) -> None:
    """A smaller size that costs more than a larger one of the same finish and glass is told once."""
    records = content(tmp_path, record(keys=TWO_SIZES))
    small, large = (compared(variant) for variant in calculations(records))
    assert price_findings(records.studio, [small, large]) == ()
    turned = [replace(small, prices=large.prices), replace(large, prices=small.prices)]
    assert [finding.code for finding in price_findings(records.studio, turned)] == ["C04"]
    assert "small costs more than large" in english(price_findings(records.studio, turned)[0].text)


def test_dearer_finish_cheaper(tmp_path: Path) -> None:
    """A finish that costs more to make and is sold for less is told."""
    records = content(tmp_path)
    plain = replace(compared(calculations(records)[0]), finish="plain")
    dear = replace(plain, finish="dear", cost=plain.cost + 5)
    cheaper = {**plain.prices, "online": replace(plain.prices["online"], printed=plain.prices["online"].printed - 2)}
    assert price_findings(records.studio, [plain, dear]) == ()
    findings = price_findings(records.studio, [plain, replace(dear, prices=cheaper)])
    assert [finding.code for finding in findings] == ["C05"]
    assert "dear costs more to make than plain" in english(findings[0].text)


def test_choices_apart(tmp_path: Path) -> None:
    """Two choices of glass that cost nearly the same are not sold for prices far apart without a word."""
    records = content(tmp_path)
    variant = replace(compared(calculations(records)[0]), choice="sea")
    printed = variant.prices["online"].printed
    near = replace(variant, choice="moss", cost=variant.cost * Decimal("1.01"))
    dearer = {**variant.prices, "online": replace(variant.prices["online"], printed=printed * Decimal("1.2"))}
    assert price_findings(records.studio, [variant, near]) == ()
    findings = price_findings(records.studio, [variant, replace(near, prices=dearer)])
    assert [finding.code for finding in findings] == ["C06"]
    # A choice that really costs more may be sold for more.
    rich = replace(near, prices=dearer, cost=variant.cost * Decimal("1.2"))
    assert price_findings(records.studio, [variant, rich]) == ()


@pytest.mark.parametrize(("dearer", "apart", "codes"), [
    ("1.02", "1.08", []), ("1.02", "1.09", ["C06"]), ("1.021", "1.09", []),
])  # fmt: skip
def test_choices_at_the_edge(tmp_path: Path, dearer: str, apart: str, codes: list[str]) -> None:
    """Costs 2 % apart count as the same, and prices 8 % apart as together: only what is farther apart is a finding."""
    records = content(tmp_path)
    variant = compared(calculations(records)[0])
    price = replace(variant.prices["online"], printed=Decimal("100.00"))
    sea = replace(variant, choice="sea", cost=Decimal(10), prices={**variant.prices, "online": price})
    price = replace(price, printed=100 * Decimal(apart))
    moss = replace(sea, choice="moss", cost=10 * Decimal(dearer), prices={**variant.prices, "online": price})
    assert [finding.code for finding in price_findings(records.studio, [sea, moss])] == codes


def test_an_hour_at_just_the_rate_is_no_finding(tmp_path: Path) -> None:
    """A price that pays exactly the studio's rate for an hour is as the studio wants it."""
    records = content(tmp_path)
    variant = compared(calculations(records)[0])
    rate = replace(variant.earnings["trade"], an_hour=records.studio.bench.hourly_rate)
    assert price_findings(records.studio, [replace(variant, earnings={**variant.earnings, "trade": rate})]) == ()
