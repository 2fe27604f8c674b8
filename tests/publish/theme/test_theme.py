"""Themes stand apart from the program, and one may build on another."""

from __future__ import annotations

import re
from pathlib import Path
from urllib.parse import urlsplit

import pytest
from jinja2 import nodes

from catalog_builder.publish.theme.loading import Theme, read_theme
from tests.publish.demo import ROOT, Demo, build_in, bytes_of, lay_out_known, reworded
from tests.publish.page import pages_in, read_page, references, said, target, text_of

PRODUCTS = ("queen-scallop", "two-waxcaps")
TOML = 'title = "Sailcloth"\ndescription = "Cream and navy."\nbuilds_on = "daylight"\n'


def theme_of(root: Path, files: dict[str, str], name: str = "sailcloth") -> Theme:
    """A theme of the maker's own, in English."""
    for path, text in {"theme.toml": TOML, **files}.items():
        file = root / "themes" / name / path
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_text(text, encoding="utf-8")
    return read_theme(root, name, "en-GB")


@pytest.fixture(scope="module")
def plain(tmp_path_factory: pytest.TempPathFactory) -> Demo:
    """Two products, one with photos, in the theme Limewash."""
    project = lay_out_known(tmp_path_factory.mktemp("plain") / "studio", *PRODUCTS)
    reworded(project / "content" / "studio.toml", ('theme = "daylight"', 'theme = "limewash"'))
    return build_in(project)


def test_theme_needs_only_what_it_changes(tmp_path: Path) -> None:
    """A theme of three lines has every template, word and sheet of the theme that it builds on."""
    theme, below = theme_of(tmp_path, {}), read_theme(tmp_path, "daylight", "en-GB")
    assert theme.labels == below.labels
    assert theme.templates.list_templates() == below.templates.list_templates()
    assert theme.file("stall/price_sheet.typ") == below.file("stall/price_sheet.typ")
    assert dict(theme.assets()) == dict(below.assets())


def test_words_are_merged_one_by_one(tmp_path: Path) -> None:
    """A label of the theme's own takes the place of one word; all others stay."""
    theme = theme_of(tmp_path, {"labels/en.toml": '[home]\nlook = "Come in"\n'})
    below = read_theme(tmp_path, "daylight", "en-GB")
    changed = {
        (table, key): word
        for table, words in theme.labels.items()
        for key, word in words.items()
        if word != below.labels[table][key]
    }
    assert changed == {("home", "look"): "Come in"}


def test_words_of_a_country_go_before_those_of_its_language(tmp_path: Path) -> None:
    """A studio in en-GB reads en-GB.toml where a theme has it."""
    theme = theme_of(tmp_path, {"labels/en.toml": '[home]\nlook = "A"\n', "labels/en-GB.toml": '[home]\nlook = "B"\n'})
    assert theme.words("home", "look") == "B"


def test_template_of_the_theme_below_stands_in_the_layout_above(tmp_path: Path) -> None:
    """A page that a theme takes from below extends the theme's own layout."""
    layout = "<body class=mine>{% block main %}{% endblock %}</body>"
    theme = theme_of(tmp_path, {"templates/layout.html": layout})
    html = theme.render("dates.html", markets=())
    assert html.startswith("<body class=mine>")
    assert theme.labels["dates"]["none"] in html


def test_files_of_the_theme_below_come_along_if_named(tmp_path: Path) -> None:
    """A style that a page names is published, with the letters it loads and their licence; no other file is."""
    theme = theme_of(tmp_path, {"assets/own.css": "p { color: red }"})
    published = set(dict(theme.assets(['<link href="assets/stall.css">'])))
    letters = {name for name in published if name.endswith(".woff2")}
    assert published - letters == {"assets/own.css", "assets/stall.css", "assets/fonts/OFL.txt"}
    assert letters == {f"assets/fonts/ysabeau-office-latin-{one}normal.woff2" for one in ("", "ext-")}
    assert set(dict(theme.assets(["<p>"]))) == {"assets/own.css"}


