"""Fields without glass: those that a drawing or a record marks as open."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from shapely import Polygon

from catalog_builder.pattern.faces import enclosed_voids
from catalog_builder.pattern.flaw import Flaw
from catalog_builder.pattern.unfolding import PointMark, Unfolded


def parted(faces: Sequence[Polygon], marks: Sequence[PointMark]) -> tuple[list[Polygon], list[Polygon], list[Flaw]]:
    """Separate faces of glass from those marked as open, and find such marks that lie in no field."""
    glass_faces, open_fields, flaws = list(faces), list[Polygon](), []
    for point in marks:
        if point.mark.kind == "open":
            open_fields += [face for face in glass_faces if face.contains(point.at)]
            glass_faces = [face for face in glass_faces if not face.contains(point.at)]
            if not point.mirrored and not any(field.contains(point.at) for field in (*faces, *enclosed_voids(faces))):
                at = (point.at.x, point.at.y)
                wrong, mend = "a mark for an open field lies in none", "move it into a field that lines close"
                flaws.append(Flaw(wrong, mend, at, point.mark.line, "the mark inside the field that has no glass"))
    return glass_faces, open_fields, flaws


def without_opened(unfolded: Unfolded, open_fields: Sequence[Polygon]) -> Unfolded:
    """Leave out drawn labels and arrows in fields that the record opens: the drawing may show them as glass."""
    opened = [mark.at for mark in unfolded.point_marks if mark.mark.kind == "open" and mark.mark.line < 0]
    by_record = [field for field in open_fields if any(field.contains(at) for at in opened)]
    kept = (
        mark
        for mark in unfolded.point_marks
        if mark.mark.line < 0 or not any(field.contains(mark.at) for field in by_record)
    )
    return replace(unfolded, point_marks=tuple(kept))
