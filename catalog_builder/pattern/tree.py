"""An SVG text as a tree of elements: nothing is fetched, nothing runs, nothing grows without bound."""

from __future__ import annotations

import re

from lxml import etree

from catalog_builder.mistake import Mistake, MistakeError
from catalog_builder.records.source import Source

SVG = "{http://www.w3.org/2000/svg}"
XLINK_HREF = "{http://www.w3.org/1999/xlink}href"
MOST_ELEMENTS = 50_000
MOST_DEPTH = 200
MOST_ENTITIES = 100


def parse(source: Source) -> etree._Element:
    """Parse SVG 2 and give its root.

    Raises:
        MistakeError: it is not XML, not SVG, declares entities that fetch or multiply, or is too large.
    """
    _refuse_entities(source)
    parser = etree.XMLParser(
        resolve_entities="internal",  # type: ignore[arg-type] # the stubs are older than this setting
        no_network=True,
        load_dtd=False,
        huge_tree=False,
        remove_comments=True,
        remove_pis=True,
    )
    # An XML declaration may only stand first; the block of a record may begin with blank lines.
    text = source.text.lstrip()
    skipped = source.text[: len(source.text) - len(text)].count("\n")
    try:
        root = etree.fromstring(text.encode(), parser)
    except etree.XMLSyntaxError as error:
        line = source.first_line + skipped + (error.lineno or 1) - 1
        raise fault(
            source,
            line,
            f"the drawing is not well-formed: {(error.msg or 'it ends too early').partition(', line')[0]}",
            "SVG, each element closed and each attribute in quotation marks",
            "mend this line, or save the drawing again",
        ) from None
    if root.tag != SVG + "svg":
        found = etree.QName(root).localname
        wrong = "the root is <svg> without its namespace" if root.tag == "svg" else f"the root is <{found}>, not <svg>"
        raise fault(
            source,
            source.first_line + skipped,
            wrong,
            '<svg xmlns="http://www.w3.org/2000/svg" ...>',
            "add the xmlns attribute to the first element" if root.tag == "svg" else "save the drawing as SVG",
        )
    _refuse_large(source, root)
    return root


def _refuse_entities(source: Source) -> None:
    """Take plain abbreviations, as some programs write for namespaces, and nothing that fetches or multiplies."""
    for count, declared in enumerate(re.finditer(r"<!ENTITY\s*([^>]*)", source.text)):
        plain = re.fullmatch(r"[\w.-]+\s+(\"[^\"&%<]{0,300}\"|'[^'&%<]{0,300}')\s*", declared[1])
        if plain is None or count >= MOST_ENTITIES:
            raise fault(
                source,
                source.first_line + source.text.count("\n", 0, declared.start()),
                "the drawing declares an entity that could fetch a file or grow without bound",
                "plain SVG, entities only as short abbreviations for a text",
                "save it from the drawing program as plain SVG",
            )


def _refuse_large(source: Source, root: etree._Element) -> None:
    count, stack = 0, [(root, 1)]
    while stack:
        element, depth = stack.pop()
        count += 1
        if count > MOST_ELEMENTS or depth > MOST_DEPTH:
            raise fault(
                source,
                line_of(source, element),
                f"the drawing has more than {MOST_ELEMENTS} elements or groups nested over {MOST_DEPTH} deep",
                "a pattern of lines and outlines",
                "simplify the drawing; trace pictures by hand, not with an automatic tracer",
            )
        stack.extend((child, depth + 1) for child in element)


def line_of(source: Source, element: etree._Element) -> int:
    """Give the line of an element as its file counts it."""
    text = source.text
    skipped = text[: len(text) - len(text.lstrip())].count("\n")
    line: object = element.sourceline  # None for an element that no file holds
    return source.first_line + skipped + (line if isinstance(line, int) else 1) - 1


def fault(source: Source, line: int | None, wrong: str, expected: str, mend: str) -> MistakeError:
    """Make a mistake about a line of a drawing, ready to raise."""
    place = source.place(line)
    return MistakeError([Mistake(place=place, wrong=wrong, expected=expected, mend=mend)])
