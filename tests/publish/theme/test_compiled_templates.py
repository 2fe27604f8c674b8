"""Templates are compiled once for all projects of a process, and again where their text changes."""

from __future__ import annotations

from pathlib import Path

import pytest
from jinja2 import Environment, FileSystemLoader

from catalog_builder.publish.theme.compiled_templates import CompiledTemplates


class Compiling(Environment):
    """Counts the templates that it turns into code."""

    def __init__(self, folder: Path, codes: CompiledTemplates) -> None:
        super().__init__(loader=FileSystemLoader(folder), bytecode_cache=codes)
        self.compiled = list[str]()

    def _generate(self, source: object, name: str | None, filename: str | None, defer_init: bool = False) -> str:
        self.compiled.append(str(name))
        return super()._generate(source, name, filename, defer_init)  # type: ignore[arg-type] # a tree of the library's


@pytest.fixture
def codes() -> CompiledTemplates:
    """Codes of no template yet."""
    return CompiledTemplates()


def filled(folder: Path, text: str, codes: CompiledTemplates) -> tuple[str, list[str]]:
    """Write a template into a folder; give what it is filled to, and what was compiled for that."""
    folder.mkdir(exist_ok=True)
    (folder / "page.html").write_text(text, encoding="utf-8")
    environment = Compiling(folder, codes)
    return environment.get_template("page.html").render(word="tide"), environment.compiled


def test_a_text_is_compiled_once_in_whatever_folder(tmp_path: Path, codes: CompiledTemplates) -> None:
    """The same template of another project is filled without compiling it again."""
    assert filled(tmp_path / "one", "The {{ word }}.", codes) == ("The tide.", ["page.html"])
    assert filled(tmp_path / "two", "The {{ word }}.", codes) == ("The tide.", [])


def test_a_changed_text_is_compiled_anew(tmp_path: Path, codes: CompiledTemplates) -> None:
    """A template of the same name with another text is another one; the first is still known."""
    filled(tmp_path / "one", "The {{ word }}.", codes)
    assert filled(tmp_path / "one", "A {{ word }}!", codes) == ("A tide!", ["page.html"])
    assert filled(tmp_path / "two", "The {{ word }}.", codes) == ("The tide.", [])
