"""Glass as solids: trimesh, a general mesh library, weighs the cut pieces of every product of the demo."""

from __future__ import annotations

from datetime import date
from functools import cache
from pathlib import Path

import numpy as np
import pytest
import trimesh

from catalog_builder.hanging.hung import hang
from catalog_builder.hanging.made import make
from catalog_builder.hanging.mass import Body
from catalog_builder.pattern.measured import measure
from catalog_builder.pattern.sizes import read_sizes
from catalog_builder.records.content import Content, read_content

PROJECT = Path(__file__).parents[2]
PRODUCTS = sorted(path.parent.name for path in (PROJECT / "content" / "products").glob("*/product.md"))
DAY = date(2026, 12, 1)


@cache
def demo() -> Content:
    """The demo studio's content."""
    return read_content(PROJECT, DAY)


@pytest.mark.parametrize("slug", PRODUCTS)
def test_glass(slug: str) -> None:
    """A product's glass, cut out as solids, has the mass and the centre of mass that are reckoned."""
    content = demo()
    product = next(one for one in content.products if one.slug == slug)
    for sized in read_sizes(product, content.studio.making, content.materials):
        measured = measure(product, sized, content.studio.making)
        for choice in product.keys.glass.values():
            made = make(content, product, choice, measured)
            body = hang(content, product, choice, made).body
            masses, centres = [], []
            for cut in made.cuts:
                glass = content.materials.rows[choice.pieces[cut.glass]]
                solid = trimesh.creation.extrude_polygon(cut.shape, float(glass.thickness_mm or 0))
                assert solid.is_volume
                masses.append(solid.volume / 1000 * glass.density)
                centres.append(solid.center_mass[:2])
            glass_body = Body(tuple(part for part in body.parts if part.name == "glass"))
            assert glass_body.mass_g == pytest.approx(sum(masses), rel=1e-6)
            assert glass_body.centre == pytest.approx(np.average(centres, axis=0, weights=masses), abs=1e-4)
