"""Points moved onto the middle of the pen's line: the centre of the ink's profile across it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from catalog_builder.tracing.arrays import Grey, Mask, Points, along, sampled
from catalog_builder.tracing.curves.border_chains import BorderChain

# Points of a line lie so far apart, in mm.
STEP_MM = 0.4
_SMOOTH_MM = 0.35


@dataclass(frozen=True, slots=True)
class PenLine:
    """A line in mm, shape (n, 2), between two junctions; ``clean`` is where nothing but this line lies.

    A closed line has no junctions, and its last point is followed by its first. ``wide`` is how wide the ink is.
    """

    begin: int | None
    end: int | None
    points: Points
    clean: Mask
    wide: Points

    @property
    def closed(self) -> bool:
        """Whether it runs round without meeting another."""
        return self.begin is None


@dataclass(frozen=True, slots=True)
class Profile:
    """What a profile across a line shows: how far off its centre is and how wide the ink is, in px; ink at its edge."""

    off: Points
    wide: Points
    edge: Points


def pen_lines(
    chains: Sequence[BorderChain], values: Grey, level: float, px_per_mm: float, pen_mm: float
) -> list[PenLine]:
    """Give the lines of the pen that borders follow; ``level`` is the darkness of its ink."""
    starts = [_start(chain, px_per_mm) for chain in chains]
    wide: list[Points] = []
    profiles: list[Profile] = []
    for turn in range(2):
        normals = [_normals(points, chain.closed) for points, chain in zip(starts, chains, strict=True)]
        profiles = _profiles(starts, normals, values, level, pen_mm * px_per_mm, px_per_mm)
        moved = []
        for points, normal, profile in zip(starts, normals, profiles, strict=True):
            most = 0.35 * pen_mm * px_per_mm
            off = np.where(profile.wide > 0.3 * pen_mm * px_per_mm, np.clip(profile.off, -most, most), 0)
            moved.append(points + off[:, None] * normal)
        starts = [
            smoothed(points, 1.2, closed=chain.closed) if turn == 0 else points
            for points, chain in zip(moved, chains, strict=True)
        ]
        wide = [profile.wide / px_per_mm for profile in profiles]
    usual = float(np.median(np.concatenate(wide))) if wide else pen_mm
    return [
        PenLine(chain.begin, chain.end, points / px_per_mm, _clean(profile, each, usual), each)
        for chain, points, profile, each in zip(chains, starts, profiles, wide, strict=True)
    ]


def _start(chain: BorderChain, px_per_mm: float) -> Points:
    points = chain.points[:-1] if chain.closed else chain.points
    smooth = smoothed(points, _SMOOTH_MM * px_per_mm, closed=chain.closed)
    if chain.closed:
        return resampled(np.vstack([smooth, smooth[:1]]), STEP_MM * px_per_mm)[:-1]
    return resampled(smooth, STEP_MM * px_per_mm)


def _profiles(
    lines: Sequence[Points], normals: Sequence[Points], values: Grey, level: float, pen_px: float, px_per_mm: float
) -> list[Profile]:
    if not lines:
        return []
    half = 0.5 * pen_px + 0.45 * px_per_mm
    step = 0.7
    across = np.arange(-half, half + 0.01, step)
    places = np.concatenate(lines)[:, None] + across[None, :, None] * np.concatenate(normals)[:, None]
    ink = ink_at(values, level, places)
    total = ink.sum(axis=1)
    off = (ink * across).sum(axis=1) / np.maximum(total, 1e-6)
    edge = np.maximum(ink[:, 0], ink[:, -1])
    cuts = np.cumsum([len(points) for points in lines])[:-1]
    parts = (np.split(part, cuts) for part in (off, total * step, edge))
    return [Profile(*part) for part in zip(*parts, strict=True)]


def ink_at(values: Grey, level: float, places: Points) -> Points:
    """Give how much of each place (..., 2) in pixels is ink, from 0 to 1; ``level`` is how dark the pen is."""
    return np.asarray(np.clip((sampled(values, places) / level - 0.2) / 0.7, 0, 1))


def _clean(profile: Profile, wide_mm: Points, usual_mm: float) -> Mask:
    good = (wide_mm > 0.6 * usual_mm) & (wide_mm < 1.25 * usual_mm) & (profile.edge < 0.5)
    clean = good.copy()
    clean[1:] &= good[:-1]
    clean[:-1] &= good[1:]
    return clean


def _normals(points: Points, closed: bool) -> Points:
    tangents = np.roll(points, -1, axis=0) - np.roll(points, 1, axis=0) if closed else np.gradient(points, axis=0)
    tangents = tangents / np.maximum(np.hypot(*tangents.T), 1e-9)[:, None]
    return np.stack([-tangents[:, 1], tangents[:, 0]], axis=1)


def smoothed(points: Points, sigma: float, *, closed: bool) -> Points:
    """Smooth a line of points (n, 2) by a Gaussian of ``sigma`` points; open ends stay where they are."""
    from scipy.ndimage import gaussian_filter1d

    if len(points) < 5:
        return points
    if closed:
        return np.asarray(gaussian_filter1d(points, sigma, axis=0, mode="wrap"))
    reach = min(int(4 * sigma), len(points) - 1)
    # A mirror through the ends holds them.
    before, after = 2 * points[0] - points[reach:0:-1], 2 * points[-1] - points[-2 : -reach - 2 : -1]
    return np.asarray(gaussian_filter1d(np.vstack([before, points, after]), sigma, axis=0)[reach : reach + len(points)])


def resampled(points: Points, step: float) -> Points:
    """Give points at even distances of about ``step`` along a line (n, 2), its ends among them."""
    at = along(points)
    even = np.linspace(0, at[-1], max(2, round(at[-1] / step) + 1))
    return np.stack([np.interp(even, at, points[:, 0]), np.interp(even, at, points[:, 1])], axis=1)
