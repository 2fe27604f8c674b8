"""What a piece weighs and how it hangs, in words: rows for the bench, words for the drawings."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

from catalog_builder.piece.hanging.strength import newtons
from catalog_builder.piece.hanging.suspension import Suspension
from catalog_builder.piece.made_piece import MadePiece
from catalog_builder.publish.pictures.hanging_drawing import HangingWords
from catalog_builder.publish.theme.loading import Theme
from catalog_builder.publish.theme.wording import Wording
from catalog_builder.records.content import Content

SOLDERED = ("seam", "rim", "joints", "drops")
# Tilts and leans under this are not worth a word, in degrees.
STRAIGHT_DEGREES = 0.5


@dataclass(frozen=True, slots=True)
class WeightRow:
    """A part of a piece and its mass, in words."""

    name: str
    mass: str


def weight_rows(
    content: Content, made: MadePiece, suspension: Suspension, theme: Theme, wording: Wording
) -> tuple[WeightRow, ...]:
    """Give the mass of each part, glass by its sheet, hanging hardware last."""
    rows = content.materials.rows
    sheets = dict.fromkeys(part.of for part in suspension.body.parts if part.name == "glass")
    found: list[tuple[str, float]] = [
        (
            rows[name].title,
            sum(part.mass_g for part in suspension.body.parts if part.of == name and part.name == "glass"),
        )
        for name in sorted(sheets)
    ]
    found.append((made.foil.title, suspension.body.share("foil")))
    found.extend(
        (theme.words("weighing", name, solder=made.solder.title), suspension.body.share(name)) for name in SOLDERED
    )
    found.append((theme.labels["weighing"]["wire"], suspension.body.share("wire")))
    found.append((suspension.ring.title, suspension.body.share("ring")))
    if suspension.hanger is not None:
        found.append((suspension.hanger.title, suspension.hanger_mass_g))
    return tuple(WeightRow(name, wording.fine_mass(mass)) for name, mass in found if mass > 0)


def weight_notes(
    content: Content, made: MadePiece, suspension: Suspension, theme: Theme, wording: Wording
) -> Iterator[str]:
    """Say how well the mass is known, and how the piece hangs, for the bench."""
    words = theme.words
    yield words(
        "weighing",
        "known",
        mass=wording.fine_mass(suspension.mass_g),
        within=wording.rough(suspension.mass_uncertainty_g),
    )
    size = wording.size(suspension.width_mm, suspension.height_mm)
    yield words("weighing", "size", size=size, depth=wording.length(suspension.depth_mm),
        hung=wording.length(suspension.hung_height_mm))  # fmt: skip
    loads = ", ".join(wording.fine_mass(load) for load in suspension.ring_loads_g)
    yield words("weighing", "loads", ring=suspension.ring.title, loads=loads,
        newtons=wording.places(newtons(suspension.ring_load_g), 1), factor=content.studio.hanging.safety_factor,
        rated=wording.fine_mass(float(suspension.ring.rated_load_g or 0)))  # fmt: skip
    if suspension.rise_mm is not None:
        yield words("weighing", "legs", angle=wording.angle(_leg_degrees(suspension)))
    yield words("weighing", "tilt", angle=wording.places(abs(suspension.tilt_degrees), 1))
    if made.in_the_round:
        yield words("weighing", "lean", angle=wording.places(abs(suspension.lean_degrees), 1))
    if suspension.heavy:
        yield words("weighing", "stiffen")
    yield words("weighing", "neglected")


def buyer_words(title: str, made: MadePiece, suspension: Suspension, theme: Theme, wording: Wording) -> HangingWords:
    """Give the words of the customer's drawing: sizes alone."""
    width, height, whole = (
        wording.length(value) for value in (suspension.width_mm, suspension.height_mm, suspension.hung_height_mm)
    )
    depth, labels = wording.length(suspension.depth_mm), theme.labels["hanging_drawing"]
    text = labels["text_deep" if made.in_the_round else "text"]
    return HangingWords(
        title=labels["title"].format(title=title),
        description=text.format(width=width, height=height, hung=whole, depth=depth, rings=len(suspension.rings)),
        width=width,
        height=height,
        hung_height=whole,
        depth=depth,
        front=labels["front"],
        side=labels["side"],
    )


def bench_words(title: str, made: MadePiece, suspension: Suspension, theme: Theme, wording: Wording) -> HangingWords:
    """Give the words of the bench's drawing: sizes, loads, tilt and lean."""
    labels, turns = theme.labels["hanging_drawing"], {"tilt": suspension.tilt_degrees, "lean": suspension.lean_degrees}
    said = {
        name: labels[name].format(angle=wording.places(abs(turn), 1)) if abs(turn) >= STRAIGHT_DEGREES else ""
        for name, turn in turns.items()
    }
    legs = (
        labels["legs"].format(angle=wording.angle(_leg_degrees(suspension))) if suspension.rise_mm is not None else ""
    )
    loads = tuple(wording.fine_mass(load) for load in suspension.ring_loads_g)
    return replace(buyer_words(title, made, suspension, theme, wording), loads=loads, legs=legs, **said)


def _leg_degrees(suspension: Suspension) -> float:
    """Give the angle of a cord's or chain's legs to the level."""
    return math.degrees(math.asin((suspension.rise_mm or 0.0) / (suspension.hanger_mm / 2)))
