"""Any bytes, in place of any file: a value or a mistake in words, never anything else."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from catalog_builder.mistake import MistakeError
from tests.broken.test_garbled import SCRAPS, steady
from tests.fuzz.readers import MADE, READERS, ROOT, TABLES, named_by
from tests.fuzz.seeds import kept, sound, table_of
from tests.fuzz.words import as_dictionary, words

EVERY = {**{name: reader for name, reader in READERS.items() if name != "table"}, **TABLES}
BOXES = (
    b"box,title,inner_length_mm,inner_width_mm,inner_depth_mm,mass_g,holds_g,padding_mm,material\n"
    b"small,Small carton,170,130,45,72,300,12,box-small\n"
)
POSTAGE = b"carrier,band,most_length_mm,most_mass_g,price\nFerry Road Post,light,350,250,3.10\n"
BOOK = (
    b"date,variant,channel,price,times,plus,why,made_of,seal\n"
    b"2026-01-01,sail--bright,online,22.00,1.43,0.2,first,sand 0.2 dm2 x 0.8; labour 12 min x 0.25,abcdefghijkl\n"
)
STOCK = b"material,amount,unit,width_mm,height_mm,note\nsea,2,sheet,150,200,left of the door\n"
LOG = b"date,batch,step,minutes,set_ups\n2026-01-05,spring,cut,95,1\n"
LAID = {
    "boxes.csv": [BOXES],
    "postage.csv": [POSTAGE],
    "price_book.csv": [BOOK],
    "stock.csv": [STOCK],
    "bench_log.csv": [LOG],
    "bench_made.csv": [MADE],
    "spools.csv": [b"batch,before_g,after_g,note\nspring,412.5,371,new reel\n"],
    "sales.csv": [b"market,product,size,finish,glass,count,price\napple-day,oak-leaf,medium,black,turning,3,42\n"],
    "reductions.csv": [
        b"product,size,finish,glass,first_day,last_day,reason,percent,earlier,note\n"
        b"oak-leaf,medium,black,,2026-11-14,2026-11-20,second,20,42.00,a scratch\n"
    ],
    "ready.csv": [b"date,product,size,finish,glass,count\n2026-11-14,oak-leaf,medium,black,turning,2\n"],
    "markets": [b"product,size,finish,glass,count,box\noak-leaf,medium,black,turning,4,B1\n"],
}
# What these are right with stands in other files.
LEANING = ("record", "header", "material_prices.csv", "stock.csv", "plan", "quote", "theme")
BEGINNINGS = {
    "record": b"---\ntitle: ",
    "own_page": b"---\ntitle: ",
    "header": b"title: ",
    "drawing": b'<svg xmlns="http://www.w3.org/2000/svg"><',
    "photo": b"\xff\xd8\xff",
    "paper": b"\x89PNG\r\n\x1a\n",
    "layout": b'{"laid_on": "2026-01-01", "fingerprint": "a", "glasses": [',
}


def ended(reader: str, data: bytes) -> None:
    """Read bytes; what is wrong with them is told on lines that a terminal can show."""
    try:
        EVERY[reader](data)
    except MistakeError as fault:
        assert fault.mistakes
        for mistake in fault.mistakes:
            assert all(character.isprintable() for line in mistake.worded().split("\n") for character in line)


def whole(reader: str) -> list[bytes]:
    """Sound files that a reader is meant for."""
    meant = "table" if reader in TABLES else reader
    return LAID.get(reader) or [data for data in sound(meant) if reader not in TABLES or _is(reader, data)]


def _is(table: str, data: bytes) -> bool:
    return (b"pack_unit" in data) == (table == "materials.csv")


@st.composite
def harmed(draw: st.DrawFn, data: bytes) -> bytes:
    """Bytes with a few slices cut out, doubled or written over, by bytes or by what slips of the finger leave."""
    for _ in range(draw(st.integers(1, 5))):
        at, length = draw(st.integers(0, len(data))), draw(st.sampled_from([0, 1, 2, 5, 30, 300]))
        cut = data[at : at + length]
        put = draw(st.one_of(st.binary(max_size=6), SCRAPS.map(str.encode), st.just(cut + cut)))
        data = data[:at] + put + data[at + length :]
    return data


@pytest.mark.parametrize("reader", EVERY)
def test_a_sound_file_has_bytes_to_harm(reader: str) -> None:
    """Each reader has a file that it takes; else the tests below would try nothing."""
    assert whole(reader)
    for data in whole(reader):
        if reader not in LEANING:
            EVERY[reader](data)


@pytest.mark.parametrize("reader", EVERY)
@settings(steady, max_examples=50)
@given(data=st.binary(max_size=400))
def test_any_bytes_end_in_a_value_or_in_words(reader: str, data: bytes) -> None:
    """A file of another kind, or a damaged disk, in place of a file of the maker's."""
    ended(reader, data)
    ended(reader, BEGINNINGS.get(reader, b"") + data)


@pytest.mark.parametrize("reader", EVERY)
@settings(steady, max_examples=60)
@given(data=st.data())
def test_harmed_bytes_end_in_a_value_or_in_words(reader: str, data: st.DataObject) -> None:
    """A file that was sound until a program, a disk or a hand went over it."""
    ended(reader, data.draw(harmed(data.draw(st.sampled_from(whole(reader))))))


KEPT = [(reader, path) for reader in READERS for path in kept(reader)]


@pytest.mark.parametrize(("reader", "path"), KEPT, ids=[f"{reader}/{path.name}" for reader, path in KEPT])
def test_what_was_found_once_is_told(reader: str, path: Path) -> None:
    """Bytes that once ended in something else than words, or did not end in any time that a maker waits."""
    with pytest.raises(MistakeError):
        READERS[reader](path.read_bytes())


TABLES_OF_THE_DEMO = [path for path in sorted((ROOT / "content").rglob("*.csv")) if table_of(path)]


def test_the_demo_has_every_table() -> None:
    """Each table stands in the demo, so that a search begins with one; but the price book, which it does not keep."""
    assert {table_of(path) for path in TABLES_OF_THE_DEMO} == set(TABLES) - {"price_book.csv"}


@pytest.mark.parametrize("path", TABLES_OF_THE_DEMO, ids=lambda path: path.name)
def test_a_search_takes_a_table_for_what_it_is(path: Path) -> None:
    """A search knows a table by its columns alone."""
    assert named_by(path.read_bytes()) == table_of(path)


def test_the_searchs_words_are_written_as_it_reads_them() -> None:
    """A word a line in quotation marks, and nothing between them but letters, digits and bytes by their numbers."""
    assert as_dictionary(['a"\n']) == '"a\\x22\\x0a"\n'
    assert {"title", "data-mark", "material"} <= {word.strip(' ="') for word in words()}
