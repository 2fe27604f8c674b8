"""Edits of photos: taken anew, removed, added, renamed, cut short, and what the record says of them."""

from __future__ import annotations

from pathlib import Path
from random import Random

from tests.edits.record import Record
from tests.edits.studio import Studio, one_of
from tests.publish.photos import quarters, saved


def _taken(chance: Random) -> bytes:
    """A photo that no other is like."""
    return saved(quarters((240 + chance.randrange(120), 160 + chance.randrange(120))), "JPEG")


def _pictured(studio: Studio, chance: Random) -> Record:
    return one_of([record for folder in studio.products if (record := Record(folder)).photos], chance)


def _photo(record: Record, chance: Random) -> Path:
    return record.path.parent / str(one_of(record.photos, chance)["file"])


def photo_anew(studio: Studio, chance: Random) -> str:
    """Put another photo in the place of one, under its name."""
    path = _photo(_pictured(studio, chance), chance)
    path.write_bytes(_taken(chance))
    return f"{path.parent.name}/{path.name}"


def photo_added(studio: Studio, chance: Random) -> str:
    """Add a photo to a product."""
    record = Record(one_of(studio.products, chance))
    name = f"photo-{chance.randrange(1000)}.jpg"
    (record.path.parent / name).write_bytes(_taken(chance))
    record.keys["photos"] = [*record.photos, {"file": name, "alt": f"At the window, {chance.randrange(100)}"}][-3:]
    record.write()
    return f"{record.path.parent.name}/{name}"


def photo_removed(studio: Studio, chance: Random) -> str:
    """Take a photo away; mostly also out of the record."""
    record = _pictured(studio, chance)
    path = _photo(record, chance)
    path.unlink()
    if chance.random() < 0.8:
        record.keys["photos"] = [one for one in record.photos if one["file"] != path.name]
        record.write()
    return f"{path.parent.name}/{path.name}"


def photo_renamed(studio: Studio, chance: Random) -> str:
    """Give a photo another name, in the folder and in the record."""
    record = _pictured(studio, chance)
    path = _photo(record, chance)
    name = f"renamed-{chance.randrange(1000)}.jpg"
    path.rename(path.with_name(name))
    record.keys["photos"] = [{**one, "file": name} if one["file"] == path.name else one for one in record.photos]
    record.write()
    return f"{path.parent.name}/{path.name} to {name}"


def photo_order(studio: Studio, chance: Random) -> str:
    """Show a product's photos in another order."""
    record = _pictured(studio, chance)
    record.keys["photos"] = record.photos[::-1]
    record.write()
    return record.path.parent.name


def photo_words(studio: Studio, chance: Random) -> str:
    """Say something else of a photo, or nothing."""
    record = _pictured(studio, chance)
    photo = one_of(record.photos, chance)
    if chance.random() < 0.3:
        photo.pop("alt", None)
    else:
        photo["alt"] = f"By the door, {chance.randrange(100)}"
    record.write()
    return f"{record.path.parent.name}: {photo.get('alt')}"


def photo_focus(studio: Studio, chance: Random) -> str:
    """Say where in a photo the piece is."""
    record = _pictured(studio, chance)
    one_of(record.photos, chance)["focus"] = [round(chance.random(), 2), round(chance.random(), 2)]
    record.write()
    return record.path.parent.name


def photo_cut_short(studio: Studio, chance: Random) -> str:
    """Cut a photo short, as by a card that was pulled out, which the build refuses."""
    path = _photo(_pictured(studio, chance), chance)
    data = path.read_bytes()
    path.write_bytes(data[: len(data) // 2])
    return f"{path.parent.name}/{path.name}"
