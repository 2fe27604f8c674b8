"""Where labels are read: their keys as they stand in templates, printed sheets and code."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterable, Iterator

from tests.publish.demo import ROOT

TEMPLATES = [path for name in ("html", "typ", "js") for path in sorted((ROOT / "themes").rglob(f"*.{name}"))]
CODE = sorted((ROOT / "catalog_builder").rglob("*.py"))
FORM = re.compile(r"_(?:one|many)$")


def unread_labels(keys: Iterable[tuple[str, str]]) -> list[str]:
    """Give the labels, of tables and keys, that no template reads and no code names, as ``table.key``.

    A key that code puts together, such as ``f"per_{measure}"``, counts as read with any word in the braces' place, and
    what a finding advises where the finding does.
    """
    words = {word for path in TEMPLATES for word in re.findall(r"\w+", path.read_text(encoding="utf-8"))}
    for path in CODE:
        words |= {text.rpartition(".")[2] for text in _texts(ast.parse(path.read_text(encoding="utf-8")))}
    made = re.compile("|".join(sorted(word for word in words if "\\w+" in word)))
    return [
        f"{table}.{key}" for table, key in keys if not _forms(key) & words and not any(map(made.fullmatch, _forms(key)))
    ]


def _forms(key: str) -> set[str]:
    whole = FORM.sub("", key)
    return {key, whole, whole.removesuffix("_advice")}


def _texts(tree: ast.AST) -> Iterator[str]:
    """Give each text in code that can be a key, and each that is put together, as a pattern."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Constant) and isinstance(node.value, str) and re.fullmatch(r"[\w.]+", node.value):
            yield node.value
        elif isinstance(node, ast.JoinedStr):
            parts = [str(part.value) if isinstance(part, ast.Constant) else r"\w+" for part in node.values]
            pattern = "".join(parts).rpartition(".")[2]
            if re.fullmatch(r"(?:\w|\\w\+)+", pattern) and len(pattern.replace(r"\w+", "")) > 2:
                yield pattern
