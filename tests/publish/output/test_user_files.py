"""What the maker puts among published files: it is carried over, or kept aside where its name is taken; never lost."""

from __future__ import annotations

import os
import shutil
from pathlib import Path

import pytest

from catalog_builder.cache.atomic_file import CACHE_FOLDER
from catalog_builder.commands.terminal import print_summary
from catalog_builder.publish.output.build_record import MADE
from catalog_builder.publish.output.folder import Folder
from catalog_builder.publish.output.user_files import find_user_files, is_saved_beside, names_in
from tests.publish.demo import build_in, bytes_of, lay_out

ONE, TWO = "net-loft-panel", "two-waxcaps"
OWN = b"the maker's own"


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A small project of two products, built once, to be copied."""
    project = lay_out(tmp_path_factory.mktemp("own") / "studio", ONE, TWO)
    build_in(project)
    return project


@pytest.fixture
def project(built: Path, tmp_path: Path) -> Path:
    """A built project of two products that a test may spoil."""
    return Path(shutil.copytree(built, tmp_path / "studio"))


def everything(project: Path) -> dict[str, bytes]:
    """Give every file in ``site_output``, but for what builds keep for the next one."""
    files = bytes_of(project / "site_output")
    return {name: data for name, data in files.items() if not name.startswith(f"{CACHE_FOLDER}/")}


@pytest.mark.parametrize("audience", ["catalogue", "bench"])
def test_own_file_under_a_name_that_a_build_comes_to_want_is_kept_aside(
    project: Path, audience: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """A file of the maker's that has the name of a page to come is told and kept, beside the published folder."""
    right = everything(project)
    page = {"catalogue": f"products/{TWO}.html", "bench": f"cards/{TWO}--black--plum.html"}[audience]
    shutil.move(project / "content" / "products" / TWO, project / TWO)
    build_in(project)
    (project / "site_output" / audience / page).write_bytes(OWN)
    shutil.move(project / TWO, project / "content" / "products" / TWO)
    published = build_in(project).published
    aside = f"{audience} (yours)/{page}"
    assert published.carried_over == (aside,)
    assert everything(project) == right | {aside: OWN}
    print_summary(published, 0)
    assert f"Kept aside, as its name is now taken: site_output/{aside}" in capsys.readouterr().out.splitlines()
    assert build_in(project).published.carried_over == ()
    assert everything(project) == right | {aside: OWN}


def test_own_files_of_the_same_name_are_all_kept(project: Path) -> None:
    """What was kept aside before is not overwritten by another file of that name; the same file is kept once."""
    page = f"products/{TWO}.html"
    for word in (b"first", b"second", b"second"):
        shutil.move(project / "content" / "products" / TWO, project / TWO)
        build_in(project)
        (project / "site_output" / "catalogue" / page).write_bytes(word)
        shutil.move(project / TWO, project / "content" / "products" / TWO)
        build_in(project)
    aside = {name: data for name, data in everything(project).items() if is_saved_beside(name)}
    assert aside == {f"catalogue (yours)/{page}": b"first", f"catalogue (yours 2)/{page}": b"second"}


def test_own_folder_under_a_name_that_a_build_comes_to_want_is_kept_aside(project: Path) -> None:
    """A folder of the maker's that has the name of a page to come is kept whole, and the page published."""
    right = everything(project)
    shutil.move(project / "content" / "products" / TWO, project / TWO)
    build_in(project)
    own = project / "site_output" / "catalogue" / "products" / f"{TWO}.html" / "own.txt"
    own.parent.mkdir()
    own.write_bytes(OWN)
    shutil.move(project / TWO, project / "content" / "products" / TWO)
    aside = f"catalogue (yours)/products/{TWO}.html/own.txt"
    assert build_in(project).published.carried_over == (aside,)
    assert everything(project) == right | {aside: OWN}


