"""Glass as solids: trimesh, a general mesh library, weighs the cut pieces of every product of the demo."""

from __future__ import annotations

from datetime import date
from functools import cache
from pathlib import Path

import numpy as np
import pytest
import trimesh
from shapely import Polygon

from catalog_builder.hanging.hung import hang
from catalog_builder.hanging.made import make
from catalog_builder.hanging.mass import Body
from catalog_builder.pattern.measured import measure
from catalog_builder.pattern.placing import Placing
from catalog_builder.pattern.sizes import read_sizes
from catalog_builder.records.content import Content, read_content

PROJECT = Path(__file__).parents[2]
PRODUCTS = sorted(path.parent.name for path in (PROJECT / "content" / "products").glob("*/product.md"))
DAY = date(2026, 12, 1)


@cache
def demo() -> Content:
    """The demo studio's content."""
    return read_content(PROJECT, DAY)


def slab(shape: Polygon, thickness_mm: float, place: Placing) -> trimesh.Trimesh:
    """A cut of glass as a solid that stands where its flat does, half its thickness on each side of the plane."""
    solid = trimesh.creation.extrude_polygon(shape, thickness_mm)
    solid.apply_translation((0, 0, -thickness_mm / 2))
    stand = np.eye(4)
    stand[:3, :3] = np.stack([place.across, place.down, np.cross(place.across, place.down)], axis=1)
    stand[:3, 3] = place.origin
    solid.apply_transform(stand)
    return solid


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
            for flat in made.flats:
                for place in flat.places:
                    for cut in flat.cuts:
                        glass = content.materials.rows[choice.pieces[cut.glass]]
                        solid = slab(cut.shape, float(glass.thickness_mm or 0), place)
                        assert solid.is_volume
                        masses.append(abs(solid.volume) / 1000 * glass.density)
                        centres.append(solid.center_mass)
            glass_body = Body(tuple(part for part in body.parts if part.name == "glass"))
            assert glass_body.mass_g == pytest.approx(sum(masses), rel=1e-6)
            middle = np.average(centres, axis=0, weights=masses)
            assert (*glass_body.centre, glass_body.forward) == pytest.approx(middle, abs=1e-4)
