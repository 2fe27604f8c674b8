"""What a theme's templates are handed, recorded while a worked example is built."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, fields, is_dataclass, replace
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any, get_args, get_type_hints

from markupsafe import Markup

from catalog_builder.build import calculate
from catalog_builder.cache.store import Store
from catalog_builder.commands.guide.theme_example import DAY, lay_out_example
from catalog_builder.commands.order import set_order
from catalog_builder.commands.quote import price_quote
from catalog_builder.commands.tags import TagRequest, set_tags
from catalog_builder.publish.audiences import publish_audiences
from catalog_builder.publish.bench.customers.order_papers import confirmation, packing_list
from catalog_builder.publish.bench.customers.quote_sheet import quote_sheet
from catalog_builder.publish.studio_calculation import StudioCalculation, quiet
from catalog_builder.publish.studio_pictures import make_panels, make_pictures
from catalog_builder.publish.theme.loading import Theme
from catalog_builder.records.selling.shop_order import read_order

# A template's name, its values' names, and what each was seen to be.
Handed = dict[str, dict[str, set[str]]]

WORDS = {str: "text", Markup: "HTML", bool: "yes or no", int: "whole number", float: "number", type(None): "nothing"}


@dataclass(frozen=True, slots=True)
class TemplateValues:
    """What templates are handed: pages and printed sheets by name, and the classes that stand in them."""

    pages: Handed
    sheets: Handed
    classes: Mapping[str, type]
    theme: Theme


@dataclass(frozen=True, slots=True)
class NotingTheme(Theme):
    """A theme that takes note of what its templates are handed."""

    pages: Handed = field(default_factory=dict)
    sheets: Handed = field(default_factory=dict)
    classes: dict[str, type] = field(default_factory=dict)

    def render(self, template: str, **values: object) -> str:
        """Fill a template as a theme does."""
        noted = self.pages.setdefault(template, {})
        for name, value in values.items():
            noted.setdefault(name, set()).update(kinds(value))
            self.classes.update(_classes(value))
        return Theme.render(self, template, **values)

    def sheet_data(self, template: str, values: Mapping[str, object]) -> str:
        """Give the values of a printed sheet as a theme does."""
        noted = self.sheets.setdefault(template, {})
        for name, value in _leaves(values, ""):
            noted.setdefault(name, set()).update(kinds(value))
        return Theme.sheet_data(self, template, values)


def kinds(value: object) -> set[str]:
    """Give the kind of a value in words; of a list, the kinds of its items too."""
    if isinstance(value, tuple | list):
        return {f"list of {kind}" for item in value for kind in kinds(item)} or {"list"}
    if isinstance(value, Mapping):
        return {"table"}
    return {WORDS.get(type(value), type(value).__name__)}


def read_values() -> TemplateValues:
    """Build the worked example twice, with and without what a record may leave out, and give all that was handed."""
    with TemporaryDirectory() as place:
        project = Path(place)
        lay_out_example(project)
        calculated = calculate(project, DAY, quiet)
        theme = NotingTheme(*(getattr(calculated.theme, field.name) for field in fields(Theme)))
        calculated = replace(calculated, theme=theme)
        pictures, panels = make_pictures(calculated, 2, quiet), make_panels(calculated, 2, quiet)
        for example in (calculated, _bare(calculated)):
            publish_audiences(example, pictures, panels, quiet)
        set_tags(calculated, TagRequest())
        for quote in calculated.content.quotes:
            quote_sheet(price_quote(calculated.content, theme, quote, Store(project / "measured")).sheet).pdf()
        confirmed, _ = set_order(calculated, read_order(project, "corner"), DAY)
        for paper in (confirmation, packing_list):
            paper(confirmed).pdf()
    return TemplateValues(theme.pages, theme.sheets, theme.classes, theme)


def _bare(calculated: StudioCalculation) -> StudioCalculation:
    studio = calculated.content.studio.model_copy(update={"markets": ()})
    return replace(calculated, content=replace(calculated.content, studio=studio, texts={}), moved=(), findings=())


def _leaves(value: object, path: str) -> Iterator[tuple[str, object]]:
    """Give every value of a sheet's data by its path, such as ``groups[].title``; labels are left out."""
    if isinstance(value, Mapping):
        for name, inner in value.items():
            if name != "labels":
                yield from _leaves(inner, f"{path}.{name}".removeprefix("."))
    elif isinstance(value, list) and value:
        for inner in value:
            yield from _leaves(inner, f"{path}[]")
    else:
        yield path, value


def _classes(value: object) -> dict[str, type]:
    if isinstance(value, tuple | list):
        return {name: kind for item in value for name, kind in _classes(item).items()}
    return dict(_reached(type(value))) if is_dataclass(value) else {}


def _reached(kind: Any) -> Iterator[tuple[str, type]]:
    """Give a class of values and those that its fields hold, however deep."""
    if is_dataclass(kind) and isinstance(kind, type):
        yield kind.__name__, kind
        for hint in get_type_hints(kind).values():
            yield from _reached(hint)
    for inner in get_args(kind):
        yield from _reached(inner)
