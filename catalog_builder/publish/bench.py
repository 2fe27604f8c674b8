"""The bench's own papers: cost cards and price lists. Private: they hold costs, suppliers' rows and floor prices."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from io import BytesIO

from catalog_builder.mistake import Finding
from catalog_builder.pricing.cost import CostLine
from catalog_builder.publish.change_sheet import change_csv, change_page
from catalog_builder.publish.folder import Folder
from catalog_builder.publish.harmless import harmless
from catalog_builder.publish.pages import Theme
from catalog_builder.publish.pattern_sheet import write_pattern_sheets
from catalog_builder.publish.views import StudioView
from catalog_builder.publish.wording import Wording
from catalog_builder.reckoning import Reckoning
from catalog_builder.records.content import Content
from catalog_builder.repricing import Moved
from catalog_builder.units import minor_digits, rounded

GROUPS = ("glass", "foil", "solder", "wire", "hanging", "consumables", "packing", "labour", "overhead")
UNITS = {"each": "", "min": " min", "dm2": " dm²"}


@dataclass(frozen=True, slots=True)
class CardLine:
    """A line of a cost card, in words."""

    name: str
    quantity: str
    unit_price: str
    source: str
    amount: str


@dataclass(frozen=True, slots=True)
class CardGroup:
    """Lines of one kind with their heading."""

    heading: str
    rows: tuple[CardLine, ...]


@dataclass(frozen=True, slots=True)
class StepLine:
    """A step's minutes and how they were reckoned."""

    name: str
    minutes: str
    formula: str


@dataclass(frozen=True, slots=True)
class ChannelLine:
    """What a channel's price leaves."""

    title: str
    price: str
    kept: str
    margin: str
    hour: str
    floor: str


@dataclass(frozen=True, slots=True)
class IndexLine:
    """A variant in the list of all."""

    title: str
    href: str
    variant: str
    cost: str
    prices: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Papers:
    """All that the bench's papers are made of."""

    content: Content
    reckonings: tuple[Reckoning, ...]
    findings: tuple[Finding, ...]
    moved: tuple[Moved, ...]
    theme: Theme


def write_bench(papers: Papers, folder: Folder) -> int:
    """Write a cost card for each variant, a pattern sheet for each size, the list of all, and the prices as a table."""
    for name, data in papers.theme.assets():
        if name.startswith(("assets/bench", "assets/fonts/")):
            folder.write(name, data)
    wording = Wording.of(papers.content.studio.studio)
    studio = _studio(papers.content)
    for reckoning in papers.reckonings:
        folder.write(f"cards/{reckoning.offer.sku}.html", _card(papers, reckoning, wording, studio))
    channels = papers.content.studio.channels
    rows = tuple(
        IndexLine(
            one.product.keys.title,
            f"cards/{one.offer.sku}.html",
            variant_text(one),
            wording.money(one.cost.total),
            tuple(wording.money(one.prices[name].printed) for name in channels),
        )
        for one in papers.reckonings
    )
    folder.write(
        "index.html",
        papers.theme.render(
            "cost_index.html",
            studio=studio,
            style_href="assets/bench.css",
            language=papers.content.studio.studio.language,
            rows=rows,
            patterns=write_pattern_sheets(papers.content, papers.reckonings, papers.theme, folder),
            channel_titles=tuple(channel.title for channel in channels.values()),
            findings=tuple(f"{finding.code}: {finding.text}. {finding.advice}" for finding in papers.findings),
        ),
    )
    csv, workbook = _price_lists(papers)
    folder.write("price_list.csv", csv)
    folder.write("price_list.xlsx", workbook)
    folder.write("repricing.html", change_page(papers.moved, papers.content, papers.theme, "assets/bench.css"))
    folder.write("repricing.csv", change_csv(papers.moved, papers.content, papers.theme))
    return len(papers.reckonings) + 2


def variant_text(one: Reckoning) -> str:
    """Name a variant by what sets it apart."""
    return ", ".join(word for word in (one.offer.size, one.offer.finish, one.offer.glass) if word)


def card_groups(one: Reckoning, wording: Wording) -> Iterator[tuple[str, tuple[CardLine, ...]]]:
    """Give the lines of a cost card in their groups, worded."""
    for group in GROUPS:
        lines = [line for line in one.cost.lines if line.group == group]
        if lines:
            yield group, tuple(_line(line, wording) for line in lines)


