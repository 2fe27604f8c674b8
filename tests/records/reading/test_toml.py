"""TOML: a key's line is told where one line fits, and never guessed."""

from __future__ import annotations

import pytest

from catalog_builder.records.reading.toml import key_line

TEXT = """# [bench]
[studio]
name = "a"   # name = "b"
"quoted" = 1
[bench]
rate = 1
[channels.online]
price_points = [
  { step = 1 },
]
[[markets]]
name = "one"
[[markets]]
name = "two"
date = 2030-01-01
[markets.stand]
side = 1
[doubt]
text = \"\"\"
name = "in a text"
\"\"\"
name = "out of it"
"""


@pytest.mark.parametrize(
    ("path", "line"),
    [
        (("studio",), 2),
        (("studio", "name"), 3),
        (("studio", "quoted"), 4),
        (("bench", "rate"), 6),
        (("channels", "online"), 7),
        (("channels", "online", "price_points"), 8),
        (("channels", "online", "price_points", 0, "step"), None),
        (("markets", 0), 11),
        (("markets", 0, "name"), 12),
        (("markets", 1), 13),
        (("markets", 1, "date"), 15),
        (("markets", 1, "stand"), 16),
        (("markets", 1, "stand", "side"), 17),
        (("markets", "stand", "side"), None),
        (("doubt", "name"), None),
        (("nowhere",), None),
    ],
)
def test_a_key_has_a_line_where_one_fits(path: tuple[str | int, ...], line: int | None) -> None:
    """Comments, tables and arrays of tables are followed; two candidates, such as in a long text, give no line."""
    assert key_line(TEXT, path) == line
