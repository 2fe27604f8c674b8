"""The darkroom: what the renderer saw becomes a photo, with the marks that a camera leaves in its file."""

from __future__ import annotations

from dataclasses import dataclass
from io import BytesIO
from pathlib import Path
from typing import Any

import numpy as np
import pyoidn
from numpy.typing import NDArray
from PIL import Image, ImageCms
from scipy.ndimage import gaussian_filter, median_filter

from tests.demo_photos.profile import p3_profile

Light = NDArray[np.float64]
LEAST_QUALITY = 66


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
    light = _calm(_without_specks(light))
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


def _without_specks(light: Light) -> Light:
    """Take out single pixels far brighter than those round them: rare paths of the renderer, not light."""
    calm = median_filter(light, size=(3, 3, 1))
    speck = light.sum(axis=-1) > 1.6 * calm.sum(axis=-1) + 0.25
    return np.asarray(np.where(speck[..., None], calm, light))


def _calm(light: Light) -> Light:
    """Take out what the renderer's chance has left, and keep a little of it, so that glass stays glass."""
    calm = pyoidn.denoise(light.astype(np.float32), hdr=True)
    return np.asarray(0.92 * calm + 0.08 * light, dtype=np.float64)


def _shoulder(value: Light) -> Light:
    """Straight up to 0.6, then bent towards 1."""
    over = np.maximum(value - 0.6, 0)
    return np.asarray(np.minimum(value, 0.6) + 0.4 * (1 - np.exp(-over / 0.4)))


def save(tones: Light, path: Path, marks: Marks, quality: int, most_bytes: int) -> None:
    """Save a photo as JPEG with Exif, as a camera would have; of less quality where it would be too large."""
    image = Image.fromarray(np.round(tones * 255).astype(np.uint8), "RGB")
    extra: dict[str, Any] = {}
    if marks.wide_gamut:
        profile = ImageCms.ImageCmsProfile(BytesIO(p3_profile()))
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
    while path.stat().st_size > most_bytes and quality > LEAST_QUALITY:
        quality -= 3
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
