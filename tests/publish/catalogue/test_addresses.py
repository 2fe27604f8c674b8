"""Addresses that no link of a page holds: full ones, parts of other pages, and what drawings and lists name."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from pathlib import Path
from urllib.parse import unquote, urlsplit

from lxml import etree

from tests.publish.demo import Demo
from tests.publish.page import pages_in, read_page, references, said, target

ADDRESS = "https://withyslip.example/"
TEXTS = ("html", "xml", "txt", "json", "webmanifest", "svg", "css", "js")
XLINK = "{http://www.w3.org/1999/xlink}href"


def public_texts(demo: Demo) -> Iterator[tuple[Path, str]]:
    """Give every text file of the catalogue and the stall."""
    for audience in ("catalogue", "stall"):
        for ending in TEXTS:
            for path in sorted((demo.output / audience).rglob(f"*.{ending}")):
                yield path, path.read_text(encoding="utf-8")


def test_full_addresses_lead_to_files(demo: Demo) -> None:
    """Wherever the studio's full address is written (previews, data, sitemap, feed), a file is there."""
    root = demo.output / "catalogue"
    seen, broken = set(), []
    for path, text in public_texts(demo):
        for found in re.findall(re.escape(ADDRESS) + r"[^\s\"'<>)\\]*", text):
            parts = urlsplit(found)
            file = root / unquote(parts.path).lstrip("/")
            file = file / "index.html" if parts.path.endswith("/") else file
            seen.add(found)
            if not file.is_file():
                broken.append(f"{path.name}: {found}")
    assert broken == []
    assert len(seen) > 40


def test_parts_of_other_pages_are_there(demo: Demo) -> None:
    """A link to a part of another page finds that part in it."""
    broken = []
    for path in pages_in(demo.output):
        for reference in references(read_page(path)):
            parts = urlsplit(reference)
            file = target(path, reference)
            if parts.scheme or not parts.fragment or file.suffix != ".html":
                continue
            if not file.is_file() or not read_page(file).find(id=unquote(parts.fragment)):
                broken.append(f"{path.name}: {reference}")
    assert broken == []


def test_drawings_find_what_they_use(demo: Demo) -> None:
    """What a drawing paints with or uses again - as a file or inside a page - is in the drawing or the page itself."""
    broken, seen = [], 0
    for path in sorted(demo.output.rglob("*.svg")):
        root = etree.parse(path).getroot()
        names = {one.get("id") for one in root.iter()}
        written = path.read_text(encoding="utf-8")
        used = set(re.findall(r"url\(\s*[\"']?([^\"')\s]+)", written))
        used |= {href for one in root.iter() for href in (one.get("href"), one.get(XLINK)) if href}
        broken += [f"{path.name}: {one}" for one in used if not one.startswith("#") or one[1:] not in names]
        seen += len(used)
    for path in pages_in(demo.output):
        page = read_page(path)
        names = {said(tag, "id") for tag in page.select("[id]")}
        values = " ".join(str(value) for tag in page.find_all(True) for value in tag.attrs.values())
        used = set(re.findall(r"url\(\s*[\"']?([^\"')\s]+)", values))
        broken += [f"{path.name}: {one}" for one in used if not one.startswith("#") or one[1:] not in names]
        seen += len(used)
    assert broken == []
    assert seen > 20


def test_lists_for_machines_name_files(demo: Demo) -> None:
    """Every file that a page's manifest names is there: its icons and where it starts."""
    for path in sorted(demo.output.rglob("*.webmanifest")):
        kept = json.loads(path.read_text(encoding="utf-8"))
        named = [one["src"] for part in ("icons", "screenshots") for one in kept.get(part, ())]
        named += [kept[key] for key in ("start_url", "scope") if key in kept]
        for one in named:
            file = target(path, one)
            assert (file / "index.html").is_file() or file.is_file(), f"{path.name}: {one}"
    linked = [
        (path, said(tag, "href"))
        for path in pages_in(demo.output / "catalogue")
        for tag in read_page(path).select('link[rel="manifest"], link[rel="alternate"], link[rel~="icon"]')
    ]
    assert [
        f"{path.name}: {one}" for path, one in linked if not one.startswith(ADDRESS) and not target(path, one).is_file()
    ] == []
    assert linked
