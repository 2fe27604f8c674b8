"""The command ``quote``: a commission priced by the studio's rules, its PDF for the buyer, its private cost cards."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path
from tempfile import TemporaryDirectory

from catalog_builder.build import calculate_all, read
from catalog_builder.cache.store import Store
from catalog_builder.commands.written_papers import write_papers
from catalog_builder.mistake import Finding, WordedFinding, no_such_record
from catalog_builder.phrase import Money, Phrase, phrase
from catalog_builder.pricing.bill import Bill, bill_of
from catalog_builder.pricing.calculation import VariantCalculation, asked_price, listing_of
from catalog_builder.publish.bench.bench_writer import BenchWriter
from catalog_builder.publish.bench.costs.cost_card import Parcels, card_page
from catalog_builder.publish.bench.customers.quote_sheet import OfferedItem, QuoteSheet, quote_sheet
from catalog_builder.publish.drawn_models import kept_view
from catalog_builder.publish.pictures.piece_drawing import metal_of, picture_svg
from catalog_builder.publish.product_calculation import ProductCalculator
from catalog_builder.publish.studio_calculation import Progress, quiet
from catalog_builder.publish.theme.loading import Theme
from catalog_builder.publish.theme.phrasing import Phrasing
from catalog_builder.records.content import Content
from catalog_builder.records.material import Material
from catalog_builder.records.reading.toml import key_line
from catalog_builder.records.selling.kept_quote import Quote
from catalog_builder.records.selling.quoted_item import QuotedItem
from catalog_builder.records.studio import Studio
from catalog_builder.units import minor_digits


@dataclass(frozen=True, slots=True)
class PricedQuote:
    """A quote with every item calculated, private; ``sheet`` is what the buyer may see of it."""

    studio: Studio
    quote: Quote
    calculations: tuple[VariantCalculation, ...]
    sheet: QuoteSheet
    findings: tuple[Finding, ...]

    @property
    def bill(self) -> Bill:
        """What the buyer is asked for."""
        return self.sheet.bill

    @property
    def phrasing(self) -> Phrasing:
        """The studio's language and numbers, and its theme's labels."""
        return Phrasing.of(self.sheet.theme, self.studio.studio)


@dataclass(frozen=True, slots=True)
class QuoteRun:
    """What was written, and what is said of it."""

    findings: tuple[WordedFinding, ...]
    lines: tuple[str, ...]


def write_quote(project: Path, day: date, name: str, progress: Progress) -> QuoteRun:
    """Price a quote as of its own day, and write its PDF and its cost cards under ``site_output/quotes/``.

    Raises:
        MistakeError: the records have mistakes, there is no such quote, or a drawing of it has mistakes.
        OutputError: the papers cannot be written.
    """
    content, theme = read(project, day)
    quote = quote_named(content.quotes, name)
    with TemporaryDirectory() as place:
        # What is made for one buyer is measured once: nothing of it is kept among what builds use again.
        store = Store(Path(place))
        priced = price_quote(content, theme, quote, store, progress)
        parcels = Parcels(boxes=bool(content.boxes), postage=bool(content.postage))
        papers = {
            f"{name}.pdf": quote_sheet(priced.sheet).pdf(),
            **dict(_cards(priced, content.materials.rows, parcels, store)),
        }
    folder = project / "site_output" / "quotes" / name
    write_papers(folder, papers)
    findings = tuple(map(priced.phrasing.finding, priced.findings))
    return QuoteRun(findings, tuple(map(priced.phrasing.say, _said(priced, folder))))


def quote_named(quotes: tuple[Quote, ...], name: str) -> Quote:
    """Give a quote by its file's name.

    Raises:
        MistakeError: there is none of that name.
    """
    by_name = {quote.name: quote for quote in quotes}
    if name not in by_name:
        raise no_such_record("quote", name, by_name, "content/quotes/hall-window.toml")
    return by_name[name]


def price_quote(content: Content, theme: Theme, quote: Quote, store: Store, progress: Progress = quiet) -> PricedQuote:
    """Calculate every item by the prices of the quote's own day, and add up what the buyer is asked for.

    Raises:
        MistakeError: a drawing or its hardware has mistakes, or a material has no price on the day.
    """
    studio, keys, day = content.studio, quote.keys, content.day
    dated = replace(content, day=keys.dated)
    calculator = ProductCalculator.of(dated, store)
    listed_variants, findings = dict[tuple[str, str, str, str], VariantCalculation](), list[Finding]()
    if any(item.listed is not None for item in quote.items):
        calculated = calculate_all(dated, theme, progress)
        listed_variants = {
            (each.product.slug, each.size, each.finish, each.choice): each for each in calculated.calculations
        }
    calculations = list[VariantCalculation]()
    for item in quote.items:
        if item.listed is None:
            calculations += calculator.variants(item.product, findings)
        else:
            variant = item.listed
            calculations.append(listed_variants[variant.product, variant.size, variant.finish, variant.choice])
    items = tuple(
        _offered(studio, content.materials.rows, quote.channel, item, variant)
        for item, variant in zip(quote.items, calculations, strict=True)
    )
    channel = studio.channels[quote.channel]
    amounts = [item.count * item.asked.printed for item in items]
    amounts += [keys.carriage] if keys.carriage else []
    bill = bill_of(channel, amounts, minor_digits(studio.studio.currency), keys.deposit_percent)
    sheet = QuoteSheet(studio=studio.studio, channel=channel, keys=keys, items=items, bill=bill, day=day, theme=theme)
    findings += _lapsed(quote, sheet)
    return PricedQuote(studio, quote, tuple(calculations), sheet, tuple(dict.fromkeys(findings)))


def _offered(
    studio: Studio, rows: Mapping[str, Material], channel: str, item: QuotedItem, variant: VariantCalculation
) -> OfferedItem:
    own = replace(
        variant.product,
        keys=variant.product.keys.model_copy(
            update={
                "finishes": (variant.finish,),
                "glass": {variant.choice: variant.product.keys.glass[variant.choice]},
            }
        ),
    )
    metal = metal_of(studio.finishes[variant.finish].title)
    return OfferedItem(
        title=item.title,
        note=item.note,
        count=item.count,
        listing=listing_of(studio, rows, own, [variant]),
        offer=variant.offer,
        asked=asked_price(studio, variant.prices, channel),
        drawn=picture_svg(
            variant.made, variant.suspension, variant.made.glass, metal, (item.title, f"quoted-{variant.offer.sku}")
        ),
    )


def _lapsed(quote: Quote, sheet: QuoteSheet) -> Iterator[Finding]:
    if sheet.lapsed:
        yield Finding(
            code="Q01",
            place=quote.source.place(key_line(quote.source.text, ("until",))),
            text=phrase("quote.lapsed_finding", name=quote.name, day=quote.keys.until),
            advice=phrase("quote.lapsed_advice"),
        )


def _cards(
    priced: PricedQuote, rows: Mapping[str, Material], parcels: Parcels, store: Store
) -> Iterator[tuple[str, bytes]]:
    """Give a cost card for each item, as the bench has one for each variant, and the styles that it needs."""
    theme = priced.sheet.theme
    writer = BenchWriter(studio=priced.studio, theme=theme, day=priced.quote.keys.dated)
    for number, variant in enumerate(priced.calculations, 1):
        hanging = kept_view(variant.product, variant.assembled, writer.phrasing, theme.key, store)
        page = card_page(variant, rows, parcels, hanging, (), writer)
        yield f"private/cards/{number}.html", page.encode()
    for name, data in theme.assets():
        if name.startswith(("assets/bench", "assets/fonts/")):
            yield f"private/{name}", data


def _said(priced: PricedQuote, folder: Path) -> Iterator[Phrase]:
    """Say what is asked for, what it leaves the maker, and where the papers lie."""
    keys, bill = priced.quote.keys, priced.bill
    yield phrase("quote.said_prices", day=keys.dated, until=keys.until)
    for item, variant in zip(priced.sheet.items, priced.calculations, strict=True):
        yield phrase("quote.said_item", count=item.count, title=item.title, price=Money(item.asked.printed))
        earning = variant.earnings[priced.quote.channel]
        amounts = {"cost": Money(variant.cost.total), "floor": Money(earning.floor), "hour": Money(earning.an_hour)}
        yield phrase("quote.said_private", batch=variant.batch, **amounts)
    total = Money(bill.due.total)
    taxed = phrase("quote.said_total_taxed", total=total, tax=Money(bill.due.tax))
    yield taxed if bill.due.tax else phrase("quote.said_total", total=total)
    if bill.deposit.total:
        yield phrase("quote.said_deposit", deposit=Money(bill.deposit.total), balance=Money(bill.balance.total))
    yield phrase("commands.print_at", path=str(folder / f"{priced.quote.name}.pdf"))
    for number in range(1, len(priced.calculations) + 1):
        yield phrase("quote.said_card", path=str(folder / "private" / "cards" / f"{number}.html"))
