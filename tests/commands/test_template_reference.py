"""The list of what templates are handed is true of a studio that it was not made from."""

from __future__ import annotations

from pathlib import Path

import pytest

from catalog_builder.build import build
from catalog_builder.commands.guide.theme_values import TemplateValues, kinds, read_values
from catalog_builder.commands.guide.topics import topic_text
from catalog_builder.publish.studio_calculation import quiet
from catalog_builder.publish.theme.loading import Theme
from tests import batch, studio

ROOT = Path(__file__).resolve().parents[2]


# What a studio may keep besides a plan: a market to come and one that is over, a batch that was timed and weighed.
LOG = {
    "studio.toml": """
[[markets]]
name = "Sedge fair"
place = "The green"
date = 2031-06-01
hours = "9:00 to 15:00"

[[markets]]
name = "Reed fair"
place = "The green"
date = 2031-05-01
hours = "9:00 to 15:00"
code = "reed"
stall_hours = 6
""",
    "bench_made.csv": "batch,product,count\nfirst,pane,4\n",
    "bench_log.csv": "date,batch,step,minutes\n2031-05-02,first,cut,30\n",
    "spools.csv": "batch,before_g,after_g\nfirst,200,160\n",
    "markets/2031-06-01.csv": "product,count\npane,3\n",
    "sales.csv": "market,product,count,price\nreed,pane,1,20.00\n",
}


@pytest.fixture(scope="module")
def values() -> TemplateValues:
    """What the guide says of every template."""
    return read_values()


@pytest.fixture(scope="module")
def text() -> str:
    """The guide to themes as the program prints it."""
    return topic_text("themes")


PAIR = """---
title: Pair of panes
series: panes
added: 2031-01-10
summary: Two panes.
made_of:
  - {product: pane, count: 2}
less_percent: 5
---
To hang in two windows.
"""


def test_small_studio_hands_its_templates_what_the_guide_says(
    values: TemplateValues, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Every page of another studio is handed the values of the guide, no more and no fewer, of the kinds it names."""
    handed: list[tuple[str, dict[str, object]]] = []
    render, sheet = Theme.render, Theme.sheet_data

    def noted(theme: Theme, template: str, **given: object) -> str:
        handed.append((template, given))
        return render(theme, template, **given)

    sheets: set[str] = set()

    def noted_sheet(theme: Theme, template: str, given: dict[str, object]) -> str:
        sheets.add(template)
        return sheet(theme, template, given)

    monkeypatch.setattr(Theme, "render", noted)
    monkeypatch.setattr(Theme, "sheet_data", noted_sheet)
    shops = {"channels.trade": 'title = "Shops"\nshown_on = "shops"\nmarkup_percent = 20\nleast_order = 2'}
    named = studio.record(keys="formerly: [old-pane]")
    project = studio.project(tmp_path, {"pane": named}, shops, batch.GLASS)
    pair = project / "content" / "sets" / "pair" / "set.md"
    pair.parent.mkdir(parents=True)
    pair.write_text(PAIR, encoding="utf-8")
    own = project / "content" / "pages" / "imprint.md"
    own.parent.mkdir()
    own.write_text("---\ntitle: Imprint\n---\nWho made this.\n", encoding="utf-8")
    for name, text in LOG.items():
        path = project / "content" / name
        path.parent.mkdir(exist_ok=True)
        path.write_text(path.read_text(encoding="utf-8") + text if path.exists() else text, encoding="utf-8")
    batch.write_plan(project)
    batch.keep_by_hand(project)
    build(project, studio.DAY, 1, quiet)
    assert {template for template, _ in handed} == set(values.pages)
    # Tags, quotes and answers to orders are printed by commands of their own.
    by_command = {"stall/tags.typ", "bench/quote.typ", "bench/order.typ", "bench/order_packing.typ"}
    assert sheets == set(values.sheets) - by_command
    for template, given in handed:
        assert set(given) == set(values.pages[template]), template
        for name, value in given.items():
            assert kinds(value) - {"list"} <= values.pages[template][name], f"{template}: {name}"


def test_every_template_of_a_theme_is_in_the_guide(text: str) -> None:
    """A template is handed values, or lends others its blocks and macros; either way it stands in the guide."""
    for theme in ("daylight", "limewash"):
        for path in (ROOT / "themes" / theme / "templates").glob("*.html"):
            assert f"`templates/{path.name}`" in text, path
        for path in (ROOT / "themes" / theme).glob("*/*.typ"):
            assert f"`{path.parent.name}/{path.name}`" in text, path


def test_every_class_says_what_it_is(values: TemplateValues, text: str) -> None:
    """Every class that templates are handed has a docstring of its own, and a heading in the guide."""
    for name, kind in values.classes.items():
        assert kind.__doc__ and not kind.__doc__.startswith(f"{name}("), name
        assert f"\n### {name}\n" in text
