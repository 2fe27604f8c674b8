"""A build that is killed leaves what was published before, or the whole of what it was to publish."""

from __future__ import annotations

from pathlib import Path

from tests.kills.killing import kill_builds


def test_a_killed_build_leaves_the_old_site_or_the_new_one(tmp_path: Path) -> None:
    """Killed at any moment, a build leaves each audience byte for byte as it was or as it will be, never a mix.

    Stopped by Ctrl-C, it leaves all three as they were, or all as they will be, and says which.
    The next build gives what a clean one gives. `python -m tests.kills 200` does the same many times over.
    """
    struck = kill_builds(tmp_path, 8, "net-loft-panel")
    assert [one for one in struck if not one.right] == []
    assert sum(not one.finished for one in struck) >= 3
