"""What builds keep for the next one, harmed in any way: the next build publishes what one from nothing does."""

from __future__ import annotations

import shutil
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from catalog_builder.build import build
from catalog_builder.cache import file_digests as inputs
from catalog_builder.cache.atomic_file import CACHE_FOLDER
from catalog_builder.cache.build_state import unchanged_build
from catalog_builder.publish.output import build_record as made
from catalog_builder.publish.output.build_record import MADE, FileRecord, read_made, read_seen, write_seen
from catalog_builder.publish.studio_calculation import quiet
from tests.publish.demo import AUDIENCES, DAY, give_photos, lay_out, outputs_of, reworded
from tests.publish.disk import names_in
from tests.publish.photos import quarters, saved

ONE = "tern-on-the-turn"
STAGES = ("Measuring and drawing", "Pricing", "Making photos ready", "Writing pages")


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, dict[str, bytes]]:
    """A project with a photo that was built and then edited, and what it is to publish."""
    root = tmp_path_factory.mktemp("kept")
    project = lay_out(root / "studio", ONE)
    shutil.rmtree(project / "themes")
    give_photos(project, ONE, {"a.jpg": saved(quarters((300, 200)), "JPEG")})
    with pytest.MonkeyPatch.context() as patch:
        # The photo is as good as old, so that it is remembered.
        patch.setattr(inputs, "settled_ns", lambda _folder: time.time_ns() + 3_600_000_000_000)
        build(project, DAY, 2, quiet)
    reworded(project / "content" / "studio.toml", ('hourly_rate = "19.00"', 'hourly_rate = "29.00"'))
    clean = Path(shutil.copytree(project / "content", root / "clean" / "content")).parent
    build(clean, DAY, 2, quiet)
    return project, outputs_of(clean)


@pytest.fixture
def project(built: tuple[Path, dict[str, bytes]], tmp_path: Path) -> Path:
    """The project, for a test to spoil."""
    return Path(shutil.copytree(built[0], tmp_path / "studio"))


@pytest.fixture
def wanted(built: tuple[Path, dict[str, bytes]]) -> dict[str, bytes]:
    """What is to be published."""
    return built[1]


