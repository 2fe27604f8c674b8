"""What a plan takes of every material, what of it is on hand, and the packs to buy. Private: cost and suppliers."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import ROUND_CEILING, Decimal

from catalog_builder.making.cutting_list import cuts_of
from catalog_builder.planning.plan_layout import PlanGlass
from catalog_builder.records.content import Content
from catalog_builder.records.material import Material
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


def read_needs(content: Content, found: PlanGlass) -> tuple[Need, ...]:
    """Give what a plan takes: glass first, the rest in the order of the materials' kinds and names."""
    amounts: dict[str, Decimal] = {}
    for ordered, one in found.wanted:
        for line in one.cost.lines:
            if line.key in content.materials.rows and line.group != "glass":
                amounts[line.key] = amounts.get(line.key, Decimal(0)) + line.quantity * ordered.count
    rows = content.materials.rows
    kinds = list(dict.fromkeys(row.kind for row in rows.values()))
    names = sorted(amounts, key=lambda name: (kinds.index(rows[name].kind), name))
    laid = found.layout is not None
    glass = sheets_needed(found) if laid else _by_boxes(content, found)
    needs = [_need(content, name, amount, not laid) for name, amount in glass.items() if amount]
    return (*needs, *(_need(content, name, amounts[name], False) for name in names))


def _need(content: Content, name: str, needed: Decimal, estimated: bool) -> Need:
    material, have = content.materials.rows[name], content.stock.of(name)
    price = content.materials.price(name, content.day)
    lacking = max(needed - have, Decimal(0))
    # What is short by less than any scale or rule shows is there.
    packs = int((exact(float(lacking / material.pack_amount), 6)).to_integral_value(rounding=ROUND_CEILING))
    return Need(material, needed, have, packs, price.price if price else Decimal(0), estimated)


def sheets_needed(found: PlanGlass) -> dict[str, Decimal]:
    """Give the whole sheets of the layout in dm2 by glass; what is cut from offcuts need not be bought."""
    if found.layout is None:
        return {}
    return {
        laid.material: sum(
            (exact(sheet.width_mm * sheet.height_mm / 10_000) for sheet in laid.sheets if not sheet.offcut), Decimal(0)
        )
        for laid in found.layout.glasses
    }


def _by_boxes(content: Content, found: PlanGlass) -> dict[str, Decimal]:
    """Estimate the glass by the pieces' boxes, as it is charged: what a sheet loses at its edges is not in it."""
    clearance = float(content.studio.making.cutting_clearance_mm)
    boxes: dict[str, float] = {}
    for ordered, one in found.wanted:
        choice = ordered.product.keys.glass[ordered.choice]
        for cut in cuts_of(one.made, clearance):
            name = choice.pieces[cut.glass]
            boxes[name] = boxes.get(name, 0.0) + cut.charged_mm2 * cut.count * ordered.count
    rows = content.materials.rows
    return {name: exact(boxes[name] / 10_000) * (1 + rows[name].loss_percent / 100) for name in sorted(boxes)}


def total_cost(needs: Sequence[Need]) -> Decimal:
    """Give what all packs cost together."""
    return sum((need.cost for need in needs), Decimal(0))
