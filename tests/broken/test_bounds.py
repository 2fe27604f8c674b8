"""More limits that no honest file comes near, of what grows by the square of a length or by copies of copies."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from catalog_builder.mistake import LINE_SHOWN, Mistake, MistakeError, Place
from catalog_builder.records.materials import read_materials
from catalog_builder.records.reading.prose import MOST_BRACKETS, MOST_CHARACTERS, check_prose
from catalog_builder.records.reading.source import Source
from catalog_builder.records.selling.label_sheet import MOST_SHEETS, read_label_sheets
from catalog_builder.records.selling.market_book import MOST_LISTS, read_market_book
from catalog_builder.records.studio import read_studio
from tests.broken.fault import SOUND
from tests.broken.test_limits import MATERIALS, PRICES, _at_once, drawn

__all__ = ["_at_once"]
MARK = '<path id="x" data-mark="none" d="M0 0 L1 1" {}/>'
COPIES = '<use href="#x"/>' * 1_900
TOO_MANY = "the drawing has too many shapes, or groups in groups, copies included"
CROSSING = "up to here the drawing's lines cross too often"
PANE = '<rect width="60" height="50"/>'


def every(shape: Callable[[int], str], count: int) -> str:
    """A shape, drawn many times, each time otherwise."""
    return "".join(shape(number) for number in range(count))


@pytest.mark.parametrize(
    ("inside", "wrong"),
    [
        (MARK.format('style="' + "a:b;" * 400_000 + '"') + COPIES, TOO_MANY),
        (MARK.format('class="' + "ab " * 400_000 + '"') + COPIES, TOO_MANY),
        (f'<path id="x" data-mark="none" d="M0 0 {"L1 1 2 2 " * 9_000}"/>{COPIES}', TOO_MANY),
        (f'<g transform="{"scale(1)" * 450_000}"/>', "<g>: the transform 'scale(1)scale(1)scale(1)"),
        ("<g " + every(lambda n: f'data-k{n}="" ', 100_000) + "/>", "an element has more than 500 attributes"),
        (f"<style>{'*{fill-rule:x}' * 3_000}</style>" * 60 + "<g/>" * 40_000, "the drawing encloses no glass"),
        ("<style>" + "/*" * 24_000 + "</style>" + ("<style>" + "/*" * 24_000 + "</style>") * 70, "the drawing encl"),
        (f"<![CDATA[{'<' * 3_000_000}]]>" + '<path data-mark="none" d="M0 0"/>' * 30_000, "the drawing encloses no"),
        (every(lambda n: f'<g data-mar{n}="x"/>', 40_000), "the attribute data-mar0 is not known"),
        (PANE + f'<text x="5" y="5">{"9" * 3_000_000}</text>', "the number '999"),
        (every(lambda n: f'<line x1="{n * 0.012:.3f}" y1="0" x2="{n * 7.3 % 60:.2f}" y2="50"/>', 4_900), CROSSING),
        (every(lambda n: f'<circle cx="{20 + n % 20}" cy="{20 + n % 9}" r="{5 + n % 15}"/>', 4_900), CROSSING),
        (every(lambda n: f'<line x1="30" y1="25" x2="{n % 60}" y2="{n // 60 * 0.6}"/>', 4_900), CROSSING),
        (f'<polyline points="{every(lambda n: f"{n * 7919 % 60},{n * 104729 % 50} ", 20_000)}"/>', CROSSING),
        (
            every(lambda n: f'<rect x="{n / 99}" y="{n / 99}" width="{59 - n / 50}" height="{49 - n / 50}"/>', 1_000),
            "too many outlines lie over or in each other",
        ),
    ],
)
def test_a_drawing_that_grows_by_its_own_length_is_told(inside: str, wrong: str) -> None:
    """Copies of long attributes, lines across all others and outlines in outlines end at once, mostly in words."""
    assert drawn(inside).startswith(wrong)


def test_many_runs_of_one_path_are_read() -> None:
    """Many rings in one path are a piece each, and take no time of their square."""
    rings = every(lambda n: f"M{n % 60} {n // 60 * 0.5} h.4 v.4 h-.4 z ", 2_000)
    assert drawn(f'<path d="{rings}"/>').startswith("a piece of 0.16 mm2 is too small to be glass")


def test_a_studio_of_endless_keys_is_told() -> None:
    """Each unknown key costs time to word: two hundred are told, and how many more there are."""
    text = (SOUND / "studio.toml").read_text(encoding="utf-8")
    keys = "".join(f"k{number} = 1\n" for number in range(20_000))
    with pytest.raises(MistakeError) as caught:
        read_studio(Source("studio.toml", text.replace("[studio]\n", f"[studio]\n{keys}", 1)))
    first, *rest = caught.value.mistakes
    assert first.wrong == "the file has 19800 mistakes more than are told here"
    assert len(rest) == 200
    assert [mistake.place.line for mistake in rest] == list(range(2, 202))


def test_tables_of_endless_rows_are_told() -> None:
    """A table that nobody could have kept by hand is not read to its end."""
    with pytest.raises(MistakeError, match="the table has more than 2000 rows"):
        read_materials(Source("m.csv", MATERIALS.partition("\n")[0] + "\n" + "a\n" * 900_000), Source("p.csv", PRICES))
    with pytest.raises(MistakeError, match="the table has more than 50000 rows"):
        read_materials(Source("m.csv", MATERIALS), Source("p.csv", "material,date,price\n" + "a\n" * 900_000))


@pytest.mark.parametrize(
    ("folder", "ending", "most", "reader", "wrong"),
    [
        ("markets", ".csv", MOST_LISTS, lambda root: read_market_book(root, (), {}), "packing lists"),
        ("labels", ".toml", MOST_SHEETS, read_label_sheets, "sheets of labels"),
    ],
)
def test_folders_of_endless_files_are_told(
    tmp_path: Path, folder: str, ending: str, most: int, reader: Callable[[Path], object], wrong: str
) -> None:
    """More of them than a maker has is told as one mistake, without reading any; as many as that are read."""
    place = tmp_path / "content" / folder
    place.mkdir(parents=True)
    for number in range(most):
        (place / f"one-{number}{ending}").touch()
    with pytest.raises(MistakeError) as caught:
        reader(tmp_path)
    assert len(caught.value.mistakes) >= most
    (place / f"one-{most}{ending}").touch()
    with pytest.raises(MistakeError) as caught:
        reader(tmp_path)
    assert [mistake.wrong for mistake in caught.value.mistakes] == [f"there are {most + 1} {wrong}"]


def test_a_mistake_in_an_endless_line_shows_the_part_about_it() -> None:
    """A drawing may stand in one line as long as a file: what is marked is shown with what stands about it."""
    line = "a " * 1_000_000 + "wrng" + " b" * 1_000_000
    mistake = Mistake(place=Place(path="a.svg", line=1, text=line), wrong="w", expected="e", mend="m", marked="wrng")
    _, shown, caret, *_ = mistake.worded().split("\n")
    assert len(shown) < LINE_SHOWN + 20
    at = caret.index("^")
    assert shown[at : at + caret.count("^")] == "wrng"


PROSE = [
    ("a" * (MOST_CHARACTERS + 1), f"the text has {MOST_CHARACTERS + 1} characters"),
    ("a b " * 1_100, "the paragraph is too long, or full of brackets"),
    ("[" * (MOST_BRACKETS + 1), "the paragraph is too long, or full of brackets"),
    ("<a " * (MOST_BRACKETS + 1), "the paragraph is too long, or full of brackets"),
    ("> " * 11 + "a", "the line is nested too deep"),
    (">" * 11 + "a", "the line is nested too deep"),
    ("1. " * 11 + "a", "the line is nested too deep"),
    ("- a\n" + " " * 41 + "- b", "the line is nested too deep"),
    ("- a\n" + "\t" * 11 + "- b", "the line is nested too deep"),
]


@pytest.mark.parametrize(("text", "wrong"), PROSE)
def test_a_description_without_end_is_told(text: str, wrong: str) -> None:
    """Readers of Markdown take the time of the square of a paragraph, and fall over lists in lists without end."""
    with pytest.raises(MistakeError) as caught:
        check_prose(Source("about.md", f"A word.\n\n{text}"), f"A word.\n\n{text}"[9:])
    assert caught.value.mistakes[0].wrong == wrong
    assert caught.value.mistakes[0].place.path == "about.md"


@pytest.mark.parametrize(
    "text",
    [
        "a" * 3_990,
        "A word. " * 480 + "\n\n" + "And more. " * 390,
        "- a\n    - b\n        - c\n",
        "> quoted\n> > twice",
        "---\n\n***\n\n- - -\n\n**bold** and *warm*\n\n" + "-" * 200,
        "1. one\n2. two\n\n2026. was a year",
        "[a link](https://a.example/)\n" * 60,
    ],
)
def test_an_honest_description_is_taken(text: str) -> None:
    """Lists, quotations, links and rules as makers write them stay within the limits."""
    check_prose(Source("about.md", text), text)
