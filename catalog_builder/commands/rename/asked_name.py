"""What the maker asks to have renamed, checked against the names that there are."""

from __future__ import annotations

from collections.abc import Collection, Sequence

from catalog_builder.commands.rename.new_name import Kind, NewName
from catalog_builder.mistake import MistakeError, Place, listed, quoted, suggestion
from catalog_builder.records.content import Content
from catalog_builder.records.product import Product, by_any_name, check_folder_name
from catalog_builder.records.reading.source import Source
from catalog_builder.records.reading.validation import validate
from catalog_builder.records.reading.values import Name, Record

# Kinds that belong to one product, which is named first.
OF_PRODUCT: tuple[Kind, ...] = ("size", "glass")
# Words that stand for something else where a material is named.
_NO_MATERIAL = {"auto", "overheads"}


class _NameKeys(Record):
    name: Name


def read_asked_name(content: Content, kind: Kind, names: Sequence[str]) -> NewName:
    """Read what is asked: the old name and the new one, of a size or a choice of glass after its product's.

    Raises:
        MistakeError: there is no such name, or the new one is taken or cannot be a name.
    """
    products = {product.slug: product for product in content.products}
    place, owner = _place(kind), frozenset[str]()
    *product_name, old, new = names
    known, taken = _names(content, kind), set[str]()
    if kind == "product":
        taken = {each.slug for each in content.sets}
        taken |= {former for former, each in by_any_name(content.products).items() if each.slug != old}
    if kind in OF_PRODUCT:
        product = _product(products, product_name[0])
        place, owner = product.source.place(), frozenset({product.slug, *product.keys.formerly})
        known = product.keys.sizes if kind == "size" else product.keys.glass
    if old not in known:
        raise MistakeError.at(
            place,
            wrong=f"there is no {_words(kind)} {quoted(old)}",
            expected=f"one of: {listed(known)}" if known else "a name that is there; there is none",
            mend=suggestion(old, known, "correct the old name"),
            marked=old,
        )
    if new in known or new in taken or (kind == "material" and new in _NO_MATERIAL):
        raise MistakeError.at(
            place,
            wrong=f"the name {quoted(new)} is taken",
            expected=f"a name that no {_words(kind)} has or had",
            mend="choose another name",
            marked=new,
        )
    _check(kind, new, place)
    return NewName(kind, old, new, owner)


def _check(kind: Kind, new: str, place: Place) -> None:
    """Refuse what cannot be a name of its kind."""
    if kind == "product":
        check_folder_name(new, Place(path=f"content/products/{new}"))
    validate(_NameKeys, {"name": new}, Source(place.path, ""), lambda _: None)


def _names(content: Content, kind: Kind) -> Collection[str]:
    match kind:
        case "product":
            return {product.slug for product in content.products}
        case "finish":
            return content.studio.finishes
        case "channel":
            return content.studio.channels
        case _:
            return content.materials.rows


def _product(products: dict[str, Product], name: str) -> Product:
    if name in products:
        return products[name]
    raise MistakeError.at(
        Place(path="content/products"),
        wrong=f"there is no product {quoted(name)}",
        expected=f"one of: {listed(products)}",
        mend=suggestion(name, products, "correct the product's name"),
        marked=name,
    )


def _place(kind: Kind) -> Place:
    files = {"product": "content/products", "material": "content/materials.csv"}
    return Place(path=files.get(kind, "content/studio.toml"))


def _words(kind: Kind) -> str:
    return "choice of glass" if kind == "glass" else kind
