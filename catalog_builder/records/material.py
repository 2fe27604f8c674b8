"""What a material is: a row of ``content/materials.csv``."""

from __future__ import annotations

import math
from decimal import Decimal
from typing import Annotated, Any, Literal, TypeAlias, get_args

from pydantic import Field, PlainSerializer, PlainValidator, ValidationInfo
from pydantic_core import PydanticCustomError

from catalog_builder.phrase import Unit
from catalog_builder.records.alloy import ELEMENT_DENSITY, alloy_density, alloy_parts
from catalog_builder.records.hardware_kind import HardwareKind
from catalog_builder.records.reading.values import Amount, Line, Name, Percent, Record
from catalog_builder.units import DM2_PER, G_PER, M_PER, ML_PER, awg_diameter_mm

# Soda-lime silicate glass, EN 572-1, as quoted by fabricators (g/cm3).
GLASS_DENSITY = Decimal("2.5")

BenchKind = Literal["glass", "foil", "solder", "wire", "strip", "came", "moulding", "foot", "consumable", "packing"]
# What goes round the rim: came, which is channel of metal, or a moulding of wood with a rebate.
FRAME_KINDS = ("came", "moulding")
Kind: TypeAlias = BenchKind | HardwareKind
# Hardware that is bought as what it is called.
_BOUGHT = tuple(kind for kind in HardwareKind if kind.bought_as == kind)
KINDS: tuple[Kind, ...] = (*get_args(BenchKind), *_BOUGHT)
# The unit that quantities of a kind are counted in; a pack may hold any unit that converts to it.
COUNTED_IN: dict[str, Unit] = {
    "glass": "dm2",
    "foil": "m",
    "solder": "g",
    **dict.fromkeys(("wire", "strip", *FRAME_KINDS), "m"),
    "foot": "each",
    **{kind: kind.counted_in for kind in _BOUGHT},
}
_FRAME_NEEDED = (("width_mm",), ("thickness_mm",), ("rebate_mm",), ("slot_mm",), ("density_g_cm3", "alloy", "mass_g"))
NEEDED: dict[str, tuple[tuple[str, ...], ...]] = {
    "glass": (("thickness_mm",), ("colour",)),
    "foil": (("width_mm",), ("thickness_mm",)),
    "solder": (("alloy", "density_g_cm3"),),
    "wire": (("gauge_awg", "diameter_mm"), ("density_g_cm3",)),
    "strip": (("width_mm",), ("thickness_mm",), ("density_g_cm3", "alloy", "mass_g")),
    "came": _FRAME_NEEDED,
    "moulding": (*_FRAME_NEEDED, ("colour",)),
    "foot": HardwareKind.STAND.needed,
    "consumable": (("use_amount",), ("use_unit",), ("use_per",)),
    "packing": (("use_amount",), ("use_unit",), ("use_per",)),
    **{kind: kind.needed for kind in _BOUGHT},
}


def _kind(value: Any) -> Kind:
    for kind in KINDS:
        if kind == value:
            return kind
    # The type of error that pydantic itself gives for a word that is not in a list.
    raise PydanticCustomError("literal_error", "unknown kind", {"expected": ", ".join(f"'{kind}'" for kind in KINDS)})


