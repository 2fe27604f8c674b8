"""Pictures of drawings that are wrong, the spots ringed, for the bench: ``site_output/bench/faults/``."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from catalog_builder.mistake import Mistake, MistakeError
from catalog_builder.pattern.marking import with_marks
from catalog_builder.pattern.svg.drawing import read_drawing
from catalog_builder.publish.output.folder import FAULTS
from catalog_builder.publish.pictures.fault_drawing import fault_svg
from catalog_builder.records.product import Product, read_product
from catalog_builder.records.reading.source import lines_of

MOST_SPOTS = 30


def picture_faults(project: Path, mistakes: Sequence[Mistake]) -> tuple[str, ...]:
    """Draw each faulty drawing with its spots ringed, and give the pictures' paths from the project's folder.

    Nothing that was published is touched. A drawing that cannot be read has no picture; nor has anything else where
    the folder cannot be written.
    """
    written = []
    spotted = [mistake for mistake in mistakes if mistake.spot is not None]
    for slug in sorted({slug for mistake in spotted if (slug := _product(mistake))}):
        try:
            product = read_product(project, project / "content" / "products" / slug)
            mine: dict[str, list[Mistake]] = {}
            for mistake in spotted:
                if _product(mistake) == slug:
                    mine.setdefault(_part(product, mistake), []).append(mistake)
            for part, told in mine.items():
                written.append(_pictured(project, product, part, told))
        except (MistakeError, OSError):
            continue
    return tuple(written)


def _pictured(project: Path, product: Product, part: str, mistakes: Sequence[Mistake]) -> str:
    """Draw one drawing of a product with its spots ringed, and give the picture's path from the project's folder."""
    source = product.parts[part] if part else product.drawing
    drawing = with_marks(read_drawing(source), product, part)
    folder = project / "site_output" / "bench" / FAULTS
    folder.mkdir(parents=True, exist_ok=True)
    name = "--".join(word for word in (product.slug, part) if word)
    fresh = folder / f".{name}.svg"
    fresh.write_text(fault_svg(drawing, mistakes[:MOST_SPOTS], product.keys.title), encoding="utf-8")
    fresh.replace(folder / f"{name}.svg")
    return f"site_output/bench/{FAULTS}/{name}.svg"


def _part(product: Product, mistake: Mistake) -> str:
    """Give the part whose drawing a mistake stands in, empty for the main drawing."""
    place = mistake.place
    for name, source in product.parts.items():
        last = source.first_line + len(lines_of(source.text))
        if place.path == source.path and place.line is not None and source.first_line <= place.line <= last:
            return name
    return ""


def _product(mistake: Mistake) -> str | None:
    """Give the product's folder that a mistake's place lies in."""
    parts = Path(mistake.place.path).parts
    return parts[2] if len(parts) > 3 and parts[:2] == ("content", "products") else None
