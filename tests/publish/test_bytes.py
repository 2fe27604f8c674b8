"""The same content and day give the same bytes."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from tests.publish.demo import AUDIENCES, DAY, ROOT, Demo, build_in, bytes_of, lay_out, outputs_of, pictured

# Workers, seed of the hash of texts, time zone: what differs from one maker's machine to the next.
MACHINES = {"one-worker": ("1", "1", "Pacific/Kiritimati"), "two-workers": ("2", "4711", "America/Anchorage")}


@pytest.fixture(scope="module")
def machines(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    """The demo, built by the program itself in folders of other names and depths."""
    runs = {}
    for name, (workers, seed, zone) in MACHINES.items():
        project = pictured(lay_out(tmp_path_factory.mktemp("machine") / name / "of another name"))
        command = [sys.executable, "-m", "catalog_builder", "publish", "--folder", str(project)]
        command += ["--day", DAY.isoformat(), "--workers", workers]
        surroundings = {**os.environ, "PYTHONHASHSEED": seed, "TZ": zone}
        runs[name] = project, subprocess.Popen(command, cwd=ROOT, env=surroundings, stdout=subprocess.DEVNULL)
    codes = {name: process.wait(timeout=1800) for name, (_, process) in runs.items()}
    assert codes == dict.fromkeys(MACHINES, 0)
    return {name: project for name, (project, _) in runs.items()}


@pytest.mark.parametrize("name", MACHINES)
@pytest.mark.parametrize("audience", AUDIENCES)
def test_every_file_is_the_same_on_another_machine(
    demo: Demo, machines: dict[str, Path], name: str, audience: str
) -> None:
    """Workers, hash seed, time zone and folder change no byte of any file, PDF and workbook among them."""
    here, there = bytes_of(demo.output / audience), bytes_of(machines[name] / "site_output" / audience)
    assert len(here) > 3
    assert sorted(there) == sorted(here)
    assert [path for path in here if here[path] != there[path]] == []


def test_second_build_changes_nothing(tmp_path: Path) -> None:
    """Built again over its own output, a project is published with the same bytes, and nothing is carried over."""
    project = lay_out(tmp_path / "studio", "net-loft-panel", "two-waxcaps")
    build_in(project)
    before = outputs_of(project)
    assert build_in(project).published.carried_over == ()
    after = outputs_of(project)
    assert [path for path in sorted(before | after) if before.get(path) != after.get(path)] == []


def test_text_files_end_lines_alike(demo: Demo) -> None:
    """Pages, styles and drawings end their lines with a line feed alone, whatever the system."""
    kinds = (".html", ".css", ".js", ".svg", ".xml", ".txt", ".json")
    texts = {path: data for path, data in outputs_of(demo.project).items() if path.endswith(kinds)}
    assert len(texts) > 100
    assert [path for path, data in texts.items() if b"\r" in data] == []
