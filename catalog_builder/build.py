"""The whole way: read -> size -> measure -> hang -> pack -> cost -> price -> picture -> publish.

Each stage takes plain values and gives plain values; none reaches back, and none reads a file that an
earlier one should have read.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path

from catalog_builder.hanging.advice import hanging_findings
from catalog_builder.hanging.hung import Hung, hang
from catalog_builder.hanging.made import Made, make
from catalog_builder.making.glass_share import GlassShare
from catalog_builder.making.labour import read_times
from catalog_builder.making.quantities import read_measures, read_uses
from catalog_builder.mistake import Finding, Mistake, MistakeError
from catalog_builder.offer import Listing
from catalog_builder.packing.pack import pack
from catalog_builder.packing.parcel import Packed
from catalog_builder.pattern.measured import measure
from catalog_builder.pattern.sizes import read_sizes
from catalog_builder.pictures.album import check_photos, photo_findings, take_shots
from catalog_builder.pictures.gallery import Model, Pictures, draw
from catalog_builder.planning.laid import read_shares
from catalog_builder.pricing.book import Terms, standings
from catalog_builder.pricing.consistency import price_findings
from catalog_builder.pricing.cost import read_cost
from catalog_builder.pricing.policy import read_earning, read_prices
from catalog_builder.publish.bench import Papers, write_bench
from catalog_builder.publish.catalogue import write_catalogue
from catalog_builder.publish.caution_lines import cautioned
from catalog_builder.publish.edition import make_edition
from catalog_builder.publish.folder import KEPT, Write, publish_together
from catalog_builder.publish.listing_view import Shown
from catalog_builder.publish.pages import Theme, read_theme
from catalog_builder.publish.stall import Laid, write_stall
from catalog_builder.publish.weighing import buyer_words
from catalog_builder.publish.wording import Wording
from catalog_builder.reckoning import Reckoning, glass_charge, listing_of, offer_of, priced, sku_of
from catalog_builder.records.content import Content, read_content
from catalog_builder.records.product import Product
from catalog_builder.repricing import Moved, book_findings, moved_from_book
from catalog_builder.store import Store
from catalog_builder.takings import market_findings
from catalog_builder.units import minor_digits

# Called with what is being done, how many are done, and how many there are.
Tell = Callable[[str, int, int], None]


def quiet(_what: str, _done: int, _total: int) -> None:
    """Tell nobody how far the work is."""


@dataclass(frozen=True, slots=True)
class Reckoned:
    """All that a build knows before it makes a picture or writes a file."""

    content: Content
    theme: Theme
    reckonings: tuple[Reckoning, ...]
    listings: tuple[Listing, ...]
    moved: tuple[Moved, ...]
    findings: tuple[Finding, ...]


@dataclass(frozen=True, slots=True)
class Published:
    """What a build made, counted; and files of the maker's own that were carried over."""

    products: int
    variants: int
    pages: int
    photos: int
    prices: int
    findings: tuple[Finding, ...]
    carried_over: tuple[str, ...]


def build(project: Path, day: date, workers: int, tell: Tell) -> Published:
    """Publish a project's catalogue, stall sheets and bench papers as of a day.

    Raises:
        MistakeError: with every mistake in the records; the last good output then stands untouched.
    """
    reckoned = reckon(project, day, tell)
    pictures = picture(reckoned, workers, tell)
    return publish(reckoned, pictures, tell)


def reckon(project: Path, day: date, tell: Tell) -> Reckoned:
    """Go the whole way up to prices.

    Raises:
        MistakeError: with every mistake in the records.
    """
    content = read_content(project, day)
    keys = content.studio.studio
    theme = read_theme(project, keys.theme, keys.language, content.studio_source)
    return reckon_all(content, cautioned(theme, content.studio), tell)


def reckon_all(content: Content, theme: Theme, tell: Tell) -> Reckoned:
    """Reckon every variant of content that has been read.

    Raises:
        MistakeError: with every mistake of the patterns, the hardware and the prices.
    """
    mistakes: list[Mistake] = check_photos(content.products)
    findings: list[Finding] = photo_findings(content.products)
    reckonings: list[Reckoning] = []
    for count, product in enumerate(content.products, 1):
        try:
            reckonings.extend(variants(content, product, findings))
        except MistakeError as fault:
            mistakes.extend(fault.mistakes)
        tell("Measuring and pricing", count, len(content.products))
    if mistakes:
        raise MistakeError(dict.fromkeys(mistakes))
    shares, told = read_shares(content, reckonings)
    findings.extend(told)
    reckonings = [charged(content, one, shares.get(one.offer.sku)) for one in reckonings]
    findings.extend(price_findings(content.studio, [priced(one) for one in reckonings]))
    moved = moved_from_book(content, reckonings)
    findings.extend(book_findings(content, reckonings, moved))
    findings.extend(market_findings(content))
    listings = tuple(
        listing_of(content, product, [one for one in reckonings if one.product is product])
        for product in content.products
    )
    return Reckoned(content, theme, tuple(reckonings), listings, moved, tuple(dict.fromkeys(findings)))


def variants(content: Content, product: Product, findings: list[Finding]) -> Iterator[Reckoning]:
    """Reckon every variant of a product, adding what the bench should know to ``findings``.

    Raises:
        MistakeError: with the faults of its drawing, its hardware or its prices.
    """
    making = content.studio.making
    for sized in read_sizes(product, making, content.materials):  # size
        measured = measure(product, sized, making)  # measure
        findings.extend(measured.findings)
        for choice, glass in product.keys.glass.items():
            made = make(content, product, glass, measured)
            hung = hang(content, product, glass, made)  # hang
            findings.extend(hanging_findings(product, hung, sized.size))
            packed, told = pack(content, product, hung)  # pack
            findings.extend(told)
            for finish in product.keys.finishes:
                yield price(content, product, (sized.size, finish, choice), made, (hung, packed))