def _line(line: CostLine, wording: Wording) -> CardLine:
    unit = UNITS.get(line.unit, f" {line.unit}")
    return CardLine(
        line.name,
        f"{wording.number(line.quantity, 3)}{unit}",
        f"{wording.fine_money(line.unit_price)}{' per' + unit if unit else ''}",
        f"{line.pack}; {line.source}; {line.basis}",
        wording.money(line.amount),
    )


def channel_lines(one: Reckoning, content: Content, wording: Wording) -> tuple[ChannelLine, ...]:
    """Give what each channel's price leaves, worded."""
    return tuple(
        ChannelLine(
            channel.title,
            wording.money(one.prices[name].printed),
            wording.money(one.earnings[name].left_after_fees),
            wording.percent(one.earnings[name].margin),
            wording.money(one.earnings[name].an_hour),
            wording.money(one.earnings[name].floor),
        )
        for name, channel in content.studio.channels.items()
    )


def _card(papers: Papers, one: Reckoning, wording: Wording, studio: StudioView) -> str:
    labels = papers.theme.labels["groups"]
    offer, hung = one.offer, one.hung
    notes = (
        papers.theme.words(
            "bench", "measured", pieces=len(one.made.cuts), seam=wording.number(one.measures.seam_m, 2),
            rim=wording.number(one.measures.rim_m, 2), joints=len(one.made.edges.joints),
        ),
        papers.theme.words(
            "bench", "weighed", mass=wording.mass(offer.mass_g), ring=hung.ring.title,
            load=wording.mass(hung.ring_load_g), factor=papers.content.studio.hanging.safety_factor,
        ),
        papers.theme.words("bench", "waiting", minutes=wording.number(one.cost.waiting, 0)),
        papers.theme.labels["bench"]["estimate"],
    )  # fmt: skip
    return papers.theme.render(
        "cost_card.html",
        studio=studio,
        style_href="../assets/bench.css",
        language=papers.content.studio.studio.language,
        title=one.product.keys.title,
        variant=variant_text(one),
        groups=tuple(CardGroup(labels[group], rows) for group, rows in card_groups(one, wording)),
        total=wording.money(one.cost.total),
        steps=tuple(StepLine(time.title, wording.number(time.minutes, 1), time.basis) for time in one.times),
        channels=channel_lines(one, papers.content, wording),
        notes=notes,
    )


def _studio(content: Content) -> StudioView:
    keys = content.studio.studio
    return StudioView(keys.name, keys.maker, keys.tagline, keys.place, keys.email, f"mailto:{keys.email}")


def _price_lists(papers: Papers) -> tuple[bytes, bytes]:
    """Give every variant's cost and prices as a table, once as CSV and once as XLSX."""
    import pandas as pd

    digits = minor_digits(papers.content.studio.studio.currency)
    channels = papers.content.studio.channels
    rows = [
        {
            "sku": harmless(one.offer.sku),
            "product": harmless(one.product.keys.title),
            "size": harmless(one.offer.size),
            "finish": harmless(one.offer.finish),
            "glass": harmless(one.offer.glass),
            "mass_g": round(one.offer.mass_g, 1),
            "minutes": round(float(one.cost.minutes), 1),
            "cost": rounded(one.cost.total, digits),
            **{f"{name}_price": one.prices[name].printed for name in channels},
            **{f"{name}_left": rounded(one.earnings[name].left_after_fees, digits) for name in channels},
            **{f"{name}_an_hour": rounded(one.earnings[name].an_hour, digits) for name in channels},
            **{f"{name}_floor": one.earnings[name].floor for name in channels},
        }
        for one in papers.reckonings
    ]
    frame = pd.DataFrame(rows)
    numbers = frame.map(lambda value: float(value) if isinstance(value, Decimal) else value)
    data = BytesIO()
    day = papers.content.day
    with pd.ExcelWriter(data, engine="xlsxwriter") as writer:
        book = writer.book
        book.set_properties({"created": pd.Timestamp(day).to_pydatetime()})
        numbers.to_excel(writer, sheet_name="Prices", index=False, freeze_panes=(1, 2))
        sheet = writer.sheets["Prices"]
        sheet.autofit()
    return frame.to_csv(index=False, lineterminator="\r\n").encode("utf-8-sig"), data.getvalue()
