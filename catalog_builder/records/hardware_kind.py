"""The table of the kinds of hardware that hold a piece: the one place that says what each kind is."""

from __future__ import annotations

from enum import Enum, StrEnum
from typing import Literal


class Fixing(Enum):
    """How hardware is fixed to a piece. Its count, its load and the height it adds follow from this.

    The ways are common practice, no source.
    """

    SOLDERED = "soldered to the piece"
    ON_EACH_RING = "one on each ring"
    THROUGH_RINGS = "one length through the ring, or from one ring to the other"
    ALONG_RIM = "a wire soldered along the rim, with an eye bent up from it that the ring hangs in"
    IN_FRAME = "screwed into a wooden frame, in place of soldered rings"
    UNDER = "under the piece, which stands"
    ON_ROD = "a rod of wire soldered up from the lower rim, its other end in soil"
    AT_FOOT = "one soldered to the lower rim"


class HardwareKind(StrEnum):
    """A kind of hardware that holds a piece, by its name in records.

    ``fixing`` says how it is fixed. ``factor_times`` is how many times the studio's safety factor its rated load must
    cover. ``needed`` are the columns that its row of ``materials.csv`` must fill in; of each group one is enough. Its
    labels stand in the table ``hardware`` of a theme's labels.
    """

    fixing: Fixing
    factor_times: int
    needed: tuple[tuple[str, ...], ...]

    RING = "ring", Fixing.SOLDERED, 1, (("mass_g",), ("length_mm",), ("rated_load_g",))
    HOOK = "hook", Fixing.ON_EACH_RING, 1, (("mass_g",), ("length_mm",), ("rated_load_g",))
    SWIVEL = "swivel", Fixing.ON_EACH_RING, 1, (("mass_g",), ("length_mm",), ("rated_load_g",))
    CORD = "cord", Fixing.THROUGH_RINGS, 1, (("rated_load_g",), ("mass_g", "diameter_mm"))
    CHAIN = "chain", Fixing.THROUGH_RINGS, 1, (("rated_load_g",), ("mass_g",))
    LOOP = "loop", Fixing.ALONG_RIM, 1, ()
    SCREW_EYE = "screw_eye", Fixing.IN_FRAME, 1, (("mass_g",), ("length_mm",), ("rated_load_g",))
    # A sucker is rated new, on clean glass: it ages, dries and lets go. Common practice, no source.
    SUCTION_HOOK = "suction_hook", Fixing.ON_EACH_RING, 2, (("mass_g",), ("length_mm",), ("rated_load_g",))
    # A magnet is rated pulled straight off thick bare steel. On an upright sheet friction alone holds it: 15 to 25 per
    # cent of that, as sellers of magnets say of their shear force; a fifth is taken.
    MAGNET = "magnet", Fixing.ON_EACH_RING, 5, (("mass_g",), ("length_mm",), ("rated_load_g",))
    STAND = "stand", Fixing.UNDER, 1, (("mass_g",), ("length_mm",), ("width_mm", "diameter_mm"))
    STAKE = "stake", Fixing.ON_ROD, 1, ()
    CLIP = "clip", Fixing.AT_FOOT, 1, (("mass_g",), ("length_mm",), ("rated_load_g",))

    def __new__(cls, name: str, fixing: Fixing, factor_times: int, needed: tuple[tuple[str, ...], ...]) -> HardwareKind:
        """Make a row of the table: a text with what the table says of it."""
        kind = str.__new__(cls, name)
        kind._value_ = name
        kind.fixing = fixing
        kind.factor_times = factor_times
        kind.needed = needed
        return kind

    @property
    def bought_as(self) -> str:
        """The kind of ``materials.csv`` that it is made of.

        A loop and a rod are wire, and a piece stands on feet; any other is bought as it is called.
        """
        return {Fixing.ALONG_RIM: "wire", Fixing.ON_ROD: "wire", Fixing.UNDER: "foot"}.get(self.fixing, self.value)

    @property
    def hangs(self) -> bool:
        """Whether a piece hangs by it; else it stands on it, or is held by it from below."""
        return self.fixing not in (Fixing.UNDER, Fixing.ON_ROD, Fixing.AT_FOOT)

    @property
    def by_length(self) -> bool:
        """Whether it is cut to a length that the record gives and hangs free; any other is counted, or soldered on.

        A length of it can catch round a child's neck, so that such a piece has a caution of its own.
        """
        return self.fixing is Fixing.THROUGH_RINGS

    @property
    def needs_length(self) -> bool:
        """Whether the record must say how long it is."""
        return self.by_length or self.fixing is Fixing.ON_ROD

    @property
    def counted_in(self) -> Literal["m", "each"]:
        """The unit that quantities of it are counted in."""
        return "m" if self.by_length or self.bought_as == "wire" else "each"
