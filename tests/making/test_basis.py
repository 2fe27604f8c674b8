"""What a quantity and a time rest on, in words: every phrase has a label in English and in German."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from pathlib import Path

import pytest

from catalog_builder.making.labour import step_time
from catalog_builder.making.quantities import MEASURES, Measures, amount_of
from catalog_builder.records.material import UNITS
from catalog_builder.records.studio import Bench, WorkStep
from tests.english import english, phrasing
from tests.studio import MATERIALS, calculations, content, record

BENCH = Bench.model_validate({"hourly_rate": 30, "bench_hours_a_year": 800, "allowance_percent": "12.5"})
ONE_PIECE = Measures(*(Decimal(1) for _ in MEASURES))
NINE = replace(ONE_PIECE, piece=Decimal(9), seam_m=Decimal("0.75"), broken=Decimal("0.064"))


def step(**minutes: str) -> WorkStep:
    """A step by its minutes."""
    return WorkStep.model_validate({"title": "Step", **minutes})


@pytest.mark.parametrize(
    ("work", "measures", "words"),
    [
        (step(), NINE, "nothing, and 12.5% allowance"),
        (step(batch="10", piece="1.25"), NINE, "10 / batch of 5 + 1.25 × 9 pieces, and 12.5% allowance"),
        (step(piece="2", joint="1"), ONE_PIECE, "2 × 1 piece + 1 × 1 joint, and 12.5% allowance"),
        (
            step(seam_m="8", piece="2", repeats="true"),
            NINE,
            "2 × 9 pieces + 8 × 0.75 m of seam + 6.4% of it again for breakage, and 12.5% allowance",
        ),
    ],
)
def test_a_steps_basis_is_its_sum(work: WorkStep, measures: Measures, words: str) -> None:
    """The parts of a step's minutes stand as a sum, with the allowance after it."""
    assert english(step_time("step", work, BENCH, measures, 5).basis) == words


def test_a_german_basis_has_german_words_and_numbers() -> None:
    """Words, decimal comma and percent sign are those of the studio's language."""
    basis = step_time("step", step(batch="10", piece="1.25"), BENCH, NINE, 5).basis
    assert phrasing("de").say(basis) == "10 / Serie von 5 + 1,25 × 9 Glasteile, dazu 12,5\u00a0% Zuschlag"


@pytest.mark.parametrize("language", ["en", "de"])
def test_every_measure_and_unit_has_words(tmp_path: Path, language: str) -> None:
    """No measure that a step or a material may name, and no unit of a pack, is without a label."""
    say = phrasing(language).say
    every = step(batch="1", repeats="true", **dict.fromkeys(MEASURES, "1"))
    assert say(step_time("step", every, BENCH, NINE, 5).basis).count("+") == len(MEASURES) + 1
    rows = content(tmp_path).materials.rows
    assert all("2" in say(amount_of(rows["reed"], Decimal(2), unit)) for unit in UNITS)
    assert say(amount_of(rows["reed"], Decimal(2), "sheet")) == {"en": "2 sheets", "de": "2 Tafeln"}[language]
    assert say(amount_of(rows["hook"], Decimal(2), "sheet")) == {"en": "2 sheets", "de": "2 Bogen"}[language]


@pytest.mark.parametrize("hang", ["{by: ring}", "{by: hook}", "{by: cord, length: 300 mm}", "{by: chain, length: 1 m}"])
def test_every_cost_line_has_words(tmp_path: Path, hang: str) -> None:
    """Name, pack and basis of every line of a cost can be worded in both languages, and differ between them."""
    per = ("item", "piece", "seam_m", "rim_m", "edge_m", "dm2")
    wax = {"kind": "consumable", "pack_size": "250", "pack_unit": "ml", "use_amount": "4", "use_unit": "ml"}
    found = content(
        tmp_path,
        record(keys=f"solder_drops_g: 1\nhang: {hang}"),
        {"bench": 'hourly_rate = "30"\nbench_hours_a_year = 800\noverheads_a_year = "900"'},
        {**MATERIALS, **{f"wax-{name.replace('_', '-')}": {**wax, "use_per": name} for name in per}},
    )
    lines = calculations(found)[0].cost.lines
    assert {f"wax-{name.replace('_', '-')}" for name in per} < {line.key for line in lines}
    for line in lines:
        assert phrasing("en").say(line.pack) != phrasing("de").say(line.pack)
        assert phrasing("en").say(line.basis) != phrasing("de").say(line.basis)
    overheads = next(line for line in lines if line.key == "overheads")
    assert english(overheads.name) == "Overheads"
    assert english(overheads.basis) == "€900.00 a year over 800 bench hours"
    assert phrasing("de").show(overheads.name) == "Gemeinkosten"
