"""What if: supposed prices and rates give the prices that real ones would, and touch no file."""

from __future__ import annotations

import csv
import io
import shutil
from decimal import ROUND_HALF_UP, Decimal
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from catalog_builder.cli import main
from catalog_builder.mistake import MistakeError
from catalog_builder.pricing.suppositions import suppose as supposing
from catalog_builder.pricing.suppositions.assumptions import Assumptions
from tests.publish.demo import DAY, lay_out_known, outside_cache, reworded
from tests.studio import assumed, content

BENCH = {"bench": 'hourly_rate = "30"\nbench_hours_a_year = 800\noverheads_a_year = "900"'}


@pytest.fixture(scope="module")
def records(tmp_path_factory: pytest.TempPathFactory) -> Assumptions:
    """A studio whose packs all cost 12.00, with an hour at 30 and overheads of 900 a year."""
    return assumed(content(tmp_path_factory.mktemp("studio"), tables=BENCH))


def suppose(records: Assumptions, text: str) -> Assumptions:
    """What is assumed as it would be."""
    return supposing.suppose(records, text)


def pack(records: Assumptions, material: str) -> Decimal:
    """What a pack costs on the day."""
    price = records.materials.price(material, records.day)
    assert price is not None
    return price.price


@pytest.mark.parametrize(
    ("text", "prices"),
    [
        ("reed=15.50", {"reed": "15.50"}),
        ("reed=+2", {"reed": "14"}),
        ("reed=-2.25", {"reed": "9.75"}),
        ("reed=+15%", {"reed": "13.80"}),
        ("reed=-12.5%", {"reed": "10.50"}),
        ("reed=-100%", {"reed": "0"}),
        ("reed=0", {"reed": "0"}),
        ("  reed = + 15 % ", {"reed": "13.80"}),
        ("glass=+10%", {"reed": "13.20", "slate": "13.20"}),
        ("ring=9", {"ring-small": "9", "ring-large": "9"}),
        ("foil=+1", {"foil-narrow": "13", "foil-wide": "13"}),
        ("solder=30", {"solder": "30"}),
    ],
)
def test_a_price_in_thought(records: Assumptions, text: str, prices: dict[str, str]) -> None:
    """A material, or all of a kind, is supposed at an amount, a change or a percentage; nothing else moves."""
    supposed = suppose(records, text)
    changed = {name for name in records.materials.rows if pack(supposed, name) != pack(records, name)}
    assert changed == set(prices)
    assert {name: pack(supposed, name) for name in prices} == {name: Decimal(price) for name, price in prices.items()}
    assert supposed.studio == records.studio
    assert all(pack(records, name) == 12 for name in records.materials.rows)


@pytest.mark.parametrize(
    ("text", "rate", "overheads"),
    [
        ("rate=22", "22", "900"),
        ("rate=+1.50", "31.50", "900"),
        ("rate=-10%", "27", "900"),
        ("overheads=-200", "30", "700"),
        ("overheads=+5%", "30", "945"),
    ],
)
def test_a_rate_in_thought(records: Assumptions, text: str, rate: str, overheads: str) -> None:
    """The hourly rate and the yearly overheads can be supposed like a price."""
    bench = suppose(records, text).studio.bench
    assert (bench.hourly_rate, bench.overheads_a_year) == (Decimal(rate), Decimal(overheads))
    assert suppose(records, text).materials == records.materials


def test_suppositions_follow_each_other(records: Assumptions) -> None:
    """Each supposition starts from the one before it."""
    assert pack(suppose(suppose(records, "reed=20"), "glass=+10%"), "reed") == 22


@pytest.mark.parametrize(
    ("text", "wrong", "mend"),
    [
        ("sleat=+15%", "nothing is named 'sleat'", "did you mean 'slate'?"),
        ("rates=22", "nothing is named 'rates'", "did you mean 'rate'?"),
        ("glas=+15%", "nothing is named 'glas'", "did you mean 'glass'?"),
        ("zzz=1", "nothing is named 'zzz'", "write the name of a material, a kind of material, or a key"),
        ("reed=15%", "'reed=15%' does not say whether it goes up or down", "write it in that form"),
        ("reed=-12.01", "'reed=-12.01' would make a price less than nothing", "write it in that form"),
        ("reed=-101%", "'reed=-101%' would make a price less than nothing", "write it in that form"),
        ("rate=-31", "'rate=-31' would make a price less than nothing", "write it in that form"),
        ("reed=99999999999999999999", "'reed=99999999999999999999' would make a price that cannot be", "write it in"),
        ("reed", "'reed' is not a supposition", "write it in that form"),
        ("reed=", "'reed=' is not a supposition", "write it in that form"),
        ("reed=dear", "'reed=dear' is not a supposition", "write it in that form"),
        ("reed=1,50", "'reed=1,50' is not a supposition", "use a decimal point: reed=1.50"),
        ("glass=+12,5%", "'glass=+12,5%' is not a supposition", "use a decimal point: glass=+12.5%"),
        ("reed=15 %%", "'reed=15 %%' is not a supposition", "write it in that form"),
        ("reed+15%", "'reed+15%' is not a supposition", "write it in that form"),
        ("=15", "'=15' is not a supposition", "write it in that form"),
        ("", "'' is not a supposition", "write it in that form"),
    ],
)
def test_what_cannot_be_supposed_is_told(records: Assumptions, text: str, wrong: str, mend: str) -> None:
    """A form that is none, a name that nothing has and a price that cannot be are told, with what is expected."""
    with pytest.raises(MistakeError) as caught:
        suppose(records, text)
    (mistake,) = caught.value.mistakes
    assert mistake.place.path == f"--suppose {text}"
    assert mistake.wrong == wrong
    assert mistake.mend.startswith(mend)
    assert mistake.expected


