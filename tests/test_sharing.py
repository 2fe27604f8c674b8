"""How the tests are shared out: each test goes to one part, and the files that are named are there."""

from __future__ import annotations

from pathlib import Path

from tests.sharing import LONGEST, place_of, share_of

ROOT = Path(__file__).resolve().parents[1]


def test_the_longest_files_are_there() -> None:
    """A file that was renamed would be begun late, and nobody would see why the tests take longer."""
    assert [name for name in LONGEST if not (ROOT / name).is_file()] == []


def test_a_file_stays_together_unless_it_is_cut() -> None:
    """All tests of a file go to one process; those of a file that is cut go to each of its parts."""
    cut = next(name for name, parts in LONGEST.items() if parts > 1)
    for name, parts in ((cut, LONGEST[cut]), ("tests/test_units.py", 1)):
        shares = {share_of(f"{name}::test[{number}]") for number in range(200)}
        assert len(shares) == parts
        assert all(share.startswith(name) for share in shares)


def test_the_longest_files_come_first() -> None:
    """A file that is not named comes after all that are."""
    places = [place_of(f"{name}::test_it") for name in LONGEST]
    assert places == sorted(places)
    assert place_of("tests/test_units.py::test_it") > places[-1]
