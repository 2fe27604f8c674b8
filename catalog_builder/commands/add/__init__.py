"""The command ``add``: the folder of a new product, laid out from a drawing so that ``check`` passes it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from contextlib import contextmanager, suppress
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path

from catalog_builder.commands.add.draft import Draft
from catalog_builder.commands.add.nearest_glass import GlassPick, pick_glass
from catalog_builder.commands.add.new_folder import check_name, place_folder, taken_titles
from catalog_builder.commands.add.piece_groups import Grouping, group_pieces
from catalog_builder.commands.add.rehearsal import rehearse
from catalog_builder.commands.add.source_drawing import SourceDrawing, SourceFile, measure_drawing, read_source
from catalog_builder.commands.fault_pictures import write_picture
from catalog_builder.mistake import MistakeError, Place, WordedFinding
from catalog_builder.phrase import phrase
from catalog_builder.piece.hanging.proposal import RingProposals, propose_rings
from catalog_builder.pricing.calculation import VariantCalculation
from catalog_builder.publish.pictures.label_place import label_place
from catalog_builder.publish.theme.caution_lines import with_studio_words
from catalog_builder.publish.theme.loading import Theme, read_theme
from catalog_builder.publish.theme.phrasing import Phrasing
from catalog_builder.records.drawing.marks import Marks, PieceMark
from catalog_builder.records.materials import Materials, read_materials
from catalog_builder.records.reading.source import read
from catalog_builder.records.studio import MOST_STUDIO_BYTES, Studio, read_studio
from catalog_builder.tracing.trace_options import TraceOptions


@dataclass(frozen=True, slots=True)
class Shelf:
    """What a new product finds in the studio: its records that are not about products, and its theme."""

    project: Path
    day: date
    studio: Studio
    materials: Materials
    theme: Theme


@dataclass(frozen=True, slots=True)
class AddedProduct:
    """A new product: the paths of its files in the project, and what was learned of it."""

    paths: tuple[str, ...]
    title: str
    file: SourceFile
    drawing: SourceDrawing
    grouping: Grouping
    picks: tuple[GlassPick, ...]
    rings: RingProposals
    series: str
    finishes: tuple[str, ...]
    findings: tuple[WordedFinding, ...]


def add_product(project: Path, day: date, name: str, drawing: Path, options: TraceOptions) -> AddedProduct:
    """Lay out the folder of a new product from a drawing, whole or not at all.

    Raises:
        MistakeError: the name cannot be used or is taken, the drawing or the studio has mistakes, ``check`` would
            refuse the product, or the folder cannot be written; nothing is changed.
    """
    check_name(project, name)
    shelf = _read_shelf(project, day)
    file = read_source(drawing, options)
    measured = measure_drawing(file, options.width_mm, shelf.studio.making)
    with _pictured(shelf, name, file, measured):
        if measured.mistakes:
            raise MistakeError(measured.mistakes)
        grouping = group_pieces(measured.pattern.pieces)
        picks = pick_glass(grouping.groups, shelf.materials, day)
        draft = _drafted(shelf, name, measured, file.numbers(measured.pattern), picks)
        with _named(f"content/products/{name}", draft.drawing, file):
            calculated, findings = rehearse(project, day, shelf.theme, name, _files(draft, file))
            rings = _proposals(shelf, calculated.calculations[0])
            if rings.best is not None and not rings.marked:
                draft = draft.with_rings(rings.best.keys)
                _, findings = rehearse(project, day, shelf.theme, name, _files(draft, file))
    files = _files(draft, file)
    if file.traced is not None:
        files[f"{name}-traced.png"] = file.traced.picture
    paths = place_folder(project, name, files)
    series, finishes = draft.series, tuple(draft.finishes)
    return AddedProduct(paths, draft.title, file, measured, grouping, picks, rings, series, finishes, findings)


def _files(draft: Draft, file: SourceFile) -> dict[str, bytes]:
    return {"product.md": draft.text().encode(), draft.drawing: file.source.text.encode()}


def _proposals(shelf: Shelf, variant: VariantCalculation) -> RingProposals:
    making, limits = shelf.studio.making, shelf.studio.hanging
    return propose_rings(variant.made, variant.product, shelf.materials, shelf.day, making, limits)


def _read_shelf(project: Path, day: date) -> Shelf:
    """Read the studio without its products: one that is being mended keeps nobody from adding another.

    Raises:
        MistakeError: with the mistakes of the studio's record, its materials and its theme.
    """
    content = project / "content"
    source = read(project, content / "studio.toml", MOST_STUDIO_BYTES)
    studio = read_studio(source)
    materials = read_materials(*(read(project, content / name) for name in ("materials.csv", "material_prices.csv")))
    theme = read_theme(project, studio.studio.theme, studio.studio.language, source)
    return Shelf(project, day, studio, materials, with_studio_words(theme, studio))


def _drafted(
    shelf: Shelf, name: str, measured: SourceDrawing, numbers: Mapping[str, str], picks: tuple[GlassPick, ...]
) -> Draft:
    pattern = measured.pattern
    words = {piece.number: pick.group.word for pick in picks for piece in pick.group.pieces}
    pieces = [
        PieceMark.model_construct(
            at=label_place(pattern, piece), number=numbers[piece.number], glass=words[piece.number]
        )
        for piece in pattern.pieces
        if not piece.mirrored
    ]
    summary = phrase("new_product.summary", count=len(pattern.pieces))
    return Draft(
        title=_title(name, taken_titles(shelf.project)),
        summary=Phrasing.of(shelf.theme, shelf.studio.studio).say(summary),
        series=next(iter(shelf.studio.series)),
        added=shelf.day,
        width_mm=measured.width_mm,
        finishes=tuple(shelf.studio.finishes),
        picks=picks,
        marks=Marks.model_construct(pieces=tuple(pieces)),
        drawing=f"{name}.svg",
    )


def _title(name: str, taken: set[str]) -> str:
    """Make a title of a folder's name, with a number behind it where another product has that title."""
    words = name.replace("-", " ")
    title, count = words[:1].upper() + words[1:], 1
    while (numbered := title if count == 1 else f"{title} {count}").casefold() in taken:
        count += 1
    return numbered


@contextmanager
def _named(folder: str, drawing: str, file: SourceFile) -> Iterator[None]:
    """Name the maker's own drawing in messages about a folder that is not there yet, its lines those of the drawing."""

    def place(old: Place) -> Place:
        if old.path == f"{folder}/{drawing}":
            return file.place(replace(old, path=file.source.path))
        return Place(path=file.source.path) if old.path.startswith(f"{folder}/") else old

    try:
        yield
    except MistakeError as fault:
        raise MistakeError(replace(each, place=place(each.place)) for each in fault.mistakes) from None


@contextmanager
def _pictured(shelf: Shelf, name: str, file: SourceFile, measured: SourceDrawing) -> Iterator[None]:
    """Draw the places of mistakes in the drawing, and note where the picture is; they are then drawn nowhere else."""
    try:
        yield
    except MistakeError as fault:
        worded = MistakeError(replace(each, spot=None) for each in fault.mistakes)
        spotted = [mistake for mistake in fault.mistakes if mistake.spot is not None]
        if spotted:
            # A picture that cannot be written keeps no message back.
            with suppress(OSError):
                title = name.replace("-", " ")
                picture = write_picture(shelf.project, name, title, measured.drawing, measured.pattern, spotted)
                worded.add_note(f"The places are ringed in {picture}")
        if file.traced is not None:
            worded.add_note(f"To mend its lines by hand: catalog-builder trace {file.source.path}, then add the SVG")
        raise worded from None
