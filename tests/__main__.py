"""Everything that must pass: ``python -m tests``. Installs a browser and the page checkers where they are missing.

Formatter, linter, import contracts, then the tests, and beside them the type checker. Arguments go to pytest.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path
from tempfile import TemporaryFile

from tests.browser.checkers import CheckersMissingError, bring_checkers, hold_checkers
from tests.browser.chromium import executable

ROOT = Path(__file__).resolve().parent.parent
# How each system's own package manager installs Chromium, tried in this order.
INSTALLERS = (
    ("apt-get", (("apt-get", "update", "-q"), ("apt-get", "install", "-y", "-q", "chromium", "fonts-dejavu-core"))),
    ("dnf", (("dnf", "install", "-y", "chromium"),)),
    ("pacman", (("pacman", "-S", "--noconfirm", "chromium"),)),
    ("zypper", (("zypper", "--non-interactive", "install", "chromium"),)),
    ("apk", (("apk", "add", "chromium"),)),
    ("brew", (("brew", "install", "--cask", "chromium"),)),
)
CHECKS = (
    ("formatter", ("-m", "ruff", "format", "--check", "catalog_builder", "tests")),
    ("linter", ("-m", "ruff", "check", "catalog_builder", "tests")),
    ("import contracts", ("-c", "from importlinter.cli import lint_imports_command as run; run()")),
)


def main() -> int:
    """Run every check, and give the exit code of the first that fails; types are checked beside the tests."""
    _install_browser()
    _install_checkers()
    for name, command in CHECKS:
        print(f"== {name}", flush=True)
        code = subprocess.run((sys.executable, *command), cwd=ROOT, check=False).returncode
        if code:
            return code
    with TemporaryFile("w+", encoding="utf-8") as said:
        print("== type checker: begun; what it finds stands after the tests", flush=True)
        types = subprocess.Popen((sys.executable, "-m", "mypy"), cwd=ROOT, stdout=said, stderr=subprocess.STDOUT)
        print("== tests", flush=True)
        # One process for each core; tests/sharing.py says which tests each takes, and in which order.
        sharing = ("-n", "auto", "--dist", "loadfile", "--no-loadscope-reorder", "--durations=20", "--durations-min=5")
        tests = subprocess.run((sys.executable, "-m", "pytest", *sharing, *sys.argv[1:]), cwd=ROOT, check=False)
        types.wait()
        said.seek(0)
        print(f"== type checker\n{said.read()}", end="", flush=True)
    for name, code in (("tests", tests.returncode), ("type checker", types.returncode)):
        print(f"== {name}: {f'failed, exit code {code}' if code else 'passed'}", flush=True)
    return tests.returncode or types.returncode


def _install_browser() -> None:
    try:
        executable()
    except LookupError:
        pass
    else:
        return
    for manager, commands in INSTALLERS:
        if shutil.which(manager):
            print(f"== no Chromium here: installing it by {manager}", flush=True)
            rights = ("sudo",) if _needs_rights(manager) else ()
            for command in commands:
                if subprocess.run((*rights, *command), check=False).returncode:
                    print(f"'{' '.join(command)}' failed; the browser tests will say what they miss.", flush=True)
                    return
            return
    print("No Chromium and no package manager that is known: please install Chromium by hand.", flush=True)


def _install_checkers() -> None:
    try:
        hold_checkers()
    except CheckersMissingError:
        print("== no page checkers in .node/: bringing them by npm", flush=True)
        try:
            bring_checkers()
        except CheckersMissingError as fault:
            print(f"{fault}\nThe tests that need them will fail and say so.", flush=True)


def _needs_rights(manager: str) -> bool:
    asks = manager != "brew" and hasattr(os, "geteuid") and os.geteuid() != 0
    return asks and shutil.which("sudo") is not None


if __name__ == "__main__":
    sys.exit(main())
