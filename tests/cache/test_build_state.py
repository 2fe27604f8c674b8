"""The last build counts until one of its inputs or outputs changes."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
from collections.abc import Callable
from datetime import timedelta
from pathlib import Path

import pytest
from click.testing import CliRunner

from catalog_builder.build import build
from catalog_builder.cache import build_state as published
from catalog_builder.cache.atomic_file import CACHE_FOLDER
from catalog_builder.cache.build_state import unchanged_build
from catalog_builder.cli import main
from catalog_builder.mistake import MistakeError
from catalog_builder.publish.studio_calculation import quiet
from tests.publish.demo import DAY, ROOT, lay_out

ONE = "oak-leaf"
RECORD = f"content/products/{ONE}/product.md"


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A project that has just been built; without the strip in its seam the leaf may fold, which is a finding."""
    project = lay_out(tmp_path_factory.mktemp("standing") / "studio", ONE)
    record = (project / RECORD).read_text(encoding="utf-8")
    strip = re.compile(r'^<path data-mark="wire".*\n', re.MULTILINE)
    assert len(strip.findall(record)) == 1
    (project / RECORD).write_text(strip.sub("", record), encoding="utf-8")
    build(project, DAY, 1, quiet)
    return project


@pytest.fixture
def project(built: Path, tmp_path: Path) -> Path:
    """A copy of it, built in its own place, that a test may change."""
    project = Path(shutil.copytree(built, tmp_path / "studio"))
    build(project, DAY, 1, quiet)
    return project


def written(path: str, data: str = "x") -> Callable[[Path], None]:
    """Write a file of a project."""

    def write(project: Path) -> None:
        (project / path).parent.mkdir(parents=True, exist_ok=True)
        (project / path).write_text(data, encoding="utf-8")

    return write


def same_size_and_date(project: Path) -> None:
    """Change a record, and give it back its size and its date."""
    path = project / RECORD
    before, text = path.stat(), path.read_text(encoding="utf-8")
    path.write_text(text.replace("title: Oak", "title: Ash"), encoding="utf-8")
    os.utime(path, ns=(before.st_atime_ns, before.st_mtime_ns))
    assert path.stat().st_size == before.st_size


def test_what_stands_is_said_again(project: Path) -> None:
    """Publishing again says the same, findings too, and touches no file."""
    first = build(project, DAY, 1, quiet)
    before = {path: path.stat().st_mtime_ns for path in (project / "site_output").rglob("*") if path.name != ".tick"}
    assert unchanged_build(project, DAY) == first
    assert first.findings
    result = CliRunner().invoke(main, ["publish", "--folder", str(project), "--day", DAY.isoformat()])
    assert result.exit_code == 0
    assert all(finding.worded() in result.stdout for finding in first.findings)
    assert {path: path.stat().st_mtime_ns for path in before if path.name != ".kept"} == {
        path: date for path, date in before.items() if path.name != ".kept"
    }


@pytest.mark.parametrize(
    "change",
    [
        written(RECORD),
        written(f"content/products/{ONE}/new.txt"),
        written("content/products/another/product.md"),
        lambda project: (project / "content" / "about.md").unlink(),
        written("themes/daylight/templates/care.html"),
        written("themes/own/theme.toml"),
        written("site_output/catalogue/index.html"),
        written("site_output/bench/of-my-own.txt"),
        lambda project: (project / "site_output" / "stall" / "price_sheet.pdf").unlink(),
        lambda project: shutil.rmtree(project / "site_output" / "bench"),
        same_size_and_date,
    ],
)
def test_anything_that_changed_is_noticed(project: Path, change: Callable[[Path], None]) -> None:
    """A file that was changed, added or taken away, of what is read or of what is published, is built for."""
    assert unchanged_build(project, DAY) is not None
    change(project)
    assert unchanged_build(project, DAY) is None


def test_another_day_is_another_build(project: Path) -> None:
    """Prices are those of a day: a build of one day does not count for the next."""
    assert unchanged_build(project, DAY + timedelta(days=1)) is None


@pytest.mark.parametrize("harm", [b"", b"{}", b"garbled", None])
def test_memory_that_is_harmed_counts_for_nothing(project: Path, harm: bytes | None) -> None:
    """A memory that is lost, cut short or garbled says nothing; the build looks for itself."""
    path = project / "site_output" / CACHE_FOLDER / "last_build.json"
    data = path.read_bytes()
    if harm is None:
        path.unlink()
    else:
        path.write_bytes(harm or data[:-1])
    assert unchanged_build(project, DAY) is None
    path.write_bytes(data.replace(b'"products": 1', b'"products": 7'))
    assert unchanged_build(project, DAY) is None


