"""The came or moulding round a made panel: its bars, what it weighs, and what it takes in. mm, mm2, g."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from shapely import Polygon

from catalog_builder.mistake import MistakeError, Mistakes
from catalog_builder.pattern.framing.frame import Bar
from catalog_builder.pattern.parts.flat_part import FlatPart
from catalog_builder.piece.bead import wrap_mm
from catalog_builder.records.material import Material, MaterialByName
from catalog_builder.records.product import Product

# Faces this near to the rim sit in the frame.
_AT_RIM_MM = 0.1


@dataclass(frozen=True, slots=True)
class FramedRim:
    """A panel's frame: its material, its bars, and width and height of its outside and of the light that it leaves.

    ``outside_mm2`` is the area within its outside. ``glass_mm`` is the thickness of the glass that sits in it.
    """

    material: MaterialByName
    bars: tuple[Bar, ...]
    outside_mm: tuple[float, float]
    light_mm: tuple[float, float]
    outside_mm2: float
    glass_mm: float

    @property
    def length_mm(self) -> float:
        """The length of its bars together, each at its longer side: what is cut from the material."""
        return sum(bar.length_at(self.material.outside_mm) for bar in self.bars)

    @property
    def corners(self) -> int:
        """How many mitres or joints are made."""
        return len(self.bars)

    @property
    def mass_g(self) -> float:
        """Its mass: that of a metre, along the line on which the middle of its section lies.

        A prism that is cut off aslant has the volume of its section times its length there (from memory, checked
        against meshes).
        """
        middle = self.material.outside_mm - middle_across_mm(self.material)
        return sum(bar.length_at(middle) for bar in self.bars) / 1000 * self.material.mass_per_m

    @property
    def forward_mm(self) -> float:
        """How far the middle of its section stands out to the viewer from that of the glass; 0 for came.

        The rebate of a moulding is open to the back, and the glass lies against its front lip.
        """
        off_middle = _off_middle_mm(self.material) if self.material.kind == "moulding" else 0.0
        return self.ring_forward_mm + off_middle

    @property
    def ring_forward_mm(self) -> float:
        """How far the middle of its thickness, where a ring sits, stands out to the viewer from the glass."""
        if self.material.kind == "came":
            return 0.0
        thick, slot = float(self.material.thickness_mm or 0), float(self.material.slot_mm or 0)
        return thick / 2 - slot + self.glass_mm / 2


def middle_across_mm(material: Material) -> float:
    """Give how far the middle of a section lies from its outer side: 6 x 6 mm with a slot of 4 x 4 mm: 2.20 mm."""
    wide, thick = float(material.width_mm or 0), float(material.thickness_mm or 0)
    deep, slot = float(material.rebate_mm or 0), float(material.slot_mm or 0)
    return (wide**2 / 2 * thick - deep * slot * (wide - deep / 2)) / material.section_mm2


def _off_middle_mm(material: Material) -> float:
    """Give how far the middle of a moulding's section lies in front of the middle of its thickness."""
    thick, slot = float(material.thickness_mm or 0), float(material.slot_mm or 0)
    return float(material.rebate_mm or 0) * slot * (thick - slot) / 2 / material.section_mm2


def framed_rim(
    product: Product, flat: FlatPart, glass: Mapping[str, Material], foil: Material, material: Material | None
) -> FramedRim | None:
    """Give the frame of the main flat, None where it has none.

    ``glass`` is the sheet by glass word, ``material`` the frame's.

    Raises:
        MistakeError: the foiled glass does not go into its slot, or it covers less of the glass than the foil does.
    """
    frame = flat.frame
    if frame is None or material is None:
        return None
    rim = frame.rim.exterior
    words = {piece.glass for piece in flat.pattern.pieces if piece.face.distance(rim) <= _AT_RIM_MM}
    thick = max(glass[word].foiled_mm for word in words)
    _refuse_misfit(product, material, foil, thick)
    framed = FramedRim(
        material, frame.bars, _sides(frame.outside), _sides(frame.light), float(frame.outside.area), thick
    )
    _refuse_long_bar(product, framed)
    return framed


def _refuse_long_bar(product: Product, framed: FramedRim) -> None:
    longest = max(bar.length_at(framed.material.outside_mm) for bar in framed.bars)
    pack_mm = float(framed.material.pack_amount) * 1000
    if longest > pack_mm:
        raise MistakeError.at(
            product.source.place(product.line("frame", "material")),
            wrong=f"a bar of the frame is {longest:.0f} mm long, and a pack of the {framed.material.kind} "
            f"{framed.material.material!r} holds {pack_mm:.0f} mm",
            expected="bars that are cut in one length",
            mend="buy it in longer lengths, and say so in pack_size, or make the panel smaller",
        )


def _sides(shape: Polygon) -> tuple[float, float]:
    left, top, right, bottom = shape.bounds
    return float(right - left), float(bottom - top)


def _refuse_misfit(product: Product, material: Material, foil: Material, thick_mm: float) -> None:
    place = product.source.place(product.line("frame", "material"))
    mistakes, what = Mistakes(), f"{material.kind} {material.material!r}"
    foiled = thick_mm + 2 * float(foil.thickness_mm or 0)
    if float(material.slot_mm or 0) < foiled:
        mistakes.add(
            place,
            wrong=f"the slot of the {what} takes {material.slot_mm:g} mm, and the glass with its foil has "
            f"{foiled:.2f} mm",
            expected="a slot as wide as the glass at the rim and two thicknesses of foil, or wider",
            mend="take a material with a wider slot, or thinner glass along the rim",
        )
    wrapped = wrap_mm(float(foil.width_mm or 0), thick_mm)
    if material.covers_mm < wrapped:
        mistakes.add(
            place,
            wrong=f"the {what} covers {material.covers_mm:g} mm of the glass, and the foil {foil.material!r} reaches "
            f"{wrapped:.2f} mm onto it, so that bare foil would show beside the frame",
            expected="a rebate, less its play, that covers all of the foil along the rim",
            mend="take a material with a deeper rebate, or name a narrower foil under `foil:`",
        )
    mistakes.raise_if_any()
