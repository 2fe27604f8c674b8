"""Style sheets put into a page itself, for the page that cannot know where it will be shown."""

from __future__ import annotations

import re
from collections.abc import Sequence

from markupsafe import Markup

from catalog_builder.publish.theme.loading import Theme

_ADDRESS = re.compile(r"url\(\s*([\"']?)(?!data:|#|/|[a-z]+:)")


def inlined_style(theme: Theme, names: Sequence[str]) -> Markup:
    """Give the theme's style sheets of some names as one text; what they load is named from the front folder."""
    sheets = dict(theme.assets())
    text = "\n".join(sheets[f"assets/{name}"].decode() for name in names)
    return Markup(_ADDRESS.sub(r"url(\1assets/", text))  # noqa: S704 - the theme's own
