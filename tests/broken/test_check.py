"""What `check` passes, `publish` publishes: odd records, each in a studio that is sound but for it."""

from __future__ import annotations

import shutil
from dataclasses import dataclass
from io import BytesIO
from pathlib import Path

import pytest
from PIL import Image

from catalog_builder.build import build
from catalog_builder.commands.check import check_project
from catalog_builder.mistake import MistakeError
from catalog_builder.publish.studio_calculation import quiet
from tests.broken.fault import DAY, lay_sound

LIMPET, SAIL, STUDIO = "products/limpet/product.md", "products/sail/product.md", "studio.toml"
LONG, TEXT = "x" * 250, "A limpet \U0001f41a on a \u5ca9 \ufdd0 \u202e rock. " * 60


@dataclass(frozen=True, slots=True)
class Odd:
    """A text of a file and what is put in its place."""

    file: str
    find: str
    put: str

    def lay(self, content: Path) -> None:
        """Change the file; a file that is not there is written."""
        path = content / self.file
        if not self.find:
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(self.put, encoding="utf-8")
            return
        text = path.read_text(encoding="utf-8")
        assert self.find in text, self
        path.write_text(text.replace(self.find, self.put, 1), encoding="utf-8")


def replacing(file: str, find: str, *others: str) -> list[Odd]:
    """Put several texts in place of one."""
    return [Odd(file, find, other) for other in others]


ODD = [
    *replacing(LIMPET, "title: Limpet", "title: '.'", "title: '\U0001f41a'", f"title: {LONG}", "title: '   a\u00a0'"),
    *replacing(LIMPET, "title: Limpet", "title: '\ufffe\uffff'", "title: 'a/b\\c'", "title: '%s {x} {{y}}'"),
    *replacing(LIMPET, "title: Tide", f"title: '{TEXT}'", "title: Dusk", "title: '\u2028'", "title: '-'"),
    *replacing(LIMPET, "  small: 80 mm", "  small: 8 mm", "  small: 9.9 m", f"  {LONG}: 80 mm", "  small: 0.01 mm"),
    *replacing(LIMPET, "  large: 120 mm\n", "", "  large: 80 mm\n", "  large: 80.0001 mm\n"),
    *replacing(LIMPET, "  tide:", f"  {LONG}:", "  a-b:", "  a_b:"),
    *replacing(LIMPET, "batch: 6", "batch: 1", "batch: 100000", ""),
    *replacing(LIMPET, "added: 2026-03-01", "added: 0001-01-01", "added: 9999-12-31", "added: 2026-07-02"),
    *replacing(LIMPET, "alt: A limpet in a window", "alt: '\U0001f41a'", f"alt: '{LONG}'"),
    *replacing(LIMPET, "  - {file", "  - {file: window.png, alt: The same}\n  - {file", "  - {focus: 0 0, file"),
    *replacing(LIMPET, "Drawn as half", TEXT, "\x07\x0b\ufffe", "<b>", "| a | b |\n|---|---|\n| [x]( | `", "&#0;"),
    *replacing(LIMPET, "</svg>", "<title>\U0001f41a\u5ca9</title></svg>"),
    *replacing(LIMPET, ">1</text>", f">{LONG}</text>", ">\U0001f41a</text>", "> </text>", ">\u0301</text>"),
    *replacing(SAIL, "length: 60 mm", "length: 1 mm", "length: 9 m", "length: 59.9999 mm"),
    *replacing(STUDIO, 'name = "Test Studio"', 'name = "\U0001f41a"', f'name = "{LONG}"', 'name = "../x"'),
    *replacing(STUDIO, 'name = "Test Studio"', 'name = "\ufffe"', 'name = "\uffff"', 'name = "\ufdd0"'),
    *replacing(LIMPET, "title: Limpet", r'title: "\uFFFE"', r'title: "\uFDD0"', r'title: "\U0001FFFF"'),
    *replacing(STUDIO, 'tagline = "Nothing', f'tagline = "{TEXT}', 'tagline = "\u202e'),
    *replacing(STUDIO, 'place = "Testing"', 'place = "\U0001f41a"', 'place = "\u0301"'),
    *replacing(STUDIO, "maker@studio", "\U0001f41a@studio", "a&b@studio"),
    *replacing(STUDIO, "https://studio", "https://\u5ca9/\U0001f41a", "http://[::1", "https://a..b:x", "http://:80/"),
    *replacing(STUDIO, '"GBP"', '"JPY"', '"KWD"', '"XAU"', '"BTC"'),
    *replacing(STUDIO, '"en-GB"', '"de-CH"', '"en-US"', '"en-AU"', '"ar-EG"', '"de-AT"'),
    *replacing(STUDIO, 'hourly_rate = "15.00"', "hourly_rate = 0.01", "hourly_rate = 1000000000", "hourly_rate = 1e-9"),
    *replacing(STUDIO, "bench_hours_a_year = 500", "bench_hours_a_year = 1", "bench_hours_a_year = 1e9"),
    *replacing(STUDIO, "markup_percent = 40", "markup_percent = 0", "markup_percent = 1e9", "margin_percent = 99.999"),
    *replacing(STUDIO, "piece = 2", "piece = 0", "piece = 1e9", "piece = 0.000001"),
    *replacing(STUDIO, "[finishes.black]", f"[finishes.{LONG}]"),
    *replacing(STUDIO, 'title = "Black"', 'title = "Bright"', f'title = "{TEXT[:1900]}"'),
    *replacing(STUDIO, 'title = "Shore"', 'title = "\U0001f41a"', f'title = "{LONG * 7}"'),
    *replacing(STUDIO, "[series.shore]", "[series.deep]\ntitle = 'Deep'\nsummary = 'S'\n[series.shore]"),
    *replacing(STUDIO, 'name = "Quay market"', 'name = "\U0001f41a"', f'name = "{LONG}"', 'name = "\u202e"'),
    *replacing(STUDIO, "2030-06-01", "2026-07-01", "2025-06-01", "0001-01-01"),
    *replacing(STUDIO, "until = 2030-06-02", "until = 9999-12-31", ""),
    *replacing(STUDIO, '"9:00 to 15:00"', f'"{TEXT}"', '"\U0001f41a"'),
    Odd("about.md", "", TEXT),
    Odd("care.md", "", "\x07\x1b[31m \ufffe"),
    Odd("about.md", "", ""),
    Odd("care.md", "", "\n" * 900),
]


