"""Glass that cracks: what is done again for it, how large its share is, and what is cut to spare."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path

import pytest

from catalog_builder.making.cutting_list import batch_glass
from catalog_builder.making.labour import step_time
from catalog_builder.making.quantities import Measures, read_measures
from catalog_builder.records.batch_plan import Ordered
from catalog_builder.records.studio import Bench, WorkStep
from tests.studio import content, makings, record

BENCH = Bench.model_validate({"hourly_rate": 30, "bench_hours_a_year": 800, "allowance_percent": 0})
# Ten of everything, and a tenth of the pieces cracks.
TEN = Decimal(10)
MEASURES = Measures(TEN, TEN, TEN, TEN, TEN, TEN, TEN, broken=Decimal("0.1"))
THREE = (
    '<rect width="90" height="60" data-glass="left"/><path d="M30,0 V60"/><path d="M60,0 V60"/>'
    '<text x="15" y="30" data-glass="left">1</text><text x="45" y="30" data-glass="right">2</text>'
    '<text x="75" y="30" data-glass="left">3</text><circle data-mark="ring" cx="30" cy="0" r="1"/>'
)


@pytest.mark.parametrize(
    ("measure", "minutes"),
    [
        # A cracked piece is cut, ground and foiled again: what goes by pieces, their edges and their area.
        ("piece", "11"),
        ("edge_m", "11"),
        ("dm2", "11"),
        # It is soldered and hung once, whatever cracked before.
        ("item", "10"),
        ("joint", "10"),
        ("seam_m", "10"),
        ("rim_m", "10"),
    ],
)
def test_what_is_done_again_for_a_cracked_piece(measure: str, minutes: str) -> None:
    """A step that repeats takes a tenth more of what goes by the glass, where a tenth cracks."""
    step = WorkStep.model_validate({"title": "Step", measure: "1", "repeats": True})
    assert step_time("step", step, BENCH, MEASURES, 1).minutes == Decimal(minutes)
    once = WorkStep.model_validate({"title": "Step", measure: "1"})
    assert step_time("step", once, BENCH, MEASURES, 1).minutes == 10


def test_the_share_that_cracks_goes_by_pieces(tmp_path: Path) -> None:
    """Two pieces of a glass of which 9 % crack and one of a glass that never does: 6 % of all three."""
    box = 'width="90mm" height="60mm" viewBox="0 0 90 60"'
    studio = content(tmp_path, record(THREE, box), materials={"reed": {"loss_percent": "9"}})
    assert read_measures(makings(studio)[0]).broken == Decimal("0.06")


@pytest.mark.parametrize(("loss", "spares"), [("0", 0), ("4", 0), ("5", 1), ("14", 1), ("15", 2), ("30", 3)])
def test_spares_are_the_cracks_that_are_expected(tmp_path: Path, loss: str, spares: int) -> None:
    """Of ten pieces as many are cut to spare as are expected to crack, to the nearest whole one, half upwards."""
    studio = content(tmp_path, materials={"reed": {"loss_percent": loss}})
    order = Ordered(studio.products[0], "", "bright", "plain", 10)
    reed, slate = batch_glass(studio.materials.rows, [(order, makings(studio)[0])])
    assert (reed.count, reed.cracked, reed.spares) == (10, Decimal(loss) / 10, spares)
    assert slate.spares == 0
