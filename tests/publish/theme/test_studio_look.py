"""The studio's own colours and letters: what is refused, what follows, and that it can be read."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from catalog_builder.mistake import Mistake, MistakeError
from catalog_builder.publish.theme.contrast import READABLE, contrast, least_contrast
from catalog_builder.publish.theme.loading import Theme, read_theme
from catalog_builder.publish.theme.studio_look import MOST_LETTERS_BYTES, with_studio_look
from catalog_builder.records.reading.source import Source
from catalog_builder.records.studio_tables.look_table import Look

ROOT = Path(__file__).resolve().parents[3]
LETTERS = ROOT / "themes" / "limewash" / "assets" / "fonts" / "literata-latin.woff2"
THEMES = ("daylight", "limewash")


def dressed(theme: str, project: Path = ROOT, **keys: str) -> Theme:
    """A theme with a look of these keys."""
    text = "[look]\n" + "".join(f'{key} = "{value}"\n' for key, value in keys.items())
    source = Source("content/studio.toml", text)
    return with_studio_look(read_theme(ROOT, theme, "en-GB"), Look.model_validate(keys), project, source)


def refused(theme: str, project: Path = ROOT, **keys: str) -> list[Mistake]:
    """What is wrong with a look."""
    with pytest.raises(MistakeError) as caught:
        dressed(theme, project, **keys)
    return list(caught.value.mistakes)


def properties(theme: Theme) -> dict[str, dict[str, str]]:
    """The custom properties that a look sets, by scheme."""
    rules = theme.studio_style.rules.decode() if theme.studio_style else ""
    found = re.findall(r"prefers-color-scheme: (\w+)\) \{ :root \{ (.*?) \}", rules)
    return {scheme: dict(re.findall(r"--([\w-]+): (#\w+);", text)) for scheme, text in found}


@pytest.mark.parametrize("name", THEMES)
def test_theme_says_the_colours_that_its_style_has(name: str) -> None:
    """``theme.toml`` gives the same wall, sun, pane, ink and accent as ``style.css``: by day first, then by night."""
    colours = read_theme(ROOT, name, "en-GB").about.colours
    assert colours is not None
    style = (ROOT / "themes" / name / "assets" / "style.css").read_text(encoding="utf-8")
    for property_name, key in (
        ("wall", "wall"),
        ("sun", "sun"),
        ("pane", "pane"),
        ("ink", "ink"),
        ("copper", "accent"),
    ):
        shown = [
            "#" + "".join(2 * part for part in found) if len(found) == 3 else f"#{found}"
            for found in re.findall(rf"--{property_name}: #(\w+);", style)
        ]
        assert shown[:2] == [getattr(colours, f"{key}_by_day"), getattr(colours, f"{key}_by_night")], property_name


def test_no_look_changes_nothing() -> None:
    """Without a table ``[look]`` the theme is the one that was read."""
    theme = read_theme(ROOT, "daylight", "en-GB")
    assert with_studio_look(theme, Look.model_validate({}), ROOT, Source("content/studio.toml", "")) is theme


@pytest.mark.parametrize("name", THEMES)
@pytest.mark.parametrize("paper", ["#f4ead8", "#ffffff", "#dfe8d8", "#1b1030", "#222222"])
def test_all_that_follows_from_a_paper_can_be_read(name: str, paper: str) -> None:
    """Ink, softer words and links that the studio does not name are chosen so that they can be read on its paper."""
    for scheme, theme in (("light", dressed(name, paper=paper)), ("dark", dressed(name, dark_paper=paper))):
        found = properties(theme)[scheme]
        papers = [found[part] for part in ("wall", "sun", "pane")]
        assert found["wall"] == paper
        for part in ("ink", "soft", "focus"):
            assert least_contrast(found[part], papers) >= READABLE, part
        if "copper" in found:
            assert least_contrast(found["copper"], papers) >= READABLE
            assert contrast(found["on-copper"], found["copper"]) >= READABLE


@pytest.mark.parametrize("name", THEMES)
def test_one_accent_serves_both_schemes(name: str) -> None:
    """An accent for light screens is made light enough for dark ones; the words on its buttons can be read on both."""
    found = properties(dressed(name, accent="#6a2450"))
    assert found["light"]["copper"] == "#6a2450"
    assert found["dark"]["copper"] != "#6a2450"
    colours = read_theme(ROOT, name, "en-GB").about.colours
    assert colours is not None
    assert least_contrast(found["dark"]["copper"], (colours.night.wall, colours.night.sun)) >= READABLE
    assert all(contrast(each["on-copper"], each["copper"]) >= READABLE for each in found.values())


def test_pale_accent_is_refused_with_its_ratio_and_a_nearer_one() -> None:
    """The mistake names the line, the measured ratio, the paper and the nearest colour that passes there."""
    (mistake,) = refused("limewash", accent="#ff9944")
    assert (mistake.place.line, mistake.marked) == (2, "#ff9944")
    assert "is 1.92 to 1" in mistake.wrong
    nearest = re.findall(r"#\w{6}", mistake.mend)[0]
    dressed("limewash", accent=nearest)
    assert "4.5 to 1" in mistake.expected


def test_dark_colours_are_checked_too() -> None:
    """A dark ink on a dark paper is refused under its own key."""
    (mistake,) = refused("daylight", dark_ink="#444444", dark_paper="#101010")
    assert mistake.wrong.startswith("look.dark_ink: #444444 is hard to read")


def test_phone_and_cards_follow_the_paper() -> None:
    """What a phone paints around the page, and the cards that are passed on, take the studio's paper and ink."""
    about = dressed("daylight", paper="#f4ead8", ink="#2b2118", dark_paper="#1d1420").about
    assert about.colours is not None
    assert (about.colours.wall_by_day, about.colours.wall_by_night) == ("#f4ead8", "#1d1420")
    assert about.card is not None
    assert (about.card.wall, about.card.ink) == ("#f4ead8", "#2b2118")


