"""Rates written into studio.toml: the file stays the maker's own, and is whole or as it was."""

from __future__ import annotations

import os
import tomllib
from decimal import Decimal
from pathlib import Path

import pytest

from catalog_builder.mistake import MistakeError
from catalog_builder.records.keeping.rate_keeping import Rates, write_rates
from catalog_builder.records.reading.source import Source, read
from tests import studio

CUT: Rates = {("steps", "cut"): {"piece": Decimal("1.52"), "batch": Decimal("12.0")}}
SOLDER: Rates = {("making",): {"seam_solder_g_m": Decimal("65.9")}}
STEP = """title = "Cut"
batch = 10     # with the kettle on
piece = 2      # the fiddly ones too
# nothing below this
"""


def studio_file(root: Path, line_end: str = "\n", mark: bytes = b"") -> tuple[Path, Source]:
    """A project whose studio.toml holds remarks, and that file as it is read."""
    project = studio.project(root, {"pane": studio.record()}, {"steps.cut": STEP})
    path = project / "content" / "studio.toml"
    path.write_bytes(mark + path.read_text(encoding="utf-8").replace("\n", line_end).encode())
    return project, read(project, path)


@pytest.mark.parametrize(("line_end", "mark"), [("\n", b""), ("\r\n", b""), ("\r\n", b"\xef\xbb\xbf")])
def test_nothing_but_the_rates_changes(tmp_path: Path, line_end: str, mark: bytes) -> None:
    """Remarks, order, blanks, line ends and a byte order mark stay as they were; a new key joins its table."""
    project, source = studio_file(tmp_path, line_end, mark)
    path = project / "content" / "studio.toml"
    old = path.read_bytes().decode("utf-8-sig")
    write_rates(project, source, {**CUT, **SOLDER})
    new = path.read_bytes()
    assert new.startswith(mark)
    expected = old.replace("batch = 10     #", "batch = 12     #").replace("piece = 2      #", "piece = 1.52      #")
    expected = expected.replace(f'wire = "wire"{line_end}', f'wire = "wire"{line_end}seam_solder_g_m = 65.9{line_end}')
    assert new.decode("utf-8-sig").split(line_end) == expected.split(line_end)
    assert (b"\n" in new.replace(b"\r\n", b"")) == (line_end == "\n")


def test_a_rate_in_quotation_marks_keeps_them(tmp_path: Path) -> None:
    """A number that is written as a text stays one."""
    project = studio.project(tmp_path, {"pane": studio.record()}, {"steps.cut": 'title = "Cut"\npiece = "2.0"'})
    path = project / "content" / "studio.toml"
    rates: Rates = {("steps", "cut"): {"piece": Decimal("1.52")}}
    write_rates(project, read(project, path), rates)
    assert tomllib.loads(path.read_text(encoding="utf-8"))["steps"]["cut"]["piece"] == "1.52"


def test_a_file_that_was_changed_meanwhile_is_left_alone(tmp_path: Path) -> None:
    """What the maker saved while the rates were worked out is not overwritten."""
    project, source = studio_file(tmp_path)
    path = project / "content" / "studio.toml"
    path.write_text(path.read_text(encoding="utf-8") + "# later\n", encoding="utf-8")
    before = path.read_bytes()
    with pytest.raises(MistakeError, match="the file was changed while this was being worked out"):
        write_rates(project, source, CUT)
    assert path.read_bytes() == before


def test_a_rate_that_cannot_be_is_not_written(tmp_path: Path) -> None:
    """What would be refused when it is read is never written."""
    project, source = studio_file(tmp_path)
    before = (project / "content" / "studio.toml").read_bytes()
    rates: Rates = {("steps", "cut"): {"piece": Decimal(-1)}}
    with pytest.raises(MistakeError, match="less than nothing"):
        write_rates(project, source, rates)
    assert (project / "content" / "studio.toml").read_bytes() == before


def test_a_full_disk_leaves_the_file_whole(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Where the disk is full the old file stands, and nothing is left beside it."""
    project, source = studio_file(tmp_path)

    def full(_: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    before = (project / "content" / "studio.toml").read_bytes()
    with pytest.raises(MistakeError, match="No space left on device"):
        write_rates(project, source, CUT)
    assert (project / "content" / "studio.toml").read_bytes() == before
    assert [path.name for path in (project / "content").iterdir() if path.name.startswith(".")] == []
