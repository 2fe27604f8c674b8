"""The command ``tags``: which tags are printed, and the PDF of them in the stall's folder."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path

from catalog_builder.build import calculate
from catalog_builder.cache.atomic_file import replace_file
from catalog_builder.mistake import MistakeError, Place, WordedFinding, listed, nearest, quoted
from catalog_builder.phrase import Phrase, phrase, quantity
from catalog_builder.pricing.calculation import VariantCalculation
from catalog_builder.pricing.priced_day import offers_on
from catalog_builder.publish.sheets.pagination import in_parts
from catalog_builder.publish.stall.tag_sheet import TagOrder, Tags, TagSheet, make_tags, room_for_marks
from catalog_builder.publish.studio_calculation import Progress, StudioCalculation
from catalog_builder.publish.theme.phrasing import Phrasing
from catalog_builder.records.selling.label_sheet import USUAL, LabelSheet
from catalog_builder.records.selling.market_date import Market, coming, priced_day
from catalog_builder.records.selling.price_book import PriceBook
from catalog_builder.records.selling.tag_list import read_tag_list
from catalog_builder.records.studio import Studio
from catalog_builder.records.variant import Variant
from catalog_builder.units import minor_digits, rounded

MOST_TAGS = 5_000


@dataclass(frozen=True, slots=True)
class TagRequest:
    """What the maker asked for; ``first_cell`` counts from 1. Without a sheet, the usual one of the studio's paper."""

    sheet: str | None = None
    since: date | None = None
    packing: Path | None = None
    first_cell: int = 1
    crop_marks: bool = False
    copies: int = 1


@dataclass(frozen=True, slots=True)
class TagRun:
    """What was printed, at which day's prices, on which sheet and where; nothing where no tag was wanted."""

    tags: Tags | None
    sheet: LabelSheet
    paths: tuple[Path, ...]
    phrasing: Phrasing
    priced: date

    @property
    def findings(self) -> tuple[WordedFinding, ...]:
        """What the maker should know of the tags."""
        return self.tags.findings if self.tags is not None else ()


def print_tags(project: Path, day: date, asked: TagRequest, progress: Progress) -> TagRun:
    """Write ``site_output/stall/tags.pdf``, and ``tags-2.pdf`` and so on where there are many.

    Raises:
        MistakeError: the records, the list or what was asked for have mistakes; nothing is written.
    """
    path = project / "site_output" / "stall" / "tags.pdf"
    calculated = calculate(project, day, progress)
    phrasing = calculated.phrasing
    sheet, tags = set_tags(calculated, asked)
    if tags is None:
        return TagRun(None, sheet, (path,), phrasing, day)
    paths = tuple(path.with_name(part.name(path.name)) for part, _ in in_parts(tags.pdfs, 1))
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        for part_path, pdf in zip(paths, tags.pdfs, strict=True):
            replace_file(part_path, pdf)
        for old in set(path.parent.glob("tags-[0-9]*.pdf")) - set(paths):
            old.unlink()
    except OSError as error:
        wrong = f"the tags cannot be written ({error.strerror})"
        raise MistakeError.at(
            Place(path=path.relative_to(project).as_posix()),
            wrong=wrong,
            expected="a file that this user may write",
            mend="close it in other programs and run the command again",
        ) from None
    market = market_of(calculated.content.studio.markets, project, day, asked)
    return TagRun(tags, sheet, paths, phrasing, priced_day(market, day) if market is not None else day)


def set_tags(calculated: StudioCalculation, asked: TagRequest) -> tuple[LabelSheet, Tags | None]:
    """Set the tags that were asked for, or none where no price has changed.

    Raises:
        MistakeError: there is no such sheet or cell, or the list has mistakes.
    """
    content = calculated.content
    sheet, orders = _sheet(content.label_sheets, content.studio.studio.paper, asked), _orders(calculated, asked)
    count = sum(order.count for order in orders)
    if count > MOST_TAGS:
        raise _refused("--copies", f"{count} tags would be printed", f"at most {MOST_TAGS}", "print fewer at a time")
    if not orders:
        return sheet, None
    on = TagSheet(sheet, asked.first_cell - 1, asked.crop_marks)
    return sheet, make_tags(orders, on, content.studio.studio, content.day, calculated.theme)


def tag_lines(run: TagRun) -> Iterator[str]:
    """Say how many tags stand on how many sheets, and where."""
    return map(run.phrasing.say, _tag_phrases(run))


