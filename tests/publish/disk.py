"""A disk of its own for a project's output: as small, as closed or as full as a test wants it.

It is a file system in memory, mounted in a name space that only a helper process sees and that ends with it, so that
no test leaves a mount behind. Where the system does not let one be made, the test is skipped and says why.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path
from types import TracebackType

import pytest

from tests.fresh_process import run_fresh
from tests.publish.demo import AUDIENCES, DAY, ROOT, bytes_of

_TOOLS = ("unshare", "nsenter", "mount")
_WORDS = "mount -t tmpfs -o size=200m,nr_inodes=100000 tmpfs {0} && cp -a {0}.before/. {0} && echo ready && cat"


class Disk:
    """``site_output`` of a project on a disk of its own, with what was published before on it."""

    def __init__(self, project: Path) -> None:
        self.project = project
        self.output = project / "site_output"
        self.before = output_of(self.output)

    def __enter__(self) -> Disk:
        lacking = [name for name in _TOOLS if shutil.which(name) is None]
        if lacking or os.geteuid() != 0:
            pytest.skip("a disk of its own needs Linux, its superuser, and unshare, nsenter and mount")
        shutil.copytree(self.output, self.output.with_name("site_output.before"))
        self.holder = subprocess.Popen(
            ["unshare", "--mount", "sh", "-c", _WORDS.format(self.output)],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
            encoding="utf-8",
        )
        assert self.holder.stdout is not None
        if self.holder.stdout.readline() != "ready\n":
            self.holder.communicate()
            pytest.skip("this system does not let a test mount a disk of its own")
        return self

    def __exit__(
        self, kind: type[BaseException] | None, fault: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.holder.communicate()

    def run(self, *command: str) -> subprocess.CompletedProcess[str]:
        """Run a command that sees the disk."""
        inside = ["nsenter", f"--target={self.holder.pid}", "--mount", f"--wd={ROOT}", *command]
        return subprocess.run(inside, cwd=ROOT, capture_output=True, encoding="utf-8", check=False)

    def publish(self) -> tuple[int, str]:
        """Publish by the command line; its exit code, and what it tells of mistakes."""
        done = run_fresh(*publishing(self.project)[3:], mounts_of=self.holder.pid)
        return done.code, done.errors

    def mount(self, options: str) -> None:
        """Mount the disk once more in its place, with other options."""
        self.run("mount", "-o", f"remount,{options}", str(self.output)).check_returncode()

    def leave(self, *, room: int | None = None, files: int | None = None) -> None:
        """Leave so many bytes, or so many files more, on the disk."""
        seen = os.statvfs(self.inside)
        if room is not None:
            self.mount(f"size={(seen.f_blocks - seen.f_bfree) * seen.f_frsize + room}")
        if files is not None:
            self.mount(f"nr_inodes={seen.f_files - seen.f_ffree + files}")

    @property
    def inside(self) -> Path:
        """The output as it stands on the disk, seen from outside."""
        return Path(f"/proc/{self.holder.pid}/root{self.output}")

    @property
    def names(self) -> list[str]:
        """What stands in ``site_output``, but for what builds keep."""
        return names_in(self.inside)


def publishing(project: Path) -> list[str]:
    """The command that publishes a project."""
    options = ["--folder", str(project), "--day", DAY.isoformat(), "--workers", "2"]
    return [sys.executable, "-m", "catalog_builder", "publish", *options]


def names_in(output: Path) -> list[str]:
    """Give the names of what stands in ``site_output``, but for what builds keep for the next one."""
    return sorted(path.name for path in output.iterdir() if path.name != ".kept")


def output_of(output: Path) -> dict[str, bytes]:
    """Every published file by its path in an output folder."""
    return {f"{name}/{path}": data for name in AUDIENCES for path, data in bytes_of(output / name).items()}
