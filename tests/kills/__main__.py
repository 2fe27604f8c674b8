"""Kill many builds: ``python -m tests.kills 200``. Prints what each kill left, and ends with 1 if any left a mix."""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path

from tests.kills.killing import counted, kill_builds


def main() -> int:
    """Kill as many builds as the command line says."""
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 200
    with tempfile.TemporaryDirectory() as folder:
        struck = kill_builds(Path(folder), count, "net-loft-panel")
    for one in struck:
        states = ", ".join(f"{name} {state}" for name, state in one.left.items())
        print(f"{one.after_s:6.2f} s  {'finished' if one.finished else 'killed  '}  {states}")
    found = counted(struck)
    print(f"{count} builds, {sum(not one.finished for one in struck)} of them killed: {dict(found)}")
    return int(found["mix"] > 0)


if __name__ == "__main__":
    sys.exit(main())
