"""Names of the demo changed one after the other: every record of it stands that, and no price moves."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from catalog_builder.build import calculate, calculate_all
from catalog_builder.cache.build_state import BuildSummary
from catalog_builder.commands import rename
from catalog_builder.commands.rename.new_name import Kind
from catalog_builder.publish.studio_calculation import BuildCache, Progress, StudioCalculation, quiet
from catalog_builder.publish.theme.loading import Theme
from catalog_builder.records.content import Content
from tests.publish.demo import DAY, ROOT, take_kept

RENAMED: list[tuple[Kind, tuple[str, ...]]] = [
    ("product", ("toadstool-in-moss", "toadstool")),
    ("size", ("queen-scallop", "small", "palm")),
    ("glass", ("shore-crab", "kelp", "weed")),
    ("finish", ("copper", "penny")),
    ("channel", ("online", "own-site")),
    ("material", ("glass-tide", "glass-ebb")),
]


def _calculated(
    content: Content, theme: Theme, cache: BuildCache, _: int, progress: Progress
) -> tuple[StudioCalculation, BuildSummary]:
    """Go the way of ``check`` up to prices; pages and sheets are tried in the tests of the small studio."""
    calculated = calculate_all(content, theme, progress, cache)
    return calculated, BuildSummary(0, 0, 0, 0, 0, (), ())


def test_the_demo_keeps_its_prices(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Six names are changed; costs and prices of all variants are the same to the unit, and so are the findings."""
    take_kept(tmp_path)
    shutil.copytree(ROOT / "content", tmp_path / "content")
    before = calculate(tmp_path, DAY, quiet)
    monkeypatch.setattr(rename, "try_content", _calculated)
    for kind, names in RENAMED:
        rename.rename(tmp_path, DAY, kind, names, 1, quiet)
    after = calculate(tmp_path, DAY, quiet)
    assert _prices(after) == _prices(before)
    assert sorted(finding.code for finding in after.findings) == sorted(finding.code for finding in before.findings)
    offers = {offer.sku for listing in after.listings for offer in listing.offers}
    assert {"toadstool--small--penny--ruby", "queen-scallop--palm--black--tide"} <= offers
    assert not [sku for sku in offers if "copper" in sku or sku.startswith("queen-scallop--small")]


# A size has no other title than its name, so that it is left out here.
def _prices(calculated: StudioCalculation) -> list[tuple[object, ...]]:
    return sorted(
        (each.product.keys.title, each.offer.finish, each.offer.glass, each.cost.total,
         *sorted(price.printed for price in each.prices.values()), each.offer.ready or 0)
        for each in calculated.calculations
    )  # fmt: skip
