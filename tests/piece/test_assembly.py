"""What is kept of a product's making is what would be made of it anew, and no price asks for it to be made anew."""

from __future__ import annotations

from pathlib import Path

import pytest

from catalog_builder.cache.store import Store
from catalog_builder.piece import assembly as module
from catalog_builder.piece.assembly import Assembler, Assembly
from catalog_builder.records.content import Content, read_content
from tests.publish.demo import DAY, ROOT, lay_out, reworded

SLUGS = ("quay-lantern", "two-waxcaps", "net-loft-panel")


@pytest.fixture(scope="module")
def content() -> Content:
    """The demo's records."""
    return read_content(ROOT, DAY)


def store_in(root: Path) -> Store:
    """An empty store that keeps."""
    store = Store(root / ".kept" / "made")
    store.make_room()
    return store


def figures(found: Assembly) -> list[object]:
    """All that a price or a page takes of an assembly."""
    return [
        (
            one.size, one.choice, one.key, one.suspension, dict(one.made.tallies), one.made.seam_mm, one.made.rim_mm,
            one.made.joints, dict(one.made.wires), one.made.parts, one.made.bead, one.made.foil, one.made.solder,
        )
        for one in found.pieces
    ]  # fmt: skip


@pytest.mark.parametrize("slug", [path.name for path in sorted((ROOT / "content" / "products").iterdir())])
def test_kept_is_what_was_made(content: Content, tmp_path: Path, slug: str) -> None:
    """Every figure and every finding comes back from the store to the last digit, and so do the outlines."""
    product = next(one for one in content.products if one.slug == slug)
    assembler = Assembler(content, store_in(tmp_path))
    made, kept = assembler.assemble(product), assembler.assemble(product)
    assert figures(kept) == figures(made)
    assert kept.findings == made.findings
    for one, other in zip(made.pieces, kept.pieces, strict=True):
        assert [cut.shape for cut in one.made.cuts] == [cut.shape for cut in other.made.cuts]


def test_nothing_is_measured_twice(content: Content, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A product in the store is not measured."""
    product = next(one for one in content.products if one.slug == SLUGS[1])
    assembler = Assembler(content, store_in(tmp_path))
    assembler.assemble(product)
    monkeypatch.setattr(module, "hang", lambda *_: pytest.fail("it was hung again"))
    assert len(assembler.assemble(product).pieces) > 1


@pytest.mark.parametrize(
    ("file", "old", "new", "same"),
    [
        ("material_prices.csv", "", "\nglass-tide,2026-11-20,99.00,", True),
        ("studio.toml", 'hourly_rate = "19.00"', 'hourly_rate = "29.00"', True),
        ("studio.toml", 'tagline = "', 'tagline = "Small ', True),
        ("products/two-waxcaps/product.md", "title: Two waxcaps", "title: Three waxcaps", False),
        ("products/net-loft-panel/product.md", "title: Net loft", "title: Sail loft", True),
        ("material_prices.csv", "", "\nring-brass-8,2026-11-20,99.00,", False),
    ],
)
def test_key_moves_with_what_matters(tmp_path: Path, file: str, old: str, new: str, same: bool) -> None:
    """A price of glass, a wage or another product leave a product's making as it is; its record does not.

    A price of hardware may: of two rings that hold alike the cheaper one is taken.
    """
    project = lay_out(tmp_path / "studio", *SLUGS)
    before = read_content(project, DAY)
    path = project / "content" / file
    if old:
        reworded(path, (old, new))
    else:
        rings = [name for name, one in before.materials.rows.items() if one.kind == "ring"]
        text = path.read_text(encoding="utf-8").rstrip() + new.replace("ring-brass-8", rings[0]) + "\n"
        path.write_text(text, encoding="utf-8")
    after = read_content(project, DAY)
    keys = [
        Assembler(found, store_in(tmp_path)).key(next(one for one in found.products if one.slug == "two-waxcaps"))
        for found in (before, after)
    ]
    assert (keys[0] == keys[1]) == same


@pytest.mark.parametrize("harm", [b"{}", b"not json", b'{"pieces": [], "findings": 3}'])
def test_entry_of_another_kind_is_made_anew(content: Content, tmp_path: Path, harm: bytes) -> None:
    """An entry that is whole, but not what this version writes, counts for nothing."""
    product = next(one for one in content.products if one.slug == SLUGS[1])
    store = store_in(tmp_path)
    assembler = Assembler(content, store)
    made = assembler.assemble(product)
    store.keep("assembly", assembler.key(product), harm)
    assert figures(assembler.assemble(product)) == figures(made)
