"""How the command line starts: a maker who asks for help waits for nothing that help does not need."""

from __future__ import annotations

import json
import os
import subprocess
import sys
import tomllib
from importlib.metadata import packages_distributions
from pathlib import Path

import pytest
from packaging.requirements import Requirement

from tests.broken.fault import lay_sound

ASK = """
import json, sys
from click.testing import CliRunner
from catalog_builder.cli import main
outcome = CliRunner().invoke(main, sys.argv[1:])
assert outcome.exit_code == 0, outcome.output
print(json.dumps(sorted({name.partition(".")[0] for name in sys.modules})))
"""
# Runs the command line up to the first large library, says so there, and ends.
UP_TO_A_LIBRARY = """
import sys
from catalog_builder.cli import main
class Watch:
    def find_spec(self, name, path=None, target=None):
        if name in ("lxml", "numpy", "pydantic", "shapely", "yaml"):
            sys.stderr.write(f"[a library: {name}]")
            sys.stderr.flush()
            sys.exit(3)
sys.meta_path.insert(0, Watch())
main()
"""
ROOT = Path(__file__).resolve().parent.parent


def heavy() -> set[str]:
    """Give the import names of every library that the program needs, the command line's own left out."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    needed = {Requirement(one).name for one in project["dependencies"]} - {"click"}
    known = {name: {one.lower() for one in made_by} for name, made_by in packages_distributions().items()}
    found = {name for name, made_by in known.items() if made_by & needed}
    assert len(found) >= len(needed)
    return found


@pytest.mark.parametrize("asked", ["--help", "--version", "publish --help", "reprice --help"])
def test_help_loads_no_heavy_library(asked: str) -> None:
    """Help and version load the command line's own library alone, none that reads, reckons, draws or sets type."""
    told = subprocess.run((sys.executable, "-c", ASK, *asked.split()), capture_output=True, text=True, check=True)
    loaded = set(json.loads(told.stdout))
    assert "click" in loaded
    assert not loaded & heavy()


@pytest.mark.parametrize("command", ["publish", "check"])
def test_a_terminal_shows_something_before_large_libraries_are_loaded(tmp_path: Path, command: str) -> None:
    """A first build loads for seconds: before that, a terminal already shows that it has begun."""
    lay_sound(tmp_path / "content")
    run = (sys.executable, "-c", UP_TO_A_LIBRARY, command, "--folder", str(tmp_path))
    reading, terminal = pytest.importorskip("pty", exc_type=ImportError).openpty()
    with os.fdopen(reading, "rb", buffering=0) as shown, os.fdopen(terminal, "wb", buffering=0) as stderr:
        ended = subprocess.run(run, cwd=ROOT, stderr=stderr, stdout=subprocess.PIPE, check=False)
        text = shown.read(1_000_000).decode()
    assert ended.returncode == 3, text
    assert "Starting" in text.partition("[a library: ")[0]


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="needs a device that is always full")
@pytest.mark.parametrize("command", ["guide keys", "begin studio"])
def test_a_standard_output_that_is_full_is_told(tmp_path: Path, command: str) -> None:
    """Where nothing can be printed, that is said on the error stream, in words and not as a traceback."""
    with Path("/dev/full").open("w") as full:
        run = (sys.executable, "-m", "catalog_builder", *command.split())
        ended = subprocess.run(
            run,
            stdout=full,
            stderr=subprocess.PIPE,
            text=True,
            check=False,
            cwd=tmp_path,
            env={"PYTHONPATH": str(ROOT)},
        )
    assert ended.returncode == 1
    assert "could not be printed" in ended.stderr
    assert "Traceback" not in ended.stderr
    assert "Exception ignored" not in ended.stderr
