"""A set: one price, its cost, weight and parcel by sum, a page of its own, and its pieces in a plan."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path

import pytest

from catalog_builder.commands.tags import TagRequest, set_tags
from catalog_builder.mistake import MistakeError
from catalog_builder.pricing.set_calculation import SetCalculation, set_price
from catalog_builder.records.content import read_content
from catalog_builder.records.selling.channel import Channel
from tests.english import english
from tests.outside.test_vocabulary import faults
from tests.publish.buyers import pounds
from tests.publish.demo import DAY, Demo, build_in, lay_out_known, outputs_of
from tests.publish.page import read_page, structured_data, text_of
from tests.publish.sheet import pdf_text

RECORD = """---
title: Sun and two leaves
series: sky
added: 2026-10-10
summary: A small sun over two leaves.
made_of:
  - {product: noon-sun, size: small, finish: black, glass: noon}
  - {product: oak-leaf, size: medium, finish: copper, glass: turning, count: 2}
less_percent: 10
---
To hang in one window.
"""
PLAN = """title = "Sets"
begins = 2026-12-01
ready_by = 2026-12-04
hours_a_day = 6
make = [
  { product = "oak-leaf", size = "medium", finish = "copper", glass = "turning", count = 1 },
  { product = "sun-and-leaves", count = 3 },
]
"""


def laid(root: Path, record: str = RECORD, plan: str = PLAN) -> Path:
    """The demo's sun and leaf with a set of them, and a plan that makes it."""
    project = lay_out_known(root, "noon-sun", "oak-leaf")
    for name, text in (("sets/sun-and-leaves/set.md", record), ("batches/sets.toml", plan)):
        path = project / "content" / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
    ready = "date,product,size,finish,glass,count\n2026-11-20,noon-sun,small,black,noon,3\n"
    (project / "content" / "ready.csv").write_text(
        f"{ready}2026-11-20,oak-leaf,medium,copper,turning,5\n", encoding="utf-8"
    )
    return project


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Demo:
    """A studio with that set, built."""
    return build_in(laid(tmp_path_factory.mktemp("sets")))


@pytest.fixture
def calculated(shop: Demo) -> SetCalculation:
    """The one set."""
    (only,) = shop.calculated.sets
    return only


@pytest.mark.parametrize(
    ("singly", "less", "printed"),
    [("124", "10", "112"), ("124", "8", "116"), ("50", "0", "50"), ("51", "0", "51"), ("40.50", "1", "40.50")],
)
def test_the_sum_less_a_share_goes_to_a_price_point_and_never_over_the_sum(
    singly: str, less: str, printed: str
) -> None:
    """By hand, up to even pounds: 124 less 10 % is 111.60, so 112; 8 % is 114.08, so 116; 51 would go up to 52."""
    keys = {"title": "Stall", "shown_on": "stall", "markup_percent": 0, "price_points": ({"step": 2},)}
    channel = Channel.model_validate(keys)
    assert set_price({"stall": channel}, "stall", {"stall": Decimal(singly)}, Decimal(less), 2).printed == Decimal(
        printed
    )


@pytest.mark.parametrize(
    ("at_percent", "singly", "printed"),
    [("100", {"site": "187", "stall": "187"}, "180"), ("50", {"site": "187", "stall": "93.50"}, "90")],
)
def test_a_channel_that_follows_another_follows_its_price_of_the_set(
    at_percent: str, singly: dict[str, str], printed: str
) -> None:
    """By hand: 187 less 8 % is 172.04, on the site's list 180; the stall asks 180 too, half of it is 90."""
    site = {"title": "Site", "shown_on": "catalogue", "markup_percent": 0, "prices": (150, 180, 210)}
    stall = {"title": "Stall", "shown_on": "stall", "follows": "site", "at_percent": Decimal(at_percent)}
    channels = {"site": Channel.model_validate(site), "stall": Channel.model_validate(stall)}
    sums = {name: Decimal(amount) for name, amount in singly.items()}
    assert set_price(channels, "stall", sums, Decimal(8), 2).printed == Decimal(printed)


def test_cost_minutes_and_mass_are_sums(shop: Demo, calculated: SetCalculation) -> None:
    """One sun and twice a leaf: what they cost, take and weigh; the price is under what they cost singly."""
    by_sku = {each.offer.sku: each for each in shop.calculations}
    sun, leaf = by_sku["noon-sun--small--black--noon"], by_sku["oak-leaf--medium--copper--turning"]
    (offer,) = calculated.listing.offers
    assert calculated.cost == sun.cost.total + 2 * leaf.cost.total
    assert calculated.minutes == sun.cost.minutes + 2 * leaf.cost.minutes
    assert offer.mass_g == pytest.approx(sun.offer.mass_g + 2 * leaf.offer.mass_g)
    assert offer.parcel is not None
    assert offer.parcel.mass_g > offer.mass_g
    for name, price in calculated.prices.items():
        assert price.singly == sun.prices[name].printed + 2 * leaf.prices[name].printed
        assert price.singly * Decimal("0.9") <= price.price.printed <= price.singly
        channel = shop.calculated.content.studio.channels[name]
        # The demo's studio charges no tax. However many pieces: a set is one sale, with one fixed fee.
        share = (100 - channel.fee_percent) / 100
        assert price.left_after_fees == price.price.printed * share - channel.fixed_fee
        assert price.profit == price.left_after_fees - calculated.cost
    assert any(channel.fixed_fee for channel in shop.calculated.content.studio.channels.values())
    assert calculated.listing.pieces == sun.made.pieces + 2 * leaf.made.pieces