@pytest.mark.parametrize("audience", ["catalogue", "stall", "bench"])
@pytest.mark.parametrize("kind", ["file", "link", "link that leads nowhere", "link to a folder"])
def test_what_stands_in_the_place_of_a_folder_is_kept_aside(
    project: Path, tmp_path: Path, audience: str, kind: str
) -> None:
    """A file or link named as one of the three folders is told and kept, and no build after that fails on it."""
    right, place = everything(project), project / "site_output" / audience
    shutil.rmtree(place)
    (tmp_path / "own.txt").write_bytes(OWN)
    (tmp_path / "own").mkdir()
    leads = {"link": "own.txt", "link that leads nowhere": "gone", "link to a folder": "own"}
    if kind == "file":
        place.write_bytes(OWN)
    else:
        place.symlink_to(tmp_path / leads[kind])
    assert build_in(project).published.carried_over == (f"{audience} (yours)",)
    aside = place.with_name(f"{audience} (yours)")
    assert aside.read_bytes() == OWN if kind == "file" else aside.readlink() == tmp_path / leads[kind]
    assert build_in(project).published.carried_over == ()
    assert {name: data for name, data in everything(project).items() if not is_saved_beside(name)} == right
    assert list((tmp_path / "own").iterdir()) == []


@pytest.mark.parametrize("leads", ["films/big-film.mp4", "", "../../content"])
def test_own_link_is_carried_over(project: Path, leads: str) -> None:
    """A link that the maker put into the catalogue stays a link, also while what it leads to is not, or is a folder."""
    own = project / "site_output" / "catalogue" / "films" / "big-film"
    own.parent.mkdir()
    own.symlink_to(leads or project / "themes")
    for _ in range(2):
        assert build_in(project).published.carried_over == ("catalogue/films/big-film",)
        assert own.readlink() == Path(leads or project / "themes")


def test_a_page_that_was_made_a_link_is_a_page_again(project: Path, tmp_path: Path) -> None:
    """A published file put elsewhere with a link in its place is written anew: what it leads to may change."""
    page = project / "site_output" / "catalogue" / "care.html"
    shutil.move(page, tmp_path / "care.html")
    page.symlink_to(tmp_path / "care.html")
    right = (tmp_path / "care.html").read_bytes()
    build_in(project)
    assert not page.is_symlink()
    assert page.read_bytes() == right == (tmp_path / "care.html").read_bytes()


def test_own_empty_folder_is_carried_over(project: Path) -> None:
    """A folder that the maker made for what is to come stays, and so does what comes to lie in it."""
    own = project / "site_output" / "bench" / "to do" / "2027"
    own.mkdir(parents=True)
    assert build_in(project).published.carried_over == ("bench/to do/2027",)
    (own / "list.txt").write_bytes(OWN)
    assert build_in(project).published.carried_over == ("bench/to do/2027/list.txt",)
    assert (own / "list.txt").read_bytes() == OWN


def test_own_files_in_a_folder_called_faults_stay(project: Path) -> None:
    """Pictures of faults go away with the next good build; what the maker put beside them, or so called, stays."""
    output = project / "site_output"
    own = [output / "bench" / "faults" / "own.txt", output / "catalogue" / "faults" / "own.svg"]
    for path in (*own, output / "bench" / "faults" / "a.svg"):
        path.parent.mkdir(exist_ok=True)
        path.write_bytes(OWN)
    build_in(project)
    assert [path.read_bytes() for path in own] == [OWN, OWN]
    assert not (output / "bench" / "faults" / "a.svg").exists()


