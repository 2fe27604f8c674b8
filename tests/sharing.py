"""How the processes share the tests out: a file's tests in one process, the files that take longest first.

A file's tests share what they build, so that a file stays in one process. Where all that its tests share is made once
for a process, such as the browser, a file is cut into parts: else it would keep one core busy for minutes while the
others have nothing left to do.
"""

from __future__ import annotations

from zlib import crc32

from xdist.scheduler import LoadScopeScheduling

# Files that take longest, in an order in which they share a machine well, and into how many parts each is cut: the
# first builds the demo, which the second does not need. Begun last, one of them would keep a single core busy after all
# others have ended.
LONGEST = {
    "tests/publish/test_bytes.py": 1,
    "tests/edits/test_edits.py": 1,
    "tests/publish/output/test_disks.py": 1,
    "tests/commands/test_guide.py": 2,
    "tests/commands/rename/test_demo.py": 1,
    "tests/browser/test_access.py": 4,
    "tests/broken/test_check.py": 4,
    "tests/publish/output/test_user_files.py": 1,
    "tests/publish/output/test_during.py": 1,
    "tests/publish/output/test_stop.py": 1,
    "tests/publish/output/test_folder.py": 1,
    "tests/kills/test_kills.py": 1,
    "tests/commands/add/test_add.py": 1,
    "tests/browser/test_loading.py": 2,
    "tests/browser/test_opening.py": 2,
    "tests/browser/test_reading.py": 2,
    "tests/browser/test_weight.py": 1,
    "tests/browser/test_no_scripts.py": 2,
    "tests/browser/test_lost.py": 1,
    "tests/browser/test_markup.py": 1,
    "tests/browser/test_one_file.py": 1,
    "tests/browser/test_variant_way.py": 1,
    "tests/browser/test_marking.py": 1,
    "tests/browser/test_find.py": 1,
    "tests/browser/test_print.py": 1,
    "tests/browser/test_plain_theme.py": 1,
    "tests/browser/test_scores.py": 1,
    "tests/publish/test_privacy.py": 1,
    "tests/test_cli.py": 1,
    "tests/broken/test_broken.py": 4,
    "tests/broken/test_folders.py": 1,
    "tests/broken/test_garbled.py": 1,
    "tests/publish/bench/test_language.py": 1,
    "tests/publish/bench/test_pattern_sheet.py": 1,
    "tests/publish/test_parts.py": 1,
    "tests/publish/test_photos.py": 1,
    "tests/publish/pictures/test_photo.py": 1,
    "tests/pricing/test_book.py": 1,
    "tests/commands/rename/test_rename.py": 1,
    "tests/cache/test_build_state.py": 1,
    "tests/tracing/test_truth.py": 1,
}
_PLACES = {name: place for place, name in enumerate(LONGEST)}


class Sharing(LoadScopeScheduling):  # type: ignore[misc] # the library says nothing of its types
    """Gives each process a file, or a part of a long file, at a time."""

    def _split_scope(self, nodeid: str) -> str:
        return share_of(nodeid)


def share_of(nodeid: str) -> str:
    """Say which tests go to one process: those of a file, or of a part of a long file, have the same text."""
    file = nodeid.partition("::")[0]
    parts = LONGEST.get(file, 1)
    # Which part a test is in follows from its name alone, so that all processes agree.
    return f"{file} {crc32(nodeid.encode()) % parts}" if parts > 1 else file


def place_of(nodeid: str) -> int:
    """Say how early a test is begun: by its file's place among the longest, or after them."""
    return _PLACES.get(nodeid.partition("::")[0], len(LONGEST))