def cut_short(path: Path) -> None:
    """Leave the first half of a file."""
    data = path.read_bytes()
    path.write_bytes(data[: len(data) // 2])


def garble(path: Path) -> None:
    """Turn every second byte of a file into another."""
    data = bytearray(path.read_bytes())
    data[::2] = bytes(byte ^ 0x15 for byte in data[::2])
    path.write_bytes(data)


def empty(path: Path) -> None:
    """Leave a file with nothing in it, as a disk does whose power went."""
    path.write_bytes(b"")


def folder(path: Path) -> None:
    """Put a folder in the place of a file."""
    path.unlink()
    path.mkdir()


def nest(path: Path) -> None:
    """Fill a file with brackets that never end."""
    path.write_bytes(b"[" * 100_000)


@pytest.mark.parametrize("harm", [Path.unlink, cut_short, garble, empty, folder, nest])
def test_all_that_is_kept_is_harmed(project: Path, wanted: dict[str, bytes], harm: Callable[[Path], None]) -> None:
    """Every file that builds keep, and every list of what was made, harmed: the same is published, nothing else."""
    output = project / "site_output"
    kept = [path for path in (output / CACHE_FOLDER).rglob("*") if path.is_file() and path.name != "lock"]
    assert {"inputs.json", "last_build.json", *(f"{name}.json" for name in AUDIENCES)} < {path.name for path in kept}
    for path in kept:
        harm(path)
    assert unchanged_build(project, DAY) is None
    for _ in range(2):
        assert build(project, DAY, 2, quiet).carried_over == ()
        assert outputs_of(project) == wanted
        assert names_in(output) == sorted(AUDIENCES)


@pytest.mark.parametrize("harm", [Path.unlink, cut_short, garble, empty, nest])
def test_the_lists_of_what_was_made_are_harmed(
    project: Path, wanted: dict[str, bytes], harm: Callable[[Path], None]
) -> None:
    """The list in each published folder, harmed: what builds remember stands in for it."""
    for name in AUDIENCES:
        harm(project / "site_output" / name / MADE)
    assert build(project, DAY, 2, quiet).carried_over == ()
    assert outputs_of(project) == wanted


def test_what_another_version_kept_is_not_taken(
    project: Path, wanted: dict[str, bytes], monkeypatch: pytest.MonkeyPatch
) -> None:
    """What another version of the program made from the same files may be other: it is made anew."""
    seen = [project / "site_output" / CACHE_FOLDER / "seen" / f"{name}.json" for name in AUDIENCES]
    assert all(any(one.key for one in read_seen(path).values()) for path in seen[::2])
    monkeypatch.setattr(made, "program", lambda: "another")
    assert not any(one.key for path in seen for one in read_seen(path).values())
    build(project, DAY, 2, quiet)
    assert outputs_of(project) == wanted


@pytest.mark.parametrize("stage", STAGES)
def test_all_that_is_kept_is_removed_during_a_build(project: Path, wanted: dict[str, bytes], stage: str) -> None:
    """The maker who tidies up while a build is at work has it done all the same, and the next one too."""
    reworded(project / "content" / "studio.toml", ("safety_factor = 5", "safety_factor = 6"))

    def progress(what: str, _done: int, _total: int) -> None:
        if what == stage:
            shutil.rmtree(project / "site_output" / CACHE_FOLDER, ignore_errors=True)

    build(project, DAY, 2, progress)
    first = outputs_of(project)
    reworded(project / "content" / "studio.toml", ("safety_factor = 6", "safety_factor = 5"))
    build(project, DAY, 2, quiet)
    assert outputs_of(project) == wanted
    reworded(project / "content" / "studio.toml", ("safety_factor = 5", "safety_factor = 6"))
    shutil.rmtree(project / "site_output")
    build(project, DAY, 2, quiet)
    assert first == outputs_of(project)


def test_a_disk_that_is_full_once_all_is_in_place_loses_nothing(
    project: Path, wanted: dict[str, bytes], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Where there is room for the site and none for what is remembered of it, the site stands, and the next one too."""

    def full(self: Path, data: bytes) -> int:
        if CACHE_FOLDER in self.parts:
            write(self, data[:40])
            raise OSError(28, "No space left on device", str(self))
        return write(self, data)

    write, output = Path.write_bytes, project / "site_output"
    before = {path: path.read_bytes() for path in (output / CACHE_FOLDER).rglob("*.json")}
    with monkeypatch.context() as patch:
        patch.setattr(Path, "write_bytes", full)
        patch.setattr(Path, "write_text", lambda self, text, **_: full(self, text.encode()))
        build(project, DAY, 2, quiet)
    assert outputs_of(project) == wanted
    assert {path: path.read_bytes() for path in (output / CACHE_FOLDER).rglob("*.json")} == before
    reworded(project / "content" / "studio.toml", ('hourly_rate = "29.00"', 'hourly_rate = "19.00"'))
    build(project, DAY, 2, quiet)
    reworded(project / "content" / "studio.toml", ('hourly_rate = "19.00"', 'hourly_rate = "29.00"'))
    build(project, DAY, 2, quiet)
    assert outputs_of(project) == wanted


def test_an_output_that_is_a_link_to_another_disk(
    project: Path, wanted: dict[str, bytes], tmp_path_factory: pytest.TempPathFactory
) -> None:
    """A maker who keeps ``site_output`` on another disk, with a link to it, has it published there."""
    shared = Path("/dev/shm")  # noqa: S108 - a disk in memory, where the system has one
    away = (shared if shared.is_dir() else tmp_path_factory.mktemp("away")) / f"{project.parent.name}-away"
    shutil.move(project / "site_output", away)
    try:
        (project / "site_output").symlink_to(away)
        build(project, DAY, 2, quiet)
        assert outputs_of(project) == wanted
        assert names_in(away) == sorted(AUDIENCES)
        assert (project / "site_output").is_symlink()
    finally:
        shutil.rmtree(away)


@pytest.mark.parametrize(
    "damage",
    ["", "{", "null", "[1]", '{"program": 1}', '{"program": "", "files": {"a": ["", Infinity, 1, ""]}}', "[" * 100_000],
)
def test_a_memory_that_is_damaged_counts_as_none(tmp_path: Path, damage: str) -> None:
    """Whatever stands where a memory should be, nothing is remembered, and it is written anew."""
    path = tmp_path / "seen" / "stall.json"
    write_seen(path, {"a": FileRecord("digest", 1, 2, "key")})
    assert read_seen(path) == {"a": FileRecord("digest", 1, 2, "key")}
    path.write_text(damage, encoding="utf-8")
    (tmp_path / MADE).write_text(damage, encoding="utf-8")
    assert read_seen(path) == {}
    assert all(name not in read_made(tmp_path) for name in ("a", "page.html"))
    write_seen(path, {"a": FileRecord("digest", 1, 2, "key")})
    assert read_seen(path) == {"a": FileRecord("digest", 1, 2, "key")}
    assert [name.name for name in path.parent.iterdir()] == ["stall.json"]
