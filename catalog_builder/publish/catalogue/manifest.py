"""The web app manifest, for a catalogue that is put on a phone's home screen."""

from __future__ import annotations

import json
import re

from catalog_builder.publish.theme.loading import Theme
from catalog_builder.records.studio_tables.studio_keys import StudioKeys

NAME = "site.webmanifest"
_ICON = re.compile(r"assets/icon(?P<maskable>-maskable)?-(?P<side>\d+)\.png")


def web_manifest(studio: StudioKeys, theme: Theme) -> str:
    """Describe the catalogue by the W3C's Web Application Manifest.

    Every address in it is relative to the manifest, which lies in the front folder, so that the catalogue may
    stand under any path. The icons are the theme's: ``icon.svg``, ``icon-SIDE.png`` and ``icon-maskable-SIDE.png``,
    where SIDE is in px.
    """
    wall = theme.about.colours.wall_by_day if theme.about.colours else None
    keys = {
        "name": studio.name,
        "short_name": studio.name,
        "description": studio.tagline,
        "lang": studio.language,
        "start_url": "index.html",
        "scope": "./",
        "display": "browser",
        "background_color": wall,
        "theme_color": wall,
        "icons": _icons(theme),
    }
    return json.dumps({key: value for key, value in keys.items() if value}, ensure_ascii=False, indent=2) + "\n"


def _icons(theme: Theme) -> list[dict[str, str]]:
    icons = []
    for name, _ in theme.assets():
        if name == "assets/icon.svg":
            icons.append({"src": name, "type": "image/svg+xml", "sizes": "any", "purpose": "any"})
        elif match := _ICON.fullmatch(name):
            sizes = f"{match['side']}x{match['side']}"
            purpose = "maskable" if match["maskable"] else "any"
            icons.append({"src": name, "type": "image/png", "sizes": sizes, "purpose": purpose})
    return icons
