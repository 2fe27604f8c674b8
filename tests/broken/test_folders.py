"""Folders that nobody meant: pipes, links, names and heaps end in words and at once, never in waiting."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from catalog_builder.cli import main
from catalog_builder.mistake import MistakeError
from catalog_builder.photo_files.photo_file import PhotoError
from catalog_builder.publish.pictures.photo import check_photo
from catalog_builder.records.reading.file import bytes_of
from tests.broken.fault import DAY, lay_sound
from tests.fresh_process import run_fresh

posix = pytest.mark.skipif(os.name != "posix", reason="pipes, links and such names are of POSIX")


@pytest.fixture
def content(tmp_path: Path) -> Path:
    """A sound ``content/``."""
    lay_sound(tmp_path / "content")
    return tmp_path / "content"


def checked(content: Path) -> tuple[int, str]:
    """Look through a project as a maker does, in a process of its own, and give its end and what it says."""
    done = run_fresh("check", "--folder", str(content.parent), "--day", DAY.isoformat())
    return done.code, done.errors


def pipe(path: Path) -> None:
    """A pipe, whose reader waits until somebody writes."""
    path.unlink(missing_ok=True)
    os.mkfifo(path)


def linked(target: str) -> Callable[[Path], None]:
    """A link to somewhere."""

    def lay(path: Path) -> None:
        path.unlink(missing_ok=True)
        path.symlink_to(target)

    return lay


def folder(path: Path) -> None:
    """A folder where a file belongs."""
    path.unlink(missing_ok=True)
    path.mkdir()


PIPE = "this is a pipe or a device, not a file"
OUT = "a link leads out of content/"
HARM: list[tuple[str, Callable[[Path], None], str]] = [
    *((name, pipe, PIPE) for name in ("studio.toml", "materials.csv", "material_prices.csv", "price_book.csv")),
    *((name, pipe, PIPE) for name in ("boxes.csv", "postage.csv", "about.md", "care.md")),
    ("products/sail/product.md", pipe, PIPE),
    ("products/queue", pipe, "this is neither a file nor a folder, or a link that leads nowhere"),
    ("materials.csv", linked("/dev/zero"), OUT),
    ("about.md", linked("/etc/hostname"), OUT),
    ("products/sail/product.md", linked("../../../../elsewhere.md"), OUT),
    ("products/elsewhere", linked("/usr"), OUT),
    ("studio.toml", linked("studio.toml"), OUT),
    ("care.md", linked("nothing.md"), "the file is missing"),
    ("boxes.csv", folder, "this is a folder, not a file"),
    ("products/loop", linked("loop"), "this is neither a file nor a folder, or a link that leads nowhere"),
    ("products/up", linked(".."), "the file is missing"),
    ("products/here", linked("."), "the file is missing"),
]


@posix
@pytest.mark.parametrize(("name", "lay", "wrong"), HARM)
def test_what_is_no_file_of_the_makers_is_told(
    content: Path, name: str, lay: Callable[[Path], None], wrong: str
) -> None:
    """A pipe is not waited for, a device not read, a link out of content/ not followed, a loop not gone round in."""
    lay(content / name)
    code, told = checked(content)
    assert code == 1
    assert [line for line in told.splitlines() if line.startswith(f"content/{name}") and line.endswith(f": {wrong}")]


@posix
@pytest.mark.parametrize("name", ["sail.svg", "mast.svg"])
def test_a_drawing_that_is_a_pipe_or_leads_out_is_told(content: Path, name: str) -> None:
    """The drawing beside a record is a plain file in the same folder."""
    drawing = content / "products" / "sail" / "sail.svg"
    (pipe if name == "sail.svg" else linked("/etc/hostname"))(drawing)
    code, told = checked(content)
    assert code == 1
    assert ("is not there" if name == "sail.svg" else "lies outside the record's folder") in told


@posix
def test_a_link_within_content_is_followed(content: Path) -> None:
    """Two records may share a file, as long as it lies in content/."""
    (content / "care.md").rename(content / "kept.md") if (content / "care.md").exists() else (
        content / "kept.md"
    ).write_text("Dust it.", encoding="utf-8")
    (content / "care.md").symlink_to("kept.md")
    assert checked(content) == (0, "")


@posix
def test_content_itself_may_be_a_link(content: Path) -> None:
    """Where the whole folder lies is the maker's own affair: on another disk, or in a folder that is shared."""
    content.rename(content.parent / "shared")
    content.symlink_to("shared")
    assert checked(content) == (0, "")


