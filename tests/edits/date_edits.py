"""What is no edit of the words: dates of files, days that pass, and what builds keep for the next one, harmed."""

from __future__ import annotations

import os
import shutil
import time
from datetime import timedelta
from pathlib import Path
from random import Random

from tests.edits.studio import NothingToEditError, Studio, one_of
from tests.publish.demo import AUDIENCES

_YEAR_S = 31_557_600


def _inputs(studio: Studio) -> list[Path]:
    folders = (studio.content, studio.project / "themes")
    return sorted(path for folder in folders for path in folder.rglob("*") if path.is_file())


def _published(studio: Studio) -> list[Path]:
    output = studio.project / "site_output"
    return sorted(path for name in AUDIENCES for path in (output / name).rglob("*") if path.is_file())


def nothing(_studio: Studio, _chance: Random) -> str:
    """Change nothing at all."""
    return "as it was"


def touched(studio: Studio, chance: Random) -> str:
    """Save a file as it was."""
    path = one_of(_inputs(studio), chance)
    path.write_bytes(path.read_bytes())
    return path.name


def older(studio: Studio, chance: Random) -> str:
    """Give a file, as it was, a date long past or to come."""
    path = one_of(_inputs(studio), chance)
    moment = time.time() + chance.choice([-3, -1, 1]) * _YEAR_S
    os.utime(path, (moment, moment))
    return path.name


def same_size_and_date(studio: Studio, chance: Random) -> str:
    """Put other words of the same length in a file and give it its old date, as copying from a backup does."""
    path = one_of([*studio.content.glob("products/*/product.md"), studio.content / "studio.toml"], chance)
    seen, key = path.stat(), b"summary: " if path.suffix == ".md" else b"tagline = "
    head, key, tail = path.read_bytes().partition(key)
    line, end, rest = tail.partition(b"\n")
    other = line.translate(bytes.maketrans(b"aeAE", b"eaEA"))
    if other == line:
        raise NothingToEditError
    path.write_bytes(head + key + other + end + rest)
    os.utime(path, ns=(seen.st_atime_ns, seen.st_mtime_ns))
    return path.parent.name


def day_later(studio: Studio, chance: Random) -> str:
    """Let a day pass, or some."""
    studio.day += timedelta(chance.choice([1, 1, 11]))
    return str(studio.day)


def published_removed(studio: Studio, chance: Random) -> str:
    """Remove a published file by hand."""
    path = one_of(_published(studio), chance)
    path.unlink()
    return path.name


def published_changed(studio: Studio, chance: Random) -> str:
    """Overwrite a published file by hand."""
    path = one_of(_published(studio), chance)
    data = path.read_bytes() + b"\n"
    path.unlink()  # a name of its own: what builds keep may be another name of the same file
    path.write_bytes(data)
    return path.name


def published_written_through(studio: Studio, chance: Random) -> str:
    """Overwrite a published file in place, as an editor does that keeps the file and changes what is in it."""
    path = one_of(_published(studio), chance)
    with path.open("r+b") as file:
        file.write(b"?")
    return path.name


def folder_removed(studio: Studio, chance: Random) -> str:
    """Remove the whole folder of an audience by hand, or everything that was ever published."""
    output = studio.project / "site_output"
    gone = one_of([*(output / name for name in AUDIENCES), output], chance)
    shutil.rmtree(gone, ignore_errors=True)
    return gone.name


def kept_harmed(studio: Studio, chance: Random) -> str:
    """Remove, cut short or garble some of what builds keep for the next one."""
    kept = sorted(path for path in (studio.project / "site_output" / ".kept").rglob("*") if path.is_file())
    harmed = chance.sample(kept, min(len(kept), chance.randrange(1, 6)))
    for path in harmed:
        data = path.read_bytes()
        match chance.randrange(3):
            case 0:
                path.unlink()
            case 1:
                path.write_bytes(data[: len(data) // 2])
            case _:
                at = chance.randrange(len(data) or 1)
                path.write_bytes(data[:at] + b"?" + data[at + 1 :])
    return f"{len(harmed)} files"
