"""A product and a studio whose every text tries to be more than text."""

from __future__ import annotations

import re
from html import escape
from pathlib import Path

from tests.publish.demo import give_photos, lay_out_known, reworded
from tests.publish.photos import quarters, saved

PRODUCT = "net-loft-panel"
TITLE = """Panel <script>alert(1)</script> "quoted" & 'all' {{ 7*7 }} #panic("x") *$ </title>"""
SUMMARY = """Ends </script><img src=x onerror=alert(2)> here <!-- ]]> & "there"."""
GLASS = """Tide's "own" <b onmouseover=alert(3)>"""
ALT = """A "window" <svg onload=alert(4)>"""
DESCRIPTION = """
<script>alert(5)</script>

[press](javascript:alert(6)) and [here](JaVaScRiPt:alert(7)) and [data](data:text/html,<script>alert(8)</script>)

<iframe src="https://elsewhere.example/"></iframe><object data="x"></object><embed src="x"><form action="x"></form>

<a href="vbscript:alert(9)" onclick="alert(10)">a link</a> <p style="position:fixed">over everything</p>

<style>body { display: none }</style><base href="https://elsewhere.example/"><meta http-equiv="refresh" content="0">

<svg onload="alert(15)"><script>alert(16)</script><foreignObject><img src=x onerror=alert(17)></foreignObject></svg>

![a picture](https://elsewhere.example/x.png "seen")

[a tab]( java&#115;cript:alert(18)) and <math href="javascript:alert(19)">x</math>

[auto]: javascript:alert(20)
[a reference][auto], <javascript:alert(21)>, <details ontoggle=alert(22) open>more</details>

A *warm* word, a [good link](https://withyslip.example/care.html), {{ studio.email }} and {% raw %}.
"""
DRAWN = """
<script>alert(11)</script><image href="https://elsewhere.example/x.png"/>
<title>A &lt;script&gt;alert(23)&lt;/script&gt; title</title>
<desc onclick="alert(24)">A &lt;b&gt; word</desc>
<style>path { fill: url(https://elsewhere.example/y.png) }</style>
<foreignObject width="10" height="10"><p xmlns="http://www.w3.org/1999/xhtml">a page within</p></foreignObject>
<a href="javascript:alert(25)"><desc>pressed</desc></a>
</svg>"""
# What the first piece is numbered, in place of its own number.
NUMBER = "<i onload=alert(26)>&"


def lay_out_hostile(folder: Path) -> Path:
    """Lay out a project of one product with harm in every text that reaches a page or a sheet."""
    project = lay_out_known(folder, PRODUCT)
    record = project / "content" / "products" / PRODUCT / "product.md"
    give_photos(project, PRODUCT, {"window.jpg": saved(quarters((600, 400)), "JPEG")}, quoted(ALT))
    text = record.read_text(encoding="utf-8")
    for key, words in (("title", TITLE), ("summary", SUMMARY), ("    title", GLASS)):
        text = re.sub(rf"(?m)^{key}: .*$", f"{key}: {quoted(words)}".replace("\\", r"\\"), text, count=1)
    text = text.replace("\ntitle: ", "\nshow_pattern: yes\ntitle: ", 1)
    record.write_text(text.replace("\n```svg", f"\n{DESCRIPTION}\n```svg", 1), encoding="utf-8")
    reworded(record, ("\n</svg>", DRAWN), ('data-glass="rail">1<', f'data-glass="rail">{escape(NUMBER)}<'))
    _reword_studio(project / "content" / "studio.toml")
    (project / "content" / "about.md").write_text(DESCRIPTION, encoding="utf-8")
    (project / "content" / "care.md").write_text(DESCRIPTION, encoding="utf-8")
    return project


def quoted(text: str) -> str:
    """Write a text for a YAML header, where two single quotes stand for one."""
    return "'" + text.replace("'", "''") + "'"


def _reword_studio(studio: Path) -> None:
    reworded(
        studio,
        ('maker = "Ansa Merrow"', f"maker = '{'<script>alert(12)</script> & co'}'"),
        ('note = "Indoors, with a table by the east window."', "note = '<img src=x onerror=alert(13)>'"),
        ('title = "Boats and panels"', "title = 'Boats </h1><script>alert(14)</script>'"),
        ('summary = "Sails and squared', "summary = \"</p><img src=x onerror='alert(27)'>Sails and squared"),
        ('tagline = "Small', "tagline = \"<svg onload='alert(28)'>Small"),
        ('place = "The Net Loft', 'place = "</script><script>alert(29)</script>The Net Loft'),
        ('title = "Black patina"', "title = \"Black <img src=x onerror='alert(30)'>\""),
    )
