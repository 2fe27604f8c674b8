"""Plots that earlier builds have drawn. A plot follows from what its function is handed, and from nothing else."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import ParamSpec

from markupsafe import Markup

from catalog_builder.cache.store import Store, key_of, program

Handed = ParamSpec("Handed")


@dataclass(frozen=True, slots=True)
class KeptPlots:
    """Draws plots that the store does not hold."""

    store: Store

    def draw(self, plot: Callable[Handed, Markup], *handed: Handed.args, **named: Handed.kwargs) -> Markup:
        """Give what a function of ``plot.py`` draws, from the store where it has been drawn before."""
        key = key_of("plot", program(), plot.__name__, handed, named)
        data = self.store.kept("plots", key, lambda: plot(*handed, **named).encode())
        return Markup(data.decode())  # noqa: S704 - drawn by this program
