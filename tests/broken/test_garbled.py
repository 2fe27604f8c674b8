"""Bytes and texts that nobody meant: they end in a result or in a mistake with words, never in anything else."""

from __future__ import annotations

from collections.abc import Callable
from io import BytesIO
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from PIL import Image

from catalog_builder.mistake import MistakeError
from catalog_builder.pattern.pieces import Fitting, read_pieces
from catalog_builder.pattern.svg.drawing import read_drawing
from catalog_builder.photo_files.photo_file import PhotoError
from catalog_builder.publish.pictures.photo import check_photo, make_prints
from catalog_builder.records.content import read_content
from catalog_builder.records.materials import read_materials
from catalog_builder.records.product import read_product
from catalog_builder.records.reading.header import read_header
from catalog_builder.records.reading.source import Source
from catalog_builder.records.selling.price_book import read_price_book
from catalog_builder.records.studio import read_studio
from tests.broken.fault import DAY, SOUND, lay_sound
from tests.broken.test_broken import INSIDES
from tests.studio import calculator

# The same examples on every machine and every run.
steady = settings(
    derandomize=True,
    deadline=None,
    database=None,
    max_examples=60,
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)
LIMPET = (SOUND / "products" / "limpet" / "product.md").read_text(encoding="utf-8")
SAIL = (SOUND / "products" / "sail" / "sail.svg").read_text(encoding="utf-8")
STUDIO = (SOUND / "studio.toml").read_text(encoding="utf-8")
MATERIALS = (SOUND / "materials.csv").read_text(encoding="utf-8")
BOOK = """date,variant,channel,price,times,plus,why,made_of,seal
2026-01-01,sail--bright,online,22.00,1.43,0.2,first,sand 0.2 dm2 x 0.8; labour 12 min x 0.25,abcdefghijkl
2026-02-01,sail--bright,online,23.00,,,,,
"""
PRICES = (SOUND / "material_prices.csv").read_text(encoding="utf-8")

# What slips of the finger and broken programs leave behind.
SCRAPS = st.sampled_from(
    [
        *"\t\n \"'`[]{}()<>&*!|@%#:;,.-+=/\\0123456789eEMZLCAz",
        "---\n", "```", "\r", "\x0b", "\x1b[31m", "\x85", "\u2028", "\ufeff", "\u0663", "²", "é", "🪟",
        "1e999", "-1", "nan", "inf", "0", "1e-9", "999999999", "12,5", "1:30", "012", "no", "null", "~", "[]", "{}",
        "&a ", "*a", "!!str ", "<<: ", "? ", "<g>", "</g>", "<use href='#x'/>", "&amp;", "&nope;", "<!--", "]]>",
        ' transform="scale(0)"', ' transform="skewX(90)"', ' data-mark="fold"', ' data-mark="wire"',
        ' data-mark="open"', ' data-mark="ring"', ' data-mark="grain"', ' data-number="²"', ' display="none"',
    ]
)  # fmt: skip


@st.composite
def garbled(draw: st.DrawFn, text: str, begin: int = 0) -> str:
    """A text with a few slices cut out, doubled or written over, from a place on."""
    for _ in range(draw(st.integers(1, 4))):
        at = draw(st.integers(begin, len(text)))
        length = draw(st.sampled_from([0, 1, 1, 2, 4, 9, 40, 200]))
        cut = text[at : at + length]
        put = draw(st.one_of(st.just(""), SCRAPS, st.just(cut + cut), st.text(max_size=4)))
        text = text[:at] + put.encode("utf-8", "ignore").decode() + text[at + length :]
    return text


def read_through(step: Callable[[], object]) -> None:
    """Take a step; a mistake must be in the maker's words and name its file."""
    try:
        step()
    except MistakeError as fault:
        assert fault.mistakes
        for mistake in fault.mistakes:
            worded = mistake.worded()
            assert worded.startswith((mistake.place.path, mistake.place.path.replace("\n", " ")))
            assert not [word for word in INSIDES if word in mistake.wrong + mistake.expected + mistake.mend]
            assert all(character.isprintable() for character in worded.replace("\n", ""))
            assert mistake.place.line is None or mistake.place.line > 0


def read_drawn(text: str) -> object:
    """Read a drawing up to its pieces."""
    return read_pieces(read_drawing(Source("sail.svg", text)), 1.0, Fitting(0.01, 0.3, 0.8), None)


