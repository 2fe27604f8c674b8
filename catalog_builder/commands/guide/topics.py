"""The topics of the command ``guide``: a Markdown file each, two of them with a list made from the program itself."""

from __future__ import annotations

from importlib.resources import files
from textwrap import fill

from catalog_builder.mistake import nearest

# In the order in which a maker is likely to need them.
TOPICS = (
    "first-product",
    "keys",
    "paper",
    "marking",
    "hanging",
    "standing",
    "parts",
    "bevels",
    "frames",
    "prices",
    "price-book",
    "reductions",
    "undo",
    "renaming",
    "tags",
    "sets",
    "batches",
    "parcels",
    "timing",
    "ready",
    "markets",
    "quotes",
    "trade",
    "web",
    "sending",
    "colours",
    "themes",
    "languages",
    "backup",
    "updating",
)

# Of a terminal as narrow as most are.
COLUMNS = 92


class UnknownTopicError(Exception):
    """There is no topic of that name; the text names the nearest one, or says where all are listed."""


def topic_list() -> str:
    """Give a line for each topic, its name and what it is about, and how to read one."""
    width = max(len(name) for name in TOPICS)
    lines = [f"{name.ljust(width)}  {_title(name)}" for name in TOPICS]
    return "\n".join(
        [*lines, "", "To read one: catalog-builder guide TOPIC", "Page by page: catalog-builder guide TOPIC | more", ""]
    )


def topic_text(name: str) -> str:
    """Give a topic as Markdown.

    Raises:
        UnknownTopicError: there is no such topic.
    """
    if name not in TOPICS:
        guess = nearest(name, TOPICS)
        raise UnknownTopicError(
            f"There is no topic {name!r}. "
            + (f"Did you mean {guess!r}?" if guess else "`catalog-builder guide` lists all topics.")
        )
    return _text(name) + _wrapped(_reference(name))


def _title(name: str) -> str:
    return _text(name).partition("\n")[0].removeprefix("# ")


def _text(name: str) -> str:
    return files("catalog_builder.commands.guide").joinpath("topics", f"{name}.md").read_text(encoding="utf-8")


def _wrapped(text: str) -> str:
    """Break long lines for the terminal, except rows of tables and pictures."""
    return "\n".join(
        line if line.startswith(("|", "  ![")) else fill(line, COLUMNS, subsequent_indent="  " * line.startswith("- "))
        for line in text.split("\n")
    )


def _reference(name: str) -> str:
    """Give what the program lists of itself under a topic."""
    if name == "keys":
        from catalog_builder.records.reference import reference

        return f"\n{reference()}"
    if name == "themes":
        from catalog_builder.commands.guide.template_reference import template_reference

        return template_reference()
    return ""
