"""A colour profile for test photos, made from the published primaries of a wide-gamut screen."""

from __future__ import annotations

import struct

import numpy as np
from numpy.typing import NDArray

# Display P3: primaries of SMPTE RP 431-2, white D65, the transfer curve of IEC 61966-2-1 (all from memory).
P3 = ((0.680, 0.320), (0.265, 0.690), (0.150, 0.060))
SRGB = ((0.640, 0.330), (0.300, 0.600), (0.150, 0.060))
D65 = (0.3127, 0.3290)
# The profile connection space's white of ICC.1:2010, 7.2.16.
D50_XYZ = np.array([0.9642, 1.0, 0.8249])
# The cone responses of the Bradford transform, ICC.1:2010 Annex E.
BRADFORD = np.array([[0.8951, 0.2664, -0.1614], [-0.7502, 1.7135, 0.0367], [0.0389, -0.0685, 1.0296]])

Matrix = NDArray[np.float64]


def to_xyz(primaries: tuple[tuple[float, float], ...]) -> Matrix:
    """Give the matrix from linear red, green, blue to XYZ, by chromaticities (x, y) and the white D65."""
    columns = np.array([xyz(x, y) for x, y in primaries]).T
    return np.asarray(columns * np.linalg.solve(columns, xyz(*D65)))


def p3_as_srgb(colour: tuple[int, int, int]) -> tuple[int, ...]:
    """Say by matrices alone how a Display P3 colour is written in sRGB."""
    light = linear(np.array(colour) / 255)
    return as_signs(np.asarray(np.linalg.solve(to_xyz(SRGB), to_xyz(P3) @ light)))


def p3_profile(words: str) -> bytes:
    """Make a Display P3 profile (ICC.1:2010, version 2 tags); ``words`` are its description."""
    white = xyz(*D65)
    turn = np.linalg.solve(BRADFORD, np.diag((BRADFORD @ D50_XYZ) / (BRADFORD @ white)) @ BRADFORD)
    columns = (turn @ to_xyz(P3)).T
    tags = {name: _xyz_tag(column) for name, column in zip((b"rXYZ", b"gXYZ", b"bXYZ"), columns, strict=True)}
    tags |= dict.fromkeys((b"rTRC", b"gTRC", b"bTRC"), _curve(linear(np.linspace(0, 1, 1024))))
    return linked((b"mntr", b"RGB ", b"XYZ "), tags, words)


def grey_profile(gamma: float) -> bytes:
    """Make a profile of greys whose light is a power of their number."""
    return linked((b"mntr", b"GRAY", b"XYZ "), {b"kTRC": _curve(np.linspace(0, 1, 1024) ** gamma)}, "greys")


def linked(kind: tuple[bytes, bytes, bytes], own: dict[bytes, bytes], words: str) -> bytes:
    """Lay a profile's tags behind a head: ICC.1:2010, 7.2 and 7.3. ``kind`` is its class, colours and connection."""
    text = words.encode("ascii") + b"\0"
    tags = {
        b"desc": b"desc" + bytes(4) + struct.pack(">I", len(text)) + text + bytes(78),
        b"cprt": b"text" + bytes(4) + text,
        b"wtpt": _xyz_tag(D50_XYZ),
        **own,
    }
    table, body = struct.pack(">I", len(tags)), b""
    start = 128 + 4 + 12 * len(tags)
    for name, data in tags.items():
        table += name + struct.pack(">II", start + len(body), len(data))
        body += data + bytes(-len(data) % 4)
    head = struct.pack(">I4sI4s4s4s", start + len(body), bytes(4), 0x02100000, *kind)
    head += bytes(12) + b"acsp" + bytes(28) + _fixed(D50_XYZ)
    return head.ljust(128, b"\0") + table + body


def xyz(x: float, y: float) -> Matrix:
    """Give X, Y, Z of a chromaticity, at Y = 1."""
    return np.array([x / y, 1.0, (1 - x - y) / y])


def linear(curved: Matrix) -> Matrix:
    """Give the light of sRGB's numbers, both from 0 to 1 (IEC 61966-2-1)."""
    return np.where(curved <= 0.04045, curved / 12.92, ((curved + 0.055) / 1.055) ** 2.4)


def as_signs(light: Matrix) -> tuple[int, ...]:
    """Give the 8-bit numbers of sRGB for light from 0 to 1; what is beyond is clipped."""
    kept = np.clip(light, 0, 1)
    curved = np.where(kept <= 0.0031308, kept * 12.92, 1.055 * kept ** (1 / 2.4) - 0.055)
    return tuple(round(255 * part) for part in curved.tolist())


def _curve(ramp: Matrix) -> bytes:
    return b"curv" + bytes(4) + struct.pack(">I", ramp.size) + (ramp * 65535).round().astype(">u2").tobytes()


def _fixed(values: Matrix) -> bytes:
    return struct.pack(">3i", *(round(value * 65536) for value in values.tolist()))


def _xyz_tag(values: Matrix) -> bytes:
    return b"XYZ " + bytes(4) + _fixed(values)
