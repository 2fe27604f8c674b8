"""What writes the bench's papers in tests: a studio's theme and language, a folder, a store that keeps nothing."""

from __future__ import annotations

from pathlib import Path

from catalog_builder.cache.store import Store
from catalog_builder.publish.bench.bench_writer import BenchWriter
from catalog_builder.publish.bench.plots.kept_plots import KeptPlots
from catalog_builder.publish.output.folder import Folder
from catalog_builder.publish.theme.loading import read_theme
from catalog_builder.records.content import Content


def writer_of(content: Content) -> BenchWriter:
    """What writes a studio's papers."""
    keys = content.studio.studio
    theme = read_theme(content.project, keys.theme, keys.language)
    return BenchWriter(studio=content.studio, theme=theme, day=content.day)


def plots_in(root: Path) -> KeptPlots:
    """Plots that are drawn anew each time."""
    return KeptPlots(Store(root / "nowhere" / "made"))


def bench_folder(root: Path) -> Folder:
    """A bench's folder that is being written; its files lie in ``making``."""
    folder = Folder(root, "bench")
    folder.open()
    return folder
