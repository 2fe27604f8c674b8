"""What a plan takes: pieces and spares, hours against the days left, and whole packs to buy."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest

from catalog_builder.records.batch_plan import WEEKDAYS
from tests.batch import GLASS, keep_by_hand, plan_of, planned_studio
from tests.studio import DAY, MATERIALS, TABLES, project, record

FINISHES = {
    "steps.wash": 'title = "Wash"\nitem = 1\nwaiting = 45',
    "finishes.dark": 'title = "Dark"',
    "finishes.dark.steps.patina": 'title = "Patina"\nbatch = 12\nitem = 2\nwaiting = 10',
}
TWO = """title = "Two"
begins = 2031-05-21
ready_by = 2031-05-27
hours_a_day = 4
make = [{product = "pane", finish = "bright", count = 3}, {product = "pane", finish = "dark", count = 5}]
"""


def two_finishes(root: Path) -> Path:
    """A plan of three panes in one finish and five in another that has a step of its own."""
    text = record().replace("finishes: [bright]", "finishes: [bright, dark]")
    project(root, {"pane": text}, {**TABLES, **FINISHES}, GLASS)
    path = root / "content" / "batches" / "two.toml"
    path.parent.mkdir()
    path.write_text(TWO, encoding="utf-8")
    return root


def test_set_up_counts_once_for_a_design(tmp_path: Path) -> None:
    """Cutting has 10 minutes of set-up and 2 a piece: eight panes of two take 42, and 20 % allowance, not 8 x 14."""
    steps = {step.title: step for step in plan_of(two_finishes(tmp_path)).steps}
    assert steps["Cut"].hands_on == Decimal("1.2") * (10 + 8 * 2 * 2)


def test_a_finishs_set_up_counts_once_for_those_in_it(tmp_path: Path) -> None:
    """Patina has 12 minutes of set-up and 2 an item: for the five that get it, 22, and 20 % allowance."""
    steps = {step.title: step for step in plan_of(two_finishes(tmp_path)).steps}
    assert steps["Patina"].hands_on == Decimal("1.2") * (12 + 5 * 2)
    assert steps["Patina"].finish == "Dark"
    assert steps["Cut"].finish == ""


def test_waiting_counts_once_for_a_step(tmp_path: Path) -> None:
    """Eight panes dry together: 45 minutes for the wash and 10 for the patina, with no allowance."""
    planned = plan_of(two_finishes(tmp_path))
    assert {step.title: step.waiting for step in planned.steps} == {"Cut": 0, "Wash": 45, "Patina": 10}
    assert planned.waiting_hours * 60 == 55


def test_hours_are_of_sixty_minutes(tmp_path: Path) -> None:
    """Cut 50.4, Wash 9.6 (a minute for each of eight, and 20 % allowance) and Patina 26.4: 86.4 minutes."""
    assert plan_of(two_finishes(tmp_path)).hands_on_hours == Decimal("1.44")


def test_the_weekdays_are_in_the_calendars_order() -> None:
    """20 May 2031 is a Tuesday (ISO 8601: Monday is the first day), by the calendar of the standard library."""
    assert WEEKDAYS[date(2031, 5, 20).weekday()] == "tuesday"
    assert date(2031, 5, 20).isoweekday() == 2


@pytest.mark.parametrize(
    ("day", "keys", "days"),
    [
        # From Wednesday 21 May to Tuesday 27 May are seven days, Sunday the 25th among them.
        (date(2031, 5, 1), "", 7),
        (date(2031, 5, 20), 'rest_days = ["sunday"]', 6),
        (date(2031, 5, 20), 'rest_days = ["sunday"]\ndays_off = [2031-05-23, 2031-05-25]', 5),
        (date(2031, 5, 26), 'rest_days = ["sunday"]', 2),
        (date(2031, 5, 27), "", 1),
        (date(2031, 5, 28), "", 0),
    ],
)
def test_days_left_are_those_at_the_bench(tmp_path: Path, day: date, keys: str, days: int) -> None:
    """Days count from the build's day to the last one, without days of rest and days off; at 4 hours each."""
    planned = plan_of(planned_studio(tmp_path, keys), day)
    assert (planned.days_left, planned.hours_left) == (days, Decimal(4 * days))


