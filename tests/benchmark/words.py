"""What the benchmark's studio calls its pieces, and what it says of them. All of it is invented."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

FIRST = (
    "Early", "Late", "Quiet", "Crooked", "Slender", "Broad", "Windward", "Leeward", "Pale", "Deep", "Mossy", "Salted",
    "Frosted", "Bent", "Twice-turned", "Lesser", "Greater", "Old", "Tall", "Lowland",
)  # fmt: skip
LAST = (
    "by the weir", "after rain", "in October", "at the gate", "before dawn", "on the sill", "of the long lane",
    "at low water", "in a dry year", "under the wall", "at candle time", "in the gale", "from the far field",
    "at the turn", "of the back garden", "in thaw", "by the ferry steps", "at midsummer", "beyond the yard",
    "on a still day", "in the first frost", "of the upper path", "at ebb", "in lent light",
)  # fmt: skip
SUMMARIES = (
    "{title}: {pieces} pieces of glass, drawn from what the week left on the bench.",
    "A window piece in {pieces} pieces, cut so that no two streaks run alike.",
    "{pieces} pieces, each turned to the way it would have grown.",
    "Made for a window that gets an hour of sun and makes the most of it.",
)
OPENINGS = (
    "I drew this one standing up, on the back of an envelope, and left the line as it came.",
    "There are three of these in my own kitchen, and none of them matches the others.",
    "The first of these was made for a neighbour's stair window, where the sun comes in for an hour.",
    "It began as a corner of a larger drawing that never went anywhere else.",
    "A small thing to make and a slow one to get right.",
    "This is what was left when I had taken out every line that did nothing.",
    "I keep a tracing of it pinned over the bench, as the outline is good practice for the hand.",
)
MIDDLES = (
    "The glass is cut so that its grain follows the shape, which costs a little more of the sheet and shows at once.",
    "All the seams meet in threes, never in fours, so that the bead runs round without a lump.",
    "The palest glass goes where the light falls last, and holds on to it longer than you would think.",
    "Each piece is ground to the drawing, so that the lines between them stay as thin as the foil allows.",
    "The rim is one unbroken bead, and the ring is soldered where a seam meets it.",
    "Streaks differ from sheet to sheet; yours will not be quite the one in the picture, and that is meant.",
)
ENDINGS = (
    "It likes a window with something dark behind it: a hedge, a wall, the evening.",
    "Hang it from a hook that is screwed into wood, not from a sucker.",
    "It comes wrapped in tissue, in a flat carton, with a tag that says which sheet it was cut from.",
    "I make it in small batches through the year, so it may take a week or two.",
    "If you would like it in other colours, write to me; most of the sheets on the rack will do.",
)


@dataclass(frozen=True, slots=True)
class Kind:
    """A kind of piece: its series, its nouns, and its choices of glass by title, in the order of its words."""

    series: str
    nouns: tuple[str, ...]
    palettes: Mapping[str, tuple[str, ...]]


KINDS = {
    "leaf": Kind(
        "hedge",
        ("dock leaf", "hazel leaf", "willow leaf", "sorrel leaf", "alder leaf", "bay leaf", "plum leaf", "elm leaf",
         "nettle leaf", "laurel leaf", "sallow leaf", "pear leaf", "hop leaf", "beech leaf"),
        {
            "High summer": ("reed", "holly", "holly"),
            "Turning": ("barley", "ember", "peat"),
            "Grey morning": ("lichen", "pewter", "slate"),
            "Last of the green": ("lichen", "reed", "peat"),
            "Hips and haws": ("rosehip", "ember", "peat"),
        },
    ),
    "moon": Kind(
        "night",
        ("moon over the ridge", "moon and two fells", "moonrise", "hunter's moon", "seed moon", "snow moon",
         "reaping moon", "moon over the fold", "half-asleep moon", "shepherd's moon", "moon on the downs", "barn moon",
         "moon behind the hill", "hay moon"),
        {
            "Hard frost": ("milk", "slate", "pewter", "dew"),
            "Hay time": ("barley", "heath", "reed", "holly"),
            "After the storm": ("milk", "brine", "slate", "peat"),
            "Warm night": ("gorse", "bramble", "heath", "holly"),
        },
    ),
    "lantern": Kind(
        "lamps",
        ("lantern", "harbour lamp", "stable lamp", "paper lamp", "cellar light", "storm lamp", "wick lamp",
         "porch light", "hand lamp", "stair light", "loft lamp", "gate lamp", "bottle lamp", "bell lamp"),
        {
            "Tallow": ("peat", "barley", "lichen"),
            "Blue hour": ("slate", "milk", "brine"),
            "Red lamp": ("bramble", "rosehip", "pewter"),
            "Clear": ("slate", "dew", "pewter"),
        },
    ),
    "roundel": Kind(
        "rounds",
        ("roundel", "cartwheel", "well cover", "round of cells", "pebble round", "sundial", "rain round", "seed head",
         "cross-cut log", "ripple round", "barrel end", "round window", "mill wheel", "plate"),
        {
            "Pool": ("milk", "brine", "dew", "slate"),
            "Log pile": ("barley", "peat", "lichen", "holly"),
            "Heather": ("pewter", "heath", "lichen", "bramble"),
            "Embers": ("gorse", "ember", "peat", "slate"),
        },
    ),
    "scallop": Kind(
        "shore",
        ("scallop", "fan shell", "ribbed shell", "cockle", "strand fan", "tide fan", "hinge shell", "pilgrim shell",
         "half shell", "queenie", "sand fan", "rib shell", "kelp fan", "ark shell"),
        {
            "Ebb": ("brine", "dew", "slate", "pewter"),
            "Blush": ("shell", "milk", "pewter", "lichen"),
            "Wrack": ("peat", "lichen", "barley", "reed"),
        },
    ),
    "panel": Kind(
        "panels",
        ("panel", "dry-stone panel", "field map", "quilt", "tile panel", "garden plan", "patchwork", "reed bed",
         "brick panel", "allotment", "harbour plan", "stile panel", "hurdle", "paving"),
        {
            "Pasture": ("holly", "lichen", "reed"),
            "Harbour": ("slate", "brine", "dew"),
            "Clinker": ("peat", "ember", "barley"),
            "Linen": ("pewter", "dew", "milk"),
        },
    ),
}  # fmt: skip
