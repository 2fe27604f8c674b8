"""The table of trials: a row for each kind."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from tests.tracing.trial import Trial

HEAD = (
    "kind",
    "files right",
    "pieces right",
    "borders median / worst %",
    "width worst %",
    "area worst %",
    "wrong: told / in silence",
    "right ones doubted",
    "s median / worst",
    "MB worst",
)


def row(kind: str, trials: Sequence[Trial]) -> tuple[str, ...]:
    """Give a kind's cells.

    Borders are those of matched pieces, in % of the longer side of the whole drawing: the median over all of them, and
    the worst place of the files whose pieces are all right. Width and area are those of the same files.
    """
    right = [trial for trial in trials if trial.is_right]
    wrong = [trial for trial in trials if not trial.is_right]
    told = sum(1 for trial in wrong if trial.doubts)
    doubted = sum(1 for trial in right if trial.doubts)
    pieces, matched = sum(t.match.pieces for t in trials), sum(t.match.right for t in trials)
    borders = np.concatenate([np.zeros(0), *(trial.match.borders for trial in trials)])
    middle = float(np.median(borders)) if len(borders) else float("nan")
    worst = max((float(trial.match.borders.max()) for trial in right), default=float("nan"))
    width = max((trial.match.width for trial in right), default=float("nan"))
    area = max((trial.match.area for trial in right), default=float("nan"))
    seconds = [trial.seconds for trial in trials]
    return (
        kind,
        f"{len(right)} of {len(trials)}",
        f"{matched} of {pieces}",
        f"{middle:.2f} / {worst:.2f}",
        f"{width:.2f}",
        f"{area:.2f}",
        f"{told} / {len(wrong) - told}",
        f"{doubted}",
        f"{np.median(seconds):.1f} / {max(seconds):.1f}",
        f"{max(trial.memory_mb for trial in trials):.0f}",
    )


def as_markdown(rows: Sequence[tuple[str, ...]]) -> str:
    """Give rows as a table in Markdown."""
    lines = [HEAD, tuple("---" for _ in HEAD), *rows]
    return "\n".join(f"| {' | '.join(cells)} |" for cells in lines)
