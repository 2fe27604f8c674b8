"""A stretch of line between two nodes."""

from __future__ import annotations

from dataclasses import dataclass

from catalog_builder.tracing.arrays import Mask, Points


@dataclass(frozen=True, slots=True)
class Stretch:
    """A line in mm between two nodes, without a corner in it; ``loop``: a closed line without any corner."""

    begin: int
    end: int
    points: Points
    clean: Mask
    loop: bool = False

    @property
    def is_drawn(self) -> bool:
        """Whether there is clean ink along any of it."""
        return bool(self.clean.any())

    @property
    def turned(self) -> Stretch:
        """The same from its end to its beginning."""
        return Stretch(self.end, self.begin, self.points[::-1], self.clean[::-1], self.loop)