# The whole command, on the demo

PRODUCTS = ("net-loft-panel", "two-waxcaps", "quay-lantern")
SUPPOSED = ("--suppose", "glass=+15%", "--suppose", "rate=22")
AMOUNTS = ("old", "new", "by")


def reprice(project: Path, *arguments: str) -> Result:
    """Run `reprice` on a project, on the demo's day."""
    return CliRunner().invoke(main, ["reprice", "--folder", str(project), "--day", DAY.isoformat(), *arguments])


def table(folder: Path) -> list[dict[str, str]]:
    """The rows of a saved report."""
    return list(csv.DictReader(io.StringIO((folder / "repricing.csv").read_text(encoding="utf-8-sig"))))


def amounts(rows: list[dict[str, str]]) -> set[tuple[str, ...]]:
    """Variant, channel, old, new and difference of every price of a report."""
    return {(row["variant"], row["channel"], *(row[name] for name in AMOUNTS)) for row in rows}


def really(project: Path) -> None:
    """Raise every glass by 15 % and the hourly rate to 22 in the files themselves."""
    materials = csv.DictReader(io.StringIO((project / "content" / "materials.csv").read_text(encoding="utf-8")))
    glass = {row["material"] for row in materials if row["kind"] == "glass"}
    prices = project / "content" / "material_prices.csv"
    latest: dict[str, tuple[str, str]] = {}
    for row in csv.DictReader(io.StringIO(prices.read_text(encoding="utf-8"))):
        if row["date"] <= DAY.isoformat():
            latest[row["material"]] = max(latest.get(row["material"], ("", "")), (row["date"], row["price"]))
    with prices.open("a", encoding="utf-8", newline="") as file:
        for name in sorted(glass & set(latest)):
            price = (Decimal(latest[name][1]) * Decimal("1.15")).quantize(Decimal("0.01"), ROUND_HALF_UP)
            file.write(f"{name},{DAY},{price:f},\n")
    reworded(project / "content" / "studio.toml", ('hourly_rate = "19.00"', 'hourly_rate = "22"'))


@pytest.mark.parametrize("band", ["0", "8"])
def test_a_supposed_change_moves_what_a_real_one_moves(tmp_path: Path, band: str) -> None:
    """`--suppose` lists the same prices, amounts and causes as editing a copy and comparing it with the book."""
    project = lay_out_known(tmp_path / "studio", *PRODUCTS)
    with (project / "content" / "studio.toml").open("a", encoding="utf-8") as file:
        file.write(f'\n[book]\nkeep_within_percent = "{band}"\n')
    assert reprice(project, "--record").exit_code == 0
    copy = tmp_path / "copy"
    shutil.copytree(project, copy)
    really(copy)
    assert reprice(project, *SUPPOSED, "--save", str(tmp_path / "thought")).exit_code == 0
    assert reprice(copy, "--save", str(tmp_path / "deed")).exit_code == 0
    thought, deed = table(tmp_path / "thought"), table(tmp_path / "deed")
    assert amounts(thought) == amounts(deed)
    assert len(amounts(deed)) > 10
    assert {row["cause"] for row in deed} > {"hourly rate", "price point"}

    def causes(rows: list[dict[str, str]]) -> dict[tuple[str, ...], Decimal]:
        return {(row["variant"], row["channel"], row["cause"]): Decimal(row["amount"]) for row in rows}

    # The book keeps ten digits of a rule and eight of a line, so that a left over penny may stand elsewhere.
    mine, theirs = causes(thought), causes(deed)
    apart = {key: mine.get(key, Decimal(0)) - theirs.get(key, Decimal(0)) for key in {*mine, *theirs}}
    assert max(abs(amount) for amount in apart.values()) <= Decimal("0.01")


def test_a_supposition_writes_nothing(tmp_path: Path) -> None:
    """Asking what if leaves every file as it was, with a book or without one."""
    project = lay_out_known(tmp_path / "studio", "two-waxcaps")
    for _ in range(2):
        before = outside_cache(project)
        result = reprice(project, *SUPPOSED)
        assert result.exit_code == 0
        assert "Two waxcaps" in result.stdout
        assert outside_cache(project) == before
        assert reprice(project, "--record").exit_code == 0


def test_a_supposition_is_not_recorded(tmp_path: Path) -> None:
    """What is only supposed cannot be written into the book."""
    result = reprice(tmp_path, *SUPPOSED, "--record")
    assert result.exit_code == 2
    assert "use one of them" in result.stderr
    assert list(tmp_path.iterdir()) == []


def test_words_for_the_book_need_a_record(tmp_path: Path) -> None:
    """What is to stand beside prices in the book is refused where none are written, not passed over."""
    result = reprice(tmp_path, "--why", "dearer glass")
    assert result.exit_code == 2
    assert "add --record" in result.stderr


def test_a_supposition_that_cannot_be_read_ends_with_1(tmp_path: Path) -> None:
    """The command tells what is wrong with a supposition, and ends with 1."""
    result = reprice(lay_out_known(tmp_path / "studio", "two-waxcaps"), "--suppose", "glas=+15%")
    assert result.exit_code == 1
    assert result.stderr.startswith("--suppose glas=+15%: nothing is named 'glas'\n")
    assert result.stderr.endswith("\n1 mistake. Nothing was changed.\n")
    assert "did you mean 'glass'?" in result.stderr
