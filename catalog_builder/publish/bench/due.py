"""What is due, for the bench's first page: each with its day, what to do, and the papers that settle it. Private.

Everything comes from earlier stages: moves, the price book, plans, market days, ready pieces, reductions and findings.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from enum import IntEnum

from catalog_builder.phrase import Money, Phrase, Value, phrase
from catalog_builder.planning.market_preparation import MarketDay
from catalog_builder.planning.plan import PlannedBatch
from catalog_builder.pricing.calculation import VariantCalculation
from catalog_builder.pricing.price_moves import PriceMove
from catalog_builder.pricing.ready_stock import variant_of
from catalog_builder.publish.bench.bench_writer import BenchWriter
from catalog_builder.publish.bench.market_papers import address_of
from catalog_builder.publish.bench.paper_link import PaperLink
from catalog_builder.records.selling.kept_quote import Quote
from catalog_builder.records.selling.price_book import PriceBook
from catalog_builder.records.selling.reductions import Reductions
from catalog_builder.records.variant import Variant

# What begins or ends within so many days is due: time to print anew. Common practice, no source.
DAYS_AHEAD = 14
# So many things are named, and the rest is counted.
MOST_NAMED = 5


class Weight(IntEnum):
    """What comes first of what is due on the same day: a market waits for nobody, a finding can."""

    MARKET = 1
    SHOPPING = 2
    PRICES = 3
    QUOTE = 4
    REDUCTION = 5
    FINDINGS = 6


@dataclass(frozen=True, slots=True)
class Due:
    """Something that is due on a day: what it is, what to do about it, and where to read on."""

    day: date
    weight: Weight
    sentences: tuple[Phrase, ...]
    papers: tuple[PaperLink, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class DueLine:
    """What is due, in words; ``date`` is its day as ISO 8601 writes it."""

    date: str
    day: str
    text: str
    papers: tuple[PaperLink, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class DueBasis:
    """What earlier stages give: all that can be due follows from it. ``days`` are in their order."""

    day: date
    ready: Mapping[Variant, int]
    book: PriceBook
    quotes: Sequence[Quote]
    reductions: Reductions
    calculations: Sequence[VariantCalculation]
    moved: Sequence[PriceMove]
    plans: Sequence[PlannedBatch]
    days: Sequence[MarketDay]
    finding_count: int

    def is_soon(self, day: date) -> bool:
        """Whether a day is today or within the days that one looks ahead."""
        return self.day <= day <= self.day + timedelta(days=DAYS_AHEAD)


def due_lines(basis: DueBasis, writer: BenchWriter) -> tuple[DueLine, ...]:
    """Put what is due into words, in order of days."""
    return tuple(
        DueLine(
            date=due.day.isoformat(),
            day=writer.say("due.today") if due.day == writer.day else writer.wording.day(due.day),
            text=" ".join(map(writer.phrasing.say, due.sentences)),
            papers=due.papers,
        )
        for due in whatever_is_due(basis, writer)
    )


def whatever_is_due(basis: DueBasis, writer: BenchWriter) -> tuple[Due, ...]:
    """Give what is due by day, and of a day by weight."""
    dues = [
        *_next_market(basis, writer),
        *_next_plan(basis),
        *_moved_prices(basis, writer),
        *_prices_to_come(basis, writer),
        *_quotes(basis),
        *_reductions(basis, writer),
        *_findings(basis, writer),
    ]
    return tuple(sorted(dues, key=lambda due: (due.day, due.weight)))


def _next_market(basis: DueBasis, writer: BenchWriter) -> Iterator[Due]:
    """Give the next market: how many pieces are on its list, how many of them lie ready, and what lacks."""
    day = next(iter(basis.days), None)
    if day is None:
        return
    market, ready = day.market, basis.ready
    if day.carried:
        paper = PaperLink(title=writer.say("bench_papers.market", market=market.name), href=f"{address_of(day)}.html")
        sentences = [phrase("due.market", market=market.name, count=day.count), *_packing(basis, day)]
    else:
        # There is no paper yet: the list is made of what there is to choose from.
        paper = PaperLink(title=writer.labels("bench")["designs"], href="#designs")
        sentences = [phrase("due.no_list", market=market.name)]
        if any(ready.values()):
            sentences.append(phrase("due.could_pack", count=sum(ready.values()), code=market.key))
    yield Due(day.priced, Weight.MARKET, tuple(sentences), (paper,))


def _packing(basis: DueBasis, day: MarketDay) -> Iterator[Phrase]:
    """Say how many of a market's pieces lie ready, what lacks, and how many of that a batch will have made by then.

    A variant that was never counted has none ready.
    """
    ready, planned = basis.ready, Counter[Variant]()
    if not ready:
        yield phrase("due.not_counted")
        return
    for plan in (batch.glass.plan for batch in basis.plans):
        if basis.day <= plan.keys.ready_by <= day.market.date:
            for ordered in plan.ordered:
                planned[Variant(*ordered.chosen)] += ordered.count
    lacking, made, lacks = Counter[str](), 0, 0
    for variant, count in day.counts.values():
        lack = max(count - ready.get(variant_of(variant), 0), 0)
        made += min(lack, planned[variant_of(variant)])
        lacks += lack
        lacking[variant.product.keys.title] += lack
    if not lacks:
        yield phrase("due.all_ready")
        return
    designs = sorted((+lacking).items(), key=lambda item: (-item[1], item[0]))
    named = _named([phrase("due.counted", title=title, count=count) for title, count in designs])
    yield phrase("due.lacking", ready=day.count - lacks, count=lacks, pieces=named)
    if made:
        yield phrase("due.planned", count=made)


def _named(names: Sequence[Phrase]) -> Value:
    """Name the first of many things, and count the rest; a single one more is named too."""
    rest = len(names) - MOST_NAMED
    return tuple(names) if rest <= 1 else (*names[:MOST_NAMED], phrase("due.more", count=rest))


def _next_plan(basis: DueBasis) -> Iterator[Due]:
    """Give what must be bought before the next plan that is not over, where its materials run short."""
    to_come = [batch for batch in basis.plans if batch.glass.plan.keys.ready_by >= basis.day]
    batch = min(to_come, key=lambda batch: (batch.glass.plan.keys.begins, batch.glass.plan.name), default=None)
    bought = [need for need in batch.needs if need.packs] if batch is not None else []
    if batch is None or not bought:
        return
    plan = batch.glass.plan
    packs = [phrase("due.counted", title=need.material.title, count=need.packs) for need in bought]
    sentences = (
        phrase("due.short", count=len(bought), plan=plan.keys.title),
        phrase("due.buy", packs=_named(packs), cost=Money(batch.cost)),
    )
    paper = PaperLink(title=plan.keys.title, href=f"batches/{plan.name}/index.html#shopping")
    yield Due(max(plan.keys.begins, basis.day), Weight.SHOPPING, sentences, (paper,))


def _moved_prices(basis: DueBasis, writer: BenchWriter) -> Iterator[Due]:
    """Give the prices that today's costs move and nothing holds, and the tags that follow once they are recorded."""
    moves = [move for move in basis.moved if not move.held]
    if not moves:
        return
    stall = writer.studio.channel_on("stall")
    tags = sum(move.channel == stall for move in moves)
    paper = PaperLink(title=writer.say("bench_papers.repricing"), href="repricing.html")
    yield Due(
        basis.day,
        Weight.PRICES,
        (phrase("due.moved", count=len(moves)), *([phrase("due.tags", count=tags)] if tags else [])),
        (paper,),
    )


