"""End builds at random moments, and hold that what is published is the old or the new, never a mix.

Each is killed, which it cannot know, or stopped by Ctrl-C; that one leaves all audiences alike and says what is so.
"""

from __future__ import annotations

import os
import random
import shutil
import signal
import subprocess
import sys
import time
from collections import Counter
from dataclasses import dataclass
from pathlib import Path

from tests.publish.demo import AUDIENCES, DAY, ROOT, bytes_of, lay_out, reworded

CHEAP, DEAR = 'hourly_rate = "19.00"', 'hourly_rate = "29.00"'
# Ctrl-C before that meets the interpreter, which has not read a line of the program yet.
BEGUN_S = 0.1
Site = dict[str, dict[str, bytes]]


@dataclass(frozen=True, slots=True)
class Struck:
    """What an end left: for each audience whether it is the ``old`` site, the ``new`` one, or a ``mix``.

    ``stood`` is what there was before, ``ended`` is ``killed``, ``stopped`` or ``finished``, ``told`` what was said.
    """

    after_s: float
    stood: dict[str, str]
    left: dict[str, str]
    ended: str
    told: str

    @property
    def finished(self) -> bool:
        """Whether it came to its end before it was struck."""
        return self.ended == "finished"

    @property
    def right(self) -> bool:
        """Whether no audience is a mix and, where the build could know, all are new or as before, and it said which."""
        states = set(self.left.values())
        if self.ended == "killed":
            return "mix" not in states
        return self.left == self.stood if "Nothing was published" in self.told else states == {"new"}


def published(project: Path) -> Site:
    """Every published file of each audience."""
    return {name: bytes_of(project / "site_output" / name) for name in AUDIENCES}


def command(project: Path) -> list[str]:
    """The command line that publishes a project."""
    options = ["--folder", str(project), "--day", DAY.isoformat(), "--workers", "2"]
    return [sys.executable, "-m", "catalog_builder", "publish", *options]


def publish(project: Path) -> None:
    """Publish in a process of its own, to the end."""
    subprocess.run(command(project), cwd=ROOT, check=True, capture_output=True)


def two_sites(root: Path, *products: str) -> tuple[Path, Site, Site, float]:
    """A small project, what it publishes with a low wage and with a high one, and the seconds that a build takes."""
    project = lay_out(root / "studio", *products)
    publish(project)
    low = published(project)
    reworded(project / "content" / "studio.toml", (CHEAP, DEAR))
    clean = Path(shutil.copytree(project / "content", root / "clean" / "content")).parent
    shutil.copytree(project / "themes", clean / "themes")
    begun = time.monotonic()
    publish(clean)
    return project, low, published(clean), time.monotonic() - begun


def strike(project: Path, old: Site, new: Site, after_s: float, stop: bool) -> Struck:
    """Begin a build, stop or kill it after some seconds, and look at what stands published."""
    stood = states_of(project, old, new)
    process = subprocess.Popen(
        command(project), cwd=ROOT, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE, encoding="utf-8"
    )  # fmt: skip
    try:
        told = process.communicate(timeout=after_s)[1]
    except subprocess.TimeoutExpired:
        process.send_signal(signal.SIGINT) if stop else process.kill()
        told = process.communicate()[1]
    ended = "finished" if process.returncode == 0 else "stopped" if stop else "killed"
    return Struck(after_s, stood, states_of(project, old, new), ended, told)


def states_of(project: Path, old: Site, new: Site) -> dict[str, str]:
    """Say of each audience whether it is the old site, the new one, or a mix."""
    found = published(project).items()
    return {name: "old" if files == old[name] else "new" if files == new[name] else "mix" for name, files in found}


def kill_builds(root: Path, count: int, *products: str) -> list[Struck]:
    """End builds at random moments, each one on its way from the one wage to the other, and back."""
    project, low, high, seconds = two_sites(root, *products)
    chance = random.Random(20261125)  # noqa: S311 - moments, not secrets
    old, new, wages = low, high, (CHEAP, DEAR)
    struck = []
    for number in range(count):
        stop = os.name == "posix" and number % 2 == 1
        one = strike(project, old, new, chance.uniform(BEGUN_S if stop else 0.0, 1.15 * seconds), stop)
        struck.append(one)
        if one.finished:
            # The machine is quicker than it was: later moments would all lie after the end.
            seconds = min(seconds, one.after_s)
        if one.finished or set(one.left.values()) == {"new"}:
            reworded(project / "content" / "studio.toml", wages[::-1])
            old, new, wages = new, old, wages[::-1]
    publish(project)
    assert published(project) == new, "the build after the last kill is not what a clean one gives"
    return struck


def counted(struck: list[Struck]) -> Counter[str]:
    """Count what kills left, audience by audience."""
    return Counter(state for one in struck for state in one.left.values())
