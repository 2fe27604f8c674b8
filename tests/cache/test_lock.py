"""The lock: one process at a time, and a process that was killed blocks nobody."""

from __future__ import annotations

from pathlib import Path

import pytest

from catalog_builder.cache.lock import LockedError, exclusive
from tests.cache.lock_holder import holder


def test_another_process_is_kept_out_until_the_block_ends(tmp_path: Path) -> None:
    """The folder of the lock is made; afterwards whoever comes next has it."""
    path = tmp_path / "new" / "lock"
    with holder(path), pytest.raises(LockedError), exclusive(path):
        pass
    with exclusive(path):
        assert path.exists()


def test_a_process_may_take_its_own_lock_again(tmp_path: Path) -> None:
    """The lock is held until the outer block ends."""
    with exclusive(tmp_path / "lock"):
        with exclusive(tmp_path / "lock"):
            pass
        with pytest.raises(AssertionError), holder(tmp_path / "lock"):
            pass


def test_a_killed_process_leaves_no_lock_that_blocks(tmp_path: Path) -> None:
    """Its file stays, and the next process takes the lock at once."""
    path = tmp_path / "lock"
    with holder(path) as process:
        process.kill()
        process.wait()
        assert path.exists()
        with exclusive(path):
            pass


def test_an_error_in_the_block_releases_the_lock(tmp_path: Path) -> None:
    """It is raised as it is."""
    with pytest.raises(ZeroDivisionError), exclusive(tmp_path / "lock"):
        divmod(1, 0)
    with holder(tmp_path / "lock"):
        pass
