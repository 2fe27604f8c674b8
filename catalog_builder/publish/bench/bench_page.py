"""A page of the bench: the theme's template with what every one of them needs. Private."""

from __future__ import annotations

from catalog_builder.publish.theme.loading import Theme
from catalog_builder.publish.views import StudioView
from catalog_builder.records.studio import StudioKeys

STYLE = "assets/bench.css"


def bench_page(theme: Theme, studio: StudioKeys, template: str, style_href: str = STYLE, /, **values: object) -> str:
    """Fill a private template; ``style_href`` leads from the page to its style sheet."""
    view = StudioView.of(studio)
    return theme.render(template, studio=view, language=studio.language, style_href=style_href, **values)
