"""The guide to making a theme: a short text, and after it all that a template can reach, as Markdown."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import fields
from importlib.resources import files
from types import UnionType
from typing import Any, Union, get_args, get_origin, get_type_hints

from jinja2 import nodes

from catalog_builder.commands.guide.theme_values import WORDS, Handed, TemplateValues, read_values
from catalog_builder.publish.theme.loading import Theme


def guide() -> str:
    """Give the guide to making a theme, with the list of all that its templates are handed, as Markdown."""
    values = read_values()
    head = files("catalog_builder.commands.guide").joinpath("theme_guide.md").read_text(encoding="utf-8")
    parts = [
        _shared(values.theme),
        _labels(values.theme),
        _pages("Pages of the catalogue", {name: one for name, one in values.pages.items() if "page" in one}, values),
        _pages("Other pages", {name: one for name, one in values.pages.items() if "page" not in one}, values),
        _sheets(values),
        _class_tables(values),
    ]
    return head + "".join("\n" + "\n".join(part) + "\n" for part in parts)


def _shared(theme: Theme) -> Iterator[str]:
    yield "## What templates lend each other\n"
    yield (
        "A template that your theme lacks comes from the theme it builds on, and there it reaches for these by name. "
        "A template of yours with the same file name must have the same blocks and macros.\n"
    )
    yield "| file | what it holds |"
    yield "|---|---|"
    trees = {name: _parsed(theme, name) for name in sorted(theme.templates.list_templates(extensions=["html"]))}
    parts = {_const(one.template).strip('"') for tree in trees.values() for one in tree.find_all(nodes.Include)}
    for name, tree in trees.items():
        held = ["a part that others include"] if name in parts else []
        held += [f"block `{one.name}`" for one in tree.find_all(nodes.Block)] if "layout" in name else []
        held += [f"macro `{_signature(one)}`" for one in tree.find_all(nodes.Macro) if name != "one_file.html"]
        if held:
            yield f"| `templates/{name}` | {', '.join(held)} |"
    yield "\nStyles of the theme below yours use these custom properties, which your `style.css` should set:\n"
    style = theme.file("assets/style.css").read_text(encoding="utf-8")
    names = dict.fromkeys(re.findall(r"^\s*(--[a-z-]+):", style.split("@media")[0], flags=re.MULTILINE))
    yield f"{', '.join(f'`{name}`' for name in names)}."


def _parsed(theme: Theme, name: str) -> nodes.Template:
    source, _, _ = theme.templates.loader.get_source(theme.templates, name)  # type: ignore[union-attr]
    return theme.templates.parse(source)


def _signature(macro: nodes.Macro) -> str:
    plain = len(macro.args) - len(macro.defaults)
    shown = [one.name for one in macro.args[:plain]]
    shown += [f"{one.name}={_const(two)}" for one, two in zip(macro.args[plain:], macro.defaults, strict=True)]
    return f"{macro.name}({', '.join(shown)})"


def _const(node: nodes.Expr) -> str:
    value = node.as_const()
    return f'"{value}"' if isinstance(value, str) else str(value)


def _labels(theme: Theme) -> Iterator[str]:
    yield "## Labels\n"
    yield (
        "Every template has `labels`: `labels.home.look` is the words of the key `look` in the table `[home]` of the "
        "language's file. What stands in {braces} is filled in by the program, or by the template's `.format(...)`.\n"
    )
    yield "| table | how many words | |"
    yield "|---|---|---|"
    text = theme.file("labels/en.toml").read_text(encoding="utf-8")
    notes = {name: note for note, name in re.findall(r"^# ([^\n]+)\n\[(\w+)\]$", text, flags=re.MULTILINE)}
    for name, words in theme.labels.items():
        yield f"| `[{name}]` | {len(words)} | {notes.get(name, '')} |"


def _pages(title: str, pages: Handed, values: TemplateValues) -> Iterator[str]:
    yield f"## {title}\n"
    always = set.intersection(*(set(one) for one in pages.values()))
    yield "Each of these templates has:\n"
    yield from _table({name: set.union(*(one[name] for one in pages.values())) for name in sorted(always)}, values)
    for name in sorted(pages):
        own = {key: kind for key, kind in pages[name].items() if key not in always}
        yield f"\n### `templates/{name}`\n"
        yield from _table(own, values) if own else ["Nothing besides."]


def _table(handed: Mapping[str, set[str]], values: TemplateValues) -> Iterator[str]:
    yield "| value | what it is |"
    yield "|---|---|"
    for name, seen in handed.items():
        yield f"| `{name}` | {_linked(_union(seen), values)} |"


def _union(seen: Iterable[str]) -> str:
    """Say what a value is that was seen to be several things; that it is some list is said only of empty ones."""
    told = sorted(seen, key=lambda one: (one == "nothing", one))
    lists = [one for one in told if one.startswith("list of ")]
    return " or ".join(one for one in told if one != "list" or not lists)


def _linked(words: str, values: TemplateValues) -> str:
    return re.sub(
        r"[A-Z]\w+",
        lambda found: f"[{found[0]}](#{found[0].lower()})" if found[0] in values.classes else found[0],
        words,
    )


def _sheets(values: TemplateValues) -> Iterator[str]:
    yield "## Printed sheets\n"
    yield (
        "A sheet reads its values from one JSON text: `json(bytes(sys.inputs.data))`. `[]` stands for each of a list. "
        "`labels` holds the words of the tables that the sheet needs.\n"
    )
    for name in sorted(values.sheets):
        noted = values.sheets[name]
        # A list that was empty only now and then is told by what stands in it.
        filled = {one[: found.start()] for one in noted for found in re.finditer(r"\[\]", one)}
        yield f"\n### `{name}`\n"
        yield from _table({one: seen for one, seen in noted.items() if one not in filled}, values)


def _class_tables(values: TemplateValues) -> Iterator[str]:
    yield "## What stands in the values"
    for name in sorted(values.classes):
        kind = values.classes[name]
        yield f"\n### {name}\n"
        yield f"{_prose(kind.__doc__ or '')}\n"
        yield "| field | what it is |"
        yield "|---|---|"
        hints = get_type_hints(kind)
        for one in fields(kind):
            yield f"| `{one.name}` | {_linked(_said(hints[one.name]), values)} |"


def _prose(text: str) -> str:
    """Give a docstring as Markdown, each of its paragraphs on one line."""
    paragraphs = re.split(r"\n\s*\n", text.strip())
    return "\n\n".join(" ".join(paragraph.split()) for paragraph in paragraphs).replace("``", "`")


def _said(hint: Any) -> str:
    """Say in words what a field holds."""
    origin, inner = get_origin(hint), [one for one in get_args(hint) if one is not Ellipsis]
    if origin in (UnionType, Union):
        return " or ".join(_said(one) for one in inner)
    if origin in (tuple, list):
        return f"list of {_said(inner[0])}" if len(set(inner)) == 1 else f"list: {', '.join(map(_said, inner))}"
    if isinstance(origin, type) and issubclass(origin, Mapping):
        return f"table of {_said(inner[1])}"
    return WORDS.get(hint, getattr(hint, "__name__", str(hint)))
