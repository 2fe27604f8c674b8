"""Feed, sitemap and manifest held to the rules of their own standards, written out here in schema languages.

Sources: RFC 4287 (Atom), sections 3 and 4 and Appendix B, whose grammar was read in copies (S2); the Sitemap
protocol 0.9 and its schema of 2008-03-26, read in the copy that the npm package `sitemap` 9.0.1 carries (S2); W3C Web
Application Manifest, members `start_url`, `scope`, `icons`, `purpose` and its safe zone (from memory).
"""

from __future__ import annotations

import json
import re
from itertools import product
from urllib.parse import urljoin, urlsplit

import pytest
from lxml import etree
from PIL import Image

from catalog_builder.publish.catalogue.feed import ATOM, MOST
from tests.publish.demo import Demo
from tests.publish.page import pages_in, read_page, said

ADDRESS = "https://withyslip.example/"
# RFC 4287: what a feed and an entry must and may hold, in any order, entries last (4.1.1, 4.1.2); text constructs
# (3.1), persons (3.2), dates as RFC 3339 writes them (3.3), links (4.2.7), categories (4.2.2), content in line (4.1.3).
GRAMMAR = """
<grammar xmlns="http://relaxng.org/ns/structure/1.0" ns="http://www.w3.org/2005/Atom"
  datatypeLibrary="http://www.w3.org/2001/XMLSchema-datatypes">
 <start><ref name="feed"/></start>
 <define name="feed"><element name="feed">
  <ref name="tongue"/>
  <interleave>
   <oneOrMore><ref name="author"/></oneOrMore>
   <ref name="id"/><ref name="title"/><ref name="updated"/>
   <zeroOrMore><ref name="category"/></zeroOrMore>
   <zeroOrMore><ref name="link"/></zeroOrMore>
   <optional><element name="subtitle"><ref name="words"/></element></optional>
   <optional><element name="icon"><ref name="address"/></element></optional>
   <optional><element name="logo"><ref name="address"/></element></optional>
   <optional><element name="rights"><ref name="words"/></element></optional>
   <optional><element name="generator"><text/></element></optional>
  </interleave>
  <zeroOrMore><ref name="entry"/></zeroOrMore>
 </element></define>
 <define name="entry"><element name="entry">
  <interleave>
   <zeroOrMore><ref name="author"/></zeroOrMore>
   <ref name="id"/><ref name="title"/><ref name="updated"/>
   <zeroOrMore><ref name="category"/></zeroOrMore>
   <zeroOrMore><ref name="link"/></zeroOrMore>
   <optional><element name="published"><ref name="moment"/></element></optional>
   <optional><element name="summary"><ref name="words"/></element></optional>
   <optional><element name="content"><ref name="words"/></element></optional>
  </interleave>
 </element></define>
 <define name="author"><element name="author"><interleave>
  <element name="name"><text/></element>
  <optional><element name="uri"><ref name="address"/></element></optional>
  <optional><element name="email"><data type="string"><param name="pattern">.+@.+</param></data></element></optional>
 </interleave></element></define>
 <define name="id"><element name="id"><ref name="address"/></element></define>
 <define name="title"><element name="title"><ref name="words"/></element></define>
 <define name="updated"><element name="updated"><ref name="moment"/></element></define>
 <define name="category"><element name="category">
  <attribute name="term" ns=""/>
  <optional><attribute name="scheme" ns=""><ref name="address"/></attribute></optional>
  <optional><attribute name="label" ns=""/></optional>
 </element></define>
 <define name="link"><element name="link">
  <attribute name="href" ns=""><ref name="address"/></attribute>
  <optional><attribute name="rel" ns="">
   <data type="string"><param name="minLength">1</param></data></attribute></optional>
  <optional><attribute name="type" ns="">
   <data type="string"><param name="pattern">.+/.+</param></data></attribute></optional>
  <optional><attribute name="title" ns=""/></optional>
  <optional><attribute name="length" ns=""/></optional>
 </element></define>
 <define name="words">
  <optional><attribute name="type" ns=""><choice><value>text</value><value>html</value></choice></attribute></optional>
  <text/>
 </define>
 <define name="moment"><data type="dateTime">
  <param name="pattern">\\d{4}-\\d\\d-\\d\\dT\\d\\d:\\d\\d:\\d\\d(\\.\\d+)?(Z|[+\\-]\\d\\d:\\d\\d)</param>
 </data></define>
 <define name="address"><data type="anyURI"><param name="minLength">1</param></data></define>
 <define name="tongue"><optional><attribute name="xml:lang">
  <data type="string"><param name="pattern">[A-Za-z]{1,8}(-[A-Za-z0-9]{1,8})*</param></data>
 </attribute></optional></define>
</grammar>"""
# The Sitemap protocol: an address of 12 to 2048 characters, then the day of the last change, where it is known.
SITEMAP = """
<xs:schema xmlns:xs="http://www.w3.org/2001/XMLSchema" xmlns="http://www.sitemaps.org/schemas/sitemap/0.9"
  targetNamespace="http://www.sitemaps.org/schemas/sitemap/0.9" elementFormDefault="qualified">
 <xs:element name="urlset"><xs:complexType><xs:sequence>
  <xs:element name="url" maxOccurs="50000"><xs:complexType><xs:sequence>
   <xs:element name="loc"><xs:simpleType><xs:restriction base="xs:anyURI">
    <xs:minLength value="12"/><xs:maxLength value="2048"/></xs:restriction></xs:simpleType></xs:element>
   <xs:element name="lastmod" type="xs:date" minOccurs="0"/>
  </xs:sequence></xs:complexType></xs:element>
 </xs:sequence></xs:complexType></xs:element>
</xs:schema>"""
NAMES = {"a": ATOM}


