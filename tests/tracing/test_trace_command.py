"""The command: what it writes and prints, that it replaces nothing, and what it says of bad input."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest
from click.testing import CliRunner
from PIL import Image

from catalog_builder.cli import main
from tests.tracing.paper_sheets import Line, rectangle, save_scan

WINDOW: list[Line] = [rectangle(20, 20, 80, 100), [(20, 60), (80, 60)]]


def traced(*words: str | Path) -> tuple[int, str]:
    """Run the command, and give its exit code and all that it printed."""
    outcome = CliRunner().invoke(main, ["trace", *map(str, words)])
    assert outcome.exception is None or isinstance(outcome.exception, SystemExit), outcome.exception
    return outcome.exit_code, outcome.output


def test_the_drawing_and_its_picture_lie_beside_the_scan(tmp_path: Path) -> None:
    """The SVG has the scan's name; the picture does not take that of a PNG that was scanned."""
    scan = save_scan(tmp_path / "window.png", WINDOW)
    code, output = traced(scan)
    assert code == 0
    assert output.startswith("2 fields and ")
    assert "scale: the scan has 254 dots per inch, as the file says; sure to 0.1 mm over the width\n" in output
    assert {path.name for path in tmp_path.iterdir()} == {"window.png", "window.svg", "window-traced.png"}


def test_nothing_that_is_there_is_replaced(tmp_path: Path) -> None:
    """A second run names both files that are in the way, and changes neither."""
    scan = save_scan(tmp_path / "window.png", WINDOW)
    (tmp_path / "mine.svg").write_text("the maker's own", encoding="utf-8")
    (tmp_path / "mine.png").write_text("too", encoding="utf-8")
    code, output = traced(scan, "-o", tmp_path / "mine.svg")
    assert code == 1
    assert output.count("there is such a file already") == 2
    assert "a traced drawing never replaces anything" in output
    assert (tmp_path / "mine.svg").read_text(encoding="utf-8") == "the maker's own"
    assert (tmp_path / "mine.png").read_text(encoding="utf-8") == "too"


def test_a_link_that_leads_nowhere_is_in_the_way(tmp_path: Path) -> None:
    """A name that is taken by a dead link is not written through it."""
    scan = save_scan(tmp_path / "window.png", WINDOW)
    (tmp_path / "out.svg").symlink_to(tmp_path / "elsewhere.svg")
    assert traced(scan, "-o", tmp_path / "out.svg")[0] == 1
    assert not (tmp_path / "elsewhere.svg").exists()


@pytest.mark.parametrize(
    ("output", "wrong"),
    [("drawing.dxf", "is no name of an SVG"), ("missing/drawing.svg", "there is no such folder")],
)
def test_a_place_that_cannot_be_written_is_told(tmp_path: Path, output: str, wrong: str) -> None:
    """The place is looked at before the picture is."""
    code, printed = traced(save_scan(tmp_path / "window.png", WINDOW), "-o", tmp_path / output)
    assert code == 1
    assert wrong in printed


@pytest.mark.parametrize("text", [b"", b"not a picture", b"\xff\xd8\xff\xe0 cut short", b"GIF89a", b"<svg/>"])
def test_what_is_no_picture_is_told(tmp_path: Path, text: bytes) -> None:
    """Bytes that are no picture end in a message, not in a traceback."""
    path = tmp_path / "photo.jpg"
    path.write_bytes(text)
    code, output = traced(path, "--paper", "a4")
    assert code == 1
    assert "it is not a JPEG, PNG, WebP or HEIC picture" in output


def test_a_picture_cut_short_is_told(tmp_path: Path) -> None:
    """A photo whose end is missing is damaged."""
    path = tmp_path / "photo.jpg"
    noise = np.random.default_rng(1).integers(0, 255, (400, 400, 3), dtype=np.uint8)
    Image.fromarray(noise).save(path)
    path.write_bytes(path.read_bytes()[:20_000])
    code, output = traced(path, "--paper", "a4")
    assert code == 1
    assert "it is damaged or cut short" in output


def test_a_picture_of_a_billion_pixels_is_not_opened_out(tmp_path: Path) -> None:
    """The limits are those of a product's photos: what the head says is enough to refuse it."""
    small = tmp_path / "small.png"
    Image.new("L", (1, 1)).save(small)
    data = bytearray(small.read_bytes())
    data[16:24] = (40_000).to_bytes(4, "big") + (40_000).to_bytes(4, "big")
    import zlib

    data[29:33] = zlib.crc32(bytes(data[12:29])).to_bytes(4, "big")
    path = tmp_path / "bomb.png"
    path.write_bytes(bytes(data))
    code, output = traced(path, "--paper", "a4")
    assert code == 1
    assert "it has 40000 x 40000 pixels, more than 80 million" in output


@pytest.mark.parametrize(("name", "wrong"), [("none.jpg", "there is no such file"), (".", "this is no plain file")])
def test_what_is_no_file_is_told(tmp_path: Path, name: str, wrong: str) -> None:
    """A path that leads nowhere, and a folder."""
    code, output = traced(tmp_path / name, "--paper", "a4", "-o", tmp_path / "out.svg")
    assert code == 1
    assert wrong in output


def test_a_photo_without_a_sheet_is_told(tmp_path: Path) -> None:
    """A picture of a bare table has no sheet with four edges."""
    grain = np.random.default_rng(3).normal(110, 4, (800, 1000, 3)).clip(0, 255).astype(np.uint8)
    path = tmp_path / "table.jpg"
    Image.fromarray(grain).save(path)
    code, output = traced(path, "--paper", "a4")
    assert code == 1
    assert "the sheet of paper was not found in the picture" in output


def test_a_tiny_picture_is_told(tmp_path: Path) -> None:
    """A thumbnail has too few pixels."""
    path = tmp_path / "thumb.png"
    Image.new("L", (120, 160), 255).save(path)
    assert "it has 120 x 160 pixels, too few to trace" in traced(path, "--paper", "a4")[1]


def test_help_loads_no_library_of_pictures() -> None:
    """The libraries are imported where a picture is traced, and nowhere before."""
    code = (
        "import sys\nfrom click.testing import CliRunner\nfrom catalog_builder.cli import main\n"
        "assert CliRunner().invoke(main, ['trace', '--help']).exit_code == 0\n"
        "assert not {'numpy', 'scipy', 'PIL'} & set(sys.modules), 'loaded'\n"
    )
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0
