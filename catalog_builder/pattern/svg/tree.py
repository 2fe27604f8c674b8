"""An SVG text as a tree of elements: nothing is fetched, nothing runs, nothing grows without bound."""

from __future__ import annotations

import re
from functools import lru_cache

from lxml import etree

from catalog_builder.mistake import MistakeError
from catalog_builder.records.reading.source import Source, lines_of

SVG = "{http://www.w3.org/2000/svg}"
XLINK_HREF = "{http://www.w3.org/1999/xlink}href"
MOST_ELEMENTS = 50_000
MOST_DEPTH = 100
MOST_ENTITIES = 100
# Of one element: lxml looks each value up among all attributes, which takes the square of their number.
MOST_ATTRIBUTES = 500


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
        encoding="utf-8",  # the text is known by now, whatever its declaration says
    )
    first = source.first_line + _blank_lines(source.text)
    try:
        root = etree.fromstring(source.text.lstrip().encode(), parser)
    except etree.XMLSyntaxError as error:
        raise MistakeError.at(
            source.place(first + (error.lineno or 1) - 1),
            wrong=f"the drawing is not well-formed: {_plain_problem(error.msg or '', first)}",
            expected="SVG, each element closed and each attribute in quotation marks",
            mend="mend this line, or save the drawing again",
        ) from None
    if root.tag != SVG + "svg":
        name, bare = etree.QName(root).localname, root.tag == "svg"
        raise MistakeError.at(
            source.place(first),
            wrong="the root is <svg> without its namespace" if bare else f"the root is <{name}>, not <svg>",
            expected='<svg xmlns="http://www.w3.org/2000/svg" ...>',
            mend="add the xmlns attribute to the first element" if bare else "save the drawing as SVG",
        )
    _refuse_large(source, root)
    return root


def _refuse_entities(source: Source) -> None:
    """Refuse entities that fetch or multiply; some programs write plain ones as abbreviations for namespaces."""
    for count, declared in enumerate(re.finditer(r"<!ENTITY\s*([^>]*)", source.text)):
        plain = re.fullmatch(r"[\w.-]+\s+(\"[^\"&%<]{0,300}\"|'[^'&%<]{0,300}')\s*", declared[1])
        if plain is None or count >= MOST_ENTITIES:
            raise MistakeError.at(
                source.place(source.first_line + source.text.count("\n", 0, declared.start())),
                wrong="the drawing declares an entity that could fetch a file or grow without bound",
                expected="plain SVG, entities only as short abbreviations for a text",
                mend="save it from the drawing program as plain SVG",
            )


def _refuse_large(source: Source, root: etree._Element) -> None:
    count, stack = 0, [(root, 1)]
    while stack:
        element, depth = stack.pop()
        count += 1
        if count > MOST_ELEMENTS or depth > MOST_DEPTH:
            raise MistakeError.at(
                source.place(line_of(source, element)),
                wrong=f"the drawing has more than {MOST_ELEMENTS} elements or groups nested over {MOST_DEPTH} deep",
                expected="a pattern of lines and outlines",
                mend="simplify the drawing; trace pictures by hand, not with an automatic tracer",
            )
        if len(element.attrib) > MOST_ATTRIBUTES:
            raise MistakeError.at(
                source.place(line_of(source, element)),
                wrong=f"an element has more than {MOST_ATTRIBUTES} attributes",
                expected="a pattern of lines and outlines",
                mend="save the drawing again as plain SVG",
            )
        stack.extend((child, depth + 1) for child in element)


def _plain_problem(problem: str, first: int) -> str:
    """Give the XML reader's message in plainer words, with the lines of the file."""
    if "empty" in problem or not problem:
        return "it is empty"
    if "HUGE" in problem or "depth" in problem or "amplification" in problem:
        return "it is nested too deep, or a part of it is too long"
    problem = problem.partition(", line")[0]
    return re.sub(r"\bline (\d+)", lambda match: f"on line {int(match[1]) + first - 1}", problem)


# An XML declaration may only stand first; the block of a record may begin with blank lines.
@lru_cache(maxsize=16)
def _blank_lines(text: str) -> int:
    return text[: len(text) - len(text.lstrip())].count("\n")


def line_of(source: Source, element: etree._Element) -> int:
    """Give the line on which an element begins, as its file counts it."""
    ends: object = element.sourceline  # where its first tag ends; None for an element that no file holds
    return _begins(source, ends if isinstance(ends, int) else 1, etree.QName(element).localname)


# A whole drawing may stand on one line: without the cache each of its elements would search that line again.
@lru_cache(maxsize=1024)
def _begins(source: Source, ends: int, name: str) -> int:
    blank = _blank_lines(source.text)
    index = blank + ends - 1
    lines = lines_of(source.text)
    begins = re.compile(rf"<(?:[\w.-]+:)?{re.escape(name)}\b")
    # Some programs give each attribute a line of its own.
    for line in range(index, max(index - 60, blank) - 1, -1):
        if line < len(lines) and begins.search(lines[line]):
            return source.first_line + line
    return source.first_line + index
