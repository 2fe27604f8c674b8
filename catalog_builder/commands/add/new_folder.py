"""The folder of a new product: its name, and its files put in place whole."""

from __future__ import annotations

import re
import secrets
import shutil
import unicodedata
from collections.abc import Mapping
from contextlib import suppress
from dataclasses import replace
from pathlib import Path

from catalog_builder.commands.disk_faults import reason_of
from catalog_builder.mistake import MistakeError, Place
from catalog_builder.records.product import check_folder_name
from catalog_builder.records.reading.file import folders_in, is_there
from catalog_builder.records.reading.header import read_header
from catalog_builder.records.reading.source import read
from catalog_builder.records.reading.values import MOST_NAME

PRODUCTS = "content/products"


def check_name(project: Path, name: str) -> None:
    """Check the name of a new product as that of a record is checked, and that it is free.

    Raises:
        MistakeError: it cannot be used, or something of that name is there.
    """
    place = Place(path=f"{PRODUCTS}/{name}")
    try:
        check_folder_name(name, place)
    except MistakeError as fault:
        mend = f"choose a name such as `{_usable(name)}`"
        raise MistakeError(replace(each, mend=mend) for each in fault.mistakes) from None
    if is_there(project / PRODUCTS / name):
        raise MistakeError.at(
            place,
            wrong="there is a product of that name already",
            expected="a name that no product has",
            mend="choose another name; nothing in that folder was changed",
        )


def _usable(name: str) -> str:
    """Make a name that a folder can have of one that it cannot."""
    plain = unicodedata.normalize("NFKD", name[:200]).encode("ascii", "ignore").decode().lower()
    words = re.sub(r"[^a-z0-9]+", "-", plain)[:MOST_NAME]
    return words.strip("-") or "sea-holly"


def taken_titles(project: Path) -> set[str]:
    """Give the titles of the products that are there, without capitals, as far as their records can be read."""
    titles = set()
    with suppress(MistakeError):
        for folder in folders_in(project, project / PRODUCTS):
            with suppress(MistakeError):
                titles.add(str(read_header(read(project, folder / "product.md")).values.get("title", "")).casefold())
    return titles


def place_folder(project: Path, name: str, files: Mapping[str, bytes]) -> tuple[str, ...]:
    """Write a product's folder beside its place, then put it there; give the paths of its files.

    Raises:
        MistakeError: it cannot be written, or its place was taken meanwhile; all is then as it was before.
    """
    products = project / PRODUCTS
    made_products = not is_there(products)
    # Readers of records pass over hidden folders.
    workplace = products / f".{secrets.token_hex(6)}"
    try:
        workplace.mkdir(parents=True)
        for file, data in files.items():
            (workplace / file).write_bytes(data)
        check_name(project, name)
        workplace.rename(products / name)
    except OSError as fault:
        why, mend = reason_of(fault)
        raise MistakeError.at(
            Place(path=f"{PRODUCTS}/{name}"),
            wrong=f"the product cannot be laid out there: {why}",
            expected="a folder that you may write",
            mend=mend,
        ) from None
    finally:
        shutil.rmtree(workplace, ignore_errors=True)
        if made_products:
            with suppress(OSError):
                products.rmdir()  # only where nothing was put into it
    return tuple(f"{PRODUCTS}/{name}/{file}" for file in files)