@pytest.fixture(scope="module")
def studio(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A project's folder with the sound content."""
    project = tmp_path_factory.mktemp("garbled")
    lay_sound(project / "content")
    return project


def calculated(project: Path) -> None:
    """Go the whole way up to prices."""
    content = read_content(project, DAY)
    for product in content.products:
        calculator(content).variants(product, [])


@steady
@given(data=st.binary(max_size=300))
def test_any_bytes_as_a_record(studio: Path, data: bytes) -> None:
    """Bytes in place of a record end in words."""
    folder = studio / "content" / "products" / "bytes"
    folder.mkdir(exist_ok=True)
    (folder / "product.md").write_bytes(data)
    read_through(lambda: read_product(studio, folder))


@steady
@given(text=st.text(max_size=200))
def test_any_text_as_a_header(text: str) -> None:
    """A text between two lines of dashes ends in words or in values."""
    read_through(lambda: read_header(Source("product.md", f"---\n{text}\n---\n".replace("\0", ""))))


@steady
@given(text=st.text(max_size=200))
def test_any_text_as_a_table(text: str) -> None:
    """A text in place of a table ends in words."""
    read_through(lambda: read_materials(Source("materials.csv", text), Source("material_prices.csv", text)))


@steady
@given(text=st.text(max_size=200))
def test_any_text_as_a_drawing(text: str) -> None:
    """A text in place of a drawing, or within one, ends in words."""
    read_through(lambda: read_drawn(text))
    read_through(lambda: read_drawn(f'<svg xmlns="http://www.w3.org/2000/svg">{text}</svg>'))
    read_through(lambda: read_drawn(f"<svg xmlns='http://www.w3.org/2000/svg'><path d='M0 0 {text}'/></svg>"))


@settings(steady, max_examples=150)
@given(text=garbled(LIMPET))
def test_a_garbled_record(studio: Path, text: str) -> None:
    """A record with slips in it ends in words or in prices."""
    path = studio / "content" / "products" / "limpet" / "product.md"
    path.write_bytes(text.encode())
    try:
        read_through(lambda: calculated(studio))
    finally:
        path.write_bytes(LIMPET.encode())


@settings(steady, max_examples=150)
@given(text=garbled(STUDIO))
def test_a_garbled_studio(text: str) -> None:
    """A studio.toml with slips in it ends in words or in a studio."""
    read_through(lambda: read_studio(Source("studio.toml", text)))


@settings(steady, max_examples=150)
@given(rows=garbled(MATERIALS), prices=garbled(PRICES), separator=st.sampled_from(",;\t"))
def test_garbled_tables(rows: str, prices: str, separator: str) -> None:
    """Tables with slips in them end in words or in materials."""
    rows, prices = rows.replace(",", separator), prices.replace(",", separator)
    read_through(lambda: read_materials(Source("materials.csv", rows), Source("material_prices.csv", prices)))


@steady
@given(text=garbled(BOOK))
def test_a_garbled_price_book(text: str) -> None:
    """A price book with slips in it ends in words or in a book."""
    read_through(lambda: read_price_book(Source("price_book.csv", text)))


@settings(steady, max_examples=250)
@given(text=garbled(SAIL, begin=SAIL.index("<path")))
def test_a_garbled_drawing(text: str) -> None:
    """A drawing with slips in it ends in words or in pieces."""
    read_through(lambda: read_drawn(text))


def photos() -> dict[str, bytes]:
    """A small photo in each kind, with an Exif block such as phones write."""
    exif = Image.Exif()
    exif[0x0112], exif[0x010F] = 6, "a maker of phones"
    exif[0x8825] = {1: "N", 2: (1.0, 2.0, 3.0)}
    with Image.open(SOUND / "products" / "limpet" / "window.png") as picture:
        saved = {kind: BytesIO() for kind in ("JPEG", "PNG", "WEBP")}
        for kind, data in saved.items():
            picture.save(data, kind, exif=exif.tobytes())
    return {kind: data.getvalue() for kind, data in saved.items()}


@settings(steady, max_examples=200)
@given(photo=st.sampled_from(sorted(photos().items())), data=st.data())
def test_a_garbled_photo(tmp_path: Path, photo: tuple[str, bytes], data: st.DataObject) -> None:
    """A photo with bytes written over, put in or cut off is read or refused; a damaged Exif block does no harm."""
    whole = photo[1]
    for _ in range(data.draw(st.integers(1, 4))):
        at, length = data.draw(st.integers(0, len(whole))), data.draw(st.sampled_from([0, 1, 1, 4, 30, 10_000]))
        whole = whole[:at] + data.draw(st.binary(max_size=4)) + whole[at + length :]
    path = tmp_path / "photo"
    path.write_bytes(whole)
    try:
        check_photo(path)
        make_prints(path.read_bytes())
    except PhotoError as error:
        assert str(error).startswith(("it is not a JPEG, PNG, WebP or HEIC picture", "it is damaged", "it has"))
