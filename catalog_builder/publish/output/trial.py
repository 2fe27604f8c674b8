"""A publication on trial: everything is made, and nothing that is published is touched."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from tempfile import TemporaryDirectory

from catalog_builder.publish.output.build_record import FileRecord
from catalog_builder.publish.output.folder import Folder, Write
from catalog_builder.publish.output.publication import Count, Outcome, Progress


class TrialFolder(Folder):
    """An audience's folder whose new files are made and dropped, but for pages, which other files are made from."""

    def __init__(self, output: Path, name: str, place: Path, count: Count) -> None:
        super().__init__(output, name, count.add_file)
        self.making = place / name

    def text(self, name: str) -> str:
        """Read a file that was made, or that is as it was published."""
        path = self.making / name
        return (path if path.is_file() else self.final / name).read_text(encoding="utf-8")

    def take_over(self, name: str, digest: str) -> bool:
        """Leave a published file where it is."""
        self.made[name] = FileRecord.of(self.final / name, digest)
        return True

    def put_new(self, name: str, data: bytes, digest: str) -> None:
        """Write a page; only count other files."""
        if name.endswith(".html"):
            super().put_new(name, data, digest)
        else:
            self.made[name] = FileRecord(digest, len(data), 0)
            self.on_file()


def try_together(output: Path, writers: Mapping[str, Write], progress: Progress, files: int) -> Outcome:
    """Make a folder for each name of ``writers``, as ``publish_together`` does, and publish none."""
    with TemporaryDirectory() as place:
        count, pages = Count(progress, files), 0
        for name, write in writers.items():
            folder = TrialFolder(output, name, Path(place), count)
            folder.read_before()
            pages += write(folder)
        count.end()
        return Outcome(pages=pages, written=0, carried_over=())