@posix
@pytest.mark.parametrize("name", [b"sail-\xff", b"\xe9t\xe9", b"a\nb", b"\x1b[31mred"])
def test_a_name_that_is_no_text_is_told(content: Path, name: bytes) -> None:
    """A folder's name in another encoding, or with signs that move the cursor, is told on one line."""
    place = os.fsencode(content / "products") + b"/" + name
    try:
        os.mkdir(place)  # noqa: PTH102 - a path of bytes
    except OSError:
        pytest.skip("this disk takes no such name")
    with open(place + b"/product.md", "wb") as record:  # noqa: PTH123
        record.write(b"---\ntitle: x\n---\n")
    code, told = checked(content)
    assert code == 1
    assert "cannot be used in addresses" in told.splitlines()[0]
    assert all(character.isprintable() for line in told.split("\n") for character in line)


@posix
def test_a_photo_by_a_name_that_is_no_text_does_no_harm(content: Path) -> None:
    """A stray file beside a record, named in another encoding, stands in no one's way; not even in a hint."""
    with open(os.fsencode(content / "products" / "sail") + b"/\xff.jpg", "wb"):  # noqa: PTH123
        pass
    assert checked(content) == (0, "")
    record = content / "products" / "sail" / "product.md"
    record.write_text(record.read_text(encoding="utf-8").replace("sail.svg", "mast.svg"), encoding="utf-8")
    code, told = checked(content)
    assert code == 1
    assert "is not there" in told


def test_twenty_thousand_files_among_the_products_are_told(content: Path) -> None:
    """Somebody unpacked a card of pictures there: it is told, and no file of them is opened."""
    for number in range(20_001):
        (content / "products" / f"IMG_{number}.jpg").touch()
    assert checked(content)[1].splitlines()[:2] == [
        "content/products: the folder holds more than 20000 files and folders",
        "  expected: those that you use",
    ]


def test_files_among_the_products_are_passed_over(content: Path) -> None:
    """What a system leaves in a folder, such as its pictures of thumbnails, is no product."""
    for name in ("Thumbs.db", ".DS_Store", "notes.txt"):
        (content / "products" / name).write_bytes(b"\0")
    assert checked(content) == (0, "")


def checked_here(project: Path) -> Result:
    """Look through a project in this process."""
    return CliRunner().invoke(main, ["check", "--folder", str(project), "--day", DAY.isoformat()])


@contextmanager
def as_nobody() -> Iterator[Path]:
    """A project's folder, as a user whom permissions bind; the system's own user reads everything."""
    with tempfile.TemporaryDirectory() as scratch:
        lay_sound(Path(scratch) / "content")
        (Path(scratch) / "content" / "about.md").write_text("About.", encoding="utf-8")
        # Whatever the program itself reads late is read once before.
        assert checked_here(Path(scratch)).exit_code == 0
        root = os.geteuid() == 0
        if root:
            for path in (Path(scratch), *Path(scratch).rglob("*")):
                os.chown(path, 65534, 65534)
            os.seteuid(65534)
        try:
            yield Path(scratch)
        finally:
            for path in (Path(scratch), *Path(scratch).rglob("*")):
                path.chmod(0o700)
            if root:
                os.seteuid(0)


@posix
@pytest.mark.parametrize(
    "name", ["studio.toml", "about.md", "products/sail/product.md", "products", "products/sail", "."]
)
def test_what_may_not_be_read_is_told(name: str) -> None:
    """A file or folder that this user may not read is told with what to do about it."""
    with as_nobody() as scratch:
        (scratch / "content" / name).chmod(0)
        done = checked_here(scratch)
    assert done.exit_code == 1
    assert "cannot be read (Permission denied)" in done.stderr


@posix
def test_a_photo_that_may_not_be_read_is_told() -> None:
    """A photo is held by another program, or belongs to another user."""
    with as_nobody() as scratch:
        (scratch / "a.jpg").touch(0)
        with pytest.raises(PhotoError, match=r"^it cannot be read \(Permission denied\)$"):
            check_photo(scratch / "a.jpg")


def test_a_file_that_grows_while_it_is_read_is_read_no_further(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """What says that it is small and gives without end is left at the limit."""
    path = tmp_path / "content" / "about.md"
    path.parent.mkdir()
    path.write_bytes(b"a" * 3_000_000)
    real = Path.stat

    def small(self: Path, *, follow_symlinks: bool = True) -> os.stat_result:
        found = real(self, follow_symlinks=follow_symlinks)
        return os.stat_result((*found[:6], 0, *found[7:])) if self == path else found

    monkeypatch.setattr(Path, "stat", small)
    with pytest.raises(MistakeError, match="the file is too large"):
        bytes_of(tmp_path, path, 1_000_000)
