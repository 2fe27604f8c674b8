"""The bars of frames: what is cut of each came or moulding, at which lengths and angles. mm, degrees."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from catalog_builder.piece.framed_rim import FramedRim
from catalog_builder.records.material import Material


@dataclass(frozen=True, slots=True)
class FrameBar:
    """Bars that are cut alike, and how many of them.

    ``outer_mm`` is the length of the side that is seen from outside, ``inner_mm`` that of the side along the light.
    ``begin_degrees`` and ``end_degrees`` are the mitres, from a square cut; below zero at an inside corner.
    """

    material: Material
    outer_mm: float
    inner_mm: float
    begin_degrees: float
    end_degrees: float
    curved: bool
    count: int


def frame_bars(frames: Iterable[tuple[FramedRim, int]]) -> tuple[FrameBar, ...]:
    """Give the bars of frames, each made so many times: by material, the longest first; equal ones together.

    A bar may be turned about, so that the order of its two ends does not matter.
    """
    counts: dict[tuple[str, float, float, float, float, bool], int] = {}
    rows: dict[str, Material] = {}
    for framed, times in frames:
        material = framed.material
        rows[material.material] = material
        for bar in framed.bars:
            # Adding 0 takes the sign off a zero.
            begin, end = sorted(round(turn / 2, 1) + 0.0 for turn in (bar.begin_degrees, bar.end_degrees))
            outer, inner = (round(bar.length_at(out), 1) for out in (material.outside_mm, -material.covers_mm))
            key = material.material, -outer, inner, begin, end, bar.bends_at is not None
            counts[key] = counts.get(key, 0) + times
    return tuple(
        FrameBar(rows[name], -outer, inner, begin, end, curved, count)
        for (name, outer, inner, begin, end, curved), count in sorted(counts.items())
    )
