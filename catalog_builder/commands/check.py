"""The command ``check``: every stage, pages and sheets too, with nothing published."""

from __future__ import annotations

from contextlib import ExitStack, suppress
from datetime import date
from pathlib import Path
from tempfile import TemporaryDirectory

from catalog_builder.build import make_everything, read
from catalog_builder.cache.atomic_file import CACHE_FOLDER
from catalog_builder.cache.build_state import BuildSummary
from catalog_builder.cache.file_digests import FileDigests
from catalog_builder.cache.store import Store
from catalog_builder.mistake import OutputError
from catalog_builder.publish.output.publication import output_lock
from catalog_builder.publish.output.trial import try_together
from catalog_builder.publish.studio_calculation import BuildCache, Progress, StudioCalculation
from catalog_builder.publish.theme.loading import Theme
from catalog_builder.records.content import Content


def check_project(project: Path, day: date, workers: int, progress: Progress) -> BuildSummary:
    """Run every stage and publish nothing: what passes here, a build publishes.

    What earlier builds have left is used, and what is new is kept with it, unless another build is at work.

    Raises:
        MistakeError: with every mistake in the records.
    """
    content, theme = read(project, day)
    output = project / "site_output"
    with TemporaryDirectory() as place, ExitStack() as stack:
        cache = BuildCache(Store(Path(place, "made")), FileDigests(Path(place, "inputs.json")))
        with suppress(OutputError):
            if (output / CACHE_FOLDER).is_dir():
                stack.enter_context(output_lock(output))
                cache = BuildCache.of(project)
        _, summary = try_content(content, theme, cache, workers, progress)
        cache.inputs.remember()
    return summary


def try_content(
    content: Content, theme: Theme, cache: BuildCache, workers: int, progress: Progress
) -> tuple[StudioCalculation, BuildSummary]:
    """Make everything of content that has been read, and publish nothing; give what was calculated, and the summary.

    Raises:
        MistakeError: with every mistake of the patterns, the hardware, the prices and the photos.
    """
    return make_everything(content, theme, cache, workers, progress, together=try_together)
