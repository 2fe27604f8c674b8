"""Names in a record that must be elsewhere in content/, and keys of a record that contradict each other."""

from __future__ import annotations

from collections.abc import Sequence

from catalog_builder.mistake import Mistakes, listed, quoted, suggestion
from catalog_builder.records.hardware_kind import Fixing, HardwareKind
from catalog_builder.records.material import FRAME_KINDS
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
    if keys.frame is not None:
        frames = {name for kind in FRAME_KINDS for name in names(kind)}
        check(keys.frame.material, frames, "the came or moulding", "materials.csv", "frame", "material")
    if keys.hang.material is not None:
        kind = keys.hang.by.bought_as
        check(keys.hang.material, names(kind), f"the {kind}", "materials.csv", "hang", "material")
    _check_contradictions(product, mistakes)
    _check_screws(product, materials, mistakes)


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
    _check_hang(product, mistakes)
    if keys.hang.by.needs_length and keys.hang.length is None:
        mistakes.add(
            product.source.place(product.line("hang")),
            wrong=f"it {'hangs by' if keys.hang.by.hangs else 'stands on'} a {keys.hang.by} that has no length",
            expected="`length:` with a unit, such as 300 mm",
            mend="add the whole length",
        )
    _check_frame(product, mistakes)
    if len(set(keys.finishes)) < len(keys.finishes):
        mistakes.add(
            product.source.place(product.line("finishes")),
            wrong="a finish stands twice",
            expected="each finish once",
            mend="take one out",
        )


def _check_frame(product: Product, mistakes: Mistakes) -> None:
    """Refuse a frame round what is not one flat panel, or together with a loop along the rim that it takes in."""
    keys = product.keys
    if keys.frame is None:
        return
    if keys.parts:
        mistakes.add(
            product.source.place(product.line("frame")),
            wrong=f"it has a frame, and parts that stand out of its plane: {listed(keys.parts)}",
            expected="a frame round one flat panel",
            mend="take `frame:` out, or make the parts products of their own",
        )
    if keys.hang.by.fixing is Fixing.ALONG_RIM:
        mistakes.add(
            product.source.place(product.line("hang", "by")),
            wrong="it hangs by a loop along its rim, which sits in the frame",
            expected="rings on the frame: any other way of hanging",
            mend="write `by: ring`, or take `frame:` out",
        )


def _check_screws(product: Product, materials: Materials, mistakes: Mistakes) -> None:
    """Refuse what screws into wood where there is none."""
    keys = product.keys
    if keys.hang.by.fixing is not Fixing.IN_FRAME:
        return
    name = keys.frame.material if keys.frame is not None else None
    frame = materials.rows.get(name) if name is not None else None
    if name is None:
        wrong = f"it hangs by a {keys.hang.by}, and has no frame that it goes into"
    elif frame is not None and frame.kind == "came":
        wrong = f"it hangs by a {keys.hang.by}, and its frame {name!r} is metal, which takes no screw"
    else:
        return
    known = {material.material for material in materials.of_kind("moulding")}
    mistakes.add(
        product.source.place(product.line("hang", "by")),
        wrong=wrong,
        expected=f"a frame of wood: {listed(known)}" if known else "a frame of wood, a moulding of materials.csv",
        mend="write `by: ring`, or write such a moulding as the `material:` of `frame:`",
        marked=str(keys.hang.by),
    )


# Keys of ``hang:`` that say something of a single kind alone.
_OF_KIND = {
    HardwareKind.STAND: ("feet", "down", "tealight"),
    HardwareKind.STAKE: ("in_soil", "soldered"),
}


def _check_hang(product: Product, mistakes: Mistakes) -> None:
    hang = product.keys.hang
    for kind, names in _OF_KIND.items():
        for name in names:
            if name in hang.model_fields_set and hang.by is not kind:
                mistakes.add(
                    product.source.place(product.line("hang", name)),
                    wrong=f"`{name}` says something of a {kind}, but the record says `by: {hang.by}`",
                    expected=f"`{name}` with `by: {kind}` alone",
                    mend=f"take the line out, or write `by: {kind}`",
                    marked=name,
                )


def check_titles(products: Sequence[Product], mistakes: Mistakes) -> None:
    """Refuse a title that another product has."""
    first: dict[str, Product] = {}
    for product in products:
        title = product.keys.title.casefold()
        if title in first:
            other = first[title].source.place(first[title].line("title"))
            mistakes.add(
                product.source.place(product.line("title")),
                wrong=f"the title {quoted(product.keys.title)} is taken by {other}",
                expected="a title of its own for each product",
                mend="change one of the two titles",
                marked=product.keys.title,
            )
        first.setdefault(title, product)


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
