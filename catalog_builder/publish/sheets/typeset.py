"""Printed sheets: a theme's typst template, filled and set as a PDF."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import UTC, date, datetime, time
from pathlib import Path
from tempfile import TemporaryDirectory

from catalog_builder.cache.store import key_of
from catalog_builder.publish.output.folder import Folder
from catalog_builder.publish.sheets.pdf import compile_here, compile_in_process
from catalog_builder.publish.sheets.printable import boxed, boxed_all
from catalog_builder.publish.theme.loading import Theme

# What typst calls the papers that a studio prints on.
PAPERS = {"A4": "a4", "Letter": "us-letter"}
# Data and pictures of so many bytes, those of a hundred drawings, are set in a process of their own.
APART = 1_500_000


@dataclass(frozen=True, slots=True, kw_only=True)
class TypesetSheet:
    """A sheet without pictures: its template, what that is handed, and the day that the PDF is dated.

    One of ``several`` parts of a paper is set in a process of its own.
    """

    theme: Theme
    template: str
    data: Mapping[str, object]
    day: date
    several: bool = False

    def write(self, folder: Folder, name: str) -> None:
        """Write it into a folder: typeset again only where its data, its day or the theme changed."""
        # The text itself: it is soon written, and a batch's cut sheets hold tens of thousands of places.
        text = self.theme.sheet_data(self.template, self.data)
        folder.make(name, key_of("sheet", self.theme.key, self.template, self.day, text), self.pdf)

    def pdf(self) -> bytes:
        """Set it as a PDF."""
        return typeset(self.theme, self.template, self.data, self.day, several=self.several)


def typeset(
    theme: Theme,
    template: str,
    data: Mapping[str, object],
    day: date,
    pictures: Mapping[str, Callable[[], bytes]] | None = None,
    *,
    several: bool = False,
) -> bytes:
    """Set a template of a theme, such as ``stall/price_sheet.typ``, as a PDF dated ``day``.

    ``pictures`` are files that the template finds by their names beside itself; a sheet that has some is held to
    PDF/UA. One of ``several`` parts of a paper is set in a process of its own, whatever it weighs. The fonts are
    the theme's own, and the same data and day give the same bytes.
    """
    if pictures is None:
        sheet, text = theme.file(template), theme.sheet_data(template, data)
        return _compiled(theme, sheet, text, day, weight=APART if several else 0)
    with TemporaryDirectory() as place:
        folder = Path(place)
        weight = sum((folder / name).write_bytes(read()) for name, read in pictures.items())
        sheet = folder / Path(template).name
        shutil.copyfile(theme.file(template), sheet)
        return _compiled(theme, sheet, theme.sheet_data(template, data), day, accessible=True, weight=weight)


def _compiled(theme: Theme, sheet: Path, data: str, day: date, *, accessible: bool = False, weight: int = 0) -> bytes:
    """Set a sheet whose pictures weigh so many bytes besides its data; a heavy one in a process of its own."""
    set_pdf = compile_in_process if len(data) + weight >= APART else compile_here
    arguments = {
        "input": str(sheet),
        "font_paths": theme.font_folders(),
        "ignore_system_fonts": True,
        "timestamp": int(datetime.combine(day, time(12), UTC).timestamp()),
        # ISO 14289-1: a tagged PDF that can be read aloud.
        "pdf_standards": ["ua-1"] if accessible else None,
    }
    text = boxed(data, theme)
    try:
        return set_pdf({**arguments, "sys_inputs": {"data": text}})
    except RuntimeError as fault:
        if "could not be displayed" not in str(fault):
            raise
        return set_pdf({**arguments, "sys_inputs": {"data": boxed_all(text)}})