def test_theme_may_build_on_one_that_builds_on_another(tmp_path: Path) -> None:
    """What neither of two themes has comes from the third."""
    theme_of(tmp_path, {"labels/en.toml": '[home]\nlook = "Second"\nnewest = "Second"\n'}, "second")
    theme = theme_of(
        tmp_path,
        {"theme.toml": TOML.replace("daylight", "second"), "labels/en.toml": '[home]\nlook = "First"\n'},
    )
    assert [folder.name for folder in theme.folders] == ["sailcloth", "second", "daylight"]
    assert [theme.words("home", key) for key in ("look", "newest", "all_dates")] == [
        "First",
        "Second",
        "All market days",
    ]


def held(theme: Theme, folder: Path, name: str) -> dict[str, tuple[str, ...]]:
    """The blocks and macros of a theme's own template, with the macros' arguments."""
    tree = theme.templates.parse((folder / "templates" / name).read_text(encoding="utf-8"))
    found = {f"block {one.name}": () for one in tree.find_all(nodes.Block)} if "layout" in name else {}
    return found | {one.name: tuple(arg.name for arg in one.args) for one in tree.find_all(nodes.Macro)}


def test_plain_theme_keeps_what_templates_lend_each_other() -> None:
    """Where Limewash has a template of Daylight's name, it has the same blocks and macros with the same arguments."""
    theme = read_theme(ROOT, "limewash", "en-GB")
    own, below = theme.folders
    names = {path.name for path in (own / "templates").glob("*.html")}
    assert len(names) >= 6
    assert names < {path.name for path in (below / "templates").glob("*.html")}
    for name in names:
        assert held(theme, own, name) == held(theme, below, name), name


def test_plain_theme_sets_the_colours_that_styles_share() -> None:
    """Limewash sets every custom property that Daylight's styles take from its first rule."""
    theme = read_theme(ROOT, "limewash", "en-GB")
    own, below = (
        set(re.findall(r"^\s*(--[a-z-]+):", (folder / "assets/style.css").read_text(encoding="utf-8"), re.MULTILINE))
        for folder in theme.folders
    )
    wanted = {name for name in below if name not in ("--bar",)}
    assert len(wanted) > 10
    assert wanted <= own


def test_plain_theme_shows_every_kind_of_page(plain: Demo) -> None:
    """Limewash makes the same pages as Daylight does, each with one heading of the first rank and its own scripts."""
    catalogue = plain.output / "catalogue"
    names = {path.relative_to(catalogue).as_posix() for path in pages_in(catalogue)}
    assert {"index.html", "about.html", "care.html", "dates.html", "404.html"} < names
    assert {f"products/{slug}.html" for slug in PRODUCTS} < names
    for name in names:
        page = read_page(catalogue / name)
        assert len(page.select("h1")) == 1, name
        scripts = [said(one, "src") for one in page.select("script[src]")]
        assert all(target(catalogue / name, script).is_file() for script in scripts), name


def test_plain_theme_leads_where_it_says(plain: Demo) -> None:
    """Every link, picture and style of Limewash's pages is a file of the catalogue or an address on its own site."""
    broken = []
    for path in pages_in(plain.output / "catalogue"):
        for reference in references(read_page(path)):
            parts = urlsplit(reference)
            if parts.scheme == "mailto" or reference.startswith("https://withyslip.example/"):
                continue
            if parts.scheme or not target(path, reference).is_file():
                broken.append(f"{path.name}: {reference}")
    assert broken == []


def test_plain_theme_is_light(plain: Demo) -> None:
    """Limewash publishes a style sheet under 16 kB, letters under 40 kB and their licence; pixels for phones."""
    files = bytes_of(plain.output / "catalogue")
    assert len({name for name in files if name.startswith("assets/icon-")}) == 5
    assert len(files["assets/style.css"]) < 16_000
    letters = {name: data for name, data in files.items() if name.endswith(".woff2")}
    assert set(letters) == {"assets/fonts/literata-latin.woff2", "assets/fonts/literata-latin-ext.woff2"}
    assert len(letters["assets/fonts/literata-latin.woff2"]) < 40_000
    assert "assets/fonts/OFL.txt" in files
    assert "assets/find.js" in files
    assert "ysabeau" not in " ".join(bytes_of(plain.output / "stall"))


def test_plain_theme_says_its_own_words(plain: Demo) -> None:
    """Limewash's front page lists every product; its words are its own where it has some."""
    page = read_page(plain.output / "catalogue" / "index.html")
    assert {text_of(link) for link in page.select(".card a")} == {one.title for one in plain.calculated.listings}
    assert "Next market day" in text_of(page)
