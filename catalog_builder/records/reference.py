"""The list of every key that the files of content/ may hold, made from the models that read them."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from pydantic.fields import FieldInfo
from pydantic_core import PydanticUndefined

from catalog_builder.records.batch_plan import Make, PlanKeys
from catalog_builder.records.bench_log import BatchKeys, SpoolKeys, TimingKeys
from catalog_builder.records.drawing.marks import JoinMark, Marks, PieceMark, WireMark
from catalog_builder.records.drawing.part_keys import PartKeys
from catalog_builder.records.material import Material
from catalog_builder.records.materials import PriceRow
from catalog_builder.records.own_page import OwnPageKeys
from catalog_builder.records.product import FrameKeys, GlassChoice, Hang, ProductKeys
from catalog_builder.records.product_set import MemberKeys, SetKeys
from catalog_builder.records.product_size import SizeKeys
from catalog_builder.records.reading.values import Record
from catalog_builder.records.record_photo import Photo, ProductPhoto, Shows
from catalog_builder.records.selling.boxes import PackingBox
from catalog_builder.records.selling.channel import Channel, PricePoint
from catalog_builder.records.selling.discounts import Bundle, Discounts
from catalog_builder.records.selling.kept_quote import QuoteKeys
from catalog_builder.records.selling.label_sheet import LabelSheetKeys
from catalog_builder.records.selling.market_book import BringKeys, SaleKeys
from catalog_builder.records.selling.market_date import Change, Market
from catalog_builder.records.selling.postage import PostageBand
from catalog_builder.records.selling.price_book import BookKeys
from catalog_builder.records.selling.quoted_item import QuotedKeys
from catalog_builder.records.selling.ready_pieces import ReadyKeys
from catalog_builder.records.selling.reductions import ReductionKeys
from catalog_builder.records.selling.returns import Returns
from catalog_builder.records.selling.shop_order import OrderedKeys, OrderKeys
from catalog_builder.records.stock import StockRow
from catalog_builder.records.studio import (
    Bench,
    Book,
    Finish,
    Hanging,
    Making,
    ParcelKeys,
    Sending,
    Series,
    WorkStep,
)
from catalog_builder.records.studio_tables.caution import BenchCautions, Cautions
from catalog_builder.records.studio_tables.look_table import Look
from catalog_builder.records.studio_tables.studio_keys import StudioKeys

_PARTS: tuple[tuple[str, str, tuple[tuple[str, type[Record]], ...]], ...] = (
    (
        "products/NAME/product.md",
        "The header of a product's record, between two lines of `---`. Below it stand the description in "
        "Markdown and the pattern in a block that opens with three backticks and `svg`; the drawing of a part in "
        "a block that opens with three backticks, `svg` and the part's name.",
        (
            ("", ProductKeys),
            ("sizes.NAME, with a title", SizeKeys),
            ("glass.NAME", GlassChoice),
            ("frame", FrameKeys),
            ("hang", Hang),
            ("marks", Marks),
            ("marks.pieces, each", PieceMark),
            ("marks.wires, each", WireMark),
            ("marks.joins, each", JoinMark),
            ("parts.NAME", PartKeys),
            ("photos, each", ProductPhoto),
            ("shows of a photo", Shows),
        ),
    ),
    (
        "sets/NAME/set.md",
        "A pair or a set of pieces that are sold together: a header between two lines of `---`, and the description in "
        "Markdown below it. There may be none. Its cost, weight and parcel are those of its pieces together.",
        (("", SetKeys), ("made_of, each", MemberKeys), ("photos, each", Photo)),
    ),
    (
        "pages/NAME.md",
        "A page of the studio's own, such as an imprint or a privacy notice: a header between two lines of `---`, and "
        "the text in Markdown below it. It is linked at the foot of every page. There may be none. Three texts have "
        "files and places of their own, without a header: `about.md`, `care.md` and `terms.md`, which holds payment, "
        "returns, delivery and commissions, and is linked beside the way to ask.",
        (("", OwnPageKeys),),
    ),
    (
        "studio.toml",
        "The studio, its rates, the steps of its work, its finishes, channels, series and markets.",
        (
            ("[studio]", StudioKeys),
            ("[studio.returns]", Returns),
            ("[bench]", Bench),
            ("[making]", Making),
            ("[hanging]", Hanging),
            ("[book]", Book),
            ("[parcel]", ParcelKeys),
            ("[cautions]", Cautions),
            ("[bench_cautions]", BenchCautions),
            ("[look]", Look),
            ("[sending]", Sending),
            ("[steps.NAME] and [finishes.NAME.steps.STEP]", WorkStep),
            ("[finishes.NAME]", Finish),
            ("[channels.NAME]", Channel),
            ("price_points of a channel, each", PricePoint),
            ("[series.NAME]", Series),
            ("[[markets]]", Market),
            ("change of a market, each", Change),
            ("[discounts]", Discounts),
            ("bundles of the discounts, each", Bundle),
        ),
    ),
    (
        "labels/NAME.toml",
        "A sheet of labels or tags by its measures, for `catalog-builder tags --sheet NAME`. There may be none.",
        (("", LabelSheetKeys),),
    ),
    ("materials.csv", "What each material is: one row a material, in any order of columns.", (("", Material),)),
    (
        "price_book.csv",
        "Every price that was in force, from which day on. It may be missing. Rows are added by "
        "`catalog-builder reprice --record` and never rewritten.",
        (("", BookKeys),),
    ),
    (
        "boxes.csv",
        "The boxes and padded bags that pieces are packed in: one row each. It may be missing. What packing costs "
        "stands in materials.csv and is charged for each item there; nothing is charged for what stands here.",
        (("", PackingBox),),
    ),
    (
        "postage.csv",
        "What carriers take and ask: one row a band, copied from their own tables. It may be missing.",
        (("", PostageBand),),
    ),
    (
        "material_prices.csv",
        "What a pack of each material costs, from which day on. A new price is a new row; old rows stay, and the "
        "row in force on the day of the build counts.",
        (("", PriceRow),),
    ),
    (
        "bench_made.csv",
        "What was made in each batch that was timed or weighed: a row for each variant. Private, like the two that "
        "follow; any of the three may be missing.",
        (("", BatchKeys),),
    ),
    (
        "bench_log.csv",
        "Minutes as they were timed, for a whole batch: basic minutes at the bench, breaks left out, to which the "
        "studio's allowance is added as to its rates. `catalog-builder rates` tells what they say.",
        (("", TimingKeys),),
    ),
    ("spools.csv", "Spools of the studio's solder, weighed before a batch and after it.", (("", SpoolKeys),)),
    (
        "markets/NAME.csv",
        "What is taken to a market: a packing list for each, named by the market's code or first day. Private.",
        (("", BringKeys),),
    ),
    (
        "sales.csv",
        "What sold at each market, or elsewhere on a day, and for how much. Private; it may be missing.",
        (("", SaleKeys),),
    ),
    (
        "reductions.csv",
        "Reduced prices, each from one day to another, with the reason. It may be missing. Beside a reduced price "
        "stands the lowest of the 30 days before it began; `catalog-builder guide reductions` tells how it is found.",
        (("", ReductionKeys),),
    ),
    (
        "ready.csv",
        "How many of a variant lay ready to send on the day of a count. It may be missing. Batches of bench_made.csv "
        "with a `ready_on` after that day are added, sales of sales.csv after it are taken off. Buyers read what lies "
        "ready today.",
        (("", ReadyKeys),),
    ),
    (
        "batches/NAME.toml",
        "What is made next: one file a plan. Its papers (what to cut, buy and time) come with every "
        "`catalog-builder publish`. `catalog-builder batch NAME --lay` lays its glass on sheets and keeps the layout "
        "beside it as `NAME.layout.json`, which is not meant to be edited.",
        (("", PlanKeys), ("make, each", Make)),
    ),
    (
        "quotes/NAME.toml",
        "A quote for a commission: one file each, for `catalog-builder quote NAME`. A drawing of its own lies beside "
        "it. Nothing of it is published.",
        (("", QuoteKeys), ("[[items]]", QuotedKeys)),
    ),
    (
        "orders/NAME.csv",
        "A shop's order: the trade list `trade_list.csv` with the counts filled in, for `catalog-builder order NAME`. "
        "Private; it is read by that command alone.",
        (("", OrderedKeys),),
    ),
    ("orders/NAME.toml", "Who sent the order of that name, and when.", (("", OrderKeys),)),
    (
        "stock.csv",
        "What is on hand. It may be missing. It is taken off what a plan must buy, and offcuts of glass are laid "
        "first. Private.",
        (("", StockRow),),
    ),
)


def reference() -> str:
    """Give the whole list as Markdown: a heading for each file, a line for each key."""
    return "\n".join([*(line for part in _PARTS for line in _part(*part)), *_marks(), ""])


def _part(title: str, text: str, models: tuple[tuple[str, type[Record]], ...]) -> Iterator[str]:
    yield f"## {title}\n"
    yield f"{text}\n"
    for heading, model in models:
        if heading:
            yield f"### `{heading}`\n"
        for name, field in model.model_fields.items():
            yield f"- `{name}`: {field.description}{_default(field)}"
        yield ""


def _default(field: FieldInfo) -> str:
    if field.is_required():
        return " (**needed**)"
    value: Any = field.default
    if value is None or value is PydanticUndefined or value in ((), {}):
        return ""
    if isinstance(value, bool):
        return f" (without it: {'yes' if value else 'no'})"
    if isinstance(value, Record):
        return " (see below)"
    if isinstance(value, tuple):
        parts = (_inline(part) if isinstance(part, Record) else f"{part:g}" for part in value)
        return f" (without it: `[{', '.join(parts)}]`)"
    return f" (without it: `{value}`)"


def _inline(value: Record) -> str:
    return "{ " + ", ".join(f"{name} = {part}" for name, part in value) + " }"


_MARKS = (
    ("outline", "a closed outline: one piece of glass. So is every closed shape without a mark"),
    ("line", "an open line, where glass meets glass. So is every open shape without a mark"),
    ("label", "a text whose place lies in a piece: its number. So is every text without a mark"),
    ("fold", "a straight line along which the half that is drawn is unfolded"),
    ("grain", "a line in a piece along which its grain runs"),
    ("ring", "a hanging ring: the middle of the shape is where it is soldered on"),
    ("wire", "a line that is soldered-on wire"),
    ("join", "a straight line along which a part is joined on at an angle; one in each of the two drawings"),
    ("open", "the field that the shape's middle lies in has no glass"),
    ("none", "a guide that is not read"),
)
_ATTRIBUTES = (
    ("data-mark", "one of the values below"),
    ("data-glass", "a glass word for a piece: on its outline, a label in it, a group, or the whole drawing"),
    ("data-grain", "the grain of a piece: degrees anticlockwise from horizontal, or `along`"),
    ("data-number", "a piece's number, where no label gives it"),
    ("data-part", "the part of the record that a join is for; left out: every part"),
    ("data-material", "the wire of materials.csv that a wire is made of"),
)


def _marks() -> Iterator[str]:
    yield "## The marks of a drawing\n"
    yield (
        "Lines are where glass meets glass. What a drawing does not say by these attributes, the record may say under "
        "`marks`. An attribute on a group counts for all its members.\n"
    )
    yield "### Attributes\n"
    yield from (f"- `{name}`: {text}" for name, text in _ATTRIBUTES)
    yield "\n### Values of `data-mark`\n"
    yield from (f"- `{name}`: {text}\n\n  ![{name}](../.pictures/marks/{name}.svg)" for name, text in _MARKS)
