"""Names in a record that must be elsewhere in content/, and keys of a record that contradict each other."""

from __future__ import annotations

from collections.abc import Sequence

from catalog_builder.mistake import Mistakes, listed, quoted, suggestion
from catalog_builder.records.materials import Materials
from catalog_builder.records.product import Product
from catalog_builder.records.studio import Studio


def check_names(product: Product, studio: Studio, materials: Materials, mistakes: Mistakes) -> None:
    """Refuse what a record names that is not there: series, finishes, glass and other materials."""
    keys = product.keys

    def check(name: str, known: set[str], what: str, where: str, *path: str | int) -> None:
        if name not in known:
            mistakes.add(
                product.source.place(product.line(*path)),
                wrong=f"{what} {name!r} is not in {where}",
                expected=f"one of: {listed(known)}" if known else f"a name from {where}, which has none yet",
                mend=suggestion(name, known, f"correct the name, or add it to {where}"),
                marked=name,
            )

    def names(kind: str) -> set[str]:
        return {material.material for material in materials.of_kind(kind)}

    check(keys.series, set(studio.series), "the series", "studio.toml", "series")
    for index, finish in enumerate(keys.finishes):
        check(finish, set(studio.finishes), "the finish", "studio.toml", "finishes", index)
    for choice, glass in keys.glass.items():
        for word, material in glass.pieces.items():
            check(material, names("glass"), "the glass", "materials.csv", "glass", choice, "pieces", word)
    for kind, name in (("solder", keys.solder), ("foil", keys.foil)):
        if name is not None:
            check(name, names(kind), f"the {kind}", "materials.csv", kind)
    if keys.hang.material is not None:
        kind = keys.hang.by.bought_as
        check(keys.hang.material, names(kind), f"the {kind}", "materials.csv", "hang", "material")
    _check_contradictions(product, mistakes)


def _check_contradictions(product: Product, mistakes: Mistakes) -> None:
    keys = product.keys
    for name, choice in keys.glass.items():
        if choice.title is None and len(keys.glass) > 1:
            mistakes.add(
                product.source.place(product.line("glass", name)),
                wrong=f"the glass choice {name!r} has no title",
                expected="a title for each choice where there are several",
                mend="add `title:` with the words a buyer reads",
                marked=name,
            )
    if keys.hang.by.by_length and keys.hang.length is None:
        mistakes.add(
            product.source.place(product.line("hang")),
            wrong=f"it hangs by a {keys.hang.by} that has no length",
            expected="`length:` with a unit, such as 300 mm",
            mend="add the whole length",
        )
    if len(set(keys.finishes)) < len(keys.finishes):
        mistakes.add(
            product.source.place(product.line("finishes")),
            wrong="a finish stands twice",
            expected="each finish once",
            mend="take one out",
        )


def check_former_names(products: Sequence[Product], mistakes: Mistakes) -> None:
    """Refuse a former name that a product has today, or that two products had: its page could not lead to both."""
    taken = {product.slug: f"the name of the product {product.slug!r}" for product in products}
    for product in products:
        for index, name in enumerate(product.keys.formerly):
            if name in taken:
                mistakes.add(
                    product.source.place(product.line("formerly", index)),
                    wrong=f"formerly: {quoted(name)} is {taken[name]}",
                    expected="names that only this product's folder had, and that none has today",
                    mend="take it out",
                    marked=name,
                )
            taken.setdefault(name, f"a former name of {product.slug!r} already")
