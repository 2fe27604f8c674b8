"""Consistency: prices that contradict each other or the studio's own terms are told, each once a product."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from pathlib import Path

import pytest

from catalog_builder.pricing.calculation import compared
from catalog_builder.pricing.consistency import price_findings
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
    }
    found = content(tmp_path, record(keys=TWO_SIZES), tables)
    told = price_findings(found.studio, [compared(one) for one in calculations(found)])
    assert [finding.code for finding in told] == codes


@pytest.mark.parametrize(("lost", "codes"), [(0, []), (2, ["C02"]), (40, ["C01"])])
def test_pays_too_little(tmp_path: Path, lost: int, codes: list[str]) -> None:
    """An hour that earns less than the studio's rate is told.

    A price that does not even cover cost is worse.
    """
    found = content(tmp_path)
    one = compared(calculations(found)[0])
    earning = one.earnings["trade"]
    profit = earning.profit - earning.profit * lost / 2 if lost < 40 else -earning.profit
    poor = replace(earning, profit=profit, an_hour=earning.an_hour if lost == 0 else found.studio.bench.hourly_rate - 1)
    told = price_findings(found.studio, [replace(one, earnings={**one.earnings, "trade": poor})])
    assert [finding.code for finding in told] == codes


def test_smaller_dearer(tmp_path: Path) -> None:
    """A smaller size that costs more than a larger one of the same finish and glass is told once."""
    found = content(tmp_path, record(keys=TWO_SIZES))
    small, large = (compared(one) for one in calculations(found))
    assert price_findings(found.studio, [small, large]) == ()
    turned = [replace(small, prices=large.prices), replace(large, prices=small.prices)]
    assert [finding.code for finding in price_findings(found.studio, turned)] == ["C04"]
    assert "small costs more than large" in str(price_findings(found.studio, turned)[0].text)


def test_dearer_finish_cheaper(tmp_path: Path) -> None:
    """A finish that costs more to make and is sold for less is told."""
    found = content(tmp_path)
    plain = replace(compared(calculations(found)[0]), finish="plain")
    dear = replace(plain, finish="dear", cost=plain.cost + 5)
    cheaper = {**plain.prices, "online": replace(plain.prices["online"], printed=plain.prices["online"].printed - 2)}
    assert price_findings(found.studio, [plain, dear]) == ()
    told = price_findings(found.studio, [plain, replace(dear, prices=cheaper)])
    assert [finding.code for finding in told] == ["C05"]
    assert "dear costs more to make than plain" in str(told[0].text)


def test_choices_apart(tmp_path: Path) -> None:
    """Two choices of glass that cost nearly the same are not sold for prices far apart without a word."""
    found = content(tmp_path)
    one = replace(compared(calculations(found)[0]), choice="sea")
    printed = one.prices["online"].printed
    near = replace(one, choice="moss", cost=one.cost * Decimal("1.01"))
    dearer = {**one.prices, "online": replace(one.prices["online"], printed=printed * Decimal("1.2"))}
    assert price_findings(found.studio, [one, near]) == ()
    told = price_findings(found.studio, [one, replace(near, prices=dearer)])
    assert [finding.code for finding in told] == ["C06"]
    # A choice that really costs more may be sold for more.
    rich = replace(near, prices=dearer, cost=one.cost * Decimal("1.2"))
    assert price_findings(found.studio, [one, rich]) == ()
