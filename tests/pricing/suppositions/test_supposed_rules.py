"""What if: supposed fees, taxes, rules, batches and minutes give the prices that the changed files would."""

from __future__ import annotations

from decimal import ROUND_CEILING, Decimal
from pathlib import Path

import pytest

from catalog_builder.build import calculate
from catalog_builder.commands.reprice import read_report
from catalog_builder.mistake import MistakeError
from catalog_builder.pricing.suppositions.assumptions import Assumptions
from catalog_builder.pricing.suppositions.suppose import suppose
from catalog_builder.publish.studio_calculation import quiet
from tests.book import rewritten
from tests.studio import DAY, assumed, content, project, record

TABLES = {
    "bench": 'hourly_rate = "30"\nbench_hours_a_year = 800\noverheads_a_year = 4800\nallowance_percent = 0\nbatch = 5',
    "steps.cut": 'title = "Cut"\nbatch = 60\npiece = 6\nseam_m = 20',
    "finishes.bright": 'title = "Bright"',
    "finishes.bright.steps.shine": 'title = "Shine"\nitem = 4',
    "channels.online": 'title = "Own site"\nshown_on = "catalogue"\nmarkup_percent = 50\nfee_percent = 2',
    "channels.stall": 'title = "Stall"\nshown_on = "stall"\nmargin_percent = 40\nday_fee = 30\nsales_a_day = 10',
}


@pytest.fixture(scope="module")
def records(tmp_path_factory: pytest.TempPathFactory) -> Assumptions:
    """A studio with one product and fees of several kinds."""
    return assumed(content(tmp_path_factory.mktemp("studio"), tables=TABLES))


def value(found: Assumptions, name: str) -> object:
    """The value of a key by the tables that lead to it."""
    at: object = found.studio
    for word in name.split("."):
        at = at[word] if isinstance(at, dict) else getattr(at, word)
    return at


@pytest.mark.parametrize(
    ("text", "changed"),
    [
        ("batch=12", {"bench.batch": 12}),
        ("bench.batch=12", {"bench.batch": 12}),
        ("bench.allowance_percent=9", {"bench.allowance_percent": 9}),
        ("channels.stall.fee_percent=+1.5", {"channels.stall.fee_percent": Decimal("1.5")}),
        ("fee_percent=+50%", {"channels.online.fee_percent": 3}),
        ("channels.stall.day_fee=-10", {"channels.stall.day_fee": 20}),
        ("channels.online.tax_percent=20", {"channels.online.tax_percent": 20}),
        ("margin_percent=+5", {"channels.stall.margin_percent": 45}),
        (
            "channels.online.margin_percent=35",
            {"channels.online.margin_percent": 35, "channels.online.markup_percent": None},
        ),
        ("channels.online.rounding=nearest", {"channels.online.rounding": "nearest"}),
        ("steps.cut.piece=5", {"steps.cut.piece": 5}),
        ("steps.cut=-10%", {"steps.cut.batch": 54, "steps.cut.piece": Decimal("5.4"), "steps.cut.seam_m": 18}),
        ("finishes.bright.steps.shine.item=+1", {"finishes.bright.steps.shine.item": 5}),
    ],
)
def test_a_key_in_thought(records: Assumptions, text: str, changed: dict[str, object]) -> None:
    """A key is supposed at an amount, a change, a percentage or a word; what it is part of stays otherwise."""
    supposed = suppose(records, text)
    assert {name: value(supposed, name) for name in changed} == changed
    names = ("bench", "channels.online", "channels.stall", "channels.trade", "steps.cut", "finishes.bright")
    touched = {name for name in names if value(supposed, name) != value(records, name)}
    assert touched == {name for name in names if any(key.startswith(f"{name}.") for key in changed)}
    assert supposed.materials == records.materials


def test_a_products_batch(records: Assumptions) -> None:
    """A product's own batch is supposed, and the studio's stays."""
    supposed = suppose(records, "products.pane.batch=+3")
    assert supposed.products[0].keys.batch == 8
    assert supposed.studio == records.studio


def test_a_rate_is_paid_at_the_stall_too(records: Assumptions) -> None:
    """A supposed channel is paid by the rate that stands, and by one that is supposed after it."""
    hours = suppose(records, "channels.stall.day_hours=5")
    assert hours.studio.channels["stall"].fixed_fee == 18
    assert suppose(hours, "rate=40").studio.channels["stall"].fixed_fee == 23


