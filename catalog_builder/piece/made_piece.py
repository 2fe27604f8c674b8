"""A measured pattern with the foil and solder that it is made with."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Annotated

from pydantic import Field

from catalog_builder.mistake import MistakeError
from catalog_builder.pattern.cuts import Cut
from catalog_builder.pattern.framing.framing import framed_by
from catalog_builder.pattern.measured import Measured
from catalog_builder.pattern.parts.corner import Corner
from catalog_builder.pattern.parts.flat_part import FlatPart
from catalog_builder.pattern.svg.curve import Points
from catalog_builder.piece.bead import Bead, read_bead, wrap_mm
from catalog_builder.piece.framed_rim import FramedRim, framed_rim
from catalog_builder.piece.rim_loop import RimLoop, looped
from catalog_builder.piece.seam_strips import refuse_strips
from catalog_builder.records.material import Material, MaterialByName
from catalog_builder.records.materials import Materials
from catalog_builder.records.product import GlassChoice, Product
from catalog_builder.records.studio import Making


@dataclass(frozen=True, slots=True)
class GlassTally:
    """The cuts of one glass word that one item takes: how many, their area, the length of their edges.

    ``charged_mm2`` is the area of the boxes round them, by which glass is charged.
    """

    count: int
    area_mm2: float
    edge_mm: float
    charged_mm2: float


@dataclass(frozen=True, slots=True)
class Copies:
    """How many of a flat part one item takes, and how many of these are mirror images; the main one has no name."""

    name: str
    count: int
    mirrored: int


def _no_outlines() -> Measured:
    raise LookupError("this piece was handed on without its outlines")


@dataclass(frozen=True, slots=True, eq=False)
class MadePiece:
    """A product at a finished size in chosen glass, with its foil, solder and bead.

    ``glass`` is the sheet by glass word. ``tallies`` count its cuts by glass word, ``wires`` give the length of wire
    in mm by material, with an empty name for the studio's usual one, ``parts`` count its flat parts, the main one
    first. All are of one item. ``corner_g_m`` are the grams of solder in a metre of the seams in space, in the mean,
    None where there are none. ``loops`` are the wires along the rim that carry its rings, if any. ``frame`` is round
    the main flat, in place of the rim's bead.
    ``measured`` gives its outlines. They are too large to keep, so that they are measured again at each call.
    """

    glass: Mapping[str, MaterialByName]
    tallies: Mapping[str, GlassTally]
    seam_mm: float
    rim_mm: float
    joints: int
    wires: Mapping[str, float]
    parts: tuple[Copies, ...]
    bead: Bead
    foil: MaterialByName
    solder: MaterialByName
    corner_g_m: float | None = None
    loops: tuple[RimLoop, ...] = ()
    frame: FramedRim | None = None
    measured: Annotated[Callable[[], Measured], Field(exclude=True)] = _no_outlines

    @property
    def flats(self) -> tuple[FlatPart, ...]:
        """Its flat parts, the main one first."""
        main, *others = self.measured().flats
        return (looped(main, self.loops) if self.loops else main, *others)

    @property
    def without_outlines(self) -> MadePiece:
        """The same without the way to its outlines, small enough to hand to another process."""
        return replace(self, measured=_no_outlines)

    @property
    def main(self) -> FlatPart:
        """The flat part that hangs in the plane of the viewer and carries the rings."""
        return self.flats[0]

    @property
    def corners(self) -> tuple[Corner, ...]:
        """The seams in space, along which its flat parts meet."""
        return self.measured().corners

    @property
    def tacks(self) -> Points:
        """The ends of these seams in space, mm; shape (k, 3)."""
        return self.measured().tacks

    @property
    def cuts(self) -> tuple[Cut, ...]:
        """Every cut of glass that one item takes; a part that is used twice gives its cuts twice."""
        return tuple(cut for flat in self.flats for _ in flat.places for cut in flat.cuts)

    @property
    def pieces(self) -> int:
        """How many pieces of glass one item has."""
        return sum(tally.count for tally in self.tallies.values())

    @property
    def wind_mm2(self) -> float:
        """The area that the wind meets: its glass, or all within the outside of its frame."""
        glass = sum(tally.area_mm2 for tally in self.tallies.values())
        return max(glass, self.frame.outside_mm2) if self.frame is not None else glass

    @property
    def in_the_round(self) -> bool:
        """Whether it has parts that may stand out of its plane."""
        return len(self.parts) > 1


def with_loops(piece: MadePiece, loops: tuple[RimLoop, ...]) -> MadePiece:
    """Give a piece whose rings are carried by wires along the rim, in place of those that carried them before."""
    wires = dict(piece.wires)
    for loop, sign in (*((loop, -1) for loop in piece.loops), *((loop, 1) for loop in loops)):
        wires[loop.material] = wires.get(loop.material, 0.0) + sign * loop.length_mm
    return replace(piece, loops=loops, wires={name: length for name, length in wires.items() if length > 0})


def make_piece(
    product: Product, choice: GlassChoice, measured: Measured, materials: Materials, making: Making
) -> MadePiece:
    """Choose foil and solder for the thickest edge in a choice of glass, and take the quantities of a measured drawing.

    Raises:
        MistakeError: no foil is wide enough to wrap both faces, the glass does not fit its frame, or a strip its seam.
    """
    glass = {word: materials.rows[name] for word, name in choice.pieces.items()}
    thickest = max(glass.values(), key=lambda sheet: (sheet.foiled_mm, sheet.material))
    thickness = thickest.foiled_mm
    foil = _foil(product, thickest, materials, making)
    solder = materials.rows[product.keys.solder or making.solder]
    flats, bead = measured.flats, read_bead(making, solder, foil, thickness)
    refuse_strips(product, flats, materials.rows, foil, thickness, making)
    return MadePiece(
        glass=glass,
        tallies=_tallies(flats, float(making.cutting_clearance_mm)),
        seam_mm=sum(flat.edges.seam_mm * flat.copies for flat in flats)
        + sum(corner.length_mm for corner in measured.corners if corner.counted),
        rim_mm=sum(flat.rim_mm for flat in flats),
        joints=sum(len(flat.edges.joints) * flat.copies for flat in flats) + len(measured.tacks),
        wires=_wires(flats),
        parts=tuple(Copies(flat.name, flat.copies, sum(place.mirrored for place in flat.places)) for flat in flats),
        bead=bead,
        foil=foil,
        solder=solder,
        corner_g_m=_corner_g_m(measured.corners, bead),
        frame=framed_rim(product, flats[0], glass, foil, framed_by(product, materials)),
        measured=lambda: measured,
    )


def _corner_g_m(corners: Sequence[Corner], bead: Bead) -> float | None:
    """Give the grams of solder in a metre of corners, in the mean by their lengths."""
    length = sum(corner.length_mm for corner in corners)
    return sum(corner.length_mm * bead.corner_g_m(corner.sectors) for corner in corners) / length if length else None


def _tallies(flats: tuple[FlatPart, ...], clearance_mm: float) -> dict[str, GlassTally]:
    cuts_by_word: dict[str, list[Cut]] = {}
    for flat in flats:
        for _ in flat.places:
            for cut in flat.cuts:
                cuts_by_word.setdefault(cut.glass, []).append(cut)
    return {
        word: GlassTally(
            len(cuts),
            sum(cut.area_mm2 for cut in cuts),
            sum(cut.edge_mm for cut in cuts),
            sum(cut.charged_mm2(clearance_mm) for cut in cuts),
        )
        for word, cuts in cuts_by_word.items()
    }


def _wires(flats: tuple[FlatPart, ...]) -> dict[str, float]:
    wires: dict[str, float] = {}
    for flat in flats:
        for wire in flat.pattern.wires:
            name = wire.material or ""
            wires[name] = wires.get(name, 0.0) + wire.line.length * flat.copies
    return wires


def _foil(product: Product, thickest: Material, materials: Materials, making: Making) -> Material:
    """Take the foil that is named, else the narrowest that wraps far enough onto each face to hold the bead."""
    named = product.keys.foil or making.foil
    least, thickness_mm = float(making.foil_wrap_mm), thickest.foiled_mm
    stocked = [foil for foil in materials.of_kind("foil") if named in ("auto", foil.material)]
    wide = [foil for foil in stocked if wrap_mm(float(foil.width_mm or 0), thickness_mm) >= least]
    if not wide:
        what = "no foil of materials.csv wraps" if named == "auto" else f"the foil {named!r} does not wrap"
        raise MistakeError.at(
            product.source.place(product.line("foil")),
            wrong=f"{what} the edge of {thickest.material!r}, {thickness_mm:g} mm thick, by {least:g} mm on each face",
            expected=f"a foil at least {thickness_mm + 2 * least:g} mm wide",
            mend="add a wider foil, take glass with a thinner edge, or lower making.foil_wrap_mm",
        )
    return min(wide, key=lambda foil: (foil.width_mm or 0, foil.material))