def test_another_program_is_another_build(project: Path, monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """A build of one version does not count for another."""
    other = Path(shutil.copytree(Path(published.__file__).parent.parent, tmp_path / "other" / "catalog_builder"))
    (other / "cli.py").write_text("", encoding="utf-8")
    monkeypatch.setattr(published, "_PACKAGE", other)
    assert unchanged_build(project, DAY) is None


def test_file_that_has_just_been_written_is_read(project: Path) -> None:
    """Within a tick of the disk's clock a file may change and look the same: its digest is compared."""
    path = project / RECORD
    path.write_text(path.read_text(encoding="utf-8").replace("title: Oak", "title: Ash"), encoding="utf-8")
    inputs = published.snapshot_inputs(project)
    assert str(path) in inputs.fresh
    old = project / "content" / "materials.csv"
    os.utime(old, (1_000_000_000, 1_000_000_000))
    future = project / "content" / "studio.toml"
    os.utime(future, (4_000_000_000, 4_000_000_000))
    assert str(future) in published.snapshot_inputs(project).fresh


def test_edit_during_a_build_is_not_passed_over(project: Path) -> None:
    """A record that is edited while the site is being made is read by the next build."""
    record = project / RECORD
    text = record.read_text(encoding="utf-8")
    record.write_text(text.replace("title: Oak", "title: Ash"), encoding="utf-8")

    def edit(what: str, _done: int, _total: int) -> None:
        if what == "Pricing":
            record.write_text(text, encoding="utf-8")

    build(project, DAY, 1, edit)
    assert unchanged_build(project, DAY) is None
    build(project, DAY, 1, quiet)
    assert unchanged_build(project, DAY) is not None


def test_a_file_in_the_place_of_the_content_is_a_mistake(tmp_path: Path) -> None:
    """What is no folder, or a closed one, is refused where it is read, not where its status is read."""
    (tmp_path / "content").write_bytes(b"the maker's own")
    with pytest.raises(MistakeError):
        build(tmp_path, DAY, 1, quiet)


def test_a_file_that_comes_and_goes_while_all_is_looked_at(project: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A file that an editor keeps for a moment beside a record stops no build."""
    path = project / "content" / ".record.swp"

    def scandir(folder: str) -> list[os.DirEntry[str]]:
        entries = list(scan(folder))
        path.unlink(missing_ok=True)
        return entries

    scan = os.scandir
    path.write_bytes(b"")
    before = published.snapshot_inputs(project).stamps
    monkeypatch.setattr(os, "scandir", scandir)
    assert before.keys() - published.snapshot_inputs(project).stamps.keys() == {str(path)}


@pytest.mark.skipif(os.name != "posix", reason="pipes and devices have names in folders on POSIX systems alone")
def test_a_pipe_a_device_and_a_film_beside_a_record_are_not_read(project: Path) -> None:
    """A pipe gives no end, a device neither, and a film fills the memory: what no build reads is not opened."""
    resource = pytest.importorskip("resource")
    for folder in ("content", "themes"):
        os.mkfifo(project / folder / "pipe.md")
        (project / folder / "zeros.csv").symlink_to("/dev/zero")
        with (project / folder / "film.mov").open("wb") as film:
            film.truncate(3_000_000_000)
        for name in ("pipe.md", "zeros.csv", "film.mov"):  # as if each had just been written
            os.utime(project / folder / name, (4_000_000_000, 4_000_000_000), follow_symlinks=False)
    command = [sys.executable, "-m", "catalog_builder", "publish", "--folder", str(project), "--day", DAY.isoformat()]
    limit = (4_000_000_000, 4_000_000_000)
    done = subprocess.run(
        command, cwd=ROOT, check=False, timeout=900, preexec_fn=lambda: resource.setrlimit(resource.RLIMIT_AS, limit)
    )
    assert done.returncode == 0
    fresh = published.snapshot_inputs(project).fresh
    assert {fresh[str(project / "content" / name)] for name in ("pipe.md", "zeros.csv", "film.mov")} == {""}
    build(project, DAY, 1, quiet)
    assert unchanged_build(project, DAY) is not None
