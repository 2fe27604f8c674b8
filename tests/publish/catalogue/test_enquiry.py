"""What a buyer's enquiry says, and the studio's own links for it."""

from __future__ import annotations

from dataclasses import replace
from urllib.parse import parse_qs, urlsplit

import pytest

from catalog_builder.mistake import MistakeError
from catalog_builder.publish.catalogue.enquiry import Enquiries
from catalog_builder.publish.theme.loading import read_theme
from catalog_builder.publish.theme.wording import Wording
from catalog_builder.records.reading.source import Source
from catalog_builder.records.selling.enquiry_link import filled
from catalog_builder.records.studio import read_studio
from catalog_builder.records.studio_tables.studio_keys import StudioKeys
from tests.publish.catalogue.test_descriptors import LISTING, OFFER
from tests.publish.demo import ROOT
from tests.studio import TABLES, studio_text

SMALL = replace(OFFER, sku="pane--small--black", size="Small")
TWO = replace(LISTING, offers=(SMALL, replace(OFFER, sku="pane--b--c")))


def studio(enquiry: str = "") -> StudioKeys:
    """The studio's keys, with a link of its own or without."""
    text = TABLES["studio"] + (f'enquiry = "{enquiry}"\n' if enquiry else "")
    return read_studio(Source("content/studio.toml", studio_text({"studio": text}))).studio


def enquiries(enquiry: str = "") -> Enquiries:
    """The enquiries of that studio, in English."""
    keys = studio(enquiry)
    return Enquiries(keys, read_theme(ROOT, "daylight", "en-GB", Source("content/studio.toml", "")), Wording.of(keys))


def test_a_mail_names_all_that_the_maker_needs() -> None:
    """Title, variant, price, code and the address of the page stand in the mail, each in a line of its own."""
    mail = urlsplit(enquiries().href(TWO, TWO.offers[0]))
    assert mail.scheme == "mailto"
    (body,) = parse_qs(mail.query)["body"]
    lines = body.split("\r\n")
    assert "Pane, Small, bright" in lines[0]
    assert "48.50" in lines[1] or "48,50" in lines[1]
    assert lines[2].endswith("pane--small--black")
    assert lines[3] == f"{studio().address}products/pane.html#small--black"


def test_nothing_asks_for_what_is_sold() -> None:
    """A variant that is sold has no enquiry."""
    assert enquiries().href(LISTING, replace(OFFER, recorded="sold")) == ""


def test_a_shops_link_carries_the_code() -> None:
    """The places of the studio's link are filled, and each word stays a word of the address."""
    made = enquiries("https://shop.example/ask?piece={code}&about={title}")
    assert made.href(TWO, TWO.offers[0]) == "https://shop.example/ask?piece=pane--small--black&about=Pane"
    assert "shop.example" in made.note


@pytest.mark.parametrize("word", ["a&b=c", "?#/", "x\r\nBcc: a@b.example", "<script>", "%2e", "Grün {code}"])
def test_a_word_cannot_become_syntax(word: str) -> None:
    """Whatever a title holds, it stays one value of the address (RFC 3986, 2.1)."""
    link = filled("https://shop.example/ask?about={title}&code={code}", {"title": word, "code": "c"})
    assert parse_qs(urlsplit(link).query, keep_blank_values=True) == {"about": [word], "code": ["c"]}


@pytest.mark.parametrize(
    "link",
    [
        "https://shop.example/{code}",
        "https://shop.example:8443/?p={code}#{variant}",
        "mailto:ask@shop.example?subject={title}",
        "tel:+44-20-7946-0000",
    ],
)
def test_links_that_are_taken(link: str) -> None:
    """An address of a site, a mailbox and a telephone."""
    assert studio(link).enquiry == link


@pytest.mark.parametrize(
    "link",
    [
        "http://shop.example/{code}",
        "javascript:alert({code})",
        "https://{title}/ask",
        "https://shop.example{address}",
        "mailto:{title}@shop.example",
        "tel:{code}",
        "https://shop.example/{cost}",
        "https://shop.example/{code",
        "https://shop.example/a b",
        "//shop.example/{code}",
        "",
    ],
)
def test_links_that_are_refused(link: str) -> None:
    """No other scheme, no place in the host or the mailbox, no place that is not known."""
    text = TABLES["studio"] + f"enquiry = '{link}'\n"
    with pytest.raises(MistakeError):
        read_studio(Source("content/studio.toml", studio_text({"studio": text})))
