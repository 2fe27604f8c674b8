"""Disks and folders that fail a build: it says where and why, leaves what was published, and the next one mends it."""

from __future__ import annotations

import os
import shutil
import subprocess
import time
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest
from click.testing import CliRunner

from catalog_builder.build import build
from catalog_builder.cli import main
from catalog_builder.publish.studio_calculation import quiet
from tests.publish.demo import AUDIENCES, DAY, ROOT, give_photos, lay_out, outputs_of, reworded
from tests.publish.disk import Disk, names_in, output_of, publishing
from tests.publish.photos import quarters, saved

ONE = "tern-on-the-turn"
STANDS = "Nothing was published. What was published before stands as it was.\n"
ALL = sorted(AUDIENCES)


@dataclass(frozen=True, slots=True)
class Sites:
    """A project that was published, and what it is to publish after an edit that changes every price and a photo."""

    project: Path
    wanted: dict[str, bytes]

    @property
    def room(self) -> int:
        """The bytes of the files that the edit makes other than they were, in whole pages of 4,096."""
        before = outputs_of(self.project)
        changed = (data for name, data in self.wanted.items() if before.get(name) != data)
        return sum(-(-len(data) // 4096) * 4096 for data in changed)


def publish(project: Path, *before: str) -> tuple[int, str]:
    """Publish by the command line; its exit code, and what it tells of mistakes.

    Led by other words it is run in a process of its own, and else in this one, whose libraries are loaded.
    """
    if not before:
        told = CliRunner().invoke(main, publishing(project)[3:])
        return told.exit_code, told.stderr
    command = [*before, *publishing(project)]
    done = subprocess.run(command, cwd=ROOT, capture_output=True, encoding="utf-8", check=False)
    return done.returncode, done.stderr


def edit(project: Path) -> None:
    """Raise the wage and take a photo anew."""
    reworded(project / "content" / "studio.toml", ('hourly_rate = "19.00"', 'hourly_rate = "29.00"'))
    (project / "content" / "products" / ONE / "a.jpg").write_bytes(saved(quarters((800, 700)), "JPEG"))


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> Sites:
    """The sites, made once."""
    root = tmp_path_factory.mktemp("disks")
    project = lay_out(root / "studio", ONE)
    shutil.rmtree(project / "themes")
    give_photos(project, ONE, {"a.jpg": saved(quarters((900, 600)), "JPEG")})
    clean = Path(shutil.copytree(project, root / "clean"))
    edit(clean)
    assert publish(project) == (0, "")
    assert publish(clean) == (0, "")
    return Sites(project, outputs_of(clean))


@pytest.fixture
def sites(built: Sites, tmp_path: Path) -> Sites:
    """The sites, the project edited and not yet published again, for a test to spoil."""
    project = Path(shutil.copytree(built.project, tmp_path / "studio"))
    edit(project)
    return Sites(project, built.wanted)


@pytest.fixture
def disk(sites: Sites) -> Iterator[Disk]:
    """The project with its output on a disk of its own."""
    with Disk(sites.project) as disk:
        yield disk


def refused_on(disk: Disk, *words: str) -> None:
    """Hold that a build is refused in words that help, and leaves the output as it was with nothing beside it."""
    code, told = disk.publish()
    assert code == 1, told
    assert told.startswith(f"{disk.output}"), told
    assert all(word in told for word in (": the output cannot be written: ", "\n  mend:     ", *words)), told
    assert told.endswith(STANDS)
    assert "Traceback" not in told
    assert output_of(disk.inside) == disk.before
    assert disk.names == ALL


def mended_on(disk: Disk, wanted: dict[str, bytes]) -> None:
    """Hold that the next build gives what one from nothing gives."""
    assert disk.publish() == (0, "")
    assert output_of(disk.inside) == wanted
    assert disk.names == ALL


@pytest.mark.parametrize("share", [0.0, 0.5, 0.95])
def test_a_disk_without_room_for_what_changes_leaves_what_was_published(sites: Sites, disk: Disk, share: float) -> None:
    """A disk that runs full at once, while photos are kept, or while folders are written, is told to be full."""
    assert sites.room > 400_000
    disk.leave(room=4096 * int(share * sites.room / 4096))
    refused_on(disk, "the disk is full, or holds as many files as it can (No space left on device)", "make room on it")
    disk.leave(room=50_000_000)
    mended_on(disk, sites.wanted)


@pytest.mark.parametrize("pages", [0, 64])
def test_a_disk_with_just_so_much_room_publishes_all_or_nothing(sites: Sites, disk: Disk, pages: int) -> None:
    """Where what changes has room, and what is kept for the next build may not, all is published or nothing."""
    disk.leave(room=sites.room + 4096 * pages)
    code, told = disk.publish()
    assert (code, output_of(disk.inside)) in ((0, sites.wanted), (1, disk.before))
    assert told == "" if code == 0 else told.endswith(STANDS)
    assert disk.names == ALL


@pytest.mark.parametrize("files", [0, 40])
def test_a_disk_that_takes_no_more_files_leaves_what_was_published(sites: Sites, disk: Disk, files: int) -> None:
    """A disk can have room and still take no more files: it is told so, and what was published stands."""
    disk.leave(files=files)
    refused_on(disk, "holds as many files as it can (No space left on device)")
    disk.leave(files=10_000)
    mended_on(disk, sites.wanted)


def test_an_output_that_is_read_only_stands(sites: Sites, disk: Disk) -> None:
    """A disk that lets nothing be written, as a card with its lock closed, is told to be read-only."""
    disk.mount("ro")
    refused_on(disk, "the disk or the folder is read-only (Read-only file system)", "allow writing to it")
    disk.mount("rw")
    mended_on(disk, sites.wanted)


@pytest.fixture(scope="module")
def barred() -> list[str]:
    """The words that let a command run as one whom closed files are closed to."""
    if os.name != "posix":
        pytest.skip("rights of files are those of POSIX")
    if os.geteuid() != 0:
        return []
    words = ["setpriv", "--inh-caps=-all", "--bounding-set=-dac_override,-dac_read_search"]
    if shutil.which("setpriv") is None or subprocess.run([*words, "true"], check=False).returncode:
        pytest.skip("as superuser, every file is open, and setpriv is not there or may not take that away")
    return words


@pytest.mark.parametrize(
    ("name", "wrong"),
    [
        ("products/tern-on-the-turn/a.jpg", "the photo 'a.jpg' cannot be used: it cannot be read (Permission denied)"),
        ("products/tern-on-the-turn/product.md", "the file cannot be read (Permission denied)"),
        ("products/tern-on-the-turn/wing.svg", "the file cannot be read (Permission denied)"),
    ],
)
def test_a_file_that_may_not_be_read_is_a_mistake(sites: Sites, barred: list[str], name: str, wrong: str) -> None:
    """A photo, record, drawing or table whose rights were lost is named, and what was published stands."""
    before = outputs_of(sites.project)
    path = sites.project / "content" / name
    path.chmod(0)
    code, told = publish(sites.project, *barred)
    path.chmod(0o644)
    assert code == 1
    record = f"content/{name}" if not name.endswith(".jpg") else f"content/products/{ONE}/product.md:"
    assert told.startswith(record), told
    assert f": {wrong}\n" in told
    assert "  mend:     close it in other programs and check its permissions\n" in told
    assert told.endswith("1 mistake in 1 file. Nothing was published.\n")
    assert outputs_of(sites.project) == before


def test_an_output_that_may_not_be_entered_stands(sites: Sites, barred: list[str]) -> None:
    """An output that belongs to somebody else is told, with its place and what helps."""
    before, output = outputs_of(sites.project), sites.project / "site_output"
    output.chmod(0o555)
    code, told = publish(sites.project, *barred)
    output.chmod(0o755)
    assert code == 1
    assert told.startswith(f"{output}")
    assert "it may not be written (Permission denied)\n  mend:     close it in other programs" in told
    assert told.endswith(STANDS)
    assert outputs_of(sites.project) == before
    assert publish(sites.project, *barred) == (0, "")
    assert outputs_of(sites.project) == sites.wanted


def test_a_published_folder_that_was_made_read_only_stops_no_build(sites: Sites, barred: list[str]) -> None:
    """A folder that nothing may be written into is replaced as any other, by this build and by the next."""
    output = sites.project / "site_output"
    for words in ("", "Wipe it dry."):
        with (sites.project / "content" / "care.md").open("a", encoding="utf-8") as care:
            care.write(words)
        for folder in (path for path in (output / "catalogue", *output.glob("catalogue/**/*")) if path.is_dir()):
            folder.chmod(0o555)
        assert publish(sites.project, *barred) == (0, "")
        assert words in (output / "catalogue" / "care.html").read_text(encoding="utf-8")
        assert names_in(output) == ALL


def test_a_home_that_cannot_be_written_to_is_passed_over(sites: Sites) -> None:
    """The plotting library keeps its settings and fonts at home; without one the bytes are the same."""
    if os.name != "posix":
        pytest.skip("the name of a home that cannot be is one of Linux")
    assert publish(sites.project, "env", "-u", "MPLCONFIGDIR", "-u", "XDG_CONFIG_HOME", "HOME=/proc/1/x") == (0, "")
    assert outputs_of(sites.project) == sites.wanted


def test_a_published_file_that_is_locked_stops_no_build(sites: Sites) -> None:
    """A published file that somebody locked stays behind, and stops neither this build nor later ones.

    Once it is unlocked, nothing of it is left.
    """
    kept = sites.project / "site_output" / ".kept"
    page = sites.project / "site_output" / "catalogue" / "care.html"
    if os.name != "posix" or os.geteuid() or subprocess.run(["chattr", "+i", page], check=False).returncode:
        pytest.skip("this system or disk locks no file against its owner")
    try:
        for _ in range(2):
            assert publish(sites.project) == (0, "")
            assert outputs_of(sites.project) == sites.wanted
            assert [path.name for path in kept.glob("left/*/*")] == ["care.html"]
            (kept / "last_build.json").unlink()  # as if something had changed
    finally:
        for path in sites.project.rglob("care.html"):
            subprocess.run(["chattr", "-i", path], check=True)
    assert publish(sites.project) == (0, "")
    assert names_in(sites.project / "site_output") == ALL
    assert not (kept / "left").exists()


def test_a_file_that_is_being_read_stops_no_build(sites: Sites) -> None:
    """A published page that another program holds open, such as one that sends it to a host, is read on as it was."""
    page = sites.project / "site_output" / "catalogue" / "products" / f"{ONE}.html"
    before = page.read_bytes()
    with page.open("rb") as held:
        assert publish(sites.project) == (0, "")
        assert held.read() == before
    assert outputs_of(sites.project) == sites.wanted
    assert names_in(sites.project / "site_output") == ALL


@pytest.mark.parametrize("years", [-30, 30])
def test_dates_decide_nothing(sites: Sites, years: int) -> None:
    """Whatever dates a clock that was set wrong gives the records and the output, the next build is as from nothing."""
    moment = time.time() + years * 31_557_600
    for folder in ("content", "site_output"):
        for path in sorted((sites.project / folder).rglob("*")):
            os.utime(path, (moment, moment))
    for _ in range(2):
        build(sites.project, DAY, 2, quiet)
        assert outputs_of(sites.project) == sites.wanted
