"""How a piece stands, in words: notes for the bench, words for the drawings."""

from __future__ import annotations

from collections.abc import Iterator

from catalog_builder.phrase import Phrase, phrase
from catalog_builder.piece.hanging.suspension import Suspension
from catalog_builder.piece.made_piece import MadePiece
from catalog_builder.piece.standing.tipping import STEADY_DEGREES
from catalog_builder.publish.pictures.hanging_drawing import HangingWords
from catalog_builder.publish.theme.phrasing import Phrasing
from catalog_builder.publish.theme.wording import Wording
from catalog_builder.records.studio import Hanging


def standing_notes(_hanging: Hanging, _made: MadePiece, suspension: Suspension, wording: Wording) -> Iterator[Phrase]:
    """Say for the bench how high a piece stands, on what, and how far it can be tipped or how its rod holds."""
    stance, held_by = suspension.stance, suspension.hanger
    if stance is None:
        return
    glass = wording.size(suspension.width_mm, suspension.height_mm, suspension.depth_mm)
    yield phrase("standing_bench.size", size=glass, height=wording.length(stance.height_mm))
    if stance.footprint is not None and stance.tipping is not None:
        yield phrase(
            "standing_bench.footprint",
            footprint=wording.size(*stance.footprint.size_mm),
            centre=wording.length(stance.centre_mm[1]),
        )
        yield phrase(
            f"standing_bench.tips_{stance.tipping.side}",
            angle=wording.places(stance.tipping.degrees, 1),
            least=wording.places(STEADY_DEGREES, 0),
        )
    if held_by is not None:
        yield phrase(
            f"standing_bench.on_{suspension.hung_by}",
            what=held_by.title,
            count=suspension.hanger_count,
            length=wording.length(suspension.hanger_mm),
            diameter=wording.places(held_by.wire_mm, 1),
            soldered=wording.length(stance.soldered_mm),
            contact=wording.length(stance.contact_mm),
            soil=wording.length(stance.in_soil_mm),
            mass=wording.fine_mass(suspension.hanger_mass_g),
        )
    if stance.wind_m_s is not None:
        yield phrase("standing_bench.wind", speed=wording.places(stance.wind_m_s, 0))
    if suspension.heavy:
        yield phrase("standing_bench.heavy")


def standing_drawing_words(title: str, suspension: Suspension, phrasing: Phrasing) -> HangingWords:
    """Give the words of the customer's drawing: sizes alone.

    Raises:
        ValueError: the piece hangs.
    """
    stance = suspension.stance
    if stance is None:
        raise ValueError("it hangs")
    width, height, depth = (
        phrasing.wording.length(side) for side in (stance.outer_mm[0], stance.height_mm, stance.outer_mm[2])
    )
    labels = phrasing.labels["hanging_drawing"]
    return HangingWords(
        title=phrasing.say(phrase("standing.drawing_title", title=title)),
        description=phrasing.say(phrase("standing.drawing_text", width=width, height=height, depth=depth)),
        width=width,
        height=height,
        hung_height=height,
        depth=depth,
        front=labels["front"],
        side=labels["side"],
    )


def tipping_text(suspension: Suspension, phrasing: Phrasing) -> str:
    """Say how far a piece can be tipped; nothing where a rod or clip holds it."""
    if suspension.stance is None or suspension.stance.tipping is None:
        return ""
    angle = phrasing.wording.places(suspension.stance.tipping.degrees, 1)
    return phrasing.say(phrase("standing_bench.tips", angle=angle))