@pytest.mark.parametrize(
    ("text", "wrong", "mend"),
    [
        ("channels.stall.fee_percent=70", "in the channel 'stall' fees and margin take the whole price", "lower one"),
        ("channels.stall.margin_percent=100", "100 is not possible as a share", ""),
        ("channels.stall.markup_percent=+5", "is a change of a key that is not there", "write it in that form"),
        ("channels.stal.fee_percent=2", "nothing is named 'channels.stal.fee_percent'", "channels.stall.fee_percent"),
        ("tax_percent=20", "nothing is named 'tax_percent'", ""),
        ("steps.cut=4", "the step 'cut' has minutes for", "steps.cut=-10% or steps.cut.batch=2"),
        ("steps.cutt=-10%", "nothing is named 'steps.cutt'", "did you mean 'steps.cut'?"),
        ("steps.cut.pieces=4", "nothing is named 'steps.cut.pieces'", ""),
        ("batch=0", "batch", ""),
        ("batch=2.5", "batch", ""),
        ("products.pain.batch=2", "nothing is named 'products.pain.batch'", "did you mean 'products.pane.batch'?"),
        ("channels.stall.rounding=2", "gives a number to channels.stall.rounding", "channels.stall.rounding=nearest"),
        ("reed=up", "'reed=up' gives a word to reed", "write reed=+5%"),
    ],
)
def test_what_cannot_be_supposed_is_told(records: Assumptions, text: str, wrong: str, mend: str) -> None:
    """What no key has, or a key cannot have, is told as in the file itself, with the supposition as its place."""
    with pytest.raises(MistakeError) as caught:
        suppose(records, text)
    mistake = caught.value.mistakes[0]
    assert mistake.place.path == f"--suppose {text}"
    assert wrong in mistake.wrong
    assert mend in mistake.mend
    assert mistake.expected


@pytest.mark.parametrize(
    ("text", "old", "new"),
    [
        ("channels.online.fee_percent=12", "fee_percent = 2", "fee_percent = 12"),
        ("channels.online.tax_percent=20", "fee_percent = 2", "fee_percent = 2\ntax_percent = 20"),
        ("channels.stall.margin_percent=45", "margin_percent = 40", "margin_percent = 45"),
        ("channels.online.markup_percent=+10", "markup_percent = 50", "markup_percent = 60"),
        ("batch=12", "batch = 5", "batch = 12"),
        ("steps.cut.piece=+50%", "piece = 6", "piece = 9"),
        ("finishes.bright.steps.shine.item=9", "item = 4", "item = 9"),
    ],
)
def test_a_supposed_rule_prices_as_the_file_would(tmp_path: Path, text: str, old: str, new: str) -> None:
    """The report's new prices are those of the studio whose file says so; the causes of each sum to its change."""
    root = project(tmp_path, {"pane": record()}, TABLES)
    moved = read_report(root, DAY, (text,), quiet).moved
    rewritten(root, old, new)
    (variant,) = calculate(root, DAY, quiet).calculations
    assert moved
    assert {move.channel: move.new for move in moved}.items() <= {
        name: price.printed for name, price in variant.prices.items()
    }.items()
    before = {name: price.printed for name, price in variant.prices.items()} | {
        each.channel: each.old for each in moved
    }
    assert {name for name, price in variant.prices.items() if price.printed != before[name]} == {
        move.channel for move in moved
    }
    assert all(sum(cause.amount for cause in move.causes) == move.by for move in moved)


def test_a_supposed_fee_by_hand(tmp_path: Path) -> None:
    """A cost at a markup of 50 % and a fee of 12 % asks for cost x 1.5 / 0.88, up to the next cent."""
    root = project(tmp_path, {"pane": record()}, TABLES)
    (variant,) = calculate(root, DAY, quiet).calculations
    (move,) = read_report(root, DAY, ("channels.online.fee_percent=12",), quiet).moved
    cents = variant.cost.total * 150 / Decimal("0.88")
    assert move.new == cents.to_integral_value(ROUND_CEILING) / 100
    assert {cause.kind for cause in move.causes} <= {"terms", "rounding"}


def test_nothing_is_changed_in_the_records(records: Assumptions) -> None:
    """What is supposed is a value of its own; the studio stays as it was."""
    before = records.studio.model_copy(deep=True)
    for text in ("batch=12", "channels.stall.fee_percent=3", "steps.cut=-50%", "products.pane.batch=9"):
        suppose(records, text)
    assert records.studio == before
