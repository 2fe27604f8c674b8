"""A stored assembly is the one that would be made again, and only what it follows from makes it again."""

from __future__ import annotations

from pathlib import Path

import pytest

from catalog_builder.cache.store import Store
from catalog_builder.piece import assembly as module
from catalog_builder.piece.assembly import Assembler, Assembly
from catalog_builder.records.content import Content, read_content
from catalog_builder.records.hardware_kind import HardwareKind
from catalog_builder.records.product import Product
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


def assembler_in(root: Path, content: Content) -> Assembler:
    """An assembler with an empty store."""
    studio = content.studio
    return Assembler(content.materials, studio.making, studio.hanging, content.day, store_in(root))


def product_of(content: Content, slug: str) -> Product:
    """A product by its slug."""
    return next(product for product in content.products if product.slug == slug)


def figures(assembly: Assembly) -> list[object]:
    """All that a price or a page takes of an assembly."""
    return [
        (
            piece.size, piece.choice, piece.key, piece.suspension, dict(piece.made.glass), dict(piece.made.tallies),
            piece.made.seam_mm, piece.made.rim_mm, piece.made.joints, dict(piece.made.wires), piece.made.parts,
            piece.made.bead, piece.made.foil, piece.made.solder,
        )
        for piece in assembly.pieces
    ]  # fmt: skip


@pytest.mark.parametrize("slug", [path.name for path in sorted((ROOT / "content" / "products").iterdir())])
def test_stored_assembly_is_the_one_that_was_made(content: Content, tmp_path: Path, slug: str) -> None:
    """Every figure and every finding comes back from the store to the last digit, and so do the outlines."""
    product, assembler = product_of(content, slug), assembler_in(tmp_path, content)
    made, stored = assembler.assemble(product), assembler.assemble(product)
    assert figures(stored) == figures(made)
    assert stored.findings == made.findings
    for piece, again in zip(made.pieces, stored.pieces, strict=True):
        assert [cut.shape for cut in piece.made.cuts] == [cut.shape for cut in again.made.cuts]


def test_nothing_is_measured_twice(content: Content, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A product in the store is not measured."""
    product, assembler = product_of(content, SLUGS[1]), assembler_in(tmp_path, content)
    assembler.assemble(product)
    monkeypatch.setattr(module, "hang_piece", lambda *_: pytest.fail("it was hung again"))
    assert len(assembler.assemble(product).pieces) > 1


@pytest.mark.parametrize(
    ("file", "old", "new", "same"),
    [
        ("material_prices.csv", "", "\nglass-tide,2026-11-20,99.00,", True),
        ("studio.toml", 'hourly_rate = "19.00"', 'hourly_rate = "29.00"', True),
        ("studio.toml", 'tagline = "', 'tagline = "Small ', True),
        ("products/two-waxcaps/product.md", "title: Two waxcaps", "title: Three waxcaps", False),
        ("products/net-loft-panel/product.md", "title: Net loft", "title: Sail loft", True),
        ("material_prices.csv", "", "\nHARDWARE,2026-11-20,99.00,", False),
    ],
)
def test_key_moves_with_what_matters(tmp_path: Path, file: str, old: str, new: str, same: bool) -> None:
    """A price of glass, a wage or another product leave a product's making as it is; its record does not.

    A price of hardware may change it: of two rings that hold alike the cheaper one is taken.
    """
    project = lay_out(tmp_path / "studio", *SLUGS)
    before = read_content(project, DAY)
    path = project / "content" / file
    if old:
        reworded(path, (old, new))
    else:
        ring, *_ = before.materials.of_kind(HardwareKind.RING)
        text = path.read_text(encoding="utf-8").rstrip() + new.replace("HARDWARE", ring.material) + "\n"
        path.write_text(text, encoding="utf-8")
    keys = [
        assembler_in(tmp_path, content).key(product_of(content, "two-waxcaps"))
        for content in (before, read_content(project, DAY))
    ]
    assert (keys[0] == keys[1]) == same


@pytest.mark.parametrize("harm", [b"{}", b"not json", b'{"pieces": [], "findings": 3}'])
def test_entry_of_another_version_is_made_again(content: Content, tmp_path: Path, harm: bytes) -> None:
    """An entry that is whole, but not what this version writes, counts for nothing."""
    product, store = product_of(content, SLUGS[1]), store_in(tmp_path)
    studio = content.studio
    assembler = Assembler(content.materials, studio.making, studio.hanging, content.day, store)
    made = assembler.assemble(product)
    store.keep("assembly", assembler.key(product), harm)
    assert figures(assembler.assemble(product)) == figures(made)
