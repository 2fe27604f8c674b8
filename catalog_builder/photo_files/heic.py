"""HEIC, as phones write it: read by a package of its own, which is imported only where such a picture is met."""

from __future__ import annotations

import sys

# Brands of HEVC pictures in the file type box: ISO/IEC 23008-12, annex B; ``mif1`` and ``msf1`` are its general ones.
BRANDS = frozenset({b"heic", b"heix", b"heim", b"heis", b"hevc", b"hevx", b"hevm", b"hevs"})
GENERAL = frozenset({b"mif1", b"mif2", b"msf1"})
HOW_TO_ADD = (
    f"run `{sys.executable} -m pip install pillow-heif` once, or export the picture as JPEG"
    " (a phone's camera settings can do so for all)"
)


class HeicMissingError(ImportError):
    """The package that reads HEIC is not installed."""


def is_heic(head: bytes) -> bool:
    """True for a HEIC picture, by its first 64 bytes: its file type box (ISO/IEC 14496-12, 4.3)."""
    if head[4:8] != b"ftyp":
        return False
    end = min(int.from_bytes(head[:4], "big"), len(head))
    compatible = {head[at : at + 4] for at in range(16, end - 3, 4)}
    return head[8:12] in BRANDS or (head[8:12] in GENERAL and bool(compatible & BRANDS))


def let_heic_be_read() -> None:
    """Make Pillow read HEIC.

    Raises:
        HeicMissingError: nothing that reads it is installed.
    """
    try:
        import pillow_heif
    except ImportError:
        raise HeicMissingError from None
    # What else a phone stores with a picture - thumbnails, depth maps - is never asked for.
    pillow_heif.register_heif_opener(thumbnails=False, depth_images=False, aux_images=False)
