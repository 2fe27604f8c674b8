"""Embedding: everything that a page loads is put into it, so that it opens anywhere without the network."""

from __future__ import annotations

import re
from base64 import b64encode
from collections.abc import Mapping
from html import escape, unescape
from posixpath import dirname, normpath
from urllib.parse import urljoin, urlsplit

KINDS = {
    ".svg": "image/svg+xml",
    ".webp": "image/webp",
    ".jpg": "image/jpeg",
    ".png": "image/png",
    ".woff2": "font/woff2",
}
_TAG = re.compile(r"<(link|img|script|a)\b((?:[^>\"']|\"[^\"]*\"|'[^']*')*)>(\s*</script>)?")
_ATTRIBUTE = re.compile(r"([\w-]+)(?:\s*=\s*(?:\"([^\"]*)\"|'([^']*)'))?")


def embedded(html: str, files: Mapping[str, bytes], address: str) -> str:
    """Put styles, letters and pictures into a page that lies in the folder of ``files``.

    Scripts and links to what only a host can use are left out; a link to another page leads to ``address``,
    where the site stands.

    Raises:
        KeyError: the page loads a file that is not among ``files``.
    """

    def put(tag_match: re.Match[str]) -> str:
        tag, end = tag_match[1], tag_match[3] or ""
        attributes = {
            attribute[1]: unescape(attribute[2] or attribute[3] or "")
            for attribute in _ATTRIBUTE.finditer(tag_match[2])
        }
        if tag == "link":
            return _link(attributes, files, tag_match[0])
        if tag == "script":
            return "" if "src" in attributes else tag_match[0]
        name = "src" if tag == "img" else "href"
        if name not in attributes or not _relative(attributes[name]):
            return tag_match[0]
        new = data_uri(attributes[name], files) if tag == "img" else urljoin(address, attributes[name])
        return tag_match[0].replace(escape(attributes[name]), escape(new), 1) + end

    return _TAG.sub(put, html)


def _relative(reference: str) -> bool:
    parts = urlsplit(reference)
    return not parts.scheme and not parts.netloc and bool(parts.path)


def _link(attributes: Mapping[str, str], files: Mapping[str, bytes], whole: str) -> str:
    """Give what stands in a link's place: the style itself, a data URI for an icon, an address, or nothing."""
    relation, reference = attributes.get("rel", "").split(), attributes.get("href", "")
    if "stylesheet" in relation:
        media = f' media="{escape(attributes["media"])}"' if "media" in attributes else ""
        return f"<style{media}>\n{_style(reference, files)}</style>"
    if "icon" in relation and _relative(reference) and reference in files:
        return whole.replace(escape(reference), data_uri(reference, files), 1)
    return whole if relation == ["canonical"] else ""


def _style(name: str, files: Mapping[str, bytes]) -> str:
    def put(url_match: re.Match[str]) -> str:
        reference = url_match[1]
        return (
            f'url("{data_uri(normpath(f"{dirname(name)}/{reference}"), files)}")'
            if _relative(reference)
            else url_match[0]
        )

    return re.sub(r"url\(\s*[\"']?([^\"')]+)[\"']?\s*\)", put, files[name].decode())


def data_uri(name: str, files: Mapping[str, bytes]) -> str:
    """Give a file's bytes as an address of RFC 2397 in base64."""
    kind = KINDS[name[name.rindex(".") :]]
    return f"data:{kind};base64,{b64encode(files[name]).decode('ascii')}"