def test_pages_are_made_anew_for_another_look() -> None:
    """Two looks have two keys, and so have their pages."""
    assert len({dressed("daylight", accent=accent).key for accent in ("#6a2450", "#245c4f")}) == 2


@pytest.fixture
def project(tmp_path: Path) -> Path:
    """A folder with a content/ to put letters into."""
    (tmp_path / "content").mkdir()
    return tmp_path


def test_letters_are_published_with_the_style_that_names_them(project: Path) -> None:
    """A file of letters in content/ comes along, and the style names it."""
    (project / "content" / "ours.woff2").write_bytes(LETTERS.read_bytes())
    assets = dict(dressed("daylight", project, typeface="ours.woff2").assets())
    assert assets["assets/studio-letters.woff2"] == LETTERS.read_bytes()
    assert b'url("studio-letters.woff2")' in assets["assets/style.css"]


def test_generic_family_needs_no_file() -> None:
    """A word that every browser knows is enough."""
    assets = dict(dressed("limewash", typeface="serif").assets())
    assert assets["assets/style.css"].endswith(b":root { --letters: serif; }\n")


@pytest.mark.parametrize(
    ("data", "wrong"),
    [
        (None, "there is no file content/ours.woff2"),
        (b"", "is not one whole typeface"),
        (b"OTTO" + bytes(200), "is not one whole typeface"),
        (LETTERS.read_bytes()[:-1], "is not one whole typeface"),
        (LETTERS.read_bytes()[:4] + b"ttcf" + LETTERS.read_bytes()[8:], "is not one whole typeface"),
        (bytes(MOST_LETTERS_BYTES + 1), "has 300 kB, which each visitor would have to fetch"),
    ],
)
def test_letters_that_no_browser_can_show_are_refused(project: Path, data: bytes | None, wrong: str) -> None:
    """A file that is missing, too large, cut short, or no WOFF 2 of one face is told with its line."""
    if data is not None:
        (project / "content" / "ours.woff2").write_bytes(data)
    (mistake,) = refused("daylight", project, typeface="ours.woff2")
    assert wrong in mistake.wrong
    assert mistake.place.line == 2


@pytest.mark.parametrize(
    "name", ["../ours.woff2", "fonts/ours.woff2", "ours.ttf", "Comic", "https://x.example/y.woff2"]
)
def test_typeface_is_a_file_beside_the_studio_or_a_known_word(name: str) -> None:
    """No path, no address and no other format is taken for a typeface."""
    with pytest.raises(ValueError, match="no typeface that can be shown"):
        Look.model_validate({"typeface": name})
