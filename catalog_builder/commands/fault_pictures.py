"""Pictures of drawings that are wrong, the spots ringed, for the bench: ``site_output/bench/faults/``."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from catalog_builder.cache.atomic_file import replace_file
from catalog_builder.mistake import Mistake, MistakeError
from catalog_builder.pattern.pieces import Fitting, Pattern, find_pieces
from catalog_builder.pattern.sizes import scaled_drawings
from catalog_builder.pattern.svg.drawing import Drawing
from catalog_builder.publish.output.folder import FAULTS
from catalog_builder.publish.pictures.fault_drawing import fault_svg
from catalog_builder.records.product import Product, read_product
from catalog_builder.records.reading.source import lines_of, read
from catalog_builder.records.studio import MOST_STUDIO_BYTES, read_studio


def picture_faults(project: Path, mistakes: Sequence[Mistake]) -> tuple[str, ...]:
    """Draw each faulty drawing with its spots ringed, and give the pictures' paths from the project's folder.

    Nothing that was published is touched. A drawing that cannot be read has no picture; nor has anything else where
    the folder cannot be written.
    """
    written = []
    spotted = [mistake for mistake in mistakes if mistake.spot is not None]
    for slug in sorted({slug for mistake in spotted if (slug := product_of(mistake))}):
        try:
            product = read_product(project, project / "content" / "products" / slug)
            mine: dict[str, list[Mistake]] = {}
            for mistake in spotted:
                if product_of(mistake) == slug:
                    mine.setdefault(_part(product, mistake), []).append(mistake)
            patterns = found_patterns(project, product)
            for part, of_part in mine.items():
                name = "--".join(word for word in (slug, part) if word)
                title = product.keys.title
                written.append(write_picture(project, name, title, *patterns[part], of_part))
        except (MistakeError, OSError):
            continue
    return tuple(written)


def found_patterns(project: Path, product: Product) -> dict[str, tuple[Drawing, Pattern]]:
    """Read a product's drawings by the names of their parts, each with its pieces as far as possible.

    Raises:
        MistakeError: the studio's record or a drawing cannot be read, or a drawing encloses nothing.
    """
    studio = read_studio(read(project, project / "content" / "studio.toml", MOST_STUDIO_BYTES))
    drawings, scales = scaled_drawings(product)
    fitting = Fitting.of(studio.making)
    return {name: (drawing, find_pieces(drawing, scales[name], fitting, None)[0]) for name, drawing in drawings.items()}


def write_picture(
    project: Path, name: str, title: str, drawing: Drawing, pattern: Pattern, mistakes: Sequence[Mistake]
) -> str:
    """Draw a drawing with its spots ringed, and give the picture's path from the project's folder.

    Raises:
        OSError: the folder cannot be written.
    """
    folder = project / "site_output" / "bench" / FAULTS
    folder.mkdir(parents=True, exist_ok=True)
    replace_file(folder / f"{name}.svg", fault_svg(drawing, mistakes, title, pattern).encode())
    return f"site_output/bench/{FAULTS}/{name}.svg"


def _part(product: Product, mistake: Mistake) -> str:
    """Give the part whose drawing a mistake stands in, empty for the main drawing."""
    place = mistake.place
    for name, source in product.parts.items():
        last = source.first_line + len(lines_of(source.text))
        if place.path == source.path and place.line is not None and source.first_line <= place.line <= last:
            return name
    return ""


def product_of(mistake: Mistake) -> str | None:
    """Give the name of the product's folder that a mistake's place lies in."""
    parts = Path(mistake.place.path).parts
    return parts[2] if len(parts) > 3 and parts[:2] == ("content", "products") else None
