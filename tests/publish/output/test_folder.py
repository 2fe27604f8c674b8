"""A published folder: all or nothing, and the maker's own files stay."""

from __future__ import annotations

import json
import os
import shutil
from pathlib import Path

import pytest

from catalog_builder.cache.atomic_file import CACHE_FOLDER, digest_of
from catalog_builder.mistake import MistakeError, OutputError
from catalog_builder.publish import audiences as way
from catalog_builder.publish.output import folder as folders
from catalog_builder.publish.output.build_record import MADE
from catalog_builder.publish.output.folder import Folder
from tests.publish.demo import build_in, bytes_of, lay_out, outputs_of, reworded

ONE, TWO = "net-loft-panel", "two-waxcaps"


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A small project of two products, built once, to be copied."""
    project = lay_out(tmp_path_factory.mktemp("folders") / "studio", ONE, TWO)
    build_in(project)
    return project


@pytest.fixture
def project(built: Path, tmp_path: Path) -> Path:
    """A built project of two products that a test may spoil."""
    return Path(shutil.copytree(built, tmp_path / "studio"))


def dearer(project: Path) -> None:
    """Raise the maker's hourly rate, so that every price would change."""
    reworded(project / "content" / "studio.toml", ('hourly_rate = "19.00"', 'hourly_rate = "29.00"'))


def everything(project: Path) -> dict[str, bytes]:
    """Give every file in ``site_output``, hidden ones among them, but for what builds keep for the next one."""
    files = bytes_of(project / "site_output")
    return {name: data for name, data in files.items() if not name.startswith(f"{CACHE_FOLDER}/")}


def folders_in(output: Path) -> list[str]:
    """Give the names of what stands in ``site_output``, but for what builds keep for the next one."""
    return sorted(path.name for path in output.iterdir() if path.name != CACHE_FOLDER)


@pytest.mark.parametrize("audience", ["catalogue", "stall", "bench"])
def test_fault_while_writing_leaves_all_folders(project: Path, monkeypatch: pytest.MonkeyPatch, audience: str) -> None:
    """A fault in the middle of any audience's folder leaves all three as they were, and nothing beside them."""
    before = everything(project)
    dearer(project)
    write = Folder.write

    def failing(self: Folder, name: str, data: bytes | str) -> None:
        if self.final.name == audience and len(self.names) >= 2:
            raise OSError(28, "no space left on the disk")
        write(self, name, data)

    monkeypatch.setattr(Folder, "write", failing)
    with pytest.raises(OSError, match="no space left"):
        build_in(project)
    assert everything(project) == before
    monkeypatch.undo()
    build_in(project)
    assert everything(project) != before


def test_mistake_in_one_record_leaves_all_folders(project: Path) -> None:
    """One product that cannot be built publishes nothing of the others: the last good output stands."""
    before = everything(project)
    dearer(project)
    reworded(project / "content" / "products" / ONE / "product.md", ("series: quay", "series: key"))
    with pytest.raises(MistakeError, match="the series 'key' is not in studio"):
        build_in(project)
    assert everything(project) == before


