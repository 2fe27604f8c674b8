"""Edit and rebuild many times: ``python -m tests.edits 200 [seed]``. Ends with 1 at the first difference."""

from __future__ import annotations

import sys
import tempfile
from collections import Counter
from pathlib import Path
from random import Random

from tests.edits.kinds import shuffled
from tests.edits.rebuilding import rebuild


def main() -> int:
    """Make as many edits as the command line says."""
    count, seed = (int(word) for word in (*sys.argv[1:3], *("200", "20261125")[len(sys.argv) - 1 :]))
    chance = Random(seed)  # noqa: S311 - edits, not secrets
    steps = []
    with tempfile.TemporaryDirectory() as folder:
        for step in rebuild(Path(folder), shuffled(chance), count, chance):
            steps.append(step)
            outcome = "DIFFERS" if step.difference else "refused" if step.refused else "same"
            where = "in one process" if step.in_one_process else "by command"
            print(f"{len(steps):>4} {outcome:<8} {step.rebuild_s:5.1f} s of {step.clean_s:4.1f}  ", end="")
            print(f"{where:<15} {step.kind}: {step.edited}", flush=True)
    print()
    refused = Counter(step.kind for step in steps if step.refused)
    for kind, times in sorted(Counter(step.kind for step in steps).items()):
        print(f"{times:>4}  {kind}" + (f", {refused[kind]} refused" if refused[kind] else ""))
    spent = [sum(seconds) for seconds in ([one.rebuild_s for one in steps], [one.clean_s for one in steps])]
    print(f"{len(steps)} edits of {count}, {refused.total()} refused and taken back; seed {seed}; ", end="")
    print(f"rebuilds {spent[0]:.0f} s, builds from nothing {spent[1]:.0f} s")
    if steps and steps[-1].difference:
        print(f"\nThe first difference, after {steps[-1].kind}:\n{steps[-1].difference}")
    return int(len(steps) < count or bool(steps[-1].difference))


if __name__ == "__main__":
    sys.exit(main())
