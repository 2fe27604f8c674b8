"""Speed, as ratios to floors measured in the same run: ``python -m tests.benchmark [FILE.json]``.

Prints a table and, given a file's name, writes the figures there as JSON. No test depends on them.
"""

from __future__ import annotations

import json
import sys
from pathlib import Path

from rich.console import Console
from rich.table import Table

from tests.benchmark.measuring import figures


def main() -> None:
    """Measure, print, and write the figures where a file is named."""
    found = list(figures())
    table = Table("figure", "ms", "floor", "floor ms", "ratio", "wanted")
    for one in found:
        table.add_row(
            one.name, f"{one.ms:.1f}", one.floor, f"{one.floor_ms:.1f}", f"{one.ratio:.2f}", f"<= {one.wanted:g}"
        )
    Console().print(table)
    if len(sys.argv) > 1:
        rows = [
            {"name": one.name, "ratio": round(one.ratio, 3), "wanted": one.wanted, "floor": one.floor} for one in found
        ]
        Path(sys.argv[1]).write_text(json.dumps(rows, indent=1) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