def test_stop_while_drawing_leaves_all_folders(project: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Ctrl-C in the middle of the work leaves the old output whole, and nothing beside it."""
    before = everything(project)
    dearer(project)

    def stopped(*_: object) -> int:
        raise KeyboardInterrupt

    monkeypatch.setattr(way, "write_stall", stopped)
    with pytest.raises(KeyboardInterrupt):
        build_in(project)
    assert everything(project) == before


@pytest.mark.parametrize(
    "name", ["CNAME", "catalogue notes.txt", "pictures/by-hand.jpg", "own/deep/page.html", "éclair.txt"]
)
def test_own_file_survives_and_is_told(project: Path, name: str) -> None:
    """A file that the maker put into the catalogue by hand is there after every build, and each build says so."""
    own = project / "site_output" / "catalogue" / name
    own.parent.mkdir(parents=True, exist_ok=True)
    own.write_bytes(b"the maker's own")
    for _ in range(2):
        assert build_in(project).published.carried_over == (f"catalogue/{name}",)
        assert own.read_bytes() == b"the maker's own"


def test_own_file_survives_where_nothing_says_what_was_made(project: Path) -> None:
    """Without the list of what was made, whatever the build does not write is taken for the maker's own."""
    catalogue = project / "site_output" / "catalogue"
    (catalogue / MADE).unlink()
    (catalogue / "own.txt").write_text("mine", encoding="utf-8")
    assert build_in(project).published.carried_over == ("catalogue/own.txt",)
    assert (catalogue / "own.txt").read_text(encoding="utf-8") == "mine"


def test_page_changed_by_hand_is_made_anew(project: Path) -> None:
    """A page that the build makes belongs to the build: what was changed in it by hand is overwritten."""
    page = project / "site_output" / "catalogue" / "about.html"
    before = page.read_bytes()
    page.write_bytes(b"changed by hand")
    assert build_in(project).published.carried_over == ()
    assert page.read_bytes() == before


def test_removed_product_goes_away(project: Path) -> None:
    """A product taken out of the records leaves no page, picture, card or mention in any folder."""
    assert any(TWO in path for path in outputs_of(project))
    shutil.rmtree(project / "content" / "products" / TWO)
    assert build_in(project).published.carried_over == ()
    after = outputs_of(project)
    assert any(ONE in path for path in after)
    assert [path for path, data in after.items() if TWO in path or TWO.encode() in data] == []


def test_leftovers_of_a_cut_build_are_cleaned(project: Path) -> None:
    """What a build left behind when the power went is gone after the next one."""
    output = project / "site_output"
    for name in ("catalogue", "stall", "bench"):
        (output / f".{name}-making" / "products").mkdir(parents=True)
        (output / f".{name}-making" / "products" / "half.html").write_text("<p>ha", encoding="utf-8")
    shutil.copytree(output / "stall", output / ".stall-old")
    build_in(project)
    assert folders_in(output) == ["bench", "catalogue", "stall"]
    assert not list(output.rglob("half.html"))


def test_build_cut_between_two_names_is_put_right(project: Path) -> None:
    """Where the old folder was already moved aside and the new one not yet in place, the old one comes back."""
    catalogue = project / "site_output" / "catalogue"
    (catalogue / "own.txt").write_text("mine", encoding="utf-8")
    catalogue.rename(catalogue.with_name(".catalogue-old"))
    assert build_in(project).published.carried_over == ("catalogue/own.txt",)
    assert (catalogue / "own.txt").read_text(encoding="utf-8") == "mine"


def test_folder_that_cannot_be_put_in_place_leaves_the_old_one(project: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Where the new folder cannot take its name, as when a program holds a file open, the old one comes back.

    So it is where the system cannot exchange two folders in one step.
    """
    before = everything(project)
    dearer(project)

    def held(self: Path, _target: object) -> Path:
        raise PermissionError(13, "a file is open in another program", str(self))

    monkeypatch.setattr(folders, "swap_folders", lambda _one, _other: False)
    monkeypatch.setattr(Path, "replace", held)
    with pytest.raises(OutputError, match="open in another program"):
        build_in(project)
    assert everything(project) == before


def test_first_build_makes_the_folders(tmp_path: Path) -> None:
    """A project that was never built has no output folder yet, and gets one."""
    project = lay_out(tmp_path / "studio", ONE)
    build_in(project)
    assert folders_in(project / "site_output") == ["bench", "catalogue", "stall"]


def test_list_of_what_was_made_is_whole(project: Path) -> None:
    """Each folder's list names every file in it but itself."""
    for name in ("catalogue", "stall", "bench"):
        folder = project / "site_output" / name
        rows = json.loads((folder / MADE).read_text(encoding="utf-8"))
        files = {path: data for path, data in bytes_of(folder).items() if path != MADE}
        assert rows == {path: digest_of(data) for path, data in files.items()}


def made(root: Path, word: str) -> list[Folder]:
    """Two audiences' folders, written and whole, not yet in their places."""
    folders = [Folder(root, name) for name in ("catalogue", "stall")]
    for folder in folders:
        folder.open()
        folder.write("page.html", word)
        folder.finish()
    return folders


def test_a_swap_that_fails_takes_the_others_back(tmp_path: Path) -> None:
    """Where one folder cannot be put in place, those that already were go back: all or nothing, for all of them."""
    for folder in made(tmp_path, "old"):
        folder.swap()
        folder.settle()
    first, second = made(tmp_path, "new")
    first.swap()
    assert (tmp_path / "catalogue" / "page.html").read_text() == "new"
    for folder in (first, second):
        folder.swap_back()
        folder.drop()
    assert [(tmp_path / name / "page.html").read_text() for name in ("catalogue", "stall")] == ["old", "old"]
    assert folders_in(tmp_path) == ["catalogue", "stall"]


def test_own_files_beside_the_folders_stay(project: Path) -> None:
    """What the maker keeps in ``site_output`` beside the three folders is nothing of a build's, and stays."""
    own = dict.fromkeys(("notes.txt", "sent/2026/list.csv", ".hidden"), b"the maker's own")
    for name, data in own.items():
        path = project / "site_output" / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(data)
    dearer(project)
    assert build_in(project).published.carried_over == ()
    named = ("catalogue/", "stall/", "bench/")
    assert {name: data for name, data in everything(project).items() if not name.startswith(named)} == own


def test_own_file_survives_a_refused_build_and_a_removed_product(project: Path) -> None:
    """A file that the maker put beside a product's page is there after a mistake, and after the product has gone."""
    own = project / "site_output" / "catalogue" / "products" / f"{TWO}-poster.pdf"
    own.write_bytes(b"the maker's own")
    record = project / "content" / "products" / ONE / "product.md"
    reworded(record, ("series: quay", "series: key"))
    with pytest.raises(MistakeError):
        build_in(project)
    assert own.read_bytes() == b"the maker's own"
    reworded(record, ("series: key", "series: quay"))
    shutil.rmtree(project / "content" / "products" / TWO)
    assert build_in(project).published.carried_over == (f"catalogue/products/{TWO}-poster.pdf",)
    assert own.read_bytes() == b"the maker's own"


def test_a_published_file_that_was_changed_and_dated_back_is_mended(project: Path) -> None:
    """A file of the same size and date with other bytes is not taken for the one that was made."""
    build_in(project)
    right = outputs_of(project)
    page = project / "site_output" / "catalogue" / "index.html"
    status, data = page.stat(), page.read_bytes()
    page.write_bytes(data.replace(b"<body", b"<ydob"))
    os.utime(page, ns=(status.st_atime_ns, status.st_mtime_ns))
    build_in(project)
    assert outputs_of(project) == right


@pytest.mark.skipif(os.name != "posix", reason="rights of files are those of POSIX")
def test_a_web_server_can_read_the_catalogue(tmp_path: Path) -> None:
    """Whatever rights the maker gives new files, others may read the catalogue's; private papers stay as they are."""
    mask = os.umask(0o077)
    try:
        for _ in range(2):  # the second time its files are linked over
            for name in ("catalogue", "bench"):
                folder = Folder(tmp_path, name)
                folder.open()
                folder.write("a/b/page.html", "text")
                folder.finish()
                folder.swap()
                folder.settle()
    finally:
        os.umask(mask)
    paths = ("", "a", "a/b", "a/b/page.html")
    assert [(tmp_path / "catalogue" / path).stat().st_mode & 0o777 for path in paths] == [0o755, 0o755, 0o755, 0o644]
    assert [(tmp_path / "bench" / path).stat().st_mode & 0o777 for path in paths] == [0o700, 0o700, 0o700, 0o600]