@pytest.fixture
def project(published: Path, tmp_path: Path) -> Path:
    """A copy of the sound studio that has been published."""
    project = Path(shutil.copytree(published, tmp_path / "studio"))
    lay_sound(project / "content")
    return project


def passed_alike(project: Path) -> None:
    """Hold that both pass, or that both give the same mistakes, and that both give the same findings."""
    outcomes = list[object]()
    for run in (check_project, build):
        try:
            outcomes.append(run(project, DAY, 1, quiet).findings)
        except MistakeError as fault:
            outcomes.append(fault.mistakes)
    assert outcomes[0] == outcomes[1]


@pytest.mark.parametrize("odd", ODD, ids=[f"{odd.file}-{number}" for number, odd in enumerate(ODD)])
def test_what_check_passes_publish_publishes(project: Path, odd: Odd) -> None:
    """Neither fails in any way but by mistakes, and those are the same."""
    odd.lay(project / "content")
    passed_alike(project)


@pytest.mark.parametrize("name", ["products", "markets", "batches", "photo"])
def test_long_names_of_files_and_folders(project: Path, name: str) -> None:
    """A name that a disk takes may still be too long for what is made of it."""
    content = project / "content"
    if name == "products":
        (content / LIMPET).parent.rename(content / "products" / LONG)
    elif name == "photo":
        photo = BytesIO()
        Image.new("L", (1, 1)).save(photo, "PNG")
        (content / "products/limpet" / f"{LONG}.png").write_bytes(photo.getvalue())
        Odd(LIMPET, "window.png", f"{LONG}.png").lay(content)
    elif name == "markets":
        Odd(STUDIO, "[[markets]]", f'[[markets]]\ncode = "{LONG}"').lay(content)
    else:
        Odd(f"batches/{LONG}.toml", "", 'title = "Long"\n[[items]]\nproduct = "sail"\ncount = 1\n').lay(content)
    passed_alike(project)


def test_check_changes_nothing_that_is_published(project: Path) -> None:
    """What is published and what a project without output holds stay as they were."""

    def files(folder: Path) -> dict[Path, bytes]:
        return {path: path.read_bytes() for path in folder.rglob("*") if path.is_file() and ".kept" not in path.parts}

    Odd(LIMPET, "title: Limpet", "title: Whelk").lay(project / "content")
    before = files(project)
    assert check_project(project, DAY, 1, quiet).pages > 0
    assert files(project) == before
    shutil.rmtree(project / "site_output")
    assert check_project(project, DAY, 1, quiet).pages > 0
    assert not (project / "site_output").exists()
