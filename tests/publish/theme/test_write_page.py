"""Pages and typeset sheets are made again when anything that they are handed changes, and only then."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from catalog_builder.publish.output.folder import Folder
from catalog_builder.publish.sheets import typeset
from catalog_builder.publish.sheets.typeset import TypesetSheet
from catalog_builder.publish.theme.loading import Theme
from catalog_builder.publish.theme.theme_chain import ThemeKeys
from catalog_builder.publish.views import LinkView, PictureView

THEME = Theme((Path("own"),), ThemeKeys.model_validate({"title": "Own", "description": "Own."}), {}, "files", "files")
LINK = LinkView(text="Home", href="index.html", current=False)
PICTURE = PictureView(
    src="a.svg", alt="A", width=1, height=2, sources=(), colour="#000000", focus="50% 50%", drawn=True, stands=False
)
SHEET = TypesetSheet(theme=THEME, template="stall/a.typ", data={"rows": [{"price": "1"}]}, day=date(2026, 3, 4))


def publish(output: Path, write: Callable[[Folder], None]) -> None:
    """Write a folder and put it in place."""
    folder = Folder(output, "catalogue")
    folder.open()
    write(folder)
    folder.finish()
    folder.swap()
    folder.settle()


@pytest.mark.parametrize(
    ("changed", "again"),
    [
        ({}, 0),
        ({"word": "other"}, 1),
        ({"links": (LINK, replace(LINK, current=True))}, 1),
        ({"links": (LINK,)}, 1),
        ({"picture": replace(PICTURE, focus="50% 40%")}, 1),
        ({"more": None}, 1),
    ],
)
def test_a_page_follows_from_everything_that_its_template_is_handed(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, changed: dict[str, object], again: int
) -> None:
    """A page is filled again where one value, however deep, is another or is new."""
    values: dict[str, object] = {"word": "one", "links": (LINK, LINK), "picture": PICTURE}
    monkeypatch.setattr(Theme, "render", lambda _self, _template, **_values: "first")
    publish(tmp_path, lambda folder: THEME.write_page(folder, "a.html", "a.html", **values))
    monkeypatch.setattr(Theme, "render", lambda _self, _template, **_values: "second")
    publish(tmp_path, lambda folder: THEME.write_page(folder, "a.html", "a.html", **values | changed))
    assert (tmp_path / "catalogue" / "a.html").read_text() == ("second" if again else "first")


@pytest.mark.parametrize("other", [THEME.worded({"a": {"b": "other"}}), replace(THEME, key="other")])
def test_a_page_follows_from_its_theme(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, other: Theme) -> None:
    """A page is filled again where the theme's words or files are others."""
    monkeypatch.setattr(Theme, "render", lambda self, _template, **_values: self.key)
    for theme in (THEME, other):
        publish(tmp_path, lambda folder, theme=theme: theme.write_page(folder, "a.html", "a.html", word="one"))  # type: ignore[misc]
    assert (tmp_path / "catalogue" / "a.html").read_text() == other.key


@pytest.mark.parametrize(
    ("other", "again"),
    [
        (replace(SHEET, several=True), 0),
        (replace(SHEET, data={"rows": [{"price": "2"}]}), 1),
        (replace(SHEET, day=date(2026, 3, 5)), 1),
        (replace(SHEET, template="stall/b.typ"), 1),
        (replace(SHEET, theme=replace(THEME, key="other")), 1),
    ],
)
def test_a_sheet_follows_from_its_data_day_and_theme(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, other: TypesetSheet, again: int
) -> None:
    """A sheet is typeset again where its data, day, template or theme is another."""
    monkeypatch.setattr(typeset, "typeset", lambda *_arguments, **_keywords: b"first")
    publish(tmp_path, lambda folder: SHEET.write(folder, "a.pdf"))
    monkeypatch.setattr(typeset, "typeset", lambda *_arguments, **_keywords: b"second")
    publish(tmp_path, lambda folder: other.write(folder, "a.pdf"))
    assert (tmp_path / "catalogue" / "a.pdf").read_bytes() == (b"second" if again else b"first")