@pytest.fixture(scope="module")
def feed(demo: Demo) -> etree._Element:
    """The demo's feed."""
    return etree.parse(demo.output / "catalogue" / "feed.xml").getroot()


def texts(root: etree._Element, path: str) -> list[str]:
    """Give the texts or attributes that a path finds."""
    found = root.xpath(path, namespaces=NAMES)
    assert isinstance(found, list)
    return [str(one) for one in found]


def test_feed_follows_the_grammar(feed: etree._Element) -> None:
    """The feed is what RFC 4287 lets a feed be; the grammar refuses one without a date, an id or an author."""
    grammar = etree.RelaxNG(etree.fromstring(GRAMMAR))
    grammar.assertValid(feed)
    for name in ("updated", "id", "author", "title", "entry/a:id", "entry/a:updated", "entry/a:title"):
        broken = etree.fromstring(etree.tostring(feed))
        found = broken.find(f"a:{name}", NAMES)
        assert found is not None
        parent = found.getparent()
        assert parent is not None
        parent.remove(found)
        assert not grammar.validate(broken), name


def test_feed_keeps_the_rules_that_no_grammar_holds(demo: Demo, feed: etree._Element) -> None:
    """Ids are whole addresses and differ; one link leads to the feed, one to the page; entries tell when they came."""
    ids = texts(feed, "//a:id/text()")
    assert len(ids) == len(set(ids)) == 1 + min(MOST, len(demo.calculated.listings))
    assert all(urlsplit(one).scheme and urlsplit(one).netloc for one in ids)  # 4.2.6
    assert texts(feed, "a:link[@rel='self']/@href") == [f"{ADDRESS}feed.xml"]  # 4.1.1
    assert texts(feed, "a:link[@rel='alternate']/@href") == [ADDRESS]
    pages = texts(feed, "a:entry/a:link[@rel='alternate']/@href")
    # What is shown first stands at a place of its own on the page.
    assert [address.partition("#")[0] for address in pages] == ids[1:]
    for address in ids[1:]:
        assert (demo.output / "catalogue" / address.removeprefix(ADDRESS)).is_file()
    moments = texts(feed, "a:entry/a:updated/text()")
    assert moments == sorted(moments, reverse=True)
    assert texts(feed, "a:updated/text()") == moments[:1]
    added = sorted((f"{one.added}T00:00:00Z" for one in demo.calculated.listings), reverse=True)
    assert moments == added[:MOST]


