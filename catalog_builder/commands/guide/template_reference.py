"""All that a template of a theme can reach, as Markdown: the second half of the guide's topic ``themes``."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import fields
from types import UnionType
from typing import Any, Union, get_args, get_origin, get_type_hints

from jinja2 import nodes

from catalog_builder.commands.guide.theme_values import WORDS, Handed, TemplateValues, read_values
from catalog_builder.publish.theme.loading import Theme


def template_reference() -> str:
    """Give the list of all that templates are handed and lend each other, as Markdown, each part after a blank line."""
    values = read_values()
    parts = [
        _shared(values.theme),
        _labels(values.theme),
        _pages("Pages of the catalogue", {name: page for name, page in values.pages.items() if "page" in page}, values),
        _pages("Other pages", {name: page for name, page in values.pages.items() if "page" not in page}, values),
        _sheets(values),
        _class_tables(values),
    ]
    return "".join("\n" + "\n".join(part) + "\n" for part in parts)


def _shared(theme: Theme) -> Iterator[str]:
    yield "## What templates lend each other\n"
    yield (
        "A template that your theme lacks comes from the theme it builds on, and there it reaches for these by name. "
        "A template of yours with the same file name must have the same blocks and macros.\n"
    )
    yield "| file | what it holds |"
    yield "|---|---|"
    trees = {name: _parsed(theme, name) for name in sorted(theme.templates.list_templates(extensions=["html"]))}
    parts = {_const(part.template).strip('"') for tree in trees.values() for part in tree.find_all(nodes.Include)}
    for name, tree in trees.items():
        held = ["a part that others include"] if name in parts else []
        held += [f"block `{block.name}`" for block in tree.find_all(nodes.Block)] if "layout" in name else []
        held += [f"macro `{_signature(macro)}`" for macro in tree.find_all(nodes.Macro) if name != "one_file.html"]
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
    names = [argument.name for argument in macro.args[:plain]]
    for argument, default in zip(macro.args[plain:], macro.defaults, strict=True):
        names.append(f"{argument.name}={_const(default)}")
    return f"{macro.name}({', '.join(names)})"


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
    always = set.intersection(*(set(page) for page in pages.values()))
    yield "Each of these templates has:\n"
    yield from _table({name: set.union(*(page[name] for page in pages.values())) for name in sorted(always)}, values)
    for name in sorted(pages):
        own = {key: kind for key, kind in pages[name].items() if key not in always}
        yield f"\n### `templates/{name}`\n"
        yield from _table(own, values) if own else ["Nothing besides."]


def _table(handed: Mapping[str, set[str]], values: TemplateValues) -> Iterator[str]:
    yield "| value | what it is |"
    yield "|---|---|"
    for name, value_kinds in handed.items():
        yield f"| `{name}` | {_linked(_union(value_kinds), values)} |"


def _union(value_kinds: Iterable[str]) -> str:
    """Give the kinds that a value had in one phrase; that it was some list is said only where it was always empty."""
    ordered = sorted(value_kinds, key=lambda kind: (kind == "nothing", kind))
    lists = [kind for kind in ordered if kind.startswith("list of ")]
    return " or ".join(kind for kind in ordered if kind != "list" or not lists)


def _linked(words: str, values: TemplateValues) -> str:
    """Link each name of a class to its table."""
    return re.sub(
        r"[A-Z]\w+",
        lambda name: f"[{name[0]}](#{name[0].lower()})" if name[0] in values.classes else name[0],
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
        # A list that was empty only at times is described by its entries.
        filled = {path[: mark.start()] for path in noted for mark in re.finditer(r"\[\]", path)}
        yield f"\n### `{name}`\n"
        yield from _table({path: noted[path] for path in noted if path not in filled}, values)


def _class_tables(values: TemplateValues) -> Iterator[str]:
    yield "## What stands in the values"
    for name in sorted(values.classes):
        kind = values.classes[name]
        yield f"\n### {name}\n"
        yield f"{_prose(kind.__doc__ or '')}\n"
        yield "| field | what it is |"
        yield "|---|---|"
        hints = get_type_hints(kind)
        for field in fields(kind):
            yield f"| `{field.name}` | {_linked(_hint_words(hints[field.name]), values)} |"


def _prose(text: str) -> str:
    """Give a docstring as Markdown, each of its paragraphs on one line."""
    paragraphs = re.split(r"\n\s*\n", text.strip())
    return "\n\n".join(" ".join(paragraph.split()) for paragraph in paragraphs).replace("``", "`")


def _hint_words(hint: Any) -> str:
    """Give in words what a field holds."""
    origin, inner = get_origin(hint), [part for part in get_args(hint) if part is not Ellipsis]
    if origin in (UnionType, Union):
        return " or ".join(_hint_words(part) for part in inner)
    if origin in (tuple, list):
        words = list(map(_hint_words, inner))
        return f"list of {words[0]}" if len(set(inner)) == 1 else f"list: {', '.join(words)}"
    if isinstance(origin, type) and issubclass(origin, Mapping):
        return f"table of {_hint_words(inner[1])}"
    return WORDS.get(hint, getattr(hint, "__name__", str(hint)))
