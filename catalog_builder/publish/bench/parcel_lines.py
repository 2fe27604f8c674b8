"""A variant's parcel on the bench's papers: what it is packed in, how large and heavy it is, and what carries it."""

from __future__ import annotations

from catalog_builder.making.parcel import length_and_girth
from catalog_builder.pricing.calculation import VariantCalculation
from catalog_builder.publish.output.workbook import Row
from catalog_builder.publish.theme.loading import Theme
from catalog_builder.publish.theme.wording import Wording
from catalog_builder.records.content import Content


def parcel_notes(content: Content, one: VariantCalculation, theme: Theme, wording: Wording) -> tuple[str, ...]:
    """Give what a cost card says of the parcel; nothing where the studio keeps no table of boxes."""
    if not content.boxes:
        return ()
    if one.packed is None:
        return (theme.labels["bench"]["by_hand"],)
    packed, band = one.packed, one.packed.band
    carried = theme.labels["bench"]["no_band"] if content.postage else ""
    if band is not None:
        words = f"{band.carrier}, {band.band}"
        carried = theme.words("bench", "band", price=wording.money(band.price), band=words)
    return (
        theme.words(
            "bench",
            "packed",
            box=packed.box.title,
            size=wording.parcel(packed.sides_mm),
            weight=wording.parcel_mass(packed.mass_g),
            girth=wording.length(length_and_girth(packed.sides_mm)),
            band=carried,
        ).strip(),
    )


def parcel_columns(content: Content, one: VariantCalculation) -> Row:
    """Give a variant's parcel as cells of the price list: mm and g, empty where it goes by hand."""
    if not content.boxes:
        return {}
    packed = one.packed
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
