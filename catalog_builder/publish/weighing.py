"""What a piece weighs and how it hangs, in words: rows for the bench, words for the drawings."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from catalog_builder.phrase import Number, Phrase, phrase
from catalog_builder.piece.hanging.strength import newtons
from catalog_builder.piece.hanging.suspension import Suspension
from catalog_builder.piece.made_piece import MadePiece
from catalog_builder.publish.pictures.hanging_drawing import HangingWords
from catalog_builder.publish.theme.phrasing import Phrasing
from catalog_builder.publish.theme.wording import Wording
from catalog_builder.publish.weighing_stance import standing_drawing_words, standing_notes, tipping_text
from catalog_builder.records.material import Material
from catalog_builder.records.studio import Hanging

SOLDERED = ("seam", "rim", "joints", "drops")
# Tilts and leans under this are not worth a word, in degrees.
STRAIGHT_DEGREES = 0.5


@dataclass(frozen=True, slots=True, kw_only=True)
class WeightRow:
    """A part of a piece and its mass, in words."""

    name: str
    mass: str


def weight_rows(
    materials: Mapping[str, Material], made: MadePiece, suspension: Suspension, phrasing: Phrasing
) -> tuple[WeightRow, ...]:
    """Give the mass of each part, glass by its sheet, hanging hardware last."""
    body = suspension.body
    masses: list[tuple[str, float]] = [
        (materials[name].title, sum(part.mass_g for part in body.parts if part.of == name and part.name == "glass"))
        for name in sorted({part.of for part in body.parts if part.name == "glass"})
    ]
    masses.append((made.foil.title, body.share("foil")))
    masses.extend(
        (phrasing.say(phrase(f"weighing.{name}", solder=made.solder.title)), body.share(name)) for name in SOLDERED
    )
    masses.append((phrasing.labels["weighing"]["wire"], body.share("wire")))
    if made.frame is not None:
        masses.append((made.frame.material.title, body.share("frame")))
    if suspension.ring is not None:
        masses.append((suspension.ring.title, body.share("ring")))
    if suspension.hanger is not None:
        masses.append((suspension.hanger.title, suspension.hanger_mass_g))
    return tuple(WeightRow(name=name, mass=phrasing.wording.fine_mass(mass)) for name, mass in masses if mass > 0)


def weight_notes(hanging: Hanging, made: MadePiece, suspension: Suspension, phrasing: Phrasing) -> Iterator[str]:
    """Say how well the mass is known, and how the piece hangs or stands, for the bench."""
    wording = phrasing.wording
    known = phrase(
        "weighing.known",
        mass=wording.fine_mass(suspension.mass_g),
        within=wording.rough(suspension.mass_uncertainty_g),
    )
    held = _hanging_notes if suspension.stance is None else standing_notes
    return map(phrasing.say, (known, *held(hanging, made, suspension, wording), phrase("weighing.neglected")))


def _hanging_notes(hanging: Hanging, made: MadePiece, suspension: Suspension, wording: Wording) -> Iterator[Phrase]:
    ring = suspension.ring
    notes = [
        phrase(
            "weighing.size",
            size=wording.size(suspension.width_mm, suspension.height_mm),
            depth=wording.length(suspension.depth_mm),
            hung=wording.length(suspension.hung_height_mm),
        ),
        phrase(
            "weighing.loads" if suspension.gale_times == 1 else "weighing.loads_gale",
            ring=ring.title if ring is not None else "",
            loads=_loads_text(suspension, wording),
            times=wording.places(suspension.gale_times, 1),
            newtons=wording.places(newtons(suspension.ring_load_g), 1),
            factor=Number(hanging.safety_factor, 2),
            rated=wording.fine_mass(float(ring.rated_load_g or 0) if ring is not None else 0.0),
        ),
    ]
    if suspension.hanger is not None:
        hanger = suspension.hanger
        notes.append(
            phrase(
                "weighing.hanger",
                hanger=hanger.title,
                factor=Number(hanging.safety_factor * suspension.hung_by.factor_times, 2),
                rated=wording.fine_mass(float(hanger.rated_load_g or 0)),
            )
        )
    if suspension.leg_degrees:
        notes.append(phrase("weighing.legs", angle=_legs_text(suspension, wording)))
    notes.append(phrase("weighing.tilt", angle=wording.places(abs(suspension.tilt_degrees), 1)))
    if made.in_the_round:
        notes.append(phrase("weighing.lean", angle=wording.places(abs(suspension.lean_degrees), 1)))
    if suspension.heavy and made.frame is None:
        notes.append(phrase("weighing.stiffen"))
    yield from notes


def _loads_text(suspension: Suspension, wording: Wording) -> str:
    """List the loads on the rings; a semicolon parts them, since a comma may be the decimal sign."""
    return "; ".join(wording.fine_mass(load) for load in suspension.ring_loads_g)


def buyer_words(title: str, made: MadePiece, suspension: Suspension, phrasing: Phrasing) -> HangingWords:
    """Give the words of the customer's drawing: sizes alone."""
    if suspension.stance is not None:
        return standing_drawing_words(title, suspension, phrasing)
    width, height, hung_height, depth = (
        phrasing.wording.length(length)
        for length in (*suspension.turned_mm[:2], suspension.hung_height_mm, suspension.turned_mm[2])
    )
    description = phrase(
        "hanging_drawing.text_deep" if made.in_the_round else "hanging_drawing.text",
        width=width,
        height=height,
        hung=hung_height,
        depth=depth,
        rings=len(suspension.rings),
    )
    return HangingWords(
        title=phrasing.say(phrase("hanging_drawing.title", title=title)),
        description=phrasing.say(description),
        width=width,
        height=height,
        hung_height=hung_height,
        depth=depth,
        front=phrasing.labels["hanging_drawing"]["front"],
        side=phrasing.labels["hanging_drawing"]["side"],
    )


def bench_words(title: str, made: MadePiece, suspension: Suspension, phrasing: Phrasing) -> HangingWords:
    """Give the words of the bench's drawing: sizes, loads, tilt and lean, or how far it tips."""
    if suspension.stance is not None:
        return replace(
            buyer_words(title, made, suspension, phrasing),
            loads=(phrasing.wording.fine_mass(suspension.mass_g),),
            tilt=tipping_text(suspension, phrasing),
        )
    legs = ""
    if suspension.leg_degrees:
        legs = phrasing.say(phrase("hanging_drawing.legs", angle=_legs_text(suspension, phrasing.wording)))
    return replace(
        buyer_words(title, made, suspension, phrasing),
        loads=tuple(phrasing.wording.fine_mass(load) for load in suspension.ring_loads_g),
        legs=legs,
        tilt=_turn_text("tilt", suspension.tilt_degrees, phrasing),
        lean=_turn_text("lean", suspension.lean_degrees, phrasing),
    )


def _turn_text(name: str, degrees: float, phrasing: Phrasing) -> str:
    if abs(degrees) < STRAIGHT_DEGREES:
        return ""
    return phrasing.say(phrase(f"hanging_drawing.{name}", angle=phrasing.wording.places(abs(degrees), 1)))


def _legs_text(suspension: Suspension, wording: Wording) -> str:
    """Give the angle of both legs to the level, or the left and the right one's where they differ."""
    return " / ".join(dict.fromkeys(wording.angle(degrees) for degrees in suspension.leg_degrees))