def charged(content: Content, one: Reckoning, share: GlassShare | None) -> Reckoning:
    """Note what a kept layout would charge for a variant's glass; where it is adopted, price the variant by it.

    This comes after all variants are measured: a layout is held to the outlines of its whole batch.
    """
    if share is None:
        return one
    glass, words = glass_charge(one, share), (one.size, one.finish, one.choice)
    again = price(content, one.product, words, one.made, (one.hung, one.packed), share) if share.adopted else one
    return replace(again, glass=glass)


def price(
    content: Content,
    product: Product,
    words: tuple[str, str, str],
    made: Made,
    ready: tuple[Hung, Packed | None],
    share: GlassShare | None = None,
) -> Reckoning:
    """Cost a variant, and price it in every channel. ``words`` name its size, finish and choice of glass.

    ``ready`` is the variant as it hangs and as it is packed. Its glass is charged by boxes, or by a layout's ``share``.

    Raises:
        MistakeError: a material has no price on the build's day.
    """
    (hung, packed), (_, finish_name, choice) = ready, words
    studio, finish = content.studio, content.studio.finishes[finish_name]
    digits = minor_digits(studio.studio.currency)
    batch = product.keys.batch or studio.bench.batch
    measures = read_measures(made, content.glass(product.keys.glass[choice]))
    times = read_times(studio, finish, measures, batch)
    uses = read_uses(content, product, finish, product.keys.glass[choice], made, hung)
    if share is not None:
        uses = share.charge(uses, made, product.keys.glass[choice])
    cost = read_cost(content, uses, times)  # cost
    policy = read_prices(studio.channels, cost.total, digits)  # price
    held = product.keys.hold_until is not None and product.keys.hold_until >= content.day
    terms = Terms(content.day, digits, held, studio.book.keep_within_percent)
    standing = standings(content.book, sku_of(product, *words), studio.channels, policy, terms)
    prices = {name: one.published for name, one in standing.items()}
    earnings = {
        name: read_earning(channel, prices[name], cost, studio.bench.hourly_rate, digits)
        for name, channel in studio.channels.items()
    }
    offer = offer_of(content, product, words, (made, hung), prices, packed)
    return Reckoning(product, *words, batch, made, hung, measures, times, cost, standing, earnings, offer, packed)


def picture(reckoned: Reckoned, workers: int, tell: Tell) -> Mapping[str, Pictures]:
    """Make every product's photos ready, those that are new, and draw its pattern.

    Raises:
        MistakeError: with every photo that turns out to be damaged.
    """
    products = reckoned.content.products
    photos = sum(len(product.keys.photos) for product in products)
    done = iter(range(1, photos + 1))
    store = Store(reckoned.content.project / "site_output" / KEPT / "made")
    shots = take_shots(products, workers, store, lambda: tell("Making photos ready", next(done), photos))
    store.clear_unused()
    pictures = {}
    for count, (product, listing) in enumerate(zip(products, reckoned.listings, strict=True), 1):
        pictures[product.slug] = draw(_model(reckoned, product, listing), shots[product.slug])
        tell("Drawing patterns", count, len(products))
    return pictures


def _model(reckoned: Reckoned, product: Product, listing: Listing) -> Model:
    first = next(one for one in reckoned.reckonings if one.product is product)
    glass = reckoned.content.glass(product.keys.glass[first.choice])
    text = reckoned.theme.words("product", "pattern_text", pieces=listing.pieces, glass=", ".join(listing.glass_names))
    title, wording = product.keys.title, Wording.of(reckoned.content.studio.studio)
    words = buyer_words(title, first.made, first.hung, reckoned.theme, wording)
    return Model(product.slug, title, text, first.made, first.hung, glass, first.offer.finish, words)


def publish(reckoned: Reckoned, pictures: Mapping[str, Pictures], tell: Tell) -> Published:
    """Write the three audiences' folders, and put them in place only once all three are whole."""
    content, theme = reckoned.content, reckoned.theme
    studio, output = content.studio, content.project / "site_output"
    drawn = {slug: one.drawn for slug, one in pictures.items()}
    stall = studio.channels[studio.channel_on("stall")]
    tax = stall.tax if stall.tax_percent else "none"
    shown = Shown(
        studio.studio,
        studio.collections,
        studio.markets,
        content.texts,
        reckoned.listings,
        pictures,
        content.day,
        theme,
    )
    edition = make_edition(shown, studio.sending.most_mb, content.studio_source)
    findings = (*reckoned.findings, *edition.findings)
    laid = Laid(studio.studio, studio.collections, reckoned.listings, drawn, tax, content.day, theme)
    papers = Papers(content, reckoned.reckonings, findings, reckoned.moved, theme, reckoned.listings, drawn)
    writers: dict[str, Write] = {
        "catalogue": lambda folder: write_catalogue(shown, edition, folder),
        "stall": lambda folder: write_stall(laid, folder),
        "bench": lambda folder: write_bench(papers, folder),
    }
    outcome = publish_together(output, writers, lambda done: tell("Writing pages", done, len(writers)))
    return Published(
        len(content.products),
        len(reckoned.reckonings),
        outcome.pages,
        sum(len(one.shots) for one in pictures.values()),
        sum(len(one.prices) for one in reckoned.reckonings),
        findings,
        outcome.carried_over,
    )
