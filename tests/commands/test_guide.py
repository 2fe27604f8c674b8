"""The topics of the guide: each can be asked for, is readable in a terminal, and its example does what it says."""

from __future__ import annotations

from importlib.resources import files
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from catalog_builder.cli import main
from catalog_builder.commands.begin import lay_out
from catalog_builder.commands.guide.topics import COLUMNS, TOPICS, topic_text
from tests.commands.guide_example import GuideExample, example_of, printed_in

ROOT = Path(__file__).resolve().parents[2]
FOLDER = files("catalog_builder.commands.guide").joinpath("topics")


def run(*words: str) -> Result:
    """Run the command in this process."""
    return CliRunner().invoke(main, ["guide", *words])


def text_of(name: str) -> str:
    """A topic as it is written, without what the program adds."""
    return FOLDER.joinpath(f"{name}.md").read_text(encoding="utf-8")


def long_lines(lines: list[str]) -> list[str]:
    """The lines that would break in a terminal: tables, pictures and what a file holds stay as they are."""
    return [line for line in lines if len(line) > COLUMNS and not line.startswith(("|", "#", "  !["))]


def test_every_file_is_a_topic() -> None:
    """The folder and the list of topics name the same."""
    assert sorted(f"{name}.md" for name in TOPICS) == sorted(path.name for path in FOLDER.iterdir())


def test_without_a_topic_all_are_listed() -> None:
    """Each topic has a line, with its name and its title, that fits into a terminal."""
    result = run()
    assert result.exit_code == 0
    for name in TOPICS:
        (line,) = [line for line in result.output.splitlines() if line.startswith(f"{name} ")]
        assert line.endswith(text_of(name).partition("\n")[0].removeprefix("# "))
        assert len(line) <= 80


@pytest.mark.parametrize("words", [("price-book",), ("price", "book"), ("Price-Book",)], ids=" ".join)
def test_a_topic_is_printed_as_it_is_written(words: tuple[str, ...]) -> None:
    """A name of two words may be written with a hyphen or a blank."""
    result = run(*words)
    assert result.exit_code == 0
    assert result.output == text_of("price-book")


def test_an_unknown_topic_names_the_nearest() -> None:
    """A word that is no topic ends with 2; it names one that is spelled like it, or says where all are listed."""
    near, far = run("marklets"), run("xyz")
    assert (near.exit_code, far.exit_code) == (2, 2)
    assert "There is no topic 'marklets'. Did you mean 'markets'?" in near.stderr
    assert "There is no topic 'xyz'. `catalog-builder guide` lists all topics." in far.stderr


@pytest.mark.parametrize("name", TOPICS)
def test_a_topic_can_be_read_in_a_terminal(name: str) -> None:
    """It begins with its title, and its lines fit into a terminal, rows of a table and pictures aside."""
    lines = (text_of(name) if name == "themes" else topic_text(name)).splitlines()
    assert lines[0].startswith("# ")
    assert long_lines(lines) == []


@pytest.mark.parametrize("name", TOPICS)
def test_the_example_does_what_the_text_says(name: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The example is carried out in the studio that `begin` lays out; all that it says is compared."""
    studio = tmp_path / "my-studio"
    lay_out(studio)
    monkeypatch.chdir(studio)
    example = GuideExample(studio)
    example.run(example_of(text_of(name)))
    assert example.commands >= 1
    assert example.checks >= 1
    # A command that fails is one whose message the text shows.
    assert set(example.outcome) <= ({0, 1} if "mend:" in text_of(name) else {0})


def test_an_excerpt_stands_in_what_is_printed_in_its_order() -> None:
    """Blanks do not count, `...` stands for any text, and the order of the lines does."""
    printed = "Own site   £21.50\n\nMarket stall   £22.50\n"
    assert printed_in("Own site £21.50\nMarket stall £22.50\n", printed)
    assert printed_in("Own ... £22.50", printed)
    assert not printed_in("Market stall ... Own site", printed)
    assert not printed_in("Own site £21.5", printed)


@pytest.mark.parametrize(("name", "path"), [("keys", "content/README.md"), ("themes", "themes/README.md")])
def test_the_committed_text_is_up_to_date(name: str, path: str) -> None:
    """The files that stand beside records and themes are what the program prints."""
    text = topic_text(name)
    assert long_lines(text.splitlines()) == []
    assert (ROOT / path).read_text(encoding="utf-8") == text, (
        f"{path} is out of date; renew it: python -m catalog_builder guide {name} > {path}"
    )
