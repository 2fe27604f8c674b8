"""A product assembled: size -> measure -> hang, in each size and choice of glass.

This is the long part of a reckoning, and no price moves it. What comes of it is kept from one build to the next.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import partial
from typing import Annotated

from pydantic import Field, TypeAdapter, ValidationError

from catalog_builder.cache.store import Store, key_of, program
from catalog_builder.mistake import Finding
from catalog_builder.pattern.outlines import Outlines
from catalog_builder.piece.hanging.suspension import Suspension, hang
from catalog_builder.piece.made_piece import MadePiece, make
from catalog_builder.records.content import Content
from catalog_builder.records.product import Product

# What is chosen by its price where two would hold alike.
HARDWARE = ("ring", "hook", "cord", "chain")


@dataclass(frozen=True, slots=True)
class AssembledPiece:
    """A product in one of its sizes and choices of glass: how it is made and how it hangs.

    ``key`` is that of all that the product's making and hanging follow from.
    """

    size: str
    choice: str
    made: MadePiece
    suspension: Suspension
    key: Annotated[str, Field(exclude=True)] = ""


@dataclass(frozen=True, slots=True)
class Assembly:
    """A product in all its sizes and choices of glass, and what the bench should know of its drawings.

    ``findings`` are by the name of the size.
    """

    pieces: tuple[AssembledPiece, ...]
    findings: dict[str, tuple[Finding, ...]]


_KEPT = TypeAdapter(Assembly)


class Assembler:
    """Assembles products, or takes from the store what an earlier build assembled."""

    def __init__(self, content: Content, store: Store) -> None:
        self.content = content
        self.store = store
        materials, studio = content.materials, content.studio
        hardware = {one.material: materials.price(one.material, content.day)
                    for kind in HARDWARE for one in materials.of_kind(kind)}  # fmt: skip
        self._shared = key_of(program(), studio.making, studio.hanging, dict(materials.rows), hardware)

    def key(self, product: Product) -> str:
        """Give the key of all that a product's assembly follows from."""
        return key_of(self._shared, product.slug, product.source, product.drawing, product.parts)

    def assemble(self, product: Product) -> Assembly:
        """Measure and hang a product in each size and choice of glass.

        Raises:
            MistakeError: with the faults of its drawings or its hardware.
        """
        key, outlines = self.key(product), self._outlines(product)
        kept = self.store.find("assembly", key)
        if kept is not None:
            try:
                found = _KEPT.validate_json(kept, context=self.content.materials.rows)
                return replace(found, pieces=tuple(_outlined(one, outlines, key) for one in found.pieces))
            except ValidationError:
                pass  # of another version: assembled anew
        assembly = self._assembled(product, outlines, key)
        self.store.keep("assembly", key, _KEPT.dump_json(assembly))
        return assembly

    def _outlines(self, product: Product) -> Outlines:
        return Outlines(product, self.content.studio.making, self.content.materials)

    def _assembled(self, product: Product, outlines: Outlines, key: str) -> Assembly:
        content, pieces = self.content, list[AssembledPiece]()
        measured = outlines.measured()  # size, measure
        for size, one in measured.items():
            for choice, glass in product.keys.glass.items():
                made = make(content, product, glass, one)
                suspension = hang(content, product, glass, made)  # hang
                suspension = replace(suspension, body=suspension.body.summed)
                pieces.append(_outlined(AssembledPiece(size, choice, made, suspension), outlines, key))
        return Assembly(tuple(pieces), {size: one.findings for size, one in measured.items()})


def _outlined(one: AssembledPiece, outlines: Outlines, key: str) -> AssembledPiece:
    return replace(one, made=replace(one.made, measured=partial(outlines.at, one.size)), key=key)
