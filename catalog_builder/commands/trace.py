"""A photo or scan of a drawing on paper becomes an SVG of line work, and a picture to check it by."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from catalog_builder.cache.atomic_file import replace_file
from catalog_builder.commands.disk_faults import reason_of
from catalog_builder.mistake import MistakeError, Mistakes, Place
from catalog_builder.tracing.trace_finding import TraceFinding
from catalog_builder.tracing.trace_options import TraceOptions
from catalog_builder.tracing.traced_drawing import TracedDrawing, drawing_of

# More places than this are counted, not listed.
_MOST_LISTED = 12


def trace_file(file: Path, output: Path | None, options: TraceOptions) -> tuple[str, ...]:
    """Trace a picture, write the SVG and the PNG beside it, and give the lines to print.

    Raises:
        MistakeError: the picture cannot be traced, or one of the two files is there already; nothing was written.
    """
    drawing_path, picture_path = _outputs(file, output)
    drawing = drawing_of(file, options)
    _write(drawing_path, drawing.svg.encode())
    _write(picture_path, drawing.picture)
    return (
        *traced_lines(drawing),
        f"Wrote {drawing_path}",
        f"      {picture_path}  (look at it: lines, numbers, places)",
    )


def _outputs(file: Path, output: Path | None) -> tuple[Path, Path]:
    """Give the paths of the drawing and of its picture.

    Raises:
        MistakeError: the drawing is not to be an SVG, its folder is missing, or one of the two is there already.
    """
    drawing = output if output is not None else file.with_suffix(".svg")
    if drawing.suffix.lower() != ".svg":
        raise MistakeError.at(
            Place(path="-o"),
            wrong=f"{drawing.name} is no name of an SVG",
            expected="a path that ends in .svg",
            mend="give the file that ending; the picture to check it by gets .png",
        )
    picture = drawing.with_suffix(".png")
    if picture.resolve() == file.resolve():
        picture = drawing.with_name(f"{drawing.stem}-traced.png")
    mistakes = Mistakes()
    for path in (drawing, picture):
        if path.exists() or path.is_symlink():
            mistakes.add(
                Place(path=path.as_posix()),
                wrong="there is such a file already",
                expected="a name that is free: a traced drawing never replaces anything",
                mend="move or delete the file, or choose another name with -o",
            )
    if not drawing.parent.is_dir():
        mistakes.add(
            Place(path=drawing.parent.as_posix()),
            wrong="there is no such folder",
            expected="a folder that is there",
            mend="make the folder, or choose another one with -o",
        )
    mistakes.raise_if_any()
    return drawing, picture


def _write(path: Path, data: bytes) -> None:
    try:
        replace_file(path, data)
    except OSError as fault:
        why, mend = reason_of(fault)
        place = Place(path=path.as_posix())
        raise MistakeError.at(
            place, wrong=f"it cannot be written: {why}", expected="a folder that you may write", mend=mend
        ) from None


def traced_lines(drawing: TracedDrawing) -> list[str]:
    """Word what was traced, by what scale, what was left out and closed, and what to look at."""
    size = f"{drawing.width_mm:.1f} x {drawing.height_mm:.1f} mm"
    lines = [
        f"{_counted(len(drawing.fields), 'field')} and {_counted(drawing.lines, 'line')}, {size};"
        f" the pen's line is {drawing.pen_mm:.1f} mm wide",
        f"scale: {drawing.scale.text}; sure to {drawing.scale.sure_mm:.1f} mm over the width",
    ]
    if drawing.left_out:
        lines.append(f"left out: {_counted(drawing.left_out, 'mark')} (numbers, arrows, smudges)")
    plain = [finding for finding in drawing.findings if not finding.doubt]
    doubts = [finding for finding in drawing.findings if finding.doubt]
    lines.extend(_listed("done", plain))
    lines.extend(_listed("please look", doubts))
    return lines


def _listed(heading: str, findings: Sequence[TraceFinding]) -> list[str]:
    if not findings:
        return []
    rows = [f"  {_place(finding)}{finding.text}" for finding in findings[:_MOST_LISTED]]
    more = len(findings) - len(rows)
    return [f"{heading}: {len(findings)}", *rows, *([f"  and {more} more; the picture rings them all"] if more else [])]


def _place(finding: TraceFinding) -> str:
    return f"at x {finding.at[0]:.0f}, y {finding.at[1]:.0f}: " if finding.at is not None else ""


def _counted(count: int, noun: str) -> str:
    return f"{count} {noun}" if count == 1 else f"{count} {noun}s"
