"""What is drawn of a product, with the theme's words on it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from catalog_builder.cache.store import Store, key_of
from catalog_builder.phrase import joined, phrase
from catalog_builder.piece.assembly import AssembledPiece
from catalog_builder.pricing.calculation import VariantCalculation
from catalog_builder.publish.pictures.choice_drawing import Room, look
from catalog_builder.publish.pictures.gallery import PictureModel
from catalog_builder.publish.pictures.set_drawing import SetPiece
from catalog_builder.publish.pictures.standing_drawing import held_svg
from catalog_builder.publish.theme.phrasing import Phrasing
from catalog_builder.publish.weighing import bench_words, buyer_words
from catalog_builder.records.material import Material
from catalog_builder.records.product import Product
from catalog_builder.records.studio import Studio


@dataclass(frozen=True, slots=True)
class _Drawn:
    """What is drawn of a product: a piece, the title of its finish, and the room that all its sizes need."""

    piece: AssembledPiece
    finish: str
    room: Room
    studio: Studio

    @classmethod
    def of(cls, piece: AssembledPiece, finish: str, kin: Iterable[AssembledPiece], studio: Studio) -> _Drawn:
        """Draw a piece with room for all other variants of its product."""
        pieces = tuple(kin)
        most = max(_scale(each, piece) for each in pieces)
        room = Room(most, max(each.suspension.hung_height_mm for each in pieces))
        return cls(piece, studio.finishes[finish].title, room, studio)


def first_model(
    variants: Sequence[VariantCalculation],
    first: str,
    materials: Mapping[str, Material],
    studio: Studio,
    phrasing: Phrasing,
) -> PictureModel:
    """Give what a product's pictures are drawn from; ``first`` is the code of the variant that is offered first."""
    shown = next(variant for variant in variants if variant.offer.sku == first)
    drawn = _Drawn.of(shown.assembled, shown.finish, (variant.assembled for variant in variants), studio)
    return _model(shown.product, drawn, materials, phrasing)


def expected_model(
    product: Product,
    pieces: Sequence[AssembledPiece],
    materials: Mapping[str, Material],
    studio: Studio,
    phrasing: Phrasing,
) -> PictureModel:
    """Give the model that is drawn unless the record's first variant turns out to be sold."""
    drawn = _Drawn.of(pieces[0], product.keys.finishes[0], pieces, studio)
    return _model(product, drawn, materials, phrasing)


def _model(product: Product, drawn: _Drawn, materials: Mapping[str, Material], phrasing: Phrasing) -> PictureModel:
    keys, piece = product.keys, drawn.piece
    names = {material for choice in keys.glass.values() for material in choice.pieces.values()}
    glass_names = joined(sorted(materials[name].public_title for name in names))
    return PictureModel(
        slug=product.slug,
        title=keys.title,
        text=phrasing.say(phrase("product.pattern_text", count=piece.made.pieces, glass=glass_names)),
        made_piece=piece.made,
        suspension=piece.suspension,
        glass=piece.made.glass,
        finish=drawn.finish,
        hanging=buyer_words(keys.title, piece.made, piece.suspension, phrasing),
        key=piece.own_key,
        room=drawn.room,
        shown=product.shown_pattern(drawn.studio.studio.show_pattern),
    )


def _scale(piece: AssembledPiece, drawn: AssembledPiece) -> float:
    return piece.suspension.width_mm / drawn.suspension.width_mm


def looks_of(variants: Sequence[VariantCalculation], first: str, studio: Studio) -> dict[str, str]:
    """Give the look of each variant in the drawing that follows a buyer's choice, by the variants' codes."""
    drawn = next(variant for variant in variants if variant.offer.sku == first).assembled
    looks = {}
    for variant in variants:
        glass = variant.made.glass
        scale = _scale(variant.assembled, drawn)
        looks[variant.offer.sku] = look(sorted(glass), glass, studio.finishes[variant.finish].title, scale)
    return looks


def set_piece(variant: VariantCalculation, studio: Studio) -> SetPiece:
    """Give what a piece of a set is drawn from, in its own size, glass and finish."""
    return SetPiece(
        made_piece=variant.made,
        suspension=variant.suspension,
        glass=variant.made.glass,
        finish=studio.finishes[variant.finish].title,
        key=variant.assembled.key,
        shown=variant.product.shown_pattern(studio.studio.show_pattern) != "no",
    )


def kept_view(product: Product, piece: AssembledPiece, phrasing: Phrasing, theme_key: str, store: Store) -> str:
    """Draw how a piece hangs with what the bench wants to know, or take it from the store."""

    def make() -> bytes:
        words = bench_words(product.keys.title, piece.made, piece.suspension, phrasing)
        return held_svg(piece.made, piece.suspension, words, f"hanging-{product.slug}").encode()

    return store.kept("views", view_key(piece, phrasing, theme_key), make).decode()


def view_key(piece: AssembledPiece, phrasing: Phrasing, theme_key: str) -> str:
    """Give the key of all that ``kept_view`` draws from."""
    return key_of("view", piece.own_key, theme_key, phrasing.wording)
