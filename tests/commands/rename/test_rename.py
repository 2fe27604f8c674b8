"""The command ``rename``: every kind of name in a studio that has every kind of file, whole or not at all."""

from __future__ import annotations

import shutil
from collections.abc import Sequence
from decimal import Decimal
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from catalog_builder.build import calculate
from catalog_builder.cli import main
from catalog_builder.commands.guide.theme_example import DAY, lay_out_example
from catalog_builder.publish.studio_calculation import BuildCache, StudioCalculation, quiet

# The kind, the names of the command, and the files that hold the name.
CASES = {
    "product": (
        ["rowan-leaf", "ash-leaf"],
        ["batches/spring.layout.json", "batches/spring.toml", "bench_made.csv", "markets/candle.csv",
         "markets/winter.csv", "orders/corner.csv", "price_book.csv", "products/ash-leaf/product.md",
         "quotes/porch.toml", "ready.csv", "reductions.csv", "sales.csv", "sets/leaf-and-pennant/set.md"],
    ),
    "size": (
        ["rowan-leaf", "small", "little"],
        ["batches/spring.layout.json", "batches/spring.toml", "bench_made.csv", "markets/winter.csv",
         "orders/corner.csv", "price_book.csv", "products/rowan-leaf/product.md", "ready.csv", "sales.csv",
         "sets/leaf-and-pennant/set.md"],
    ),
    "glass": (
        ["rowan-leaf", "summer", "june"],
        ["batches/spring.toml", "bench_made.csv", "markets/winter.csv", "orders/corner.csv", "price_book.csv",
         "products/rowan-leaf/product.md", "quotes/porch.toml", "ready.csv", "sales.csv",
         "sets/leaf-and-pennant/set.md"],
    ),
    "finish": (
        ["black", "ebony"],
        ["batches/spring.toml", "bench_made.csv", "markets/winter.csv", "orders/corner.csv", "price_book.csv",
         "products/quartered-pennant/product.md", "products/rowan-leaf/product.md", "quotes/porch.toml",
         "ready.csv", "sales.csv", "sets/leaf-and-pennant/set.md", "studio.toml"],
    ),
    "channel": (["online", "webshop"], ["price_book.csv", "studio.toml"]),
    "material": (
        ["green-clear", "green-plain"],
        ["batches/spring.layout.json", "material_prices.csv", "materials.csv", "price_book.csv",
         "products/rowan-leaf/product.md", "stock.csv"],
    ),
}  # fmt: skip


