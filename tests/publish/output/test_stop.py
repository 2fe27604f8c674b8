"""Ctrl-C at any moment of a build: one sentence, no worker left, and all of what was published before, or all new."""

from __future__ import annotations

import os
import shutil
import signal
import subprocess
import sys
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest
from click.testing import CliRunner

from catalog_builder.build import build
from catalog_builder.cache.atomic_file import CACHE_FOLDER
from catalog_builder.cache.store import Store
from catalog_builder.cli import main
from catalog_builder.publish.output import folder as folders
from catalog_builder.publish.output.folder import Folder
from catalog_builder.publish.output.folder_swap import swap_folders as exchanged
from catalog_builder.publish.studio_calculation import quiet
from tests.publish.demo import AUDIENCES, DAY, ROOT, bytes_of, give_photos, lay_out, outputs_of, reworded
from tests.publish.disk import names_in, publishing
from tests.publish.photos import quarters, saved

ONE = "tern-on-the-turn"
SAID = "Stopped. Nothing was published. What was published before stands as it was.\n"
LATE = "Stopped. By then all was published: what stands is whole and new.\n"
# Runs the command line so that it says when it reaches a part of the program, and then takes its time there.
SLOWED = """
import os, signal, sys, time
from catalog_builder.cli import main

def wait(tenths):
    os.write(1, b"reached\\n")
    for _ in range(tenths):
        time.sleep(0.1)

{slowed}
# A shell that begins a command in the background lets it take no notice of Ctrl-C.
signal.signal(signal.SIGINT, signal.default_int_handler)
main()
"""
SLOW_STAGE = """
import contextlib
from catalog_builder.cli import publishing as cli
@contextlib.contextmanager
def telling():
    yield lambda what, done, total: wait({tenths}) if what == "{stage}" else None
cli.progress_bar = telling
"""
SLOW_LIBRARY = """
class Slow:
    def find_spec(self, name, path=None, target=None):
        if name == "shapely":
            wait(600)
sys.meta_path.insert(0, Slow())
"""
PLACES = {
    "libraries": SLOW_LIBRARY,
    "measuring": SLOW_STAGE.format(stage="Measuring and drawing", tenths=600),
    "pricing": SLOW_STAGE.format(stage="Pricing", tenths=600),
    # A thread cannot be ended from without: each goes on to the end of its photo, and no other photo is begun.
    "photos": SLOW_STAGE.format(stage="Making photos ready", tenths=10),
    "writing": SLOW_STAGE.format(stage="Writing pages", tenths=600),
}


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A project of one product with photos, built once, to be copied."""
    project = lay_out(tmp_path_factory.mktemp("stop") / "studio", ONE)
    shutil.rmtree(project / "themes")
    build(project, DAY, 2, quiet)
    return project


def edit(project: Path) -> None:
    """Bring new photos, a wage that changes every price, and another rule for all that hangs."""
    give_photos(project, ONE, {f"{number}.jpg": saved(quarters((300 + number, 200)), "JPEG") for number in range(12)})
    changes = ('hourly_rate = "19.00"', 'hourly_rate = "29.00"'), ("safety_factor = 5", "safety_factor = 6")
    reworded(project / "content" / "studio.toml", *changes)


@pytest.fixture
def project(built: Path, tmp_path: Path) -> Path:
    """The built project, edited and not yet published again."""
    project = Path(shutil.copytree(built, tmp_path / "studio"))
    edit(project)
    return project


@pytest.fixture(scope="module")
def wanted(built: Path, tmp_path_factory: pytest.TempPathFactory) -> dict[str, bytes]:
    """What a build from nothing publishes of the edited project."""
    clean = Path(shutil.copytree(built / "content", tmp_path_factory.mktemp("clean") / "content")).parent
    edit(clean)
    build(clean, DAY, 2, quiet)
    return outputs_of(clean)


def left_of(session: int) -> list[str]:
    """Give the processes of a session that are still there."""
    left = []
    for stat in Path("/proc").glob("[0-9]*/stat"):
        try:
            fields = stat.read_text().rpartition(")")[2].split()
        except OSError:  # it has ended
            continue
        if int(fields[3]) == session and fields[0] != "Z":
            left.append(stat.parent.name)
    return left


@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="processes are counted as Linux shows them")
@pytest.mark.parametrize("place", PLACES)
def test_ctrl_c_ends_a_build_in_one_sentence(project: Path, wanted: dict[str, bytes], place: str) -> None:
    """Ctrl-C ends a build at once, whatever it is at, and nothing is published.

    As a terminal does, it is sent to the build and to all that it began.
    """
    before = outputs_of(project)
    command = [sys.executable, "-c", SLOWED.format(slowed=PLACES[place]), *publishing(project)[3:]]
    process = subprocess.Popen(
        command,
        cwd=ROOT,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        encoding="utf-8",
        start_new_session=True,
    )
    try:
        assert process.stdout is not None
        assert process.stdout.readline() == "reached\n"
        os.killpg(process.pid, signal.SIGINT)
        rest, told = process.communicate(timeout=300)
    finally:
        process.kill()
        process.communicate()
    assert (process.returncode, told) == (130, SAID)
    assert rest.count("reached") < 4, "photos went on being made ready"
    assert left_of(process.pid) == []
    assert outputs_of(project) == before
    assert names_in(project / "site_output") == sorted(AUDIENCES)
    build(project, DAY, 2, quiet)
    assert outputs_of(project) == wanted


def everything_in(project: Path) -> dict[str, bytes]:
    """Every file in ``site_output``, but for what builds keep for the next one."""
    files = bytes_of(project / "site_output")
    return {name: data for name, data in files.items() if not name.startswith(f"{CACHE_FOLDER}/")}


def stopping_after(step: Callable[..., object], count: int, number: int = signal.SIGINT) -> Callable[..., object]:
    """Give a step of the work after which, the n-th time that it was done, Ctrl-C or another signal comes, once."""
    left = [count]

    def stopped(*given: object) -> object:
        done = step(*given)
        left[0] -= 1
        if left[0] == 0:
            signal.raise_signal(number)
        return done

    return stopped


@pytest.mark.parametrize("exchanging", [True, False])
@pytest.mark.parametrize(("step", "count"), [("exchange", 2), ("swap", 1), ("swap", 3), ("settle", 1), ("settle", 3)])
def test_ctrl_c_while_folders_change_places_comes_too_late(
    project: Path, wanted: dict[str, bytes], monkeypatch: pytest.MonkeyPatch, step: str, count: int, exchanging: bool
) -> None:
    """Ctrl-C between the first folder's exchange and the last one's: all are put in place, and that is what is said.

    So it is where the system cannot exchange two folders in one step.
    """
    swap_folders = exchanged if exchanging else lambda _one, _other: False
    with monkeypatch.context() as patch:
        patch.setattr(
            folders, "swap_folders", stopping_after(swap_folders, count) if step == "exchange" else swap_folders
        )
        if step != "exchange":
            patch.setattr(Folder, step, stopping_after(getattr(Folder, step), count))
        result = CliRunner().invoke(main, publishing(project)[3:])
    assert (result.exit_code, result.stderr) == (130, LATE)
    assert outputs_of(project) == wanted
    assert names_in(project / "site_output") == sorted(AUDIENCES)
    with pytest.raises(KeyboardInterrupt):
        signal.raise_signal(signal.SIGINT)


@pytest.mark.parametrize("exchanging", [True, False])
def test_a_second_ctrl_c_while_folders_go_back(
    project: Path, monkeypatch: pytest.MonkeyPatch, exchanging: bool
) -> None:
    """Where the last folder cannot be put in place, and Ctrl-C comes while the others go back, all go back.

    Ctrl-C is heeded once they have.
    """
    before = everything_in(project)

    def held(self: Folder) -> None:
        if self.final.name == "bench":
            raise PermissionError(13, "a file is open in another program", str(self.final))
        swap(self)

    swap = Folder.swap
    with monkeypatch.context() as patch:
        if not exchanging:
            patch.setattr(folders, "swap_folders", lambda _one, _other: False)
        patch.setattr(Folder, "swap", held)
        patch.setattr(Folder, "swap_back", stopping_after(Folder.swap_back, 1))
        with pytest.raises(KeyboardInterrupt):
            build(project, DAY, 2, quiet)
    assert everything_in(project) == before


def test_ctrl_c_twice_while_pages_are_written(project: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Ctrl-C while pages are written, and again while what was written is thrown away: nothing is left beside."""
    before = everything_in(project)
    with monkeypatch.context() as patch:
        patch.setattr(Folder, "open", stopping_after(Folder.open, 2))
        patch.setattr(Folder, "drop", stopping_after(Folder.drop, 1))
        with pytest.raises(KeyboardInterrupt):
            build(project, DAY, 2, quiet)
    assert everything_in(project) == before


