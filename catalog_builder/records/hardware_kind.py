"""The table of the kinds of hanging hardware: the one place that says what each kind is."""

from __future__ import annotations

from enum import Enum, StrEnum
from typing import Literal


class Fixing(Enum):
    """How hardware is fixed to a piece. Its count, its load and the height it adds follow from this.

    The four ways are common practice, no source.
    """

    SOLDERED = "soldered to the piece"
    ON_EACH_RING = "one on each ring"
    THROUGH_RINGS = "one length through the ring, or from one ring to the other"
    ALONG_RIM = "a wire soldered along the rim, with an eye bent up from it that the ring hangs in"


class HardwareKind(StrEnum):
    """A kind of hanging hardware, by its name in records.

    ``fixing`` says how it is fixed. ``needed`` are the columns that its row of ``materials.csv`` must fill in; of each
    group one is enough. Its labels stand in the table ``hardware`` of a theme's labels.
    """

    fixing: Fixing
    needed: tuple[tuple[str, ...], ...]

    RING = "ring", Fixing.SOLDERED, (("mass_g",), ("length_mm",), ("rated_load_g",))
    HOOK = "hook", Fixing.ON_EACH_RING, (("mass_g",), ("length_mm",), ("rated_load_g",))
    SWIVEL = "swivel", Fixing.ON_EACH_RING, (("mass_g",), ("length_mm",), ("rated_load_g",))
    CORD = "cord", Fixing.THROUGH_RINGS, (("rated_load_g",), ("mass_g", "diameter_mm"))
    CHAIN = "chain", Fixing.THROUGH_RINGS, (("rated_load_g",), ("mass_g",))
    LOOP = "loop", Fixing.ALONG_RIM, ()

    def __new__(cls, name: str, fixing: Fixing, needed: tuple[tuple[str, ...], ...]) -> HardwareKind:
        """Make a row of the table: a text with what the table says of it."""
        kind = str.__new__(cls, name)
        kind._value_ = name
        kind.fixing = fixing
        kind.needed = needed
        return kind

    @property
    def bought_as(self) -> str:
        """The kind of ``materials.csv`` that it is made of: a loop is bent from wire, any other is bought as it is."""
        return "wire" if self.fixing is Fixing.ALONG_RIM else self.value

    @property
    def by_length(self) -> bool:
        """Whether it is cut to a length that the record gives; any other is counted.

        A length of it can catch round a child's neck, so that such a piece has a caution of its own.
        """
        return self.fixing is Fixing.THROUGH_RINGS

    @property
    def counted_in(self) -> Literal["m", "each"]:
        """The unit that quantities of it are counted in."""
        return "m" if self.by_length or self.fixing is Fixing.ALONG_RIM else "each"
