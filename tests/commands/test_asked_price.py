"""The command `why` with `--at`: what a price leaves, by hand, and answers that a changed record confirms."""

from __future__ import annotations

import re
from decimal import Decimal
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from catalog_builder.build import calculate
from catalog_builder.cli import main
from catalog_builder.publish.studio_calculation import quiet
from tests.book import rewritten
from tests.studio import DAY, project, record

# Two panes of 1 dm2 packs at 12.00, 30.00 an hour and 6.00 of overheads; the stall takes a fifth.
TABLES = {
    "bench": 'hourly_rate = "30"\nbench_hours_a_year = 800\noverheads_a_year = "4800"\nbatch = 5',
    "steps.cut": 'title = "Cut"\nbatch = 60\npiece = 6\nseam_m = 20\ndm2 = 2',
    "finishes.bright": 'title = "Bright"',
    "finishes.dark": 'title = "Dark"',
    "finishes.dark.steps.patina": 'title = "Patina"\nitem = 10',
    "channels.stall": 'title = "Stall"\nshown_on = "stall"\nmarkup_percent = 50\nfee_percent = 20',
}
KEYS = "sizes: {small: 80mm, large: 100mm}"


@pytest.fixture
def root(tmp_path: Path) -> Path:
    """A studio with one product in two sizes."""
    return project(tmp_path, {"pane": record(keys=KEYS)}, TABLES)


def ask(root: Path, *words: str) -> Result:
    """Run the command on the usual day."""
    return CliRunner().invoke(main, ["why", *words, "--folder", str(root), "--day", DAY.isoformat()])


def asked(root: Path, *words: str) -> str:
    """What the command prints."""
    result = ask(root, *words)
    assert result.exit_code == 0, result.output
    return result.stdout


def number(text: str, pattern: str) -> Decimal:
    """The number that a line of the answer names."""
    match = re.search(pattern, text)
    assert match, text
    return Decimal(match[1])


def an_hour(root: Path, price: str, sku: str = "pane--large--bright") -> Decimal:
    """What an hour earns at a price on the own site, without fees, by what the whole build costs."""
    (variant,) = (each for each in calculate(root, DAY, quiet).calculations if each.offer.sku == sku)
    beside = variant.cost.total - variant.cost.of("labour")
    return (Decimal(price) - beside) / variant.cost.minutes * 60


def test_what_a_price_leaves_in_every_channel(root: Path) -> None:
    """By hand: fees, then what is over all costs, the pay for an hour, and the minutes that the rest pays for."""
    (variant,) = (each for each in calculate(root, DAY, quiet).calculations if each.offer.sku == "pane--large--bright")
    minutes, labour, overheads = variant.cost.minutes, variant.cost.of("labour"), variant.cost.of("overhead")
    assert labour == minutes / 60 * 30
    assert overheads == minutes / 60 * 6
    materials = variant.cost.total - labour - overheads
    text = asked(root, "pane--large--bright", "--at", "45")
    for title, kept in (("Own site", Decimal(45)), ("Stall", Decimal(36))):
        (line,) = re.findall(rf"^{title} .*$", text, re.MULTILINE)
        cells = [Decimal(cell.replace("€", "")) for cell in re.split(r" {2,}", line)[1:]]
        hour = (kept - materials - overheads) / minutes * 60
        allowed = (kept - materials) / 36 * 60
        for cell, amount in zip(cells, (kept, kept - variant.cost.total, hour, allowed), strict=True):
            assert abs(cell - amount) <= Decimal("0.05")
    assert "Each hour is paid €30.00 and carries €6.00 of overheads" in text


def test_a_price_that_pays_says_what_is_to_spare(root: Path) -> None:
    """Over the floor price there is nothing to mend; minutes to spare are what is over all costs at 36.00 an hour."""
    text = asked(root, "pane--large--bright", "--at", "90")
    (variant,) = (each for each in calculate(root, DAY, quiet).calculations if each.offer.sku == "pane--large--bright")
    spare = (90 - variant.cost.total) / 36 * 60
    assert abs(number(text, r"it pays, with ([\d.]+) min to spare") - spare) <= Decimal("0.05")
    assert "alone would mend it" not in text


def test_the_smallest_batch_that_pays(root: Path) -> None:
    """The record with that batch pays the rate, and with one less it does not."""
    text = asked(root, "pane--large--bright", "--at", "24")
    batch = int(number(text, r"batch: (\d+) in place of 5"))
    for count, pays in ((batch, True), (batch - 1, False)):
        rewritten(root, "batch = 5", f"batch = {count}")
        assert (an_hour(root, "24") >= 30) == pays
        rewritten(root, f"batch = {count}", "batch = 5")


def test_the_largest_width_that_pays(root: Path) -> None:
    """The record with that width pays the rate, and with one millimetre more it does not."""
    text = asked(root, "pane--large--bright", "--at", "24")
    width = int(number(text, r"size: (\d+) mm wide in place of 100 mm"))
    path = root / "content/products/pane/product.md"
    for wide, pays in ((width, True), (width + 1, False)):
        path.write_text(record(keys=f"sizes: {{small: 80mm, large: {wide}mm}}"), encoding="utf-8")
        assert (an_hour(root, "24") >= 30) == pays


