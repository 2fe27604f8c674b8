"""The small studio that the edits are made in: four of the demo's products, with tables that name only them."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from random import Random
from typing import TypeVar

from tests.edits.record import Record
from tests.publish.demo import DAY, ROOT
from tests.publish.photos import quarters, saved

# A plain piece, one with sizes and a photo, one with a part in its record, and one with a drawing in a file of its own.
PRODUCTS = ("crescent-in-a-cloud-bank", "oak-leaf", "spruce-in-the-round", "tern-on-the-turn")
THEME = "own"
T = TypeVar("T")

_TABLES = {
    "bench_made.csv": "batch,product,size,finish,glass,count\n"
    "B1,oak-leaf,medium,copper,turning,6\nB2,crescent-in-a-cloud-bank,small,black,late,4\n",
    "bench_log.csv": "date,batch,step,minutes,set_ups,note\n"
    "2026-11-02,B1,cut,120,,\n2026-11-03,B1,foil,70,,\n2026-11-09,B2,cut,90,,a new wheel\n",
    "spools.csv": "batch,before_g,after_g,note\nB1,500,330,\nB2,330,200,\n",
    "sales.csv": "market,product,size,finish,glass,count,price\n"
    "apple-day,oak-leaf,medium,copper,turning,1,64.00\nquay-november,crescent-in-a-cloud-bank,small,black,late,2,38.00\n",
    "markets/quay-december.csv": "product,size,finish,glass,count,box\n"
    "oak-leaf,medium,copper,turning,3,B\ncrescent-in-a-cloud-bank,small,black,late,2,C\n",
    "batches/winter.toml": 'title = "Winter"\nbegins = 2026-11-26\nready_by = 2026-12-04\nhours_a_day = 6\n\n'
    '[[make]]\nproduct = "crescent-in-a-cloud-bank"\nsize = "small"\nfinish = "black"\nglass = "late"\ncount = 6\n',
}


@dataclass(slots=True)
class Studio:
    """A project's folder, and the day that the maker has."""

    project: Path
    day: date

    @property
    def content(self) -> Path:
        """The maker's records."""
        return self.project / "content"

    @property
    def theme(self) -> Path:
        """The theme of the project's own."""
        return self.project / "themes" / THEME

    @property
    def products(self) -> list[Path]:
        """The products' folders, in order."""
        return sorted((self.content / "products").iterdir())


class NothingToEditError(Exception):
    """An edit found nothing to change, as the sequence has left no such thing."""


# Changes one thing in a studio and says which.
Edit = Callable[[Studio, Random], str]


def one_of(things: list[T], chance: Random) -> T:
    """Choose one.

    Raises:
        NothingToEditError: there is none.
    """
    if not things:
        raise NothingToEditError
    return chance.choice(things)


def lay_studio(folder: Path) -> Studio:
    """Lay out the studio, with a photo that is quickly made ready, and a theme of its own that says nothing yet."""
    content = Path(shutil.copytree(ROOT / "content", folder / "content"))
    for name in ("batches", "markets", "sets", "quotes"):
        shutil.rmtree(content / name)
    for name in ("ready", "reductions"):
        (content / f"{name}.csv").unlink()
    for path in (content / "products").iterdir():
        if path.name not in PRODUCTS:
            shutil.rmtree(path)
    for name, text in _TABLES.items():
        (content / name).parent.mkdir(exist_ok=True)
        (content / name).write_text(text, encoding="utf-8", newline="\n")
    for slug in PRODUCTS:
        _make_small(content / "products" / slug)
    theme = folder / "themes" / THEME
    theme.mkdir(parents=True)
    (theme / "theme.toml").write_text(
        'title = "Own"\ndescription = "The studio\'s own."\nbuilds_on = "daylight"\n', encoding="utf-8", newline="\n"
    )
    return Studio(folder, DAY)


def _make_small(folder: Path) -> None:
    """Take a product's dearest size and its last choice of glass away, and make its photos small."""
    record = Record(folder)
    sizes, glass = record.keys.get("sizes", {}), record.keys["glass"]
    for table, most in ((sizes, 2), (glass, 1 if len(sizes) > 1 else 2)):
        for name in list(table)[most:]:
            del table[name]
    record.write()
    for photo in record.photos:
        (folder / photo["file"]).write_bytes(saved(quarters((300, 200)), "JPEG"))
