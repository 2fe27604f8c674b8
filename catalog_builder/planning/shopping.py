"""What a plan takes of every material, what of it is on hand, and the packs to buy. Private: cost and suppliers."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import ROUND_CEILING, Decimal

from catalog_builder.planning.plan_layout import PlanGlass
from catalog_builder.records.kept_layout import KeptLayout
from catalog_builder.records.material import Material
from catalog_builder.records.materials import Materials
from catalog_builder.records.stock import Stock
from catalog_builder.units import exact


@dataclass(frozen=True, slots=True)
class Need:
    """A material of a plan: what is needed and on hand, in its unit, and how many packs make up for the rest.

    ``cost`` is that of the packs at the price in force; ``estimated`` where glass has not been laid on sheets.
    """

    material: Material
    needed: Decimal
    on_hand: Decimal
    packs: int
    pack_price: Decimal
    estimated: bool = False

    @property
    def cost(self) -> Decimal:
        """What the packs cost."""
        return self.packs * self.pack_price


def read_needs(planned: PlanGlass, materials: Materials, stock: Stock, day: date) -> tuple[Need, ...]:
    """Give what a plan takes: glass first, the rest in the order of the materials' kinds and names."""
    rows, amounts = materials.rows, dict[str, Decimal]()
    for ordered, variant in planned.ordered_variants:
        for line in variant.cost.lines:
            if line.key in rows and (line.group != "glass" or rows[line.key].ready_made):
                amounts[line.key] = amounts.get(line.key, Decimal(0)) + line.quantity * ordered.count
    kinds = list(dict.fromkeys(row.kind for row in rows.values()))
    names = sorted(amounts, key=lambda name: (kinds.index(rows[name].kind), name))
    is_laid = planned.layout is not None
    glass = _whole_sheets(planned.layout) if planned.layout is not None else _by_boxes(planned)

    def need(name: str, amount: Decimal, estimated: bool) -> Need:
        price = materials.price(name, day)
        return _need(rows[name], amount, stock.of(name), price.price if price else Decimal(0), estimated)

    return (
        *(need(name, amount, not is_laid) for name, amount in glass.items() if amount),
        *(need(name, amounts[name], False) for name in names),
    )


def _need(material: Material, needed: Decimal, on_hand: Decimal, pack_price: Decimal, estimated: bool) -> Need:
    lacking = max(needed - on_hand, Decimal(0))
    # A lack smaller than any scale or rule can show is none.
    packs = int((exact(float(lacking / material.pack_amount), 6)).to_integral_value(rounding=ROUND_CEILING))
    return Need(material, needed, on_hand, packs, pack_price, estimated)


def _whole_sheets(layout: KeptLayout) -> dict[str, Decimal]:
    """Give the whole sheets of a layout in dm2 by glass; what is cut from offcuts need not be bought."""
    return {
        laid.material: sum(
            (exact(sheet.width_mm * sheet.height_mm / 10_000) for sheet in laid.sheets if not sheet.offcut), Decimal(0)
        )
        for laid in layout.glasses
    }


def _by_boxes(planned: PlanGlass) -> dict[str, Decimal]:
    """Estimate the glass in dm2 by the pieces' boxes, as it is charged; the edges of sheets are left out."""
    return {
        glass.material.material: exact(glass.boxes_mm2 / 10_000) * (1 + glass.material.loss_percent / 100)
        for glass in planned.glasses
    }