def test_what_alone_does_not_suffice_says_how_far_it_goes(root: Path) -> None:
    """At a price under the material, no number of minutes pays, and the largest batch is named with its pay."""
    text = asked(root, "pane--large--bright", "--at", "5")
    assert "minutes: it pays for none" in text
    assert "batch: even 1,000 in place of 5 would pay -€" in text
    assert "size: even 50 mm wide in place of 100 mm would pay" in text
    assert "less of" not in text


def test_other_sizes_finishes_and_glasses(root: Path) -> None:
    """The other size and the other finish have the cost that the build gives them, whether offered or not."""
    text = asked(root, "pane--large--bright", "--at", "24")
    (small,) = (each for each in calculate(root, DAY, quiet).calculations if each.offer.sku == "pane--small--bright")
    assert re.search(rf"size Small +€{small.cost.total:.2f} ", text)
    (large,) = (each for each in calculate(root, DAY, quiet).calculations if each.offer.sku == "pane--large--bright")
    rewritten_record = record(keys=KEYS).replace("finishes: [bright]", "finishes: [dark]")
    (root / "content/products/pane/product.md").write_text(rewritten_record, encoding="utf-8")
    (dark,) = (each for each in calculate(root, DAY, quiet).calculations if each.offer.sku == "pane--large--dark")
    assert dark.cost.total > large.cost.total
    assert re.search(rf"finish Dark +€{dark.cost.total:.2f} ", text)


def test_fewer_pieces(root: Path) -> None:
    """With one piece and no seam in place of two: by hand, 6 min for the piece and 20 for each metre of seam less."""
    (variant,) = (each for each in calculate(root, DAY, quiet).calculations if each.offer.sku == "pane--large--bright")
    # Each of the two has a glass of its own, so that none can go.
    assert len(variant.made.tallies) == 2
    assert "pieces:" not in asked(root, "pane--large--bright", "--at", "24")
    one_glass = record(glass="{left: reed}", keys=KEYS).replace('data-glass="right"', 'data-glass="left"')
    (root / "content/products/pane/product.md").write_text(one_glass, encoding="utf-8")
    text = asked(root, "pane--large--bright", "--at", "24")
    (variant,) = (each for each in calculate(root, DAY, quiet).calculations if each.offer.sku == "pane--large--bright")
    assert variant.made.seam_mm == pytest.approx(60)
    minutes = variant.cost.minutes - (6 + Decimal("0.060") * 20) * Decimal("1.09")
    gone = {line.key: line.amount for line in variant.cost.lines if line.group in ("foil", "solder")}
    foil_less = Decimal("0.120") + Decimal("0.005")
    solder = variant.suspension.body.share("seam") + variant.suspension.body.share("joints")
    saved = foil_less * 12 / 33 + Decimal(solder) * 12 / 500
    assert set(gone) == {"foil-wide", "solder"}
    materials = variant.cost.total - variant.cost.of("labour", "overhead") - saved
    hour = (24 - materials - minutes / 60 * 6) / minutes * 60
    said = number(text, r"pieces: (?:even )?about 1 in place of 2\D.*?€([\d.]+) an hour")
    assert abs(said - hour) <= Decimal("0.02")


@pytest.mark.parametrize(
    ("words", "wrong", "mend"),
    [
        (("--at", "dear"), "'dear' is not a price", "write the number alone"),
        (("--at", "45,50"), "'45,50' is not a price", "use a decimal point: 45.50"),
        (("--at", "45.505"), "'45.505' is not a price", "write the number alone"),
        (("--at", "0"), "'0' is not a price", "write the number alone"),
        (("--at", "-4"), "'-4' is not a price", "write the number alone"),
        (("--at", "9999999999"), "'9999999999' is not a price", "write the number alone"),
        (("--at", "45", "--channel", "stal"), "there is no channel 'stal'", "did you mean 'stall'?"),
    ],
)
def test_what_cannot_be_asked_is_told(root: Path, words: tuple[str, ...], wrong: str, mend: str) -> None:
    """A price that is none and a channel that is not there are told with what is expected."""
    result = ask(root, "pane", *words)
    assert result.exit_code == 1
    assert wrong in result.stderr
    assert mend in result.stderr


def test_a_channel_needs_a_price(root: Path) -> None:
    """A channel alone asks nothing."""
    result = ask(root, "pane", "--channel", "stall")
    assert result.exit_code == 2
    assert "add --at" in result.stderr


def test_the_answer_is_about_the_channel_that_is_named(root: Path) -> None:
    """At the stall the same price is short of what it is on the own site, by the stall's fee."""
    site = asked(root, "pane--large--bright", "--at", "24")
    stall = asked(root, "pane--large--bright", "--at", "24", "--channel", "stall")
    pattern = r"€24.00: €([\d.]+) too little"
    assert number(stall, pattern) - number(site, pattern) == Decimal("4.80")


def test_asking_writes_nothing(root: Path) -> None:
    """The records stay as they are."""
    before = {path: path.read_bytes() for path in (root / "content").rglob("*") if path.is_file()}
    asked(root, "pane", "--at", "20")
    assert {path: path.read_bytes() for path in (root / "content").rglob("*") if path.is_file()} == before
