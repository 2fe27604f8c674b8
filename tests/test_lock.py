"""The lock: every package that the program and its tests need is pinned, and the test command takes the pins."""

from __future__ import annotations

import re
import tomllib
from importlib.metadata import PackageNotFoundError, requires
from pathlib import Path

import pytest
from packaging.markers import default_environment
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

ROOT = Path(__file__).resolve().parent.parent
LOCK = (ROOT / ".ci" / "lock.txt").read_text(encoding="utf-8")
PINS = [Requirement(line) for line in LOCK.splitlines()]
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
SYSTEMS = [("linux", "Linux"), ("darwin", "Darwin"), ("win32", "Windows")]
PYTHONS = ["3.11.0", "3.11.9", "3.12.4", "3.13.1"]


def asked() -> list[Requirement]:
    """What pyproject.toml asks for, for the program and for its tests."""
    extras = PROJECT["optional-dependencies"]
    return [Requirement(text) for text in (*PROJECT["dependencies"], *extras["test"], *extras["heic"])]


def where(python: str, platform: tuple[str, str]) -> dict[str, str]:
    """The environment that markers are held against."""
    short = ".".join(python.split(".")[:2])
    return {
        **{name: str(value) for name, value in default_environment().items()},
        "python_version": short,
        "python_full_version": python,
        "sys_platform": platform[0],
        "platform_system": platform[1],
        "platform_python_implementation": "CPython",
    }


def pinned(python: str, platform: tuple[str, str]) -> dict[str, str]:
    """The version of each package by its name in an environment; a package that is pinned twice there is told."""
    found: dict[str, str] = {}
    for pin in PINS:
        if pin.marker is None or pin.marker.evaluate(where(python, platform)):
            name = canonicalize_name(pin.name)
            assert name not in found, f"{name} is pinned twice for {python} on {platform}"
            found[name] = next(iter(pin.specifier)).version
    return found


def test_every_line_pins_one_version_and_names_no_place() -> None:
    """A line is a package, ==, a version, and at most the systems it is for; no host, no path, no option."""
    plain = re.compile(r"[a-z0-9-]+==[0-9][0-9a-z.]*( ; [a-z_]+ [<>=!]+ '[A-Za-z0-9.]+'( and [^/:]+)*)?")
    assert [line for line in LOCK.splitlines() if not plain.fullmatch(line)] == []


@pytest.mark.parametrize("python", PYTHONS)
@pytest.mark.parametrize("platform", SYSTEMS)
def test_what_the_project_asks_for_is_pinned_within_its_bounds(python: str, platform: tuple[str, str]) -> None:
    """On each system and Python, each dependency has one version, not under the bound that pyproject.toml sets."""
    versions = pinned(python, platform)
    for requirement in asked():
        name = canonicalize_name(requirement.name)
        assert name in versions, f"{name} is not in .ci/lock.txt: renew it as DEVELOPERS.md says"
        assert requirement.specifier.contains(versions[name]), f"{requirement} is pinned to {versions[name]}"


def test_nothing_that_comes_along_is_unpinned() -> None:
    """What dependencies ask for in their turn, as they are installed here, is pinned too."""
    names = {canonicalize_name(pin.name) for pin in PINS}
    waiting = [(canonicalize_name(one.name), tuple(sorted(one.extras))) for one in asked()]
    seen = set(waiting)
    while waiting:
        name, extras = waiting.pop()
        assert name in names, f"{name} is not in .ci/lock.txt: renew it as DEVELOPERS.md says"
        try:
            texts = requires(name) or []
        except PackageNotFoundError:  # of another system
            continue
        for inner in map(Requirement, texts):
            if inner.marker is None or any(inner.marker.evaluate({"extra": extra}) for extra in ("", *extras)):
                found = canonicalize_name(inner.name), tuple(sorted(inner.extras))
                if found not in seen:
                    seen.add(found)
                    waiting.append(found)


def test_the_test_command_takes_the_pins() -> None:
    """`.ci/run` calls the very command of README.md, and that installs by the lock."""
    command = (ROOT / ".ci" / "run").read_text(encoding="utf-8").rstrip().rpartition("\n")[2]
    assert command in (ROOT / "README.md").read_text(encoding="utf-8").split("\n")
    assert "--constraint .ci/lock.txt" in command
    assert command.endswith("python -m tests")
