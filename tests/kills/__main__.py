"""Kill or stop many builds: ``python -m tests.kills 200``. Prints what each left, and ends with 1 if one is wrong."""

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
        print(f"{one.after_s:6.2f} s  {one.ended:<8}  {states}{'' if one.right else '  WRONG: ' + one.told}")
    found = counted(struck)
    print(f"{count} builds, {sum(not one.finished for one in struck)} of them ended: {dict(found)}")
    return int(not all(one.right for one in struck))


if __name__ == "__main__":
    sys.exit(main())
