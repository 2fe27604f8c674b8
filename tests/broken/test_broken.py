"""Every fault ends in its whole message and exit code 1, and the last good output stands untouched."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner

from catalog_builder.cli import main
from tests.broken.fault import Fault, faults, lay_sound

FAULTS = faults()
# One of each kind, also through a process of their own: a record, a table, a drawing, a photo, all at once.
BY_PROCESS = ("decimal_comma", "material_twice", "outlines_overlap", "photo_cut_short", "several_at_once")
# Words of the program's own insides, which a maker should never read.
INSIDES = ("Traceback", "Error:", "pydantic", "Input should", "Decimal(", "None", "<class", "object at", "errno")


def named(fault: Fault) -> str:
    """The name of a fault's folder."""
    return fault.folder.name


def files(folder: Path) -> dict[str, bytes]:
    """Every published file with its bytes; pictures of faults, and what is kept for the next build, come and go."""
    found = {path.relative_to(folder).as_posix(): path.read_bytes() for path in folder.rglob("*") if path.is_file()}
    return {name: data for name, data in found.items() if not name.startswith(("bench/faults/", ".kept/"))}


def without_pictures(told: str) -> str:
    """What the command says besides naming pictures of faults."""
    return "".join(line for line in told.splitlines(keepends=True) if not line.startswith("The places are ringed in "))


@pytest.mark.parametrize("fault", FAULTS, ids=named)
def test_a_fault_is_told_whole_and_nothing_is_written(fault: Fault, published: Path) -> None:
    """The message names file and line, what is wrong, what was expected and how to mend it."""
    before = files(published / "site_output")
    fault.commit(published / "content")
    result = CliRunner().invoke(
        main, ["publish", "--folder", str(published), "--day", fault.day.isoformat(), "--workers", "2"]
    )
    assert (without_pictures(result.stderr), result.stdout) == (fault.expected, "")
    assert result.exit_code == 1
    assert files(published / "site_output") == before


@pytest.mark.parametrize("fault", [one for one in FAULTS if named(one) in BY_PROCESS], ids=named)
def test_a_process_tells_the_same(fault: Fault, published: Path) -> None:
    """Run as a maker runs it, the program says the same and ends with 1."""
    before = files(published / "site_output")
    fault.commit(published / "content")
    command = (sys.executable, "-m", "catalog_builder", "publish", "--folder", str(published))
    result = subprocess.run(
        (*command, "--day", fault.day.isoformat()), capture_output=True, encoding="utf-8", check=False
    )
    assert (without_pictures(result.stderr), result.stdout, result.returncode) == (fault.expected, "", 1)
    assert files(published / "site_output") == before


@pytest.mark.parametrize("fault", FAULTS, ids=named)
def test_checking_tells_what_publishing_tells(fault: Fault, published: Path) -> None:
    """`check` finds every fault, also a photo that is cut short."""
    fault.commit(published / "content")
    result = CliRunner().invoke(main, ["check", "--folder", str(published), "--day", fault.day.isoformat()])
    assert (without_pictures(result.stderr), result.exit_code) == (fault.expected, 1)


@pytest.mark.parametrize("fault", FAULTS, ids=named)
def test_a_message_has_its_parts_and_is_in_the_makers_words(fault: Fault) -> None:
    """Each mistake says what was expected and how to mend it, the last line counts them; no insides show."""
    *lines, last = fault.expected.splitlines()
    count = sum(line.startswith(("content/", "themes/")) for line in lines)
    assert last.startswith(f"{count} mistake{'' if count == 1 else 's'} in ")
    assert last.endswith(". Nothing was published.")
    assert sum(line.startswith("  expected: ") for line in lines) == count
    assert sum(line.startswith("  mend:     ") for line in lines) == count
    assert not [word for word in INSIDES if word in fault.expected]
    assert not [line for line in lines if len(line) > 620]


@pytest.mark.parametrize("fault", FAULTS, ids=named)
def test_mistakes_are_sorted_by_file_and_line(fault: Fault) -> None:
    """Files come in order of their names, and lines in theirs; a mistake without a line comes first."""
    places = [
        line.split(": ", 1)[0] for line in fault.expected.splitlines() if line.startswith(("content/", "themes/"))
    ]
    keys = [(path, int(line or 0)) for path, _, line in (place.partition(":") for place in places)]
    assert keys == sorted(keys)


def test_the_sound_studio_is_sound(published: Path) -> None:
    """Without a fault the same folder builds, so that each message comes of its fault alone."""
    lay_sound(published / "content")
    before = files(published / "site_output")
    arguments = ["publish", "--folder", str(published), "--day", "2026-07-01", "--workers", "2"]
    result = CliRunner().invoke(main, arguments)
    assert (result.stderr, result.exit_code) == ("", 0)
    assert files(published / "site_output") == before
