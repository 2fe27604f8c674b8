"""Edits of a studio's files such as a maker makes, each of which its pages show."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from PIL import Image


@dataclass(frozen=True, slots=True)
class Edits:
    """Changes the files of a studio under ``root`` that a page of ``product`` shows; ``count`` makes each one new."""

    root: Path
    product: str

    def word(self, count: int) -> None:
        """Change a word of the product's summary."""
        self._replace(self._record, r'(summary: "?)(?:Edit \d+, )?', rf"\g<1>Edit {count}, ")

    def photo(self, count: int) -> None:
        """Put another photo in the place of the product's."""
        path = next(self._record.parent.glob("*.jpg"))
        with Image.open(path) as picture:
            picture.rotate(180).save(path, "JPEG", quality=90 - count)

    def style(self, count: int) -> None:
        """Change a rule of the theme's style sheet."""
        path = self.root / "themes" / "daylight" / "assets" / "product.css"
        path.write_text(f"{path.read_text(encoding='utf-8')}\nmain {{ --edit: {count} }}\n", encoding="utf-8")

    def drawing(self, count: int) -> None:
        """Bend a curve of the product's drawing."""
        self._replace(self._record, r'( d="M[^"]*?C-?\d+\.?\d*?)\d([ ,])', rf"\g<1>{count % 10}\g<2>")

    def wage(self, count: int) -> None:
        """Change the pay for an hour by so much that a price moves to its next price point."""
        path = self.root / "content" / "studio.toml"
        self._replace(path, r'(?m)^hourly_rate = ".*"', f'hourly_rate = "{28 if count % 2 else 20}.00"')

    def price(self, count: int) -> None:
        """Buy a glass of the product at a new price, which moves the product's price too."""
        glass = re.findall(r"glass-[a-z]+", self._record.read_text(encoding="utf-8"))[0]
        table = self.root / "content" / "material_prices.csv"
        text = "".join(
            line
            for line in table.read_text(encoding="utf-8").splitlines(keepends=True)
            if "benchmark" not in line  # a material has one price a day
        )
        table.write_text(f"{text}{glass},{date.today()},{45 if count % 2 else 20}.00,benchmark\n", encoding="utf-8")

    @property
    def _record(self) -> Path:
        return self.root / "content" / "products" / self.product / "product.md"

    def _replace(self, path: Path, pattern: str, new: str) -> None:
        text = path.read_text(encoding="utf-8")
        changed = re.sub(pattern, new, text, count=1)
        if changed == text:
            raise ValueError(f"nothing to change in {path}")
        path.write_text(changed, encoding="utf-8")
