"""A variant made otherwise (batch, size, pieces, finish, glass), costed by the stages that cost every variant."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from catalog_builder.mistake import MistakeError
from catalog_builder.piece.assembly import AssembledPiece, Assembler
from catalog_builder.pricing.calculation import VariantCalculation
from catalog_builder.pricing.cost import Cost
from catalog_builder.pricing.suppositions.given_price import Alteration, GivenPrice, Remainder, least_change
from catalog_builder.pricing.variant_pricer import VariantPricer
from catalog_builder.records.product import Product
from catalog_builder.records.product_size import SizeKeys

# As large as a record may say; whether so many can be made and sold is the maker's to judge.
LARGEST_BATCH = 1000
# Widths are tried down to this share of the present one: much less would be another design.
LEAST_WIDTH = 0.5


@dataclass(frozen=True, slots=True)
class OtherMakings:
    """The ways to make a variant otherwise; ``variants`` are all of its product."""

    variant: VariantCalculation
    variants: Sequence[VariantCalculation]
    assembler: Assembler
    pricer: VariantPricer

    def batch(self, given: GivenPrice) -> Alteration[int] | None:
        """Give the smallest batch in which a price pays, or the largest where none pays."""
        product, batch = self.variant.product, self.variant.batch

        def leaves(count: int) -> Remainder:
            keys = product.keys.model_copy(update={"batch": count})
            return given.leaves(self._cost(replace(product, keys=keys), self.variant.assembled, self.variant.finish))

        return least_change(batch, LARGEST_BATCH, leaves)

    def width(self, given: GivenPrice) -> Alteration[int] | None:
        """Give the largest width in mm, under the present one, at which a price pays, or the smallest that was tried.

        The drawing is scaled, measured and hung anew at each width.
        """
        width_mm = self._finished_mm()

        def leaves(width: int) -> Remainder | None:
            try:
                product = self._at_width(width, width_mm)
                (piece,) = self.assembler.assemble(product).pieces
            except MistakeError:
                return None
            return given.leaves(self.pricer.cost(product, piece, self.variant.finish, None).cost)

        change = least_change(math.ceil(width_mm), math.ceil(width_mm * LEAST_WIDTH), leaves)
        return change and replace(change, old=round(width_mm))

    def pieces(self, given: GivenPrice) -> Alteration[int] | None:
        """Give the largest number of pieces, under the present one, at which a price pays, or the smallest.

        An estimate: with each piece less an equal share of the seams goes, of their joints, foil and solder. The glass
        stays.
        """
        cut = {word: tally.count for word, tally in self.variant.made.tallies.items() if not self._is_ready_made(word)}
        pieces = self.variant.made.pieces

        def leaves(count: int) -> Remainder:
            piece = self._with_fewer(pieces - count, cut)
            return given.leaves(self._cost(self.variant.product, piece, self.variant.finish))

        return least_change(pieces, pieces - sum(count - 1 for count in cut.values()), leaves)

    def sizes(self, given: GivenPrice) -> Iterator[Alteration[str]]:
        """Give the other sizes of the record."""
        for each in self._others():
            if (each.finish, each.choice) == (self.variant.finish, self.variant.choice):
                yield Alteration(self.variant.size, each.size, given.leaves(each.cost))

    def glasses(self, given: GivenPrice) -> Iterator[Alteration[str]]:
        """Give the other choices of glass of the record."""
        for each in self._others():
            if (each.size, each.finish) == (self.variant.size, self.variant.finish):
                yield Alteration(self.variant.choice, each.choice, given.leaves(each.cost))

    def _others(self) -> Iterator[VariantCalculation]:
        return (each for each in self.variants if each.offer.sku != self.variant.offer.sku)

    def finishes(self, given: GivenPrice) -> Iterator[Alteration[str]]:
        """Give the other finishes of the studio, whether the record offers them or not."""
        for finish in self.pricer.studio.finishes:
            if finish != self.variant.finish:
                cost = self._cost(self.variant.product, self.variant.assembled, finish)
                yield Alteration(self.variant.finish, finish, given.leaves(cost))

    def _cost(self, product: Product, piece: AssembledPiece, finish: str) -> Cost:
        glass = self.variant.glass
        share = glass.share if glass is not None and glass.share.adopted else None
        return self.pricer.cost(product, piece, finish, None, share).cost

    def _is_ready_made(self, word: str) -> bool:
        return self.variant.made.glass[word].ready_made

    def _finished_mm(self) -> float:
        """Give the width that the record's sizes are measured by: of the glass, or of the frame outside."""
        made, keys = self.variant.made, self.variant.product.keys
        outside = made.frame is not None and keys.frame is not None and keys.frame.sizes == "outside"
        return made.frame.outside_mm[0] if outside and made.frame is not None else made.main.pattern.width_mm

    def _at_width(self, width: int, drawn_mm: float) -> Product:
        """Give the product as its record would be with one size alone, of another width."""
        product, size, choice = self.variant.product, self.variant.size or "width", self.variant.choice
        keys = product.keys
        known = keys.first_width_mm or drawn_mm
        changed = {
            "width": known,
            "sizes": {size: SizeKeys(width=float(width), title=None)},
            "glass": {choice: keys.glass[choice]},
        }
        # What is kept from one build to the next is known by the record's text.
        source = replace(product.source, text=f"{product.source.text}\n{size}: {width}mm, {choice}")
        return replace(product, keys=keys.model_copy(update=changed), source=source)

    def _with_fewer(self, fewer: int, counts: dict[str, int]) -> AssembledPiece:
        """Give the piece with so many pieces less, taken where most are; ``counts`` are those cut of each glass."""
        piece, made, left = self.variant.assembled, self.variant.made, dict(counts)
        for _ in range(fewer):
            left[max(left, key=lambda word: left[word])] -= 1
        stays = 1 - fewer / (made.pieces - 1)
        edge_mm = sum(made.tallies[word].edge_mm for word in left)
        # Both sides of a seam are foiled; pieces bought ready keep their edges.
        edge_stays = max(0.0, 1 - 2 * made.seam_mm * (1 - stays) / edge_mm)
        tallies = {
            word: replace(tally, count=left[word], edge_mm=tally.edge_mm * edge_stays) if word in left else tally
            for word, tally in made.tallies.items()
        }
        parts = tuple(
            replace(part, mass_g=part.mass_g * stays) if part.name in ("seam", "joints") else part
            for part in piece.suspension.body.parts
        )
        suspension = replace(piece.suspension, body=replace(piece.suspension.body, parts=parts))
        changed = replace(made, tallies=tallies, seam_mm=made.seam_mm * stays, joints=round(made.joints * stays))
        return replace(piece, made=changed, suspension=suspension)
