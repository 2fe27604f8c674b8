"""The glass of the studio for each group of a drawing's pieces: the nearest in colour to the pieces' fill."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from itertools import cycle

from catalog_builder.commands.add.piece_groups import PieceGroup
from catalog_builder.mistake import MistakeError, Place
from catalog_builder.publish.pictures.glass.oklab import distance
from catalog_builder.records.material import Material
from catalog_builder.records.materials import Materials

# In OKLab: from here on the glass is plainly another colour than the fill. Common practice, no source.
FAR = 0.1


@dataclass(frozen=True, slots=True)
class GlassPick:
    """The glass that a group gets; ``distance`` is how far its colour is from the fill, None where there is no fill."""

    group: PieceGroup
    glass: Material
    distance: float | None

    @property
    def is_far(self) -> bool:
        """Whether no glass of the studio comes near the fill."""
        return self.distance is not None and self.distance > FAR


def pick_glass(groups: Sequence[PieceGroup], materials: Materials, day: date) -> tuple[GlassPick, ...]:
    """Give each group the glass nearest to its fill, of those that have a price on a day.

    A group without a fill gets the glass that its word names, else one that no other group has, as far as there is
    one, in the order of ``materials.csv``.

    Raises:
        MistakeError: no glass of ``materials.csv`` has a price.
    """
    glasses = [
        material
        for material in materials.rows.values()
        if material.kind == "glass" and material.colour and materials.price(material.material, day) is not None
    ]
    if not glasses:
        raise MistakeError.at(
            Place(path="content/materials.csv"),
            wrong=f"no glass has a price on {day}",
            expected="a row of the kind glass here, and one with its price in material_prices.csv",
            mend="add the glass that you have, with what a sheet costs",
        )
    picks: dict[str, GlassPick] = {}
    for group in groups:
        if group.colour is not None:
            nearest = min(glasses, key=lambda glass: _distance(group, glass))
            picks[group.word] = GlassPick(group, nearest, _distance(group, nearest))
    used = {pick.glass.material for pick in picks.values()}
    free = cycle([glass for glass in glasses if glass.material not in used] or glasses)
    for group in groups:
        if group.colour is None:
            named = [glass for glass in glasses if glass.material == group.word]
            picks[group.word] = GlassPick(group, named[0] if named else next(free), None)
    return tuple(picks[group.word] for group in groups)


def _distance(group: PieceGroup, glass: Material) -> float:
    return distance(group.colour or "", glass.colour or "")