class Material(Record):
    """A row of ``materials.csv``: what a material is. What it costs is in ``material_prices.csv``."""

    material: Name = Field(description="the name by which records call it")
    title: Line = Field(description="what the maker calls it; private")
    shown_as: Line | None = Field(None, description="what a buyer reads, such as `sea green streaky`")
    kind: Annotated[Kind, PlainValidator(_kind)] = Field(description="what it is: " + ", ".join(KINDS))
    supplier: Line | None = Field(None, description="who sells it; private")
    pack_size: Amount = Field(gt=0, description="how much a pack holds")
    pack_unit: Line = Field(description="the unit of `pack_size`: sheet, m2, m, ft, g, kg, oz, lb, ml, l, each ...")
    sheet_width_mm: Amount | None = Field(
        None, gt=0, description="glass bought by the sheet: its width; glass bought by the piece: that of a piece"
    )
    sheet_height_mm: Amount | None = Field(
        None, gt=0, description="glass bought by the sheet: its height; glass bought by the piece: that of a piece"
    )
    sheet_grain: Literal["height", "width"] = Field(
        "height", description="the side of a sheet along which its grain runs: height, width"
    )
    thickness_mm: Amount | None = Field(
        None,
        gt=0,
        le=50,
        description="of glass, of foil without its glue, of a strip; of came and moulding: from front to back",
    )
    section: Literal["flat", "bevelled", "domed"] = Field(
        "flat", description="of glass bought by the piece: flat, bevelled (thinner along its edge), domed (a nugget)"
    )
    edge_mm: Amount | None = Field(
        None, gt=0, le=50, description="of a bevelled or domed piece: the thickness of its edge, which the foil wraps"
    )
    bevel_mm: Amount | None = Field(None, gt=0, le=100, description="of a bevelled piece: how wide its bevel is")
    width_mm: Amount | None = Field(
        None,
        gt=0,
        description="of foil or a strip; of came and moulding: as seen from the front; of a foot that lies across a "
        "flat piece: how deep it is, front to back",
    )
    rebate_mm: Amount | None = Field(
        None, gt=0, description="of came and moulding: how far its slot or rebate reaches in from the glass's side"
    )
    slot_mm: Amount | None = Field(
        None, gt=0, description="of came and moulding: how thick a panel its slot or rebate takes"
    )
    play_mm: Amount = Field(
        Decimal(0), description="of came and moulding: room left between the glass and the bottom of the rebate"
    )
    bends: bool = Field(False, description="came that bends round a curved rim, as lead and thin brass do: yes or no")
    diameter_mm: Amount | None = Field(None, gt=0, description="of wire, cord, a ring or a round foot")
    gauge_awg: int | None = Field(
        None, ge=0, le=40, description="of wire, in place of a diameter; of the wire that a ring is bent from"
    )
    density_g_cm3: Amount | None = Field(None, gt=0, le=25, description="in grams a cubic centimetre")
    alloy: Line | None = Field(None, description="of solder, came or a strip: parts by mass, such as Sn60Pb40")
    has_grain: bool = Field(False, description="glass whose streaks or texture run one way: yes or no")
    either_face: bool = Field(
        False, description="glass of which both faces will do, so that pieces may be cut face down: yes or no"
    )
    colour: Line | None = Field(
        None,
        description="of glass, moulding or came, as #rrggbb, for pictures drawn from the pattern; came without "
        "it looks like the solder",
    )
    look: Literal["clear", "streaky", "wispy", "mottled", "opal", "hammered", "seedy", "rippled"] = Field(
        "clear",
        description="of glass, for pictures: clear, streaky, wispy, mottled, opal, hammered, seedy, rippled",
    )
    thickness_tolerance_mm: Amount | None = Field(
        None, ge=0, le=10, description="of glass: how far a sheet may be from its thickness; 0.2 where not given"
    )
    strength_mpa: Amount | None = Field(
        None,
        gt=0,
        le=5000,
        description="of wire its tensile, of solder its lasting shear strength, of came what it bears for years; "
        "where given, what hangs on it is checked",
    )
    loss_percent: Percent = Field(Decimal(0), description="share lost: glass that cracks, solder that drips")
    mass_g: Amount | None = Field(
        None,
        ge=0,
        description="of one ring, hook, foot or the like; of `length_mm` (else a metre) of chain, cord, came, moulding "
        "or strip; of one piece of glass bought by the piece, as weighed",
    )
    length_mm: Amount | None = Field(None, gt=0, description="what a ring, hook, foot or the like adds to the height")
    rated_load_g: Amount | None = Field(None, gt=0, description="the load it is sold for, before any safety factor")
    use_amount: Amount | None = Field(None, ge=0, description="of a consumable or packing: how much is used")
    use_unit: Line | None = Field(None, description="the unit of `use_amount`")
    use_per: Literal["item", "piece", "seam_m", "rim_m", "frame_m", "corner", "edge_m", "dm2"] | None = Field(
        None,
        description="used for each: item, piece, metre of seam, rim, frame or edge (seam_m, rim_m, frame_m, edge_m), "
        "corner of a frame, dm2 of glass",
    )

    @property
    def public_title(self) -> str:
        """The buyer's words for it."""
        return self.shown_as or self.title

    @property
    def unit(self) -> Unit:
        """The unit that quantities of it are counted in: dm2, m, g, ml or each."""
        if self.ready_made:
            return "each"
        return COUNTED_IN.get(self.kind) or canonical(self.pack_unit)[0]

    @property
    def pack_amount(self) -> Decimal:
        """What a pack holds, in ``unit``."""
        if self.pack_unit == "sheet" and self.sheet_width_mm and self.sheet_height_mm:
            return self.pack_size * self.sheet_width_mm * self.sheet_height_mm / 10_000
        return self.pack_size * canonical(self.pack_unit)[1]

    @property
    def ready_made(self) -> bool:
        """Whether it is glass bought by the piece, such as a bevel or a nugget: used whole, never cut."""
        return self.kind == "glass" and self.pack_unit in ("each", "pair")

    @property
    def foiled_mm(self) -> float:
        """The thickness of glass that its foil wraps."""
        return float(self.edge_mm or self.thickness_mm or 0)

    @property
    def density(self) -> float:
        """Density in g/cm3: that of the row, else that of the alloy or the kind."""
        if self.density_g_cm3 is not None:
            return float(self.density_g_cm3)
        if self.alloy is not None:
            return alloy_density(self.alloy)
        return float(GLASS_DENSITY if self.kind == "glass" else ELEMENT_DENSITY["Cu"])

    @property
    def leaded(self) -> bool:
        """Whether the alloy holds lead. A solder without an alloy counts as leaded."""
        return self.kind == "solder" if self.alloy is None else "Pb" in alloy_parts(self.alloy)

    @property
    def wire_mm(self) -> float:
        """The thickness of a wire or cord, or of the wire that a ring is bent from; 0 where it is not given."""
        if self.gauge_awg is not None:
            return awg_diameter_mm(self.gauge_awg)
        return 0.0 if self.kind is HardwareKind.RING else float(self.diameter_mm or 0)

    @property
    def mass_per_m(self) -> float:
        """Mass in grams a metre of wire, strip, came, moulding, cord or chain: as weighed, else by its section."""
        by_section = self.kind in ("strip", *FRAME_KINDS)
        if (self.cut_to_length or by_section) and self.mass_g is not None:
            return float(self.mass_g / (self.length_mm or Decimal(1000)) * 1000)
        if by_section:
            return self.section_mm2 * self.density  # mm2 x g/cm3 = g/m
        return math.pi / 4 * self.wire_mm**2 * self.density

    @property
    def section_mm2(self) -> float:
        """The section of a strip, or of came or moulding with its slot taken off."""
        whole = float((self.width_mm or 0) * (self.thickness_mm or 0))
        return whole - float((self.rebate_mm or 0) * (self.slot_mm or 0))

    @property
    def covers_mm(self) -> float:
        """How far came or moulding reaches over the face of the glass."""
        return float((self.rebate_mm or 0) - self.play_mm)

    @property
    def outside_mm(self) -> float:
        """How far came or moulding stands out of the edge of the glass."""
        return float(self.width_mm or 0) - self.covers_mm

    @property
    def cut_to_length(self) -> bool:
        """Whether it is hanging hardware that is cut to a length, such as cord."""
        return isinstance(self.kind, HardwareKind) and self.kind.by_length

    def hardware_mass_g(self, length_mm: float) -> float:
        """Mass in grams of a length of cord, chain or wire, or of one of any other hardware."""
        by_length = self.cut_to_length or self.kind == "wire"
        return self.mass_per_m * length_mm / 1000 if by_length else float(self.mass_g or 0)


def canonical(unit: str) -> tuple[Unit, Decimal]:
    """Give the unit that a pack's unit is counted in, and how many of it one is.

    Raises:
        KeyError: the unit is not known.
    """
    factors_of: dict[Unit, dict[str, Decimal]] = {"dm2": DM2_PER, "m": M_PER, "g": G_PER, "ml": ML_PER}
    for name, factors in factors_of.items():
        if unit in factors:
            return name, factors[unit]
    if unit in ("each", "sheet", "pair"):
        return "each", Decimal(2) if unit == "pair" else Decimal(1)
    raise KeyError(unit)


UNITS = (*DM2_PER, *M_PER, *G_PER, *ML_PER, "each", "sheet", "pair")


def _known(name: Any, info: ValidationInfo) -> Material:
    rows: dict[str, Material] = info.context or {}
    if name not in rows:
        raise ValueError(f"there is no material {name!r}")
    return rows[name]


# A material in what is kept from one build to the next: written as its name, and read by its name from the rows
# in the validation context.
MaterialByName = Annotated[
    Material, PlainValidator(_known), PlainSerializer(lambda material: material.material, return_type=str)
]
