"""Edits of the look: words, templates, styles and printed sheets of the project's own theme; theme and language."""

from __future__ import annotations

import re
import shutil
from pathlib import Path
from random import Random

from tests.edits.studio import THEME, Studio
from tests.publish.demo import ROOT

_DAYLIGHT = ROOT / "themes" / "daylight"
_WORDS = (
    ("navigation", "about"),
    ("navigation", "home"),
    ("home", "newest"),
    ("care", "heading"),
    ("product", "neighbours"),
    ("pages", "find_title"),
)


def _own(studio: Studio, name: str) -> tuple[Path, str]:
    """Put the project's own theme to use; give a file of it, and its text or that of the theme below."""
    _key(studio, "theme", THEME)
    path = studio.theme / name
    path.parent.mkdir(parents=True, exist_ok=True)
    return path, (path if path.exists() else _DAYLIGHT / name).read_text(encoding="utf-8")


def _key(studio: Studio, key: str, value: str) -> str:
    path = studio.content / "studio.toml"
    text = re.sub(rf"^{key} = .*$", f'{key} = "{value}"', path.read_text(encoding="utf-8"), count=1, flags=re.M)
    path.write_text(text, encoding="utf-8", newline="\n")
    return f"{key} = {value}"


def label(studio: Studio, chance: Random) -> str:
    """Reword a label; where the studio writes in the other language, nothing may change."""
    path, _ = _own(studio, f"labels/{chance.choice(['en', 'de'])}.toml")
    table, key = chance.choice(_WORDS)
    path.write_text(f'[{table}]\n{key} = "Words {chance.randrange(100)}"\n', encoding="utf-8")
    return f"{path.name}: {table}.{key}"


def template(studio: Studio, chance: Random) -> str:
    """Put a line into a template of a page, of the catalogue or of the bench."""
    name = chance.choice(["about.html", "care.html", "cost_card.html", "layout.html", "card.html", "product.html"])
    path, text = _own(studio, f"templates/{name}")
    mark = f"<!-- {chance.randrange(1000)} -->"
    text = re.sub(r"<!-- \d+ -->", "", text)
    path.write_text(text.replace("</h1>", f"</h1>{mark}", 1).replace("</body>", f"{mark}</body>", 1), encoding="utf-8")
    return name


def broken_template(studio: Studio, _chance: Random) -> str:
    """Leave a block of a template open, which the build refuses."""
    path, text = _own(studio, "templates/care.html")
    path.write_text(text.replace("{% endblock %}", "", 1), encoding="utf-8")
    return path.name


def style(studio: Studio, chance: Random) -> str:
    """Change a style: of all pages, of one kind, or one that stands in a page itself."""
    name = chance.choice(["style.css", "product.css", "bench.css", "one_file.css", "stall.css"])
    path, text = _own(studio, f"assets/{name}")
    path.write_text(f"{text}\n.mark-{chance.randrange(1000)} {{ order: 1; }}\n", encoding="utf-8")
    return name


def asset(studio: Studio, chance: Random) -> str:
    """Add a file to the theme's assets."""
    path = studio.theme / "assets" / f"note-{chance.randrange(100)}.txt"
    path.parent.mkdir(exist_ok=True)
    path.write_text("A note.\n", encoding="utf-8")
    return path.name


def sheet(studio: Studio, chance: Random) -> str:
    """Set the letters of a printed sheet a little larger or smaller."""
    name = chance.choice(["stall/price_sheet.typ", "bench/pattern_sheet.typ", "bench/paper.typ", "book/look_book.typ"])
    path, text = _own(studio, name)
    if name.startswith("bench/") and not (studio.theme / "bench" / "paper.typ").exists():
        shutil.copyfile(_DAYLIGHT / "bench" / "paper.typ", studio.theme / "bench" / "paper.typ")
    size = f"{chance.randrange(80, 140) / 10}pt"
    path.write_text(re.sub(r"size: [\d.]+pt", f"size: {size}", text, count=1), encoding="utf-8")
    return f"{name}: {size}"


def phone_colour(studio: Studio, chance: Random) -> str:
    """Change what a phone paints around the catalogue."""
    path, text = _own(studio, "theme.toml")
    text = text.split("\n[colours]")[0]
    day, night = (f"#{chance.randrange(1 << 24):06x}" for _ in range(2))
    path.write_text(f'{text}\n[colours]\nwall_by_day = "{day}"\nwall_by_night = "{night}"\n', encoding="utf-8")
    return day


def theme(studio: Studio, chance: Random) -> str:
    """Show the studio in another theme, until its own is edited again."""
    return _key(studio, "theme", chance.choice(["daylight", "limewash"]))


def language(studio: Studio, chance: Random) -> str:
    """Let the pages speak another language."""
    return _key(studio, "language", chance.choice(["en-GB", "en-US", "de-DE", "de-CH", "fr-FR", "es-ES"]))


def shadow(studio: Studio, chance: Random) -> str:
    """Put a theme into the project that bears the name of one that comes along, or take it away again."""
    folder = studio.project / "themes" / "daylight"
    if folder.exists():
        shutil.rmtree(folder)
        return "taken away"
    shutil.copytree(_DAYLIGHT, folder)
    path = folder / "labels" / "en.toml"
    text = path.read_text(encoding="utf-8").replace('about = "The maker"', f'about = "Who, {chance.randrange(100)}"')
    path.write_text(text, encoding="utf-8")
    return "put there"
