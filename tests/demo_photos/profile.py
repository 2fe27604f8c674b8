"""A colour profile of a wide gamut, of our own making: a phone's pictures carry one like it."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray


def p3_profile() -> bytes:
    """Give an ICC version 2 matrix profile for the Display P3 colour space.

    The colorants are those of SMPTE RP 431-2's primaries under D65, adapted to D50 by the Bradford transform;
    the curve is that of sRGB, as a table.
    """
    primaries = np.array([[0.680, 0.320], [0.265, 0.690], [0.150, 0.060]])
    white = np.array([0.3127 / 0.3290, 1.0, (1 - 0.3127 - 0.3290) / 0.3290])
    columns = np.array([[x / y, 1.0, (1 - x - y) / y] for x, y in primaries]).T
    matrix = columns * np.linalg.solve(columns, white)
    bradford = np.array([[0.8951, 0.2664, -0.1614], [-0.7502, 1.7135, 0.0367], [0.0389, -0.0685, 1.0296]])
    d50 = np.array([0.9642, 1.0, 0.8249])
    adapted = np.linalg.inv(bradford) @ np.diag((bradford @ d50) / (bradford @ white)) @ bradford @ matrix

    def fixed(values: NDArray[np.float64]) -> bytes:
        return np.round(values * 65536).astype(">i4").tobytes()

    coded = np.linspace(0, 1, 1024)
    bent = np.where(coded <= 0.04045, coded / 12.92, ((coded + 0.055) / 1.055) ** 2.4)
    curve = b"curv\0\0\0\0" + len(bent).to_bytes(4, "big") + np.round(bent * 65535).astype(">u2").tobytes()
    name = b"Wide gamut of the demo\0"
    words = b"desc\0\0\0\0" + len(name).to_bytes(4, "big") + name + bytes(4 + 4 + 2 + 1 + 67)
    tags = {
        b"desc": words,
        b"cprt": b"text\0\0\0\0Public domain\0",
        b"wtpt": b"XYZ \0\0\0\0" + fixed(d50),
        b"rXYZ": b"XYZ \0\0\0\0" + fixed(adapted[:, 0]),
        b"gXYZ": b"XYZ \0\0\0\0" + fixed(adapted[:, 1]),
        b"bXYZ": b"XYZ \0\0\0\0" + fixed(adapted[:, 2]),
        b"rTRC": curve,
        b"gTRC": curve,
        b"bTRC": curve,
    }
    offset = 128 + 4 + 12 * len(tags)
    table, body = len(tags).to_bytes(4, "big"), b""
    for tag, data in tags.items():
        table += tag + (offset + len(body)).to_bytes(4, "big") + len(data).to_bytes(4, "big")
        body += data + bytes(-len(data) % 4)
    size = offset + len(body)
    head = size.to_bytes(4, "big") + bytes(4) + bytes.fromhex("02400000") + b"mntrRGB XYZ "
    head += np.array([2026, 1, 1, 0, 0, 0], dtype=">u2").tobytes() + b"acsp" + bytes(28) + fixed(d50)
    return head + bytes(128 - len(head)) + table + body
