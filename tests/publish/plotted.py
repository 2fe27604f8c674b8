"""Plots read back from a page: their words, and the places of their marks and lines."""

from __future__ import annotations

import re
from dataclasses import dataclass

import numpy as np
from lxml import etree
from numpy.typing import NDArray

_SVG = "{http://www.w3.org/2000/svg}"
Place = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Plot:
    """A plot as XML, by the strict rules of XML 1.0."""

    root: etree._Element

    @property
    def title(self) -> str:
        """What it is called."""
        return self._told("title")

    @property
    def words(self) -> str:
        """What it shows, for those who cannot see it."""
        return self._told("desc")

    @property
    def texts(self) -> list[str]:
        """Every text that is drawn, in the order of drawing."""
        return ["".join(map(str, text.itertext())) for text in self.root.iter(f"{_SVG}text")]

    def marks(self, name: str) -> list[Place]:
        """The places of a series' marks."""
        return [
            (float(str(mark.get("x"))), float(str(mark.get("y"))))
            for group in self._named(name)
            for mark in group.iter(f"{_SVG}use")
        ]

    def lines(self, name: str) -> list[list[Place]]:
        """The corners of a series' lines."""
        return [
            [(float(x), float(y)) for x, y in re.findall(r"[ML] ([-\d.]+) ([-\d.]+)", str(path.get("d")))]
            for group in self._named(name)
            for path in group.iter(f"{_SVG}path")
            if path.getparent() is not None and path.getparent().tag != f"{_SVG}defs"  # type: ignore[union-attr]
        ]

    def _named(self, name: str) -> list[etree._Element]:
        return [tag for tag in self.root.iter() if tag.get("class") == name]

    def _told(self, tag: str) -> str:
        (found,) = self.root.findall(f"{_SVG}{tag}")
        assert found.get("id") in str(self.root.get("aria-labelledby")).split()
        return str(found.text)


def plots_of(page: bytes) -> list[Plot]:
    """Give the plots of a page; one that is not well-formed is an error."""
    found = re.findall(rb'<svg[^>]*class="plot".*?</svg>', page, re.DOTALL)
    return [Plot(etree.fromstring(data)) for data in found]


def strays(amounts: list[float], places: list[float]) -> float:
    """Say by how much places stray from one scale on which amounts lie evenly, in pixels."""
    scale: NDArray[np.float64] = np.polyfit(amounts, places, 1)
    return float(np.abs(np.polyval(scale, amounts) - np.array(places)).max())
