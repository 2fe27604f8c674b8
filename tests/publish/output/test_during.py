"""Files that are edited while a build is at work: what it publishes is of one time, and the next build is as new."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from catalog_builder.build import build
from catalog_builder.cache.store import key_of
from catalog_builder.mistake import MistakeError
from catalog_builder.publish.pictures import photo
from catalog_builder.publish.pictures import photo_store as kept_prints
from catalog_builder.publish.pictures.photo import Prints
from catalog_builder.publish.studio_calculation import quiet
from tests.publish.demo import DAY, bytes_of, give_photos, lay_out, outputs_of, reworded
from tests.publish.disk import names_in
from tests.publish.photos import quarters, saved

ONE = "tern-on-the-turn"
RECORD = f"content/products/{ONE}/product.md"
DRAWING = f"content/products/{ONE}/wing.svg"
PHOTO = f"content/products/{ONE}/a.jpg"
PRICES = "content/material_prices.csv"
LABELS = "themes/daylight/labels/en.toml"
PAGE = "themes/daylight/templates/care.html"
STYLE = "themes/daylight/assets/style.css"
SHEET = "themes/daylight/stall/price_sheet.typ"
WORDS = {
    RECORD: ("one wing set forward", "a wing set forward"),
    DRAWING: ("M46,6 C47.6,18", "M46,6 C48.6,18"),
    PRICES: ("solder-60-40,2026-11-01,26.40", "solder-60-40,2026-11-01,99.40"),
    LABELS: ('about = "The maker"', 'about = "Who makes it"'),
    PAGE: ('<section class="opening">', '<section class="opening" id="now">'),
    STYLE: ("/* The wall,", "/* Now the wall,"),
    SHEET: ("size: 13pt", "size: 12pt"),
}
# What builds from nothing published, by the key of all the maker's files.
_BUILT: dict[str, dict[str, bytes]] = {}
MEASURING, PRICING, PHOTOS, WRITING = "Measuring and drawing", "Pricing", "Making photos ready", "Writing pages"


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A project of one product with a photo and a theme of its own, built once, to be copied."""
    project = lay_out(tmp_path_factory.mktemp("during") / "studio", ONE)
    shutil.rmtree(project / "themes" / "limewash")
    give_photos(project, ONE, {"a.jpg": saved(quarters((300, 200)), "JPEG")})
    build(project, DAY, 2, quiet)
    return project


@pytest.fixture
def project(built: Path, tmp_path: Path) -> Path:
    """The built project, for a test to edit."""
    return Path(shutil.copytree(built, tmp_path / "studio"))


def edit(project: Path, name: str) -> None:
    """Change one of the maker's files."""
    if name == PHOTO:
        (project / name).write_bytes(saved(quarters((200, 300)), "JPEG"))
    else:
        reworded(project / name, WORDS[name])


def measured_anew(project: Path) -> None:
    """Ask for more of what it hangs by, so that all that is kept of pieces is out of date, and for another name."""
    changes = ("safety_factor = 5", "safety_factor = 6"), ("Withyslip Glass", "Withyslip")
    reworded(project / "content" / "studio.toml", *changes)


def from_nothing(project: Path, folder: Path) -> dict[str, bytes]:
    """Give what a build from nothing publishes of a project's files as they are now; the same files are built once."""
    for name in ("content", "themes"):
        shutil.copytree(project / name, folder / name)
    files = key_of(bytes_of(folder))
    if files not in _BUILT:
        build(folder, DAY, 1, quiet)
        _BUILT[files] = outputs_of(folder)
    return _BUILT[files]


@contextmanager
def while_prints_are_made(monkeypatch: pytest.MonkeyPatch, do: Callable[[], None]) -> Iterator[None]:
    """Do something after a photo's bytes were read, and before they are decoded."""
    make, waiting = photo.make_prints, [do]

    def making(given: bytes) -> Prints:
        if waiting:
            waiting.pop()()
        return make(given)

    with monkeypatch.context() as patch:
        patch.setattr(kept_prints, "make_prints", making)
        yield
    assert not waiting


@pytest.mark.parametrize(
    ("name", "stage"),
    [
        (RECORD, MEASURING),
        (DRAWING, MEASURING),
        (PRICES, PRICING),
        (PHOTO, MEASURING),
        (PHOTO, PRICING),
        (PHOTO, PHOTOS),
        (LABELS, MEASURING),
        (PAGE, PHOTOS),
        (STYLE, PHOTOS),
        (SHEET, PHOTOS),
    ],
)
def test_an_edit_during_a_build_is_in_it_whole_or_not_at_all(
    project: Path, tmp_path: Path, name: str, stage: str
) -> None:
    """What is published is of before the edit or of after it; the next build has it, and taken back, it is gone."""
    before, old = outputs_of(project), (project / name).read_bytes()
    measured_anew(project)
    right = {"old": from_nothing(project, tmp_path / "old")}
    waiting = [True]

    def progress(what: str, _done: int, _total: int) -> None:
        if what == stage and waiting:
            waiting.pop()
            edit(project, name)

    build(project, DAY, 2, progress)
    assert not waiting
    right["new"] = from_nothing(project, tmp_path / "new")
    assert right["new"] != right["old"] != before
    assert outputs_of(project) in (right["old"], right["new"])
    build(project, DAY, 2, quiet)
    assert outputs_of(project) == right["new"]
    (project / name).write_bytes(old)
    build(project, DAY, 2, quiet)
    assert outputs_of(project) == right["old"]


def test_a_photo_that_is_replaced_while_it_is_made_ready_is_not_kept_under_the_old_ones_name(
    project: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A photo replaced between two looks at it: put back, it is the old one again that is published."""
    (project / PHOTO).write_bytes(old := saved(quarters((320, 200)), "JPEG"))
    right = from_nothing(project, tmp_path / "right")
    with while_prints_are_made(monkeypatch, lambda: edit(project, PHOTO)):
        build(project, DAY, 1, quiet)
    (project / PHOTO).write_bytes(old)
    build(project, DAY, 1, quiet)
    assert outputs_of(project) == right


@pytest.mark.parametrize("stage", [MEASURING, PRICING])
def test_a_photo_that_is_removed_during_a_build_is_a_mistake(project: Path, stage: str) -> None:
    """A photo that was there when the records were read, and is gone when it is made ready, is told by its record."""
    before = outputs_of(project)
    measured_anew(project)

    def progress(what: str, _done: int, _total: int) -> None:
        if what == stage:
            (project / PHOTO).unlink()

    with pytest.raises(MistakeError, match=r"the photo 'a.jpg' cannot be used: it cannot be read"):
        build(project, DAY, 2, progress)
    assert outputs_of(project) == before


def test_an_edit_before_the_last_folder_is_in_the_next_build(project: Path, tmp_path: Path) -> None:
    """Records, drawings and photos edited while folders are written change nothing of this build, all of the next."""
    measured_anew(project)
    right = from_nothing(project, tmp_path / "old")

    def progress(what: str, done: int, _total: int) -> None:
        if what == WRITING and done == 1:
            for name in (RECORD, DRAWING, PHOTO, PRICES):
                edit(project, name)

    build(project, DAY, 2, progress)
    assert outputs_of(project) == right
    build(project, DAY, 2, quiet)
    assert outputs_of(project) == from_nothing(project, tmp_path / "new")
    assert names_in(project / "site_output") == ["bench", "catalogue", "stall"]
