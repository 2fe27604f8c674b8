"""White paper that the strokes of a round pen are laid on, drawn by Agg of matplotlib."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np
from matplotlib.backends.backend_agg import RendererAgg
from matplotlib.path import Path
from matplotlib.transforms import Affine2D
from numpy.typing import NDArray

from tests.tracing.designs.design import Points
from tests.tracing.paper.look import Colour


class Page:
    """White paper that strokes are laid on; each takes its share of the light."""

    def __init__(self, width: float, height: float, per_mm: float) -> None:
        self._size = (round(width * per_mm), round(height * per_mm))
        self._per_mm = per_mm
        self._light = np.ones((self._size[1], self._size[0], 3), dtype=np.float32)

    def lay(self, strokes: Sequence[Points], pen_mm: float, colour: Colour, strength: float = 1.0) -> None:
        """Lay strokes of a round pen."""
        if not strokes:
            return
        renderer: Any = RendererAgg(*self._size, 72)  # type: ignore[no-untyped-call]
        pen = renderer.new_gc()
        pen.set_linewidth(pen_mm * self._per_mm)
        pen.set_capstyle("round")
        pen.set_joinstyle("round")
        pen.set_snap(False)
        pen.set_foreground((0.0, 0.0, 0.0))
        turned = Affine2D().scale(self._per_mm, -self._per_mm).translate(0, self._size[1])
        for stroke in strokes:
            renderer.draw_path(pen, Path(stroke), turned, None)
        covered = np.asarray(renderer.buffer_rgba())[..., 3]
        rows, columns = np.flatnonzero(covered.any(axis=1)), np.flatnonzero(covered.any(axis=0))
        if not len(rows):
            return
        box = np.s_[rows[0] : rows[-1] + 1, columns[0] : columns[-1] + 1]
        share = covered[box].astype(np.float32) * (strength / 255)
        for channel, left in enumerate(colour):
            self._light[box][..., channel] *= 1 - share * (1 - left)

    def seen(self, paper: Colour) -> NDArray[np.float32]:
        """Give what the sheet sends back."""
        self._light *= np.array(paper, dtype=np.float32)
        return self._light
