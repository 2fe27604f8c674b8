"""What is drawn of a product, with the theme's words on it."""

from __future__ import annotations

from catalog_builder.cache.store import Store, key_of
from catalog_builder.phrase import phrase
from catalog_builder.piece.assembly import AssembledPiece
from catalog_builder.publish.pictures.gallery import PictureModel
from catalog_builder.publish.pictures.hanging_drawing import hanging_svg
from catalog_builder.publish.theme.loading import Theme
from catalog_builder.publish.theme.phrasing import Phrasing
from catalog_builder.publish.theme.wording import Wording
from catalog_builder.publish.weighing import bench_words, buyer_words
from catalog_builder.records.content import Content
from catalog_builder.records.product import Product


def picture_model(content: Content, product: Product, first: AssembledPiece, theme: Theme) -> PictureModel:
    """Give what a product's pictures are drawn from: its first size and choice of glass, in its first finish."""
    keys, rows = product.keys, content.materials.rows
    names = {material for choice in keys.glass.values() for material in choice.pieces.values()}
    glass_names = ", ".join(sorted(rows[name].public_title for name in names))
    wording = Wording.of(content.studio.studio)
    pattern_text = phrase("product.pattern_text", count=first.made.pieces, glass=glass_names)
    return PictureModel(
        slug=product.slug,
        title=keys.title,
        text=Phrasing(theme.labels, wording).say(pattern_text),
        made_piece=first.made,
        suspension=first.suspension,
        glass=content.glass(keys.glass[first.choice]),
        finish=content.studio.finishes[keys.finishes[0]].title,
        hanging=buyer_words(keys.title, first.made, first.suspension, theme, wording),
        key=first.key,
    )


def kept_view(product: Product, one: AssembledPiece, theme: Theme, wording: Wording, store: Store) -> str:
    """Draw how a piece hangs with what the bench wants to know, or take it from the store."""

    def make() -> bytes:
        words = bench_words(product.keys.title, one.made, one.suspension, theme, wording)
        return hanging_svg(one.made, one.suspension, words, f"hanging-{product.slug}").encode()

    return store.kept("views", view_key(one, theme, wording), make).decode()


def view_key(one: AssembledPiece, theme: Theme, wording: Wording) -> str:
    """Give the key of all that the bench's drawing of how a piece hangs follows from."""
    return key_of("view", one.key, one.size, one.choice, theme.key, wording)