def _tag_phrases(run: TagRun) -> Iterator[Phrase]:
    tags, sheet = run.tags, run.sheet
    if tags is None:
        yield phrase("commands.no_tags")
        return
    yield phrase(
        "commands.tags_made",
        tags=phrase("commands.tags", count=tags.count),
        sheets=phrase("commands.sheets", count=tags.sheets),
        name=sheet.name,
        paper=sheet.paper,
        cells=sheet.count,
    )
    yield phrase("commands.prices_of", day=run.priced)
    if tags.least_module_mm:
        yield phrase("commands.tags_module", size=quantity(tags.least_module_mm, "mm", 2))
    for path in run.paths:
        yield phrase("commands.tags_print", path=str(path))


def _sheet(known: Mapping[str, LabelSheet], paper: str, asked: TagRequest) -> LabelSheet:
    name = asked.sheet or USUAL[paper]
    if name not in known:
        guess = nearest(name, known) or next((sheet for sheet in sorted(known) if sheet.startswith(name)), None)
        mend = f"did you mean {guess!r}?" if guess else f"describe it in content/labels/{name}.toml"
        raise _refused("--sheet", f"there is no sheet {quoted(name)}", f"one of: {listed(known)}", mend)
    sheet = known[name]
    if asked.first_cell > sheet.count:
        wrong = f"the sheet {name!r} has no cell {asked.first_cell}"
        mend = "count the cells in reading order, from the upper left"
        raise _refused("--first-cell", wrong, f"a number from 1 to {sheet.count}", mend)
    if asked.crop_marks and not room_for_marks(sheet):
        wrong = f"the margins of {name!r} have no room for crop marks"
        raise _refused("--crop-marks", wrong, "a sheet with 7 mm on every side", "choose a sheet for plain paper")
    return sheet


def _orders(calculated: StudioCalculation, asked: TagRequest) -> list[TagOrder]:
    """Choose the variants: those of the list, or all for sale; of them those that are dearer or cheaper since."""
    content = calculated.content
    market = market_of(content.studio.markets, content.project, content.day, asked)
    listings = {listing.slug: listing for listing in calculated.listings}
    by_variant = {
        Variant(each.product.slug, each.size, each.finish, each.choice): each for each in calculated.calculations
    }  # fmt: skip
    if asked.packing is not None:
        products = {product.slug: product for product in content.products}
        counts = read_tag_list(content.project, asked.packing.resolve(), products)
        chosen = [(by_variant[variant], count) for variant, count in counts.items()]
        if market is not None:
            slugs = frozenset(variant.product.slug for variant, _ in chosen)
            offers = offers_on(content.price_records, calculated.calculations, priced_day(market, content.day), slugs)
            chosen = [(replace(variant, offer=offers[variant.offer.sku]), count) for variant, count in chosen]
    else:
        chosen = [(each, 1) for each in by_variant.values() if not each.offer.sold]
    orders = [
        TagOrder(listings[variant.product.slug], variant.offer, count * asked.copies)
        for variant, count in _changed(chosen, content.studio, content.book, asked.since)
    ]
    # The book records no price of a set: a list of changed prices has none.
    sets = [each.listing for each in calculated.sets] if asked.packing is None and asked.since is None else []
    return orders + [TagOrder(each, each.offers[0], asked.copies) for each in sets if not each.sold]


def market_of(markets: tuple[Market, ...], project: Path, day: date, asked: TagRequest) -> Market | None:
    """Give the coming market whose packing list was asked for; None where the list is no market's."""
    if asked.packing is None or asked.packing.resolve().parent != (project / "content" / "markets").resolve():
        return None
    return next((market for market in coming(markets, day) if market.key == asked.packing.stem), None)


def _changed(
    chosen: Sequence[tuple[VariantCalculation, int]], studio: Studio, book: PriceBook, since: date | None
) -> list[tuple[VariantCalculation, int]]:
    """Keep variants whose stall price is not what the book had in force on a day, or had none then."""
    if since is None:
        return list(chosen)
    stall, digits = studio.channel_on("stall"), minor_digits(studio.studio.currency)
    kept = []
    for variant, count in chosen:
        before = book.last(variant.offer.sku, stall, since)
        if before is None or rounded(before.price, digits) != variant.offer.stall_price:
            kept.append((variant, count))
    return kept


def _refused(option: str, wrong: str, expected: str, mend: str) -> MistakeError:
    return MistakeError.at(Place(path=option), wrong=wrong, expected=expected, mend=mend)