def _prices_to_come(basis: DueBasis, writer: BenchWriter) -> Iterator[Due]:
    """Give the days soon to come on which prices of the book come into force."""
    stall, known = writer.studio.channel_on("stall"), {each.offer.sku for each in basis.calculations}
    rows = [row for row in basis.book.rows if row.date > basis.day and basis.is_soon(row.date)]
    rows = [row for row in rows if row.variant in known and row.channel in writer.studio.channels]
    for day in sorted({row.date for row in rows}):
        changed = {(row.variant, row.channel) for row in rows if row.date == day}
        tags = sum(channel == stall for _, channel in changed)
        sentences = [phrase("due.coming", count=len(changed))]
        sentences += [phrase("due.tags_on_day", count=tags)] if tags else []
        paper = PaperLink(title=writer.say("bench_papers.history"), href="history.html")
        yield Due(day, Weight.PRICES, tuple(sentences), (paper,))


def _quotes(basis: DueBasis) -> Iterator[Due]:
    """Give the quotes that hold no longer soon, and those that have just lapsed."""
    for quote in basis.quotes:
        until, words = quote.keys.until, {"buyer": quote.keys.buyer, "name": quote.name}
        if basis.is_soon(until):
            yield Due(until, Weight.QUOTE, (phrase("due.quote", **words),), ())
        elif basis.day - timedelta(days=DAYS_AHEAD) <= until < basis.day:
            yield Due(basis.day, Weight.QUOTE, (phrase("due.quote_lapsed", **words, day=until),), ())


def _reductions(basis: DueBasis, writer: BenchWriter) -> Iterator[Due]:
    """Give the days soon to come on which reduced prices begin or end, all of a day together."""
    by_variant = {variant_of(each): each for each in basis.calculations if not each.offer.sold}
    stall, turns = writer.studio.channel_on("stall"), dict[tuple[date, str], set[tuple[str, str]]]()
    papers = dict[str, PaperLink]()
    for (variant, channel), rows in basis.reductions.of.items():
        if variant in by_variant:
            offer, title = by_variant[variant].offer, by_variant[variant].product.keys.title
            titled = writer.say("due.titled", title=title, variant=offer.words)
            papers[offer.sku] = PaperLink(title=titled, href=f"cards/{offer.sku}.html")
            for row in rows:
                for turn, day in (("begin", row.first_day), ("end", row.last_day)):
                    if basis.is_soon(day):
                        turns.setdefault((day, turn), set()).add((offer.sku, channel))
    for (day, turn), reduced in turns.items():
        codes = sorted({sku for sku, _ in reduced})
        at_stall = any(channel == stall for _, channel in reduced)
        advice = phrase(f"due.{turn}_tags" if at_stall else f"due.{turn}_publish")
        sentences = (phrase(f"due.{turn}", count=len(codes)), advice)
        yield Due(day, Weight.REDUCTION, sentences, tuple(papers[code] for code in codes[:MOST_NAMED]))


def _findings(basis: DueBasis, writer: BenchWriter) -> Iterator[Due]:
    if basis.finding_count:
        sentences = (phrase("due.findings", count=basis.finding_count),)
        paper = PaperLink(title=writer.labels("bench")["findings"], href="#findings")
        yield Due(basis.day, Weight.FINDINGS, sentences, (paper,))
