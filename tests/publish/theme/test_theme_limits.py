"""A theme from elsewhere brings nothing out of the maker's folders, runs nothing, and is told where it is wrong."""

from __future__ import annotations

import os
import shutil
from pathlib import Path

import pytest

from catalog_builder.mistake import MistakeError
from catalog_builder.publish.theme import theme_limits
from catalog_builder.publish.theme.loading import Theme, read_theme
from tests.broken.test_folders import posix

DAYLIGHT = Path(__file__).resolve().parents[3] / "themes" / "daylight"


@pytest.fixture
def theme(tmp_path: Path) -> Path:
    """The folder of a theme of the project's own."""
    return Path(shutil.copytree(DAYLIGHT, tmp_path / "themes" / "borrowed"))


def reading(theme: Path) -> Theme:
    """The theme, read as a build reads it."""
    return read_theme(theme.parents[1], theme.name, "en-GB")


def wrong(theme: Path) -> tuple[str, str]:
    """Where and what is told of a theme."""
    with pytest.raises(MistakeError) as caught:
        reading(theme)
    return str(caught.value.mistakes[0].place), caught.value.mistakes[0].wrong


def test_a_borrowed_theme_is_read(theme: Path) -> None:
    """A copy of the theme that comes with the program is a theme."""
    assert reading(theme).labels == read_theme(theme.parents[1], "daylight", "en-GB").labels


@posix
@pytest.mark.parametrize("target", ["/etc/hostname", "/dev/zero", "../../../../content/materials.csv", "/usr", "loop"])
def test_a_link_out_of_the_themes_is_not_published(theme: Path, target: str) -> None:
    """An asset that is a link to a file elsewhere would be published with the catalogue."""
    (theme / "assets" / "loop").symlink_to(target)
    assert wrong(theme) == (
        "themes/borrowed/assets/loop",
        "this leads out of themes/, or is neither a file nor a folder",
    )


@posix
def test_a_pipe_in_a_theme_is_not_waited_for(theme: Path) -> None:
    """What is neither a file nor a folder is told before anything is read."""
    os.mkfifo(theme / "assets" / "sound.css")
    assert wrong(theme)[0] == "themes/borrowed/assets/sound.css"


def test_a_theme_of_endless_files_is_told(theme: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """What holds more than a theme can be is no theme, by the count of its files or by what they weigh."""
    monkeypatch.setattr(theme_limits, "MOST_BYTES", 1_000)
    assert wrong(theme) == ("themes/borrowed", "the theme's folder holds more than a theme can be")
    monkeypatch.undo()
    for number in range(theme_limits.MOST_FILES):
        (theme / "assets" / f"{number}.css").touch()
    assert wrong(theme) == ("themes/borrowed", "the theme's folder holds more than a theme can be")


REACHING = [
    "{{ ''.__class__.__mro__ }}",
    "{{ self.__init__.__globals__ }}",
    "{% for one in ().__class__.__base__.__subclasses__() %}{{ one }}{% endfor %}",
    "{{ labels.nothing.here }}",
    "{{ unknown }}",
    "{% if %}",
    "{% include 'nothing.html' %}",
    "{% include '../../../content/studio.toml' %}",
    "{% for one in range(999999999) %}{% endfor %}",
]


@pytest.mark.parametrize("text", REACHING)
def test_a_template_reaches_nothing_behind_its_values(theme: Path, text: str) -> None:
    """A template is filled with the values that it is given; what reaches further, or is no template, is told."""
    (theme / "templates" / "odd.html").write_text(text, encoding="utf-8")
    with pytest.raises(MistakeError) as caught:
        reading(theme).render("odd.html")
    (mistake,) = caught.value.mistakes
    assert mistake.wrong.startswith("the template cannot be filled: ")
    assert mistake.place.path.startswith("themes/borrowed/templates/")


BRACE = "odd.by: not every {brace} in it can be filled in"
LABELS = [
    ("by = '{day.__class__}'", BRACE),
    ("by = '{day[0]}'", BRACE),
    ("by = '{day:>999999999}'", BRACE),
    ("by = '{'", BRACE),
    ("by = '{0}'", BRACE),
    ("by = 3", "odd.by: this is no label"),
]


@pytest.mark.parametrize(("text", "told"), LABELS)
def test_a_label_names_values_and_does_no_more(theme: Path, text: str, told: str) -> None:
    """Between a label's braces stands a name; what could reach behind a value or widen it without end is told."""
    file = theme / "labels" / "en.toml"
    before = file.read_text(encoding="utf-8")
    file.write_text(f"{before}\n[odd]\n{text}\n", encoding="utf-8")
    line = len(before.split("\n")) + 2
    assert wrong(theme) == (f"themes/borrowed/labels/en.toml:{line}", told)


def test_labels_in_another_encoding_are_told(theme: Path) -> None:
    """A translation that was saved otherwise than as UTF-8, or is no TOML, is told with its line."""
    file = theme / "labels" / "en.toml"
    file.write_bytes(b'[home]\nhello = "\xe9t\xe9"\n')
    assert wrong(theme) == ("themes/borrowed/labels/en.toml:2", "the file is not UTF-8 text")
    file.write_bytes(b"[home\n")
    assert wrong(theme)[0] == "themes/borrowed/labels/en.toml:1"
