"""A theme made ready: its templates, labels, assets and printed sheets."""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, replace
from functools import lru_cache
from pathlib import Path
from posixpath import dirname, normpath

from jinja2 import Environment, FileSystemLoader, StrictUndefined, TemplateError
from jinja2.sandbox import SandboxedEnvironment
from markdown import markdown
from markupsafe import Markup

from catalog_builder.cache.store import digest_of_files, key_of
from catalog_builder.mistake import MistakeError, Place
from catalog_builder.publish.output.folder import Folder
from catalog_builder.publish.theme.compiled_templates import CompiledTemplates
from catalog_builder.publish.theme.labels import read_labels
from catalog_builder.publish.theme.theme_chain import ThemeKeys, lent_keys, read_chain
from catalog_builder.records.reading.source import Source

_STUDIO = Source("content/studio.toml", "")


# Where the studio's own letters lie among the assets, as the style beside them names them.
LETTERS = "studio-letters.woff2"
_STYLE = "assets/style.css"
_COMPILED = CompiledTemplates()
# The words of themes and the key of all that they bring, by the digest of their files and the language: a window that
# shows each saved file, and a test of many projects, reads the same words again and again.
_WORDS: dict[tuple[str, str], tuple[Mapping[str, Mapping[str, str]], str]] = {}
_MOST_WORDS = 8


@dataclass(frozen=True, slots=True)
class StudioStyle:
    """What a studio adds to its theme: rules that follow the theme's own style, and a file of letters."""

    rules: bytes
    letters: bytes | None


@dataclass(frozen=True, slots=True)
class Theme:
    """A theme: its own folder and those it builds on, what it says of itself, its words.

    ``files`` is the digest of all its files, ``key`` that of all that it brings to what is made with it.
    """

    folders: tuple[Path, ...]
    about: ThemeKeys
    labels: Mapping[str, Mapping[str, str]]
    files: str
    key: str
    studio_style: StudioStyle | None = None

    @property
    def templates(self) -> Environment:
        """Its templates, its own before those of the themes that it builds on."""
        return _environment(self.folders, self.files)

    def worded(self, labels: Mapping[str, Mapping[str, str]]) -> Theme:
        """Give the theme with other words."""
        return replace(self, labels=labels, key=key_of(self.files, labels))

    def styled(self, style: StudioStyle, about: ThemeKeys) -> Theme:
        """Give the theme with what the studio adds to its style, and what it then says of itself."""
        files = key_of(self.files, style.rules, style.letters)
        return replace(self, about=about, studio_style=style, files=files, key=key_of(files, self.labels))

    @property
    def folder(self) -> Path:
        """The theme's own folder."""
        return self.folders[0]

    def render(self, template: str, **values: object) -> str:
        """Fill a template; every value that it names must be given.

        Raises:
            MistakeError: it is not a template, names a value that is not given, or reaches for what it may not.
        """
        with self._blamed(template):
            return self.templates.get_template(template).render(labels=self.labels, **values)

    def filled(self, template: str, macro: str, *values: object, **further: object) -> str:
        """Give what a macro of a template makes of some values.

        Raises:
            MistakeError: as ``render``.
        """
        with self._blamed(template):
            return str(getattr(self.templates.get_template(template).module, macro)(*values, **further))

    @contextmanager
    def _blamed(self, template: str) -> Iterator[None]:
        """Say of a template that cannot be filled where it goes wrong."""
        try:
            yield
        except (TemplateError, OverflowError) as fault:
            name, line = getattr(fault, "name", None) or template, getattr(fault, "lineno", None)
            raise MistakeError.at(
                Place(path=f"themes/{self.folder.name}/templates/{name}", line=line),
                wrong=f"the template cannot be filled: {fault}",
                expected="a template such as those of the theme daylight",
                mend="compare it with the same template there, or take the theme from its maker again",
            ) from None

    def write_page(self, folder: Folder, name: str, template: str, **values: object) -> None:
        """Write a page into a folder: filled again only where its template's values or the theme changed.

        Raises:
            MistakeError: as ``render``.
            TypeError: a value is of a kind that ``key_of`` does not take.
        """
        folder.make(name, key_of("page", self.key, template, values), lambda: self.render(template, **values))

    def sheet_data(self, template: str, values: Mapping[str, object]) -> str:
        """Give the values of a printed sheet as the JSON that its typst template reads."""
        del template
        return json.dumps(values, ensure_ascii=False)

    def words(self, table: str, key: str, **values: object) -> str:
        """Give a label with its {braces} filled in."""
        return self.labels[table][key].format(**values)

    def file(self, name: str) -> Path:
        """Find a file such as ``stall/price_sheet.typ`` in the theme, else in the nearest one it builds on."""
        return next(folder / name for folder in self.folders if (folder / name).is_file())

    def font_folders(self) -> list[str]:
        """Give the folders with the letters of printed sheets."""
        return [str(folder / "stall" / "fonts") for folder in self.folders if (folder / "stall" / "fonts").is_dir()]

    def assets(self, texts: Iterable[str] | None = None) -> Iterator[tuple[str, bytes]]:
        """Give files of ``assets/`` with their paths in a published folder, in order.

        Those of the theme itself always; those of the themes that it builds on where one of the ``texts``
        names them, or a style or script that comes along does. Without ``texts``, all of them.
        """
        files: dict[str, Path] = {}
        for folder in reversed(self.folders):
            files |= {
                path.relative_to(folder).as_posix(): path for path in (folder / "assets").rglob("*") if path.is_file()
            }
        names = set(files) if texts is None else _wanted(files, self.folder, texts)
        for name in sorted(names):
            data = files[name].read_bytes()
            if name == _STYLE and self.studio_style:
                data += self.studio_style.rules
                if self.studio_style.letters:
                    yield f"assets/{LETTERS}", self.studio_style.letters
            yield name, data