def test_ctrl_c_once_all_was_published_is_told_as_it_is(
    project: Path, wanted: dict[str, bytes], monkeypatch: pytest.MonkeyPatch
) -> None:
    """What is told is what is so: once the new site stands, nobody is told that nothing was published."""
    monkeypatch.setattr(Store, "clear_unused", stopping_after(Store.clear_unused, 1))
    result = CliRunner().invoke(main, publishing(project)[3:])
    assert (result.exit_code, result.stderr) == (130, LATE)
    assert outputs_of(project) == wanted


def test_a_word_to_end_waits_until_all_is_in_place(
    project: Path, wanted: dict[str, bytes], monkeypatch: pytest.MonkeyPatch
) -> None:
    """A system that shuts down, and asks programs to end, asks between two folders: the other is put in place first."""
    heard = list[dict[str, bytes]]()
    before = signal.signal(signal.SIGTERM, lambda _number, _frame: heard.append(outputs_of(project)))
    try:
        monkeypatch.setattr(Folder, "swap", stopping_after(Folder.swap, 1, signal.SIGTERM))
        build(project, DAY, 2, quiet)
    finally:
        signal.signal(signal.SIGTERM, before)
    assert heard == [wanted]


def test_a_build_in_a_thread_publishes(project: Path, wanted: dict[str, bytes]) -> None:
    """A window may build in a thread, which hears of no Ctrl-C: it builds all the same."""
    with ThreadPoolExecutor(1) as pool:
        pool.submit(build, project, DAY, 2, quiet).result()
    assert outputs_of(project) == wanted


def test_ctrl_c_before_the_program_is_read_ends_it_in_one_sentence() -> None:
    """Ctrl-C the moment that the command was begun is told as at any other."""
    code = "import sys, runpy\nclass Stopping:\n    def find_spec(self, name, *_):\n        if name == 'click':\n"
    code += "            raise KeyboardInterrupt\nsys.meta_path.insert(0, Stopping())\n"
    code += "runpy.run_module('catalog_builder', run_name='__main__')"
    done = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, encoding="utf-8", check=False)
    assert (done.returncode, done.stderr) == (130, SAID)
