"""What the maker packs in: ``content/boxes.csv``. The file may be missing; then parcels have no size."""

from __future__ import annotations

from decimal import Decimal

from pydantic import Field

from catalog_builder.mistake import Mistakes, Place, listed, suggestion
from catalog_builder.records.reading.entries import read_named_rows
from catalog_builder.records.reading.source import Source
from catalog_builder.records.reading.values import Amount, Line, Name, Record

MOST_SIDE_MM = 3000
MOST_MASS_G = 100_000


class PackingBox(Record):
    """A row of ``boxes.csv``: a box or padded bag of the maker's. Its cost is in ``materials.csv`` only."""

    box: Name = Field(description="the name of the box or padded bag")
    title: Line = Field(description="what the maker calls it; private")
    inner_length_mm: Amount = Field(gt=0, le=MOST_SIDE_MM, description="its three sides inside, in any order ...")
    inner_width_mm: Amount = Field(gt=0, le=MOST_SIDE_MM, description="... the second ...")
    inner_depth_mm: Amount = Field(gt=0, le=MOST_SIDE_MM, description="... and the third, as far as it can be filled")
    wall_mm: Amount = Field(
        Decimal(3), le=50, description="how thick its card or padding is: outside it is larger by twice this"
    )
    mass_g: Amount = Field(gt=0, le=MOST_MASS_G, description="what it weighs with all that goes round the piece")
    holds_g: Amount = Field(gt=0, le=MOST_MASS_G, description="the most that may be put into it")
    padding_mm: Amount = Field(le=500, description="what must be between the piece and the box on each side")
    material: Name | None = Field(
        None,
        description="the packing of materials.csv that it is; for you to find it by, nothing is charged for it here",
    )

    @property
    def inner_mm(self) -> tuple[float, float, float]:
        """Its sides inside, the longest first."""
        return _longest_first(self.inner_length_mm, self.inner_width_mm, self.inner_depth_mm)

    @property
    def outer_mm(self) -> tuple[float, float, float]:
        """Its sides outside, the longest first."""
        wall = 2 * self.wall_mm
        return _longest_first(self.inner_length_mm + wall, self.inner_width_mm + wall, self.inner_depth_mm + wall)


def _longest_first(*sides: Decimal) -> tuple[float, float, float]:
    first, second, third = sorted((float(side) for side in sides), reverse=True)
    return first, second, third


_NUMBERS = {name: "number" for name in PackingBox.model_fields if name.endswith(("_mm", "_g"))}


def read_boxes(source: Source, packing: set[str] | None) -> tuple[PackingBox, ...]:
    """Read the boxes in order of their names; ``packing`` are the packing materials there are, where they are known.

    Raises:
        MistakeError: with every row that is wrong.
    """
    rows = read_named_rows(source, PackingBox, _NUMBERS, lambda box: f"the box {box.box!r}")
    mistakes = Mistakes()
    for line, box in rows.items():
        _check_box(box, source.place(line), packing, mistakes)
    mistakes.raise_if_any()
    return tuple(sorted(rows.values(), key=lambda box: box.box))


def _check_box(box: PackingBox, place: Place, packing: set[str] | None, mistakes: Mistakes) -> None:
    if 2 * float(box.padding_mm) >= box.inner_mm[2]:
        mistakes.add(
            place,
            wrong=f"the box {box.box!r} is full of padding: {box.padding_mm} mm on each side of {box.inner_mm[2]:g} mm",
            expected="padding_mm under half of the shortest side",
            mend="check both numbers; a padded bag's own padding belongs in wall_mm",
            marked=str(box.padding_mm),
        )
    if box.material is not None and packing is not None and box.material not in packing:
        mistakes.add(
            place,
            wrong=f"the material {box.material!r} is not a packing of materials.csv",
            expected=f"the name of a material of the kind packing: {listed(packing) or 'there is none'}",
            mend=suggestion(box.material, packing, "correct the name, or leave the cell empty"),
            marked=box.material,
        )
