"""One picture traced in a process of its own: ``python -m tests.tracing.tracer_run FILE OUT.svg --paper a4``.

Prints what the tracer said and its peak memory in MB as JSON; exit code 3 where it refused the picture.
"""

from __future__ import annotations

import json
import sys
from pathlib import Path

from catalog_builder.mistake import MistakeError
from catalog_builder.tracing.trace_options import read_trace_options
from catalog_builder.tracing.traced_drawing import drawing_of


def main() -> int:
    """Trace as the command line says."""
    picture, target, *words = sys.argv[1:]
    given = {name.removeprefix("--"): value for name, value in zip(words[::2], words[1::2], strict=True)}
    try:
        drawing = drawing_of(
            Path(picture), read_trace_options(**{**dict.fromkeys(("paper", "dpi", "width", "half")), **given})
        )
    except MistakeError as error:
        sys.stdout.write(json.dumps([[[True, "refused", mistake.wrong] for mistake in error.mistakes], _peak_mb()]))
        return 3
    Path(target).write_text(drawing.svg, encoding="utf-8")
    Path(target).with_suffix(".eye.png").write_bytes(drawing.picture)
    places = ["" if each.at is None else f" at ({each.at[0]:.0f}, {each.at[1]:.0f})" for each in drawing.findings]
    said = [[each.doubt, each.kind, each.text + at] for each, at in zip(drawing.findings, places, strict=True)]
    sys.stdout.write(json.dumps([said, _peak_mb()]))
    return 0


def _peak_mb() -> float:
    """Give this process's own peak (Linux): what is told to a parent counts the parent's memory at the start too."""
    lines = Path("/proc/self/status").read_text(encoding="ascii").splitlines()
    return int(next(line for line in lines if line.startswith("VmHWM")).split()[1]) / 1024


if __name__ == "__main__":
    sys.exit(main())
