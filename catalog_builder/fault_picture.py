"""Pictures of drawings that are wrong, the spots ringed, for the bench: ``site_output/bench/faults/``."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from catalog_builder.mistake import Mistake, MistakeError
from catalog_builder.pattern.drawing import read_drawing
from catalog_builder.pattern.marking import with_marks
from catalog_builder.pictures.fault import fault_svg
from catalog_builder.publish.folder import FAULTS
from catalog_builder.records.product import read_product

MOST_SPOTS = 30


def picture_faults(project: Path, mistakes: Sequence[Mistake]) -> tuple[str, ...]:
    """Draw each faulty drawing with its spots ringed, and give the pictures' paths from the project's folder.

    Nothing that was published is touched. A drawing that cannot be read has no picture; nor has anything else where
    the folder cannot be written.
    """
    written = []
    for slug in sorted({slug for mistake in mistakes if mistake.spot is not None and (slug := _product(mistake))}):
        mine = [mistake for mistake in mistakes if mistake.spot is not None and _product(mistake) == slug]
        try:
            product = read_product(project, project / "content" / "products" / slug)
            svg = fault_svg(with_marks(read_drawing(product.drawing), product), mine[:MOST_SPOTS], product.keys.title)
            folder = project / "site_output" / "bench" / FAULTS
            folder.mkdir(parents=True, exist_ok=True)
            fresh = folder / f".{slug}.svg"
            fresh.write_text(svg, encoding="utf-8")
            fresh.replace(folder / f"{slug}.svg")
        except (MistakeError, OSError):
            continue
        written.append(f"site_output/bench/{FAULTS}/{slug}.svg")
    return tuple(written)


def _product(mistake: Mistake) -> str | None:
    """Give the product's folder that a mistake's place lies in."""
    parts = Path(mistake.place.path).parts
    return parts[2] if len(parts) > 3 and parts[:2] == ("content", "products") else None