def _wanted(files: Mapping[str, Path], own: Path, texts: Iterable[str]) -> set[str]:
    if all(path.is_relative_to(own) for path in files.values()):
        return set(files)
    named = {name for text in texts for name in re.findall(r"assets/[\w./-]+", text)}
    waiting = [name for name in files if name in named or files[name].is_relative_to(own)]
    chosen = set(waiting)
    while waiting:
        name = waiting.pop()
        if name.endswith((".css", ".js")):
            text = files[name].read_text(encoding="utf-8")
            loaded = {normpath(f"{dirname(name)}/{word}") for word in re.findall(r"[\w./-]+\.\w+", text)}
            waiting.extend(sorted((loaded & set(files)) - chosen))
            chosen |= loaded & set(files)
    # A licence lies beside what it is for, and goes where that goes.
    places = {dirname(name) for name in chosen}
    return chosen | {name for name in files if name.endswith(".txt") and dirname(name) in places}


def read_theme(project: Path, name: str, language: str, studio: Source = _STUDIO) -> Theme:
    """Find a theme in the project's own ``themes/``, else among those that come with the program.

    ``studio`` is the file that names the theme and the language.

    Raises:
        MistakeError: there is no such theme or one that it builds on, or it lacks words for the language, or it
            holds what a theme may not.
    """
    folders = read_chain(project, name, studio)
    files = key_of(*(digest_of_files(_files(folder), folder) for folder in folders))
    words = _WORDS.get((files, language))
    if words is None:
        labels = read_labels(folders, language, studio)
        words = labels, key_of(files, labels)
        while len(_WORDS) >= _MOST_WORDS:
            _WORDS.pop(next(iter(_WORDS)))
        _WORDS[files, language] = words
    return Theme(folders, lent_keys(folders), words[0], files, words[1])


def _files(folder: Path) -> Iterator[Path]:
    return (path for path in folder.rglob("*") if path.is_file())


@lru_cache(maxsize=4)
def _environment(folders: tuple[Path, ...], _files: str) -> Environment:
    """Open the templates of a theme's files.

    A theme comes from elsewhere, so that its templates reach the values that they are given and nothing behind them.
    """
    return SandboxedEnvironment(
        loader=FileSystemLoader([folder / "templates" for folder in folders]),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        bytecode_cache=_COMPILED,
    )


@lru_cache(maxsize=1_000)
def marked_up(text: str) -> Markup:
    """Turn Markdown into clean HTML: no scripts, no foreign frames, no dangerous links."""
    import nh3

    html = markdown(text, extensions=["sane_lists", "smarty", "tables"], output_format="html")
    # A picture named in Markdown would be fetched from elsewhere, or not be there: photos belong in the record.
    tags = nh3.ALLOWED_TAGS - {"img"}
    return Markup(nh3.clean(html, tags=tags, link_rel="noopener"))  # noqa: S704 - it has just been cleaned
