"""A theme made ready: its templates, labels and assets."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from jinja2 import Environment, FileSystemLoader, StrictUndefined
from markdown import markdown
from markupsafe import Markup

from catalog_builder.mistake import Mistake, MistakeError, Place

_PACKAGED = Path(__file__).resolve().parent.parent / "_themes"
_REPOSITORY = Path(__file__).resolve().parent.parent.parent / "themes"


@dataclass(frozen=True, slots=True)
class Theme:
    """A theme: where it is, what its ``theme.toml`` says of it, its words, and its templates."""

    folder: Path
    about: Mapping[str, Any]
    labels: Mapping[str, Mapping[str, str]]
    templates: Environment

    def render(self, template: str, **values: object) -> str:
        """Fill a template; every value that it names must be given."""
        return self.templates.get_template(template).render(labels=self.labels, **values)

    def words(self, table: str, key: str, **values: object) -> str:
        """Give a label with its {braces} filled in."""
        return self.labels[table][key].format(**values)

    def assets(self) -> Iterator[tuple[str, bytes]]:
        """Give every file of ``assets/`` with its path in a published folder."""
        root = self.folder / "assets"
        for path in sorted(root.rglob("*")):
            if path.is_file():
                yield f"assets/{path.relative_to(root).as_posix()}", path.read_bytes()


def read_theme(project: Path, name: str, language: str) -> Theme:
    """Find a theme in the project's own ``themes/``, else among those that come with the program.

    Raises:
        MistakeError: there is no such theme, or it has no labels for the language.
    """
    roots = (project / "themes", _PACKAGED, _REPOSITORY)
    folder = next((root / name for root in roots if (root / name / "theme.toml").is_file()), None)
    if folder is None:
        known = sorted({path.parent.name for root in roots for path in root.glob("*/theme.toml")})
        raise MistakeError(
            [
                Mistake(
                    place=Place(path="content/studio.toml"),
                    wrong=f"studio.theme: there is no theme {name!r}",
                    expected=f"one of: {', '.join(known)}",
                    mend="correct the name, or put the theme's folder into themes/",
                )
            ]
        )
    environment = Environment(
        loader=FileSystemLoader(folder / "templates"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    about = tomllib.loads((folder / "theme.toml").read_text(encoding="utf-8"))
    return Theme(folder, about, _labels(folder, language), environment)


def _labels(folder: Path, language: str) -> dict[str, dict[str, str]]:
    names = (language, language.partition("-")[0])
    path = next(
        (folder / "labels" / f"{one}.toml" for one in names if (folder / "labels" / f"{one}.toml").is_file()),
        None,
    )
    if path is None:
        there = sorted(found.stem for found in (folder / "labels").glob("*.toml"))
        raise MistakeError(
            [
                Mistake(
                    place=Place(path="content/studio.toml"),
                    wrong=f"studio.language: the theme {folder.name!r} has no words for {language!r}",
                    expected=f"a language it has labels for: {', '.join(there)}",
                    mend=f"copy labels/{there[0]}.toml of the theme to labels/{names[1]}.toml and translate it",
                )
            ]
        )
    labels: dict[str, dict[str, Any]] = tomllib.loads(path.read_text(encoding="utf-8"))
    return labels


def marked_up(text: str) -> Markup:
    """Turn Markdown into clean HTML: no scripts, no foreign frames, no dangerous links."""
    import nh3

    html = markdown(text, extensions=["sane_lists", "smarty", "tables"], output_format="html")
    # A picture named in Markdown would be fetched from elsewhere, or not be there: photos belong in the record.
    tags = nh3.ALLOWED_TAGS - {"img"}
    return Markup(nh3.clean(html, tags=tags, link_rel="noopener"))  # noqa: S704 - it has just been cleaned
