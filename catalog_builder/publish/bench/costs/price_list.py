"""Every variant's cost and prices as rows of a table: the price list. Private."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache, partial

from catalog_builder.pricing.calculation import VariantCalculation
from catalog_builder.publish.bench.bench_writer import BenchWriter
from catalog_builder.publish.bench.costs.parcel_lines import parcel_columns
from catalog_builder.publish.bench.workbook_headings import workbook_heading
from catalog_builder.publish.output.folder import Folder
from catalog_builder.publish.output.workbook import Row, as_csv, as_workbook
from catalog_builder.records.studio import Studio
from catalog_builder.units import minor_digits, rounded

_AMOUNTS = ("price", "left", "an_hour", "floor")


def write_price_list(
    calculations: Sequence[VariantCalculation], boxes: bool, writer: BenchWriter, folder: Folder
) -> None:
    """Write ``price_list.csv`` and ``price_list.xlsx``; ``boxes`` says whether there are columns for parcels."""
    key = writer.key("price_list", boxes, calculations)
    rows = cache(partial(price_rows, writer.studio, calculations, boxes))
    folder.make("price_list.csv", key, lambda: as_csv(rows()))
    title, heading = writer.labels("workbook")["price_list"], partial(_heading, writer)
    folder.make("price_list.xlsx", key, lambda: as_workbook(rows(), title, writer.day, 2, heading))


def _heading(writer: BenchWriter, name: str) -> str:
    return workbook_heading(name, writer.studio.channels, writer.phrasing)


def price_rows(studio: Studio, calculations: Sequence[VariantCalculation], boxes: bool) -> list[Row]:
    """Give a row for each variant: what it is, its cost, its amounts in each channel, and its parcel."""
    import pandas as pd

    digits, channels = minor_digits(studio.studio.currency), studio.channels
    variants = pd.DataFrame(
        {
            "variant": variant.offer.sku,
            "product": variant.product.keys.title,
            "size": variant.offer.size,
            "finish": variant.offer.finish,
            "glass": variant.offer.glass,
            "mass_g": round(variant.offer.mass_g, 1),
            "minutes": round(float(variant.cost.minutes), 1),
            "cost": rounded(variant.cost.total, digits),
        }
        for variant in calculations
    )
    amounts = pd.DataFrame(
        (
            (variant.offer.sku, name, variant.prices[name].printed, rounded(earning.left_after_fees, digits),
             rounded(earning.an_hour, digits), earning.floor)
            for variant in calculations
            for name, earning in variant.earnings.items()
        ),
        columns=["variant", "channel", *_AMOUNTS],
    )  # fmt: skip
    wide = amounts.pivot(index="variant", columns="channel")[[(each, name) for each in _AMOUNTS for name in channels]]
    wide.columns = pd.Index([f"{name}_{each}" for each in _AMOUNTS for name in channels])
    parcels = pd.DataFrame([parcel_columns(variant.packed) if boxes else {} for variant in calculations])
    table = variants.merge(wide, left_on="variant", right_index=True).join(parcels)
    return table.to_dict("records")  # type: ignore[return-value]
