"""The studio's own words for cautions: it may reword a caution and add to them, but not remove one.

Without a key the theme's words are used.
"""

from __future__ import annotations

from typing import Annotated, Any

from pydantic import BeforeValidator, Field

from catalog_builder.records.reading.values import Line, Record, as_written, refusal

# More is not read, and has no room on a slip.
MOST_CHARACTERS = 400
MOST_ADDED = 8


def _reworded(value: Any) -> Any:
    """Refuse what would remove a caution; any other value is read as a text is."""
    # A dash or an invisible blank would remove it as well.
    wordless = isinstance(value, str) and not any(character.isalpha() for character in value)
    if wordless or value is None or value is False or (isinstance(value, list | dict) and not value):
        raise refusal(
            f"there {'are no words' if wordless else f'is {as_written(value)}'} in place of a caution",
            "the caution in your own words: it can be reworded, not silenced",
            "write the words you want read, or take the line out to keep the program's own",
        )
    if isinstance(value, str) and len(value) > MOST_CHARACTERS:
        raise refusal(
            f"the caution is too long ({len(value)} characters)",
            f"at most {MOST_CHARACTERS}: what is longer is not read",
            "say the one thing that matters, or make two of it",
        )
    return value


Caution = Annotated[Line, BeforeValidator(_reworded)]
Added = Annotated[tuple[Caution, ...], Field(max_length=MOST_ADDED)]


class _Words(Record):
    """Words for cautions by their codes; without a key the theme's words are used."""

    also: Added = Field((), description="further cautions, up to 8, each a text; they come after the others")

    @property
    def reworded(self) -> dict[str, str]:
        """The cautions that the studio rewords, by their codes."""
        by_code = {code: getattr(self, code) for code in type(self).codes()}
        return {code: words for code, words in by_code.items() if words is not None}

    @classmethod
    def codes(cls) -> tuple[str, ...]:
        """Give the codes of all cautions there are, in the order in which they are read."""
        return tuple(name for name in cls.model_fields if name != "also")


class Cautions(_Words):
    """``[cautions]``: what a buyer reads on a product's page, on the page on care and on the slip."""

    lead_solder: Caution | None = Field(None, description="where the solder holds lead")
    lead_free: Caution | None = Field(None, description="where it holds none")
    lead_frame: Caution | None = Field(None, description="where its frame is of lead")
    patina: Caution | None = Field(None, description="where a finish is a patina")
    not_toy: Caution | None = Field(None, description="it is no toy")
    children: Caution | None = Field(None, description="children and animals")
    cord: Caution | None = Field(None, description="where it hangs by a cord or chain: small children's necks")
    not_food: Caution | None = Field(None, description="neither for food and drink nor against the skin")
    wash_hands: Caution | None = Field(None, description="washing hands")
    hang_point: Caution | None = Field(None, description="what to hang it from")
    suction: Caution | None = Field(None, description="where it hangs by a suction hook, which lets go")
    magnet: Caution | None = Field(None, description="where it hangs by a magnet: implants, small children")
    uneven_rings: Caution | None = Field(None, description="where its two rings are at unequal heights")
    heavy: Caution | None = Field(None, description="where it is heavy or wide")
    outdoors: Caution | None = Field(None, description="where it is meant to hang outdoors: wind and storms")
    stand: Caution | None = Field(None, description="where it stands: firm, level, away from edges")
    stake: Caution | None = Field(None, description="where it sticks in soil on a rod: eyes, soil, lead")
    clip: Caution | None = Field(None, description="where it is clipped on: the edge, and that it grips")
    outdoors_standing: Caution | None = Field(None, description="where it is meant to stand outdoors: wind and storms")
    flame: Caution | None = Field(None, description="where it stands and is not made for a flame")
    tealight: Caution | None = Field(None, description="where it is made for a tealight: heat, draughts, watching it")
    damage: Caution | None = Field(None, description="cracked glass or a loose ring: take it down")
    sun_heat: Caution | None = Field(None, description="sun and heat")
    estimate: Caution | None = Field(None, description="sizes and weights are estimates")
    local_rules: Caution | None = Field(None, description="local rules and a qualified person decide")


class BenchCautions(_Words):
    """``[bench_cautions]``: cautions on the bench's private pages and sheets."""

    fume: Caution | None = Field(None, description="fumes of flux and solder")
    dust: Caution | None = Field(None, description="dust of glass: wet grinding")
    coloured_glass: Caution | None = Field(None, description="heavy metals in coloured glass and its dust")
    eyes: Caution | None = Field(None, description="eyes and hands")
    lead: Caution | None = Field(None, description="lead: food, drink, washing")
    chemicals: Caution | None = Field(None, description="patina, flux and cleaners")
    children: Caution | None = Field(None, description="children, pregnancy, animals")
    waste: Caution | None = Field(None, description="what is thrown away and poured away")
    local_rules: Caution | None = Field(None, description="local rules and a qualified person decide")
