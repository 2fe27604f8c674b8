"""Names in a record that must stand elsewhere, and what a record says against itself."""

from __future__ import annotations

from catalog_builder.mistake import Mistake, listed, nearest
from catalog_builder.records.materials import Materials
from catalog_builder.records.product import Product
from catalog_builder.records.studio import Studio


def check_names(product: Product, studio: Studio, materials: Materials) -> list[Mistake]:
    """Find what a record names that is not there: collection, finishes, glass and other materials."""
    keys = product.keys
    mistakes = []

    def check(word: str, known: set[str], what: str, where: str, *path: str | int) -> None:
        if word not in known:
            guess = nearest(word, known)
            mistakes.append(
                Mistake(
                    place=product.source.place(product.line(*path)),
                    wrong=f"{what} {word!r} is not in {where}",
                    expected=f"one of: {listed(known)}" if known else f"a name from {where}, which has none yet",
                    mend=f"did you mean {guess!r}?" if guess else f"correct the name, or add it to {where}",
                    marked=word,
                )
            )

    def names(kind: str) -> set[str]:
        return {material.material for material in materials.of_kind(kind)}

    check(keys.collection, set(studio.collections), "the collection", "studio.toml", "collection")
    for index, finish in enumerate(keys.finishes):
        check(finish, set(studio.finishes), "the finish", "studio.toml", "finishes", index)
    for choice, glass in keys.glass.items():
        for word, material in glass.pieces.items():
            check(material, names("glass"), "the glass", "materials.csv", "glass", choice, "pieces", word)
    for kind, name in (("solder", keys.solder), ("foil", keys.foil)):
        if name is not None:
            check(name, names(kind), f"the {kind}", "materials.csv", kind)
    if keys.hang.material is not None:
        there = names(keys.hang.by)
        check(keys.hang.material, there, f"the {keys.hang.by}", "materials.csv", "hang", "material")
    mistakes.extend(_contradictions(product))
    return mistakes


def _contradictions(product: Product) -> list[Mistake]:
    keys = product.keys
    mistakes: list[Mistake] = []
    if len(keys.glass) > 1:
        mistakes.extend(
            Mistake(
                place=product.source.place(product.line("glass", name)),
                wrong=f"the glass choice {name!r} has no title",
                expected="a title for each choice where there are several",
                mend="add `title:` with the words a buyer reads",
                marked=name,
            )
            for name, choice in keys.glass.items()
            if choice.title is None
        )
    if keys.hang.by.by_length and keys.hang.length is None:
        mistakes.append(
            Mistake(
                place=product.source.place(product.line("hang")),
                wrong=f"it hangs by a {keys.hang.by} that has no length",
                expected="`length:` with a unit, such as 300 mm",
                mend="add the whole length",
            )
        )
    if len(set(keys.finishes)) < len(keys.finishes):
        mistakes.append(
            Mistake(
                place=product.source.place(product.line("finishes")),
                wrong="a finish stands twice",
                expected="each finish once",
                mend="take one out",
            )
        )
    return mistakes
