"""A variant's parcel on the bench's papers: what it is packed in, how large and heavy it is, and what carries it."""

from __future__ import annotations

from catalog_builder.making.parcel import PackedPiece, length_and_girth
from catalog_builder.phrase import Money, phrase
from catalog_builder.publish.bench.bench_writer import BenchWriter
from catalog_builder.publish.output.workbook import Row


def parcel_note(packed: PackedPiece | None, postage: bool, writer: BenchWriter) -> str:
    """Say how a variant is packed, and what carries it where the studio keeps a table of ``postage``."""
    if packed is None:
        return writer.say("bench.by_hand")
    wording, band = writer.wording, packed.band
    note = writer.say(
        "bench.packed",
        box=packed.box.title,
        size=wording.parcel(packed.sides_mm),
        weight=wording.parcel_mass(packed.mass_g),
        girth=wording.length(length_and_girth(packed.sides_mm)),
    )
    if band is not None:
        carried = phrase("bench.band", price=Money(band.price), band=f"{band.carrier}, {band.band}")
    elif postage:
        carried = phrase("bench.no_band")
    else:
        return note
    return f"{note} {writer.phrasing.say(carried)}"


def parcel_columns(packed: PackedPiece | None) -> Row:
    """Give a variant's parcel as cells of the price list: mm and g, empty where it goes by hand."""
    length, width, depth = packed.sides_mm if packed is not None else ("", "", "")
    band = packed.band if packed is not None else None
    return {
        "box": packed.box.box if packed is not None else "",
        "packed_length_mm": length,
        "packed_width_mm": width,
        "packed_depth_mm": depth,
        "packed_g": round(packed.mass_g, 1) if packed is not None else "",
        "postage_band": f"{band.carrier}, {band.band}" if band is not None else "",
        "postage_price": band.price if band is not None else "",
    }
