"""A picture of a drawing with its truth, made from a seed, kept in a folder."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from io import BytesIO
from pathlib import Path

import numpy as np
from PIL import Image

from tests.tracing.designs.design import Design


@dataclass(frozen=True, slots=True)
class Shot:
    """A picture as a file's bytes, what the command is told about it, and the design that was drawn.

    ``options`` holds options of the command by their names without dashes.
    """

    kind: str
    number: int
    family: str
    picture: bytes
    suffix: str
    options: Mapping[str, str]
    truth: Design

    @property
    def name(self) -> str:
        """A name for its files."""
        return name_of(self.kind, self.number, self.family)

    def save(self, folder: Path) -> Path:
        """Keep the picture and its truth in a folder, and give the picture's path."""
        folder.mkdir(parents=True, exist_ok=True)
        path = folder / f"{self.name}{self.suffix}"
        path.write_bytes(self.picture)
        strokes = [stroke.tolist() for stroke in self.truth.strokes]
        kept = {"options": dict(self.options), "name": self.truth.name, "strokes": strokes, "suffix": self.suffix}
        (folder / f"{self.name}.truth").write_text(json.dumps(kept), encoding="utf-8")
        return path


def name_of(kind: str, number: int, family: str) -> str:
    """Give the name of a picture's files."""
    return f"{kind.replace(' ', '-')}-{family}-{number:03}"


def kept_shot(folder: Path, kind: str, number: int, family: str) -> Shot | None:
    """Give a picture that is kept in a folder, if it is."""
    name = name_of(kind, number, family)
    truth = folder / f"{name}.truth"
    if not truth.is_file():
        return None
    kept = json.loads(truth.read_text(encoding="utf-8"))
    design = Design(kept["name"], tuple(np.array(stroke) for stroke in kept["strokes"]))
    picture = (folder / f"{name}{kept['suffix']}").read_bytes()
    return Shot(kind, number, family, picture, kept["suffix"], kept["options"], design)


def as_bytes(picture: Image.Image, suffix: str, quality: int, dpi: float | None) -> bytes:
    """Give a picture as the bytes of a file; ``dpi`` is written into it where it is given."""
    target = BytesIO()
    at = {} if dpi is None else {"dpi": (dpi, dpi)}
    if suffix == ".jpg":
        picture.save(target, "JPEG", quality=quality, **at)
    elif suffix == ".webp":
        picture.save(target, "WEBP", quality=quality)
    else:
        picture.save(target, "PNG", compress_level=1, **at)
    return target.getvalue()
