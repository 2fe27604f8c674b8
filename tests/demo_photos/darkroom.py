"""The darkroom: what the renderer saw becomes a photo, with the marks that a camera leaves in its file."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageCms
from scipy.ndimage import gaussian_filter

Light = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Marks:
    """What a camera writes besides pixels; all of it invented.

    ``orientation`` is the Exif tag: the pixels are stored turned, so that a reader must turn them back.
    """

    taken: str
    latitude: float
    longitude: float
    orientation: int = 1
    comment: str = ""
    wide_gamut: bool = False


def develop(light: Light, exposure: float, warmth: float, seed: int) -> Light:
    """Turn linear light into tones from 0 to 1 (sRGB coded), with a lens's glow and fall-off and a film's grain."""
    height, width = light.shape[:2]
    glow = gaussian_filter(np.clip(light - 1.6, 0, 6), (height / 70, height / 70, 0))
    shown = (light + 0.05 * glow) * exposure * np.array([1 + warmth, 1.0, 1 - warmth])
    y, x = np.mgrid[-1 : 1 : height * 1j, -1 : 1 : width * 1j]
    shown *= (1 - 0.07 * (x**2 + y**2))[..., None]
    # A soft shoulder on the brightest of the three and, by a third, on each: lights fade, colours hold.
    peak = shown.max(axis=-1, keepdims=True)
    held = shown / np.maximum(peak, 1e-6) * _shoulder(peak)
    tones = 0.5 * held + 0.5 * _shoulder(shown)
    coded = np.where(tones <= 0.0031308, 12.92 * tones, 1.055 * np.maximum(tones, 1e-6) ** (1 / 2.4) - 0.055)
    coded = coded + 0.10 * (coded - 0.5) * (1 - (2 * coded - 1) ** 2)
    grain = np.random.default_rng(seed).standard_normal((height, width, 1))
    return np.asarray(np.clip(coded + 0.006 * gaussian_filter(grain, (0.6, 0.6, 0)), 0, 1))


def _shoulder(value: Light) -> Light:
    """Straight up to 0.6, then bent towards 1."""
    over = np.maximum(value - 0.6, 0)
    return np.asarray(np.minimum(value, 0.6) + 0.4 * (1 - np.exp(-over / 0.4)))


def save(tones: Light, path: Path, marks: Marks, quality: int) -> None:
    """Save a photo as JPEG with Exif, as a camera would have."""
    image = Image.fromarray(np.round(tones * 255).astype(np.uint8), "RGB")
    extra: dict[str, object] = {}
    if marks.wide_gamut:
        profile = ImageCms.ImageCmsProfile(_display_p3())
        turned = ImageCms.profileToProfile(image, ImageCms.createProfile("sRGB"), profile, outputMode="RGB")
        image = turned if turned is not None else image
        extra["icc_profile"] = profile.tobytes()
    if marks.comment:
        extra["comment"] = marks.comment
    # The tag says how to turn it back; so it is stored turned the other way.
    stored = {3: Image.Transpose.ROTATE_180, 6: Image.Transpose.ROTATE_90, 8: Image.Transpose.ROTATE_270}
    if marks.orientation in stored:
        image = image.transpose(stored[marks.orientation])
    image.save(path, "JPEG", quality=quality, optimize=True, progressive=True, exif=_exif(marks), **extra)


def _exif(marks: Marks) -> Image.Exif:
    exif = Image.Exif()
    exif[0x010F], exif[0x0110], exif[0x0131] = "Larkmoor", "Larkmoor Pocket 3", "Larkmoor 1.4.2"
    exif[0x0112], exif[0x0132], exif[0x013B] = marks.orientation, marks.taken, "Ansa Merrow"
    camera = exif.get_ifd(0x8769)
    camera[0x9003], camera[0x9004] = marks.taken, marks.taken
    camera[0xA431], camera[0xA434], camera[0x829D], camera[0x8827] = "LM3-0047719", "Larkmoor 45 mm", 2.8, 200
    place = exif.get_ifd(0x8825)
    place[1], place[2] = "N" if marks.latitude >= 0 else "S", _degrees(abs(marks.latitude))
    place[3], place[4] = "E" if marks.longitude >= 0 else "W", _degrees(abs(marks.longitude))
    return exif


def _degrees(value: float) -> tuple[float, float, float]:
    minutes = value % 1 * 60
    return float(int(value)), float(int(minutes)), round(minutes % 1 * 60, 2)


def _display_p3() -> object:
    """Build a Display-P3 profile from its published numbers: an ICC version 2 matrix profile of our own making."""
    from io import BytesIO

    return BytesIO(p3_profile())


def p3_profile() -> bytes:
    """Give the bytes of the profile.

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
