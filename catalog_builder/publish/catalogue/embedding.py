"""A page made whole: everything that it loads is put into it, so that it opens anywhere and asks for nothing."""

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

    def put(found: re.Match[str]) -> str:
        tag, end = found[1], found[3] or ""
        told = {one[1]: unescape(one[2] or one[3] or "") for one in _ATTRIBUTE.finditer(found[2])}
        if tag == "link":
            return _link(told, files, found[0])
        if tag == "script":
            return "" if "src" in told else found[0]
        name = "src" if tag == "img" else "href"
        if name not in told or not _relative(told[name]):
            return found[0]
        new = data_uri(told[name], files) if tag == "img" else urljoin(address, told[name])
        return found[0].replace(escape(told[name]), escape(new), 1) + end

    return _TAG.sub(put, html)


def _relative(reference: str) -> bool:
    parts = urlsplit(reference)
    return not parts.scheme and not parts.netloc and bool(parts.path)


def _link(told: Mapping[str, str], files: Mapping[str, bytes], whole: str) -> str:
    """Give what stands in a link's place: the style itself, a data URI for an icon, an address, or nothing."""
    relation, reference = told.get("rel", "").split(), told.get("href", "")
    if "stylesheet" in relation:
        media = f' media="{escape(told["media"])}"' if "media" in told else ""
        return f"<style{media}>\n{_style(reference, files)}</style>"
    if "icon" in relation and _relative(reference) and reference in files:
        return whole.replace(escape(reference), data_uri(reference, files), 1)
    return whole if relation == ["canonical"] else ""


def _style(name: str, files: Mapping[str, bytes]) -> str:
    def put(found: re.Match[str]) -> str:
        reference = found[1]
        return (
            f'url("{data_uri(normpath(f"{dirname(name)}/{reference}"), files)}")' if _relative(reference) else found[0]
        )

    return re.sub(r"url\(\s*[\"']?([^\"')]+)[\"']?\s*\)", put, files[name].decode())


def data_uri(name: str, files: Mapping[str, bytes]) -> str:
    """Give a file's bytes as an address of RFC 2397 in base64."""
    kind = KINDS[name[name.rindex(".") :]]
    return f"data:{kind};base64,{b64encode(files[name]).decode('ascii')}"
