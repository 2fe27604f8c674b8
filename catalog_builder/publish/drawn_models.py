"""What is drawn of a product, with the theme's words on it."""

from __future__ import annotations

from collections.abc import Mapping

from catalog_builder.cache.store import Store, key_of
from catalog_builder.phrase import joined, phrase
from catalog_builder.piece.assembly import AssembledPiece
from catalog_builder.pricing.calculation import VariantCalculation
from catalog_builder.publish.pictures.gallery import PictureModel
from catalog_builder.publish.pictures.hanging_drawing import hanging_svg
from catalog_builder.publish.pictures.set_drawing import SetPiece
from catalog_builder.publish.pictures.standing_drawing import standing_svg
from catalog_builder.publish.theme.phrasing import Phrasing
from catalog_builder.publish.weighing import bench_words, buyer_words
from catalog_builder.records.material import Material
from catalog_builder.records.product import Product
from catalog_builder.records.studio import Studio


def picture_model(
    product: Product,
    first: AssembledPiece,
    materials: Mapping[str, Material],
    studio: Studio,
    phrasing: Phrasing,
) -> PictureModel:
    """Give what a product's pictures are drawn from: its first size and choice of glass, in its first finish."""
    keys = product.keys
    names = {material for choice in keys.glass.values() for material in choice.pieces.values()}
    glass_names = joined(sorted(materials[name].public_title for name in names))
    return PictureModel(
        slug=product.slug,
        title=keys.title,
        text=phrasing.say(phrase("product.pattern_text", count=first.made.pieces, glass=glass_names)),
        made_piece=first.made,
        suspension=first.suspension,
        glass={word: materials[name] for word, name in keys.glass[first.choice].pieces.items()},
        finish=studio.finishes[keys.finishes[0]].title,
        hanging=buyer_words(keys.title, first.made, first.suspension, phrasing),
        key=first.key,
        shown=keys.show_pattern or studio.studio.show_pattern,
    )


def set_piece(variant: VariantCalculation, materials: Mapping[str, Material], studio: Studio) -> SetPiece:
    """Give what a piece of a set is drawn from, in its own size, glass and finish."""
    choice = variant.product.keys.glass[variant.choice]
    return SetPiece(
        made_piece=variant.made,
        suspension=variant.suspension,
        glass={word: materials[name] for word, name in choice.pieces.items()},
        finish=studio.finishes[variant.finish].title,
        key=variant.assembled.key,
        shown=(variant.product.keys.show_pattern or studio.studio.show_pattern) != "no",
    )


def kept_view(product: Product, piece: AssembledPiece, phrasing: Phrasing, theme_key: str, store: Store) -> str:
    """Draw how a piece hangs with what the bench wants to know, or take it from the store."""

    def make() -> bytes:
        words = bench_words(product.keys.title, piece.made, piece.suspension, phrasing)
        draw_held = hanging_svg if piece.suspension.stance is None else standing_svg
        return draw_held(piece.made, piece.suspension, words, f"hanging-{product.slug}").encode()

    key = key_of("view", piece.key, piece.size, piece.choice, theme_key, phrasing.wording)
    return store.kept("views", key, make).decode()
