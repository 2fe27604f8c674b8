"""DEVELOPERS.md: the files, modules and commands that it names are there."""

from __future__ import annotations

import re
from importlib.util import find_spec
from pathlib import Path

from tests.publish.demo import ROOT

TEXT = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
# Names without a folder are files beside those that the sentence names before.
PLACES = (ROOT, ROOT / "catalog_builder", ROOT / "tests", ROOT / "catalog_builder" / "publish" / "output")


def test_every_path_is_there() -> None:
    """Each path of a module, folder or text is found from the repository's root, the package or the tests."""
    paths = set(re.findall(r"`((?:[\w.]+/)*[\w.]+\.(?:py|md|toml)|(?:[\w.]+/)+)`", TEXT))
    made = {path for path in paths if path.startswith((".kept", ".node", "site_output", "labels/"))}
    named = {"theme.toml", "studio.toml", "fault.toml", "en.toml", "de.toml", "themes/daylight/labels/xx.toml"}
    missing = [path for path in sorted(paths - made - named) if not any((place / path).exists() for place in PLACES)]
    assert len(paths) > 50
    assert missing == []


def test_its_tree_is_the_packages() -> None:
    """The tree of rooms names every package, and every module beside them."""
    tree = TEXT.partition("```\ncatalog_builder/\n")[2].partition("```")[0]
    rooms = set(re.findall(r"^  ([\w.]+)/?  ", tree, flags=re.MULTILINE)) | {"phrase.py", "units.py"}
    inner = set(re.findall(r"^    (\w+)/", tree, flags=re.MULTILINE))
    assert rooms == _modules(ROOT / "catalog_builder") - {"__main__.py"}
    assert inner == {path for path in _modules(ROOT / "catalog_builder" / "publish") if "." not in path}


def _modules(folder: Path) -> set[str]:
    packages = {path.parent.name for path in folder.glob("*/__init__.py")}
    return packages | {path.name for path in folder.glob("*.py") if path.name != "__init__.py"}


def test_every_module_to_run_is_there() -> None:
    """What is run by `python -m` can be run."""
    modules = set(re.findall(r"python -m ((?:tests|catalog_builder)[\w.]*)", TEXT))
    assert len(modules) >= 7
    for module in modules:
        assert find_spec(module) is not None
