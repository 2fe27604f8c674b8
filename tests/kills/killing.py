"""Kill builds at random moments (SIGKILL), and hold that what is published is the old or the new, never a mix."""

from __future__ import annotations

import random
import shutil
import subprocess
import sys
import time
from collections import Counter
from dataclasses import dataclass
from pathlib import Path

from tests.publish.demo import AUDIENCES, DAY, ROOT, bytes_of, lay_out, reworded

CHEAP, DEAR = 'hourly_rate = "19.00"', 'hourly_rate = "29.00"'
Site = dict[str, dict[str, bytes]]


@dataclass(frozen=True, slots=True)
class Struck:
    """What a kill left: for each audience whether it is the ``old`` site, the ``new`` one, or a ``mix``."""

    after_s: float
    left: dict[str, str]
    finished: bool


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


def strike(project: Path, old: Site, new: Site, after_s: float) -> Struck:
    """Begin a build, kill it after some seconds, and look at what stands published."""
    process = subprocess.Popen(
        command(project), cwd=ROOT, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL
    )  # fmt: skip
    try:
        process.wait(after_s)
    except subprocess.TimeoutExpired:
        process.kill()
    finished = process.wait() == 0
    left = {}
    for name, files in published(project).items():
        left[name] = "old" if files == old[name] else "new" if files == new[name] else "mix"
    return Struck(after_s, left, finished)


def kill_builds(root: Path, count: int, *products: str) -> list[Struck]:
    """Kill builds at random moments, each one on its way from the one wage to the other, and back."""
    project, low, high, seconds = two_sites(root, *products)
    chance = random.Random(20261125)  # noqa: S311 - moments, not secrets
    old, new, wages = low, high, (CHEAP, DEAR)
    struck = []
    for _ in range(count):
        one = strike(project, old, new, chance.uniform(0.0, 1.15 * seconds))
        struck.append(one)
        if one.finished or set(one.left.values()) == {"new"}:
            reworded(project / "content" / "studio.toml", wages[::-1])
            old, new, wages = new, old, wages[::-1]
    publish(project)
    assert published(project) == new, "the build after the last kill is not what a clean one gives"
    return struck


def counted(struck: list[Struck]) -> Counter[str]:
    """Count what kills left, audience by audience."""
    return Counter(state for one in struck for state in one.left.values())