@pytest.fixture(scope="module")
def example(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A studio with every file that holds a name, whose pieces were measured before."""
    folder = tmp_path_factory.mktemp("studio")
    lay_out_example(folder)
    BuildCache.of(folder).store.make_room()
    calculate(folder, DAY, quiet)
    return folder


@pytest.fixture
def studio(example: Path, tmp_path: Path) -> Path:
    """A copy of it to change."""
    return shutil.copytree(example, tmp_path / "studio")


def run(studio: Path, *words: str) -> Result:
    """Run the command in this process."""
    return CliRunner().invoke(main, ["rename", *words, "--folder", str(studio), "--day", f"{DAY}", "--workers", "1"])


def texts(studio: Path) -> dict[str, str]:
    """All files of content/ but pictures, by their paths in it."""
    folder = studio / "content"
    return {
        path.relative_to(folder).as_posix(): path.read_bytes().decode()
        for path in sorted(folder.rglob("*"))
        if path.is_file() and path.suffix != ".png"
    }


def prices(calculated: StudioCalculation) -> list[tuple[Decimal, list[Decimal]]]:
    """The cost of every variant and what is printed in each channel, in any order."""
    return sorted(
        (each.cost.total, sorted(price.printed for price in each.prices.values())) for each in calculated.calculations
    )


def undone(text: str, names: Sequence[str]) -> str:
    """A text with the old name in the place of the new one."""
    return text.replace(names[-1], names[-2])


@pytest.mark.parametrize("kind", CASES)
def test_a_name_is_changed_everywhere_and_no_price_moves(kind: str, studio: Path) -> None:
    """All files that hold it have the new name, nothing else is other than it was, and check finds nothing new."""
    names, files = CASES[kind]
    before, calculated = texts(studio), calculate(studio, DAY, quiet)
    result = run(studio, kind, *names)
    assert result.exit_code == 0, result.output
    after, again = texts(studio), calculate(studio, DAY, quiet)
    assert prices(again) == prices(calculated)
    assert [finding.code for finding in again.findings] == [finding.code for finding in calculated.findings]
    assert len(again.moved) == len(calculated.moved)
    told = [line.removeprefix("  content/") for line in result.output.splitlines() if line.startswith("  ")]
    assert told == files
    changed = {undone(path, names): undone(text, names) for path, text in after.items()}
    for path, text in changed.items():
        if path not in ("price_book.csv", "batches/spring.layout.json"):
            assert text.replace("formerly: [leaf, rowan-leaf]", "formerly: [leaf]") == before[path]
    assert changed.keys() == before.keys()
    assert not (studio / ".renaming").exists()


def test_the_book_goes_on_with_whole_seals(studio: Path) -> None:
    """The rows are those of before with the new code; a row that was changed by hand is still told as such."""
    book = studio / "content" / "price_book.csv"
    lines = book.read_text(encoding="utf-8").splitlines(keepends=True)
    cells = lines[2].split(",")
    book.write_text("".join([*lines[:2], ",".join([*cells[:3], "99.00", *cells[4:]]), *lines[3:]]), encoding="utf-8")
    broken = [finding.place.line for finding in calculate(studio, DAY, quiet).findings if finding.code == "B04"]
    assert run(studio, "size", "rowan-leaf", "small", "little").exit_code == 0
    calculated = calculate(studio, DAY, quiet)
    assert [finding.place.line for finding in calculated.findings if finding.code == "B04"] == broken == [3]
    assert calculated.content.book.history("rowan-leaf--little--black--summer", "online")
    assert not calculated.content.book.history("rowan-leaf--small--black--summer", "online")


@pytest.mark.parametrize("kind", ["size", "finish", "glass"])
def test_a_photo_shows_what_it_showed(kind: str, studio: Path) -> None:
    """The variant that a photo shows has the new name too."""
    record = studio / "content" / "products" / "rowan-leaf" / "product.md"
    text = record.read_text(encoding="utf-8")
    shows = "photos:\n  - {file: on_paper.png, shows: {size: small, finish: black, glass: summer}, alt: A leaf}\n"
    record.write_text(text.replace("\nfinishes:", f"\n{shows}finishes:", 1), encoding="utf-8")
    names, _ = CASES[kind]
    assert run(studio, kind, *names).exit_code == 0
    assert f"{kind}: {names[-1]}" in record.read_text(encoding="utf-8").partition("photos:")[2]


def test_there_and_back_again_leaves_no_name_behind(studio: Path) -> None:
    """A name that a product had before may be its own again: it is then no former one."""
    before = texts(studio)
    assert run(studio, "product", "rowan-leaf", "ash-leaf").exit_code == 0
    assert run(studio, "product", "ash-leaf", "rowan-leaf").exit_code == 0
    after = texts(studio)
    record = "products/rowan-leaf/product.md"
    assert after.pop(record) == before.pop(record).replace("formerly: [leaf]", "formerly: [leaf, ash-leaf]")
    assert after == before


@pytest.mark.parametrize(
    ("words", "message"),
    [
        (["product", "rowan-leef", "ash-leaf"], "did you mean 'rowan-leaf'?"),
        (["product", "rowan-leaf", "quartered-pennant"], "the name 'quartered-pennant' is taken"),
        (["product", "rowan-leaf", "leaf-and-pennant"], "the name 'leaf-and-pennant' is taken"),
        (["product", "quartered-pennant", "leaf"], "the name 'leaf' is taken"),
        (["product", "rowan-leaf", "Ash Leaf"], "cannot be used in addresses"),
        (["size", "rowan-leaf", "tiny", "little"], "there is no size 'tiny'"),
        (["size", "rowan-leef", "small", "little"], "did you mean 'rowan-leaf'?"),
        (["size", "rowan-leaf", "small", "large"], "the name 'large' is taken"),
        (["finish", "black", "jet black"], "cannot be used as a name"),
        (["glass", "rowan-leaf", "sumer", "june"], "did you mean 'summer'?"),
        (["material", "green-clear", "auto"], "the name 'auto' is taken"),
        (["channel", "onlin", "site"], "did you mean 'online'?"),
    ],
    ids=lambda value: "-".join(value[:3]) if isinstance(value, list) else "",
)
def test_what_cannot_be_is_refused(words: list[str], message: str, studio: Path) -> None:
    """The message names what is wrong and the nearest name, and nothing is changed."""
    before = texts(studio)
    result = run(studio, *words)
    assert result.exit_code == 1
    assert message in result.output
    assert "Nothing was changed." in result.output
    assert texts(studio) == before


def test_the_words_of_the_command_are_counted(studio: Path) -> None:
    """A size without its product is asked for."""
    result = run(studio, "size", "small", "little")
    assert result.exit_code == 2
    assert "catalog-builder rename size PRODUCT OLD NEW" in result.output


def test_a_name_with_which_check_does_not_pass_changes_nothing(studio: Path) -> None:
    """Two products say that they had one name, which was so before already."""
    record = studio / "content" / "products" / "quartered-pennant" / "product.md"
    record.write_text(
        record.read_text(encoding="utf-8").replace("\nadded:", "\nformerly: [leaf]\nadded:", 1), encoding="utf-8"
    )
    before = texts(studio)
    result = run(studio, "size", "rowan-leaf", "small", "little")
    assert result.exit_code == 1
    assert "formerly: 'leaf' is a former name of 'quartered-pennant' already" in result.output
    assert texts(studio) == before