def test_a_name_that_is_no_text_is_told(project: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A file from an old system, whose name cannot be read, is carried over and told as well as can be."""
    own = os.fsencode(project / "site_output" / "catalogue") + b"/caf\xe9.txt"
    try:
        Path(os.fsdecode(own)).write_bytes(OWN)
    except OSError:
        pytest.skip("this disk takes no names but text")
    print_summary(build_in(project).published, 0)
    assert Path(os.fsdecode(own)).read_bytes() == OWN
    assert "site_output/catalogue/caf?.txt" in capsys.readouterr().out


def test_nothing_says_what_was_made_and_a_page_differs(project: Path) -> None:
    """Where every list of what was made is lost, what differs may be the maker's own: it is kept, out of sight."""
    right, page = everything(project), project / "site_output" / "catalogue" / "about.html"
    shutil.rmtree(project / "site_output" / CACHE_FOLDER)
    (page.parent / MADE).unlink()
    page.write_bytes(OWN)
    assert build_in(project).published.carried_over == ("catalogue (yours)/about.html",)
    assert everything(project) == right | {"catalogue (yours)/about.html": OWN}


def test_a_lost_list_is_told_by_the_memory(project: Path) -> None:
    """Where the list in a folder is damaged, what builds remember of it says what is theirs."""
    right, page = everything(project), project / "site_output" / "catalogue" / "about.html"
    (page.parent / MADE).write_text('{"about.html": ', encoding="utf-8")
    page.write_bytes(b"changed by hand")
    assert build_in(project).published.carried_over == ()
    assert everything(project) == right


def test_what_came_while_the_old_folder_was_aside_stays(project: Path) -> None:
    """Where the power went between two names, the old folder comes back, with what was put in its place since."""
    output = project / "site_output"
    (output / "stall" / "own.txt").write_bytes(OWN)
    right = everything(project)
    (output / "stall").rename(output / ".stall-old")
    (output / "stall").mkdir()
    (output / "stall" / "tags.pdf").write_bytes(b"made since")
    assert build_in(project).published.carried_over == ("stall/own.txt", "stall/tags.pdf")
    assert everything(project) == right | {"stall/tags.pdf": b"made since"}


def folder_of(root: Path, *names: str) -> Folder:
    """A folder in which a build has written some files."""
    folder = Folder(root, "catalogue")
    folder.open()
    for name in names:
        folder.write(name, f"made {name}")
    return folder


@pytest.mark.parametrize(
    ("own", "made"),
    [
        ("Care.html", "care.html"),
        ("CARE.HTML/own.txt", "care.html"),
        ("Products", "products/one.html"),
        ("caf\u00e9.html", "cafe\u0301.html"),
        ("stra\u00dfe.html", "STRASSE.html"),
    ],
)
def test_names_that_some_disks_take_for_one_are_one(tmp_path: Path, own: str, made: str) -> None:
    """A file of the maker's whose name differs from a page's in case or in its accents alone is kept aside.

    On a disk that takes both for one name, it would else be written over the page.
    """
    path = tmp_path / "catalogue" / own
    path.parent.mkdir(parents=True)
    path.write_bytes(OWN)
    folder = folder_of(tmp_path, made)
    assert folder.finish() == (f"catalogue (yours)/{own}",)
    folder.swap()
    folder.settle()
    assert {name: data for name, data in bytes_of(tmp_path / "catalogue").items() if name != MADE} == {
        made: f"made {made}".encode()
    }
    assert (tmp_path / "catalogue (yours)" / own).read_bytes() == OWN


def test_a_page_under_another_spelling_of_its_name_is_a_builds(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A disk that writes accents its own way gives back other names than a build gave it: they are not the maker's."""
    folder = folder_of(tmp_path, "caf\u00e9.html")
    spelt = {"cafe\u0301.html"}
    (folder.making / "caf\u00e9.html").rename(folder.making / "as the disk has it")
    monkeypatch.setattr("catalog_builder.publish.output.user_files.name_exists", lambda _path: True)
    before = {"caf\u00e9.html": "its digest"}
    assert find_user_files(folder.making, spelt, before, {}).free == ()
    monkeypatch.setattr("catalog_builder.publish.output.user_files.name_exists", lambda _path: False)
    assert find_user_files(folder.making, spelt, before, {}).free == ("cafe\u0301.html",)


def test_a_disk_that_knows_no_links(project: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """On a stick that knows no second names for a file, all is copied: the same is published, dates and keys kept."""
    right, output = everything(project), project / "site_output"
    (output / "catalogue" / "own.txt").write_bytes(OWN)
    dates = {path: path.stat().st_mtime_ns for path in output.rglob("*.html")}

    def no_links(*_: object, **__: object) -> None:
        raise PermissionError(1, "Operation not permitted")

    monkeypatch.setattr(os, "link", no_links)
    for _ in range(2):
        assert build_in(project).published.carried_over == ("catalogue/own.txt",)
        assert everything(project) == right | {"catalogue/own.txt": OWN}
    assert {path: path.stat().st_mtime_ns for path in output.rglob("*.html")} == dates


def test_what_is_published_is_never_written_into(tmp_path: Path) -> None:
    """A file that is written twice in one build leaves the published one, which it was linked to, as it was."""
    folder = folder_of(tmp_path, "page.html")
    folder.finish()
    folder.swap()
    folder.settle()
    again = folder_of(tmp_path, "page.html", "page.html")
    again.write("page.html", "other")
    assert (again.final / "page.html").read_text() == "made page.html"
    assert again.text("page.html") == "other"
    again.drop()
    assert sorted(names_in(tmp_path / "catalogue")) == [MADE, "page.html"]