def test_entries_show_their_pictures_by_whole_addresses(demo: Demo, feed: etree._Element) -> None:
    """An entry's content is HTML whose picture and link begin with the studio's address, and the picture is there."""
    titles = {one.title: one for one in demo.calculated.listings}
    entries = feed.findall("a:entry", NAMES)
    for entry in entries:
        listing = titles[str(entry.findtext("a:title", None, NAMES))]
        assert entry.findtext("a:summary", None, NAMES) == listing.summary
        page = read_page(str(entry.findtext("a:content", None, NAMES)))
        (picture,) = page.select("img")
        assert said(picture, "alt") == listing.title
        with Image.open(demo.output / "catalogue" / said(picture, "src").removeprefix(ADDRESS)) as image:
            assert image.size == (int(said(picture, "width")), int(said(picture, "height")))
        assert said(page.select("a")[0], "href") == ADDRESS + listing.page_of(listing.first)


def test_every_page_leads_to_the_feed_and_the_manifest(demo: Demo) -> None:
    """A reader of feeds, given any page, finds the feed; a phone finds the manifest and its icon."""
    catalogue = demo.output / "catalogue"
    for path in pages_in(catalogue):
        page = read_page(path)
        found = {
            said(link, "rel"): (path.parent / said(link, "href")).resolve()
            for link in page.select("link[rel=alternate], link[rel=manifest], link[rel=apple-touch-icon]")
        }
        names = {path.relative_to(catalogue.resolve()).as_posix() for path in found.values()}
        assert names == {"feed.xml", "site.webmanifest", "assets/icon-180.png"}


def test_sitemap_follows_its_schema(demo: Demo) -> None:
    """The sitemap is what the protocol lets it be, and tells the day on which each product came."""
    tree = etree.parse(demo.output / "catalogue" / "sitemap.xml")
    etree.XMLSchema(etree.fromstring(SITEMAP)).assertValid(tree)
    space = "{http://www.sitemaps.org/schemas/sitemap/0.9}"
    days = {one.findtext(f"{space}loc"): one.findtext(f"{space}lastmod") for one in tree.getroot()}
    for listing in demo.calculated.listings:
        assert days[f"{ADDRESS}products/{listing.slug}.html"] == listing.added.isoformat()
    assert days[ADDRESS] == max(one.added for one in demo.calculated.listings).isoformat()
    assert days[f"{ADDRESS}care.html"] is None


def test_manifest_stands_anywhere(demo: Demo) -> None:
    """Every address of the manifest is relative, leads to a file beside it, and each icon is as large as it says."""
    catalogue = demo.output / "catalogue"
    manifest = json.loads((catalogue / "site.webmanifest").read_text(encoding="utf-8"))
    assert manifest["name"] == "Withyslip Glass"
    assert manifest["lang"] == "en-GB"
    assert urljoin("https://x.example/a/site.webmanifest", manifest["start_url"]) == "https://x.example/a/index.html"
    assert urljoin("https://x.example/a/site.webmanifest", manifest["scope"]) == "https://x.example/a/"
    for key in ("background_color", "theme_color"):
        assert re.fullmatch("#[0-9a-f]{6}", manifest[key])
    sizes = set()
    for icon in manifest["icons"]:
        assert not urlsplit(icon["src"]).scheme
        assert not icon["src"].startswith("/")
        file = catalogue / icon["src"]
        if file.suffix == ".png":
            with Image.open(file) as image:
                assert f"{image.width}x{image.height}" == icon["sizes"]
        sizes.add((icon["sizes"], icon["purpose"]))
    assert sizes >= {("192x192", "any"), ("512x512", "any"), ("512x512", "maskable"), ("any", "any")}


def test_maskable_icon_keeps_inside_its_circle(demo: Demo) -> None:
    """A maskable icon is opaque to its edges, and its drawing keeps within two fifths of its side from the middle."""
    with Image.open(demo.output / "catalogue" / "assets" / "icon-maskable-512.png") as image:
        picture = image.convert("RGBA")
    assert picture.getchannel("A").getextrema() == (255, 255)
    ground = picture.getpixel((0, 0))
    middle, reach = picture.width / 2, 0.4 * picture.width
    outside = {
        picture.getpixel((x, y))
        for x, y in product(range(0, picture.width, 2), repeat=2)
        if (x - middle) ** 2 + (y - middle) ** 2 > reach**2
    }
    assert outside == {ground}
    assert len(picture.getcolors(100_000) or []) > 50
