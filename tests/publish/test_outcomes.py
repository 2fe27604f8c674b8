"""What the maker is told when the output cannot be written, and what then stands."""

from __future__ import annotations

import errno
import os
import shutil
import time
from pathlib import Path

import pytest
from click.testing import CliRunner
from filelock import FileLock

from catalog_builder.cache.atomic_file import CACHE_FOLDER
from catalog_builder.cli import main
from catalog_builder.publish.output.folder import Folder
from tests.publish.demo import DAY, build_in, bytes_of, lay_out, outputs_of, reworded


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A project of one product, built once, to be copied."""
    project = lay_out(tmp_path_factory.mktemp("outcomes") / "studio", "net-loft-panel")
    build_in(project)
    return project


@pytest.fixture
def project(built: Path, tmp_path: Path) -> Path:
    """A built project that a test may spoil, with a wage that would change every price."""
    project = Path(shutil.copytree(built, tmp_path / "studio"))
    reworded(project / "content" / "studio.toml", ('hourly_rate = "19.00"', 'hourly_rate = "29.00"'))
    return project


def publish(project: Path) -> tuple[int, str]:
    """Publish by the command line; its exit code, and what it tells of mistakes."""
    result = CliRunner().invoke(main, ["publish", "--folder", str(project), "--day", DAY.isoformat()])
    return result.exit_code, result.stderr


def test_a_second_build_is_refused_while_one_is_at_work(project: Path) -> None:
    """Two builds at once would write into one folder: the second says so and leaves all as it is."""
    before = outputs_of(project)
    with FileLock(project / "site_output" / CACHE_FOLDER / "lock"):
        code, told = publish(project)
    assert code == 1
    assert "another build is at work here" in told
    assert "Nothing was published. What was published before stands as it was." in told
    assert outputs_of(project) == before
    assert publish(project)[0] == 0
    assert outputs_of(project) != before


@pytest.mark.parametrize("number", [errno.ENOSPC, errno.EROFS, errno.EACCES])
@pytest.mark.parametrize("audience", ["catalogue", "stall", "bench"])
def test_an_output_that_cannot_be_written_leaves_the_old_one(
    project: Path, monkeypatch: pytest.MonkeyPatch, number: int, audience: str
) -> None:
    """A disk that is full or may not be written to is told in one sentence, and what was published stands."""
    before = outputs_of(project)
    write = Folder.write

    def failing(self: Folder, name: str, data: bytes | str) -> None:
        if self.final.name == audience:
            raise OSError(number, os.strerror(number), str(self.making / name))
        write(self, name, data)

    monkeypatch.setattr(Folder, "write", failing)
    code, told = publish(project)
    assert code == 1
    assert os.strerror(number) in told
    assert "Traceback" not in told
    assert outputs_of(project) == before
    assert [path.name for path in (project / "site_output").iterdir() if path.name.endswith("-making")] == []


def test_a_file_that_is_as_it_was_keeps_its_date(project: Path) -> None:
    """What a price does not touch is linked over with its date, so that only what changed need be sent to a host."""
    output = project / "site_output"
    dates = {path: path.stat().st_mtime_ns for path in (output / "catalogue").rglob("*") if path.is_file()}
    time.sleep(0.02)
    before = bytes_of(output / "catalogue")
    assert publish(project)[0] == 0
    after = bytes_of(output / "catalogue")
    same = {name for name in after if after[name] == before.get(name)}
    kept = {
        path.relative_to(output / "catalogue").as_posix()
        for path, date in dates.items()
        if path.stat().st_mtime_ns == date
    }
    assert "assets/style.css" in same
    assert "products/net-loft-panel.html" not in same
    assert kept == same


def test_a_published_file_that_was_changed_by_hand_is_made_anew(project: Path) -> None:
    """A file of the build that was overwritten, with its old size and date, is found out by its bytes."""
    page = project / "site_output" / "catalogue" / "care.html"
    right, seen = page.read_bytes(), page.stat()
    shutil.rmtree(project / "site_output" / CACHE_FOLDER / "seen")
    page.write_bytes(right.replace(b"e", b"a"))
    os.utime(page, ns=(seen.st_atime_ns, seen.st_mtime_ns))
    assert publish(project)[0] == 0
    assert page.read_bytes() == right


@pytest.mark.parametrize("name", ["site_output", f"site_output/{CACHE_FOLDER}", f"site_output/{CACHE_FOLDER}/lock"])
def test_something_else_in_the_place_of_the_output_is_told(project: Path, name: str) -> None:
    """A file where a folder would be, or a folder where a file would be, is named with its whole path and stays."""
    path = project / name
    if path.is_dir():
        shutil.rmtree(path)
        path.write_bytes(b"the maker's own")
    else:
        path.unlink(missing_ok=True)
        path.mkdir()
    code, told = publish(project)
    assert code == 1
    assert told.startswith(f"{path}")
    assert "something else stands in its place" in told
    assert path.is_dir() or path.read_bytes() == b"the maker's own"