def test_its_page_card_sheet_and_tag_have_its_price(shop: Demo, calculated: SetCalculation) -> None:
    """The same price on its page and its card, the stall's on the sheet and the tag, and for machines."""
    (offer,) = calculated.listing.offers
    online, stall = pounds(offer.online_price), pounds(offer.stall_price)
    page = read_page(shop.output / "catalogue" / "products" / "sun-and-leaves.html")
    assert text_of(page.select("#asked-price")[0]) == online
    parts = [text_of(part) for part in page.select(".set-parts li")]
    assert [part.partition(":")[0] for part in parts] == ["Noon sun", "2 × Oak leaf, late November"]
    assert not page.select("#chooser, .hanging, .pattern, td.is-glass_size")
    assert (shop.output / "catalogue" / "pictures" / "sun-and-leaves.svg").is_file()
    cards = read_page(shop.output / "catalogue" / "series" / "sky.html").select(".card")
    assert online in [text_of(card.select(".price")[0]) for card in cards]
    for text in (
        text_of(read_page(shop.output / "stall" / "price_sheet.html").select("body")[0]),
        pdf_text(shop.output / "stall" / "price_sheet.pdf"),
    ):
        assert "Sun and two leaves" in text
        assert stall in text
    told = structured_data(page)
    assert list(faults(told, "set")) == []
    (variant,) = told["hasVariant"]
    assert variant["offers"]["price"] == f"{offer.online_price:.2f}"
    assert [(part["amountOfThisGood"], part["typeOfGood"]["name"]) for part in variant["offers"]["includesObject"]] == [
        (1, "Noon sun"),
        (2, "Oak leaf, late November"),
    ]
    tags = set_tags(shop.calculated, TagRequest())[1]
    assert tags is not None
    assert tags.count == len([each for each in shop.calculations if not each.offer.sold]) + 1


def test_as_many_lie_ready_as_the_pieces_allow(shop: Demo, calculated: SetCalculation) -> None:
    """Three suns and five leaves make two sets of one and two."""
    assert calculated.listing.offers[0].ready == 2
    page = read_page(shop.output / "catalogue" / "products" / "sun-and-leaves.html")
    assert "2 ready to send; others made to order, in about 3 weeks" in text_of(page.select(".offer")[0])


def test_a_plan_makes_the_pieces_of_a_set(shop: Demo) -> None:
    """Three sets and a leaf: three suns, and six leaves and one."""
    (plan,) = shop.calculated.content.plans
    assert {(each.product.slug, each.count) for each in plan.ordered} == {("noon-sun", 3), ("oak-leaf", 7)}


def test_its_cost_is_on_the_bench_alone(shop: Demo, calculated: SetCalculation) -> None:
    """The bench's page has its cost; nothing that the public sees has."""
    cost = f"£{calculated.cost:,.2f}"
    assert cost in (shop.output / "bench" / "sets.html").read_text(encoding="utf-8")
    public = {name: data for name, data in outputs_of(shop.project).items() if not name.startswith("bench/")}
    texts = [data.decode("utf-8") for name, data in public.items() if name.endswith((".html", ".xml", ".json"))]
    assert len(texts) > 10
    assert not any(cost in text for text in texts)


def test_a_share_that_costs_money_is_a_finding(tmp_path: Path) -> None:
    """Nine tenths off is under the floor price in every channel."""
    from catalog_builder.build import calculate
    from catalog_builder.publish.studio_calculation import quiet

    project = laid(tmp_path, RECORD.replace("less_percent: 10", "less_percent: 90"))
    found = [each for each in calculate(project, DAY, quiet).findings if each.code == "R03"]
    assert len(found) == 4
    assert found[0].place.line == 9
    assert "does not cover the cost of its pieces" in english(found[0].text)


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        ("oak-leaf", "oak-lief", "the product 'oak-lief' is not in content/products"),
        ("size: medium", "size: huge", "the size 'huge' is not one of 'oak-leaf'"),
        ("series: sky", "series: skies", "the series 'skies' is not in studio.toml"),
        ("Sun and two leaves", "Noon sun", "the title 'Noon sun' is taken"),
        ("less_percent: 10", "less_percent: 100", "less_percent: 100"),
        (
            "  - {product: oak-leaf, size: medium, finish: copper, glass: turning, count: 2}\n",
            "",
            "the set has one piece only",
        ),
        ("less_percent: 10", "photos:\n  - {file: none.jpg}", "the photo 'none.jpg' is not there"),
    ],
)
def test_what_is_wrong_is_told(tmp_path: Path, old: str, new: str, told: str) -> None:
    """Each mistake has its line and its mend."""
    project = laid(tmp_path, RECORD.replace(old, new), PLAN.replace("3", "2"))
    with pytest.raises(MistakeError) as caught:
        read_content(project, DAY)
    mistake = next(each for each in caught.value.mistakes if "sets/" in each.place.path)
    assert told in mistake.wrong
    assert mistake.place.line
    assert mistake.mend