def test_pieces_are_counted_by_glass(tmp_path: Path) -> None:
    """Eight panes of a left and a right half are eight pieces of each glass, whatever their finish."""
    glasses = plan_of(two_finishes(tmp_path)).glass.glasses
    assert {glass.material.material: glass.count for glass in glasses} == {"reed": 8, "slate": 8}
    assert [piece.key.number for glass in glasses for piece in glass.pieces] == ["1", "2"]


@pytest.mark.parametrize(("loss", "spares"), [("0", 0), ("4", 0), ("6", 1), ("24", 2)])
def test_spares_are_those_likely_to_crack(tmp_path: Path, loss: str, spares: int) -> None:
    """Of ten pieces of which 6 in a hundred crack, 0.6 are likely to: one spare; of 4 in a hundred, none."""
    planned_studio(tmp_path, count=10)
    project(
        tmp_path, {"pane": record()}, None, {"reed": {**GLASS["reed"], "loss_percent": loss}, "slate": GLASS["slate"]}
    )
    reed, slate = plan_of(tmp_path).glass.glasses
    assert (reed.count, reed.spares, reed.cracked) == (10, spares, Decimal(loss) / 10)
    assert slate.spares == 0


def test_whole_packs_are_bought_after_what_is_on_hand(tmp_path: Path) -> None:
    """Two panes take two rings of a pack of 50, and 0.9 m of foil of a roll of 33; what is on hand is taken off."""
    planned_studio(tmp_path, stock="material,amount,unit\nring-small,3,each\nfoil-wide,1,m\n")
    needs = {need.material.material: need for need in plan_of(tmp_path).needs}
    assert (needs["ring-small"].needed, needs["ring-small"].packs) == (Decimal(2), 0)
    foil = needs["foil-wide"]
    # Each half has a rim and a seam side of 60 mm and two of 49.6, and 5 mm of overlap.
    assert foil.needed == pytest.approx(Decimal("0.8968"), abs=Decimal("0.0001"))
    assert (foil.on_hand, foil.packs, foil.cost) == (Decimal(1), 0, Decimal(0))
    solder = needs["solder"]
    assert (solder.packs, solder.cost) == (1, Decimal("12.00"))


@pytest.mark.parametrize(("lack", "packs"), [("0.000001", 0), ("0.001", 1)])
def test_a_lack_that_no_rule_shows_is_none(tmp_path: Path, lack: str, packs: int) -> None:
    """A thousandth of a millimetre of foil too little is no reason for another roll of 33 m; a millimetre is."""
    (needed,) = [need.needed for need in plan_of(planned_studio(tmp_path)).needs if need.material.kind == "foil"]
    planned_studio(tmp_path, stock=f"material,amount,unit\nfoil-wide,{needed - Decimal(lack):f},m\n")
    (foil,) = [need for need in plan_of(tmp_path).needs if need.material.kind == "foil"]
    assert (needed - foil.on_hand, foil.packs) == (Decimal(lack), packs)


def test_glass_is_estimated_by_boxes_until_it_is_laid(tmp_path: Path) -> None:
    """Two boxes of 52.6 by 63 mm are 0.66 dm2: one pack of 1 dm2. Laid, a whole sheet of 2.6 dm2 is needed: three."""
    planned_studio(tmp_path)
    reed = plan_of(tmp_path).needs[0]
    assert (reed.material.material, reed.estimated, reed.packs) == ("reed", True, 1)
    assert reed.needed == Decimal("0.662760")
    keep_by_hand(tmp_path)
    reed = plan_of(tmp_path).needs[0]
    assert (reed.estimated, reed.needed, reed.packs, reed.cost) == (False, Decimal("2.6"), 3, Decimal("36.00"))


def test_whole_sheets_on_hand_need_not_be_bought(tmp_path: Path) -> None:
    """A sheet of 200 by 130 mm in the rack is the one that the layout takes."""
    planned_studio(tmp_path, stock="material,amount,unit\nreed,1,sheet\n")
    keep_by_hand(tmp_path)
    reed, slate = plan_of(tmp_path).needs[:2]
    assert (reed.on_hand, reed.packs) == (Decimal("2.6"), 0)
    assert slate.packs == 3


def test_the_studio_of_the_tests_is_as_supposed() -> None:
    """The figures above rest on packs of 50 rings and of 1 dm2 of glass."""
    assert MATERIALS["ring-small"]["pack_size"] == "50"
    assert (MATERIALS["reed"]["pack_size"], MATERIALS["reed"]["pack_unit"]) == ("1", "dm2")
    assert date(2031, 5, 20) == DAY
