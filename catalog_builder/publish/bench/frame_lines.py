"""Frames on the bench's papers, in words: their sizes, and the bars to cut. Private."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from catalog_builder.making.frame_bars import FrameBar, frame_bars
from catalog_builder.phrase import Number, phrase, quantity
from catalog_builder.piece.framed_rim import FramedRim
from catalog_builder.publish.bench.bench_writer import BenchWriter
from catalog_builder.units import exact


@dataclass(frozen=True, slots=True, kw_only=True)
class BarLine:
    """Bars of a frame that are cut alike, in words."""

    material: str
    count: str
    outer: str
    inner: str
    ends: str


def bar_lines(frames: Iterable[tuple[FramedRim | None, int]], writer: BenchWriter) -> tuple[BarLine, ...]:
    """Word the bars of frames, each made so many times; None is a piece without a frame."""
    return tuple(
        BarLine(
            material=bar.material.title,
            count=writer.phrasing.show(bar.count),
            outer=writer.phrasing.show(quantity(bar.outer_mm, "mm", 1)),
            inner=writer.phrasing.show(quantity(bar.inner_mm, "mm", 1)),
            ends=_ends(bar, writer),
        )
        for bar in frame_bars((framed, times) for framed, times in frames if framed is not None)
    )


def _ends(bar: FrameBar, writer: BenchWriter) -> str:
    begin, end = (Number(exact(degrees, 1), 1) for degrees in (bar.begin_degrees, bar.end_degrees))
    ends = phrase("frames.ends_text", begin=begin, end=end)
    return writer.phrasing.show(phrase("frames.curved", ends=ends) if bar.curved else ends)


def frame_notes(framed: FramedRim | None, writer: BenchWriter) -> Iterator[str]:
    """Say what a frame measures, and what to be careful of with one of lead; nothing without a frame."""
    if framed is None:
        return
    wording = writer.wording
    yield writer.say(
        "frames.note",
        material=framed.material.title,
        outside=wording.size(*framed.outside_mm),
        light=wording.size(*framed.light_mm),
        count=framed.corners,
    )
    if framed.material.leaded:
        yield writer.labels("frames")["lead"]
