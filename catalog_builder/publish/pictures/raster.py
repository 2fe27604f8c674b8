"""A drawn picture turned into pixels, for those who cannot show SVG."""

from __future__ import annotations

from io import BytesIO

from PIL import Image

PREVIEW_EDGE = 900


def pixels_of(scene: str) -> bytes:
    """Give a square scene in SVG as a JPEG of ``PREVIEW_EDGE`` px a side."""
    import typst

    # The typesetter carries an SVG renderer with it, so that no system library is needed.
    page = (
        "#set page(width: 450pt, height: 450pt, margin: 0pt)\n"
        '#image(bytes(sys.inputs.scene), width: 450pt, format: "svg")'
    )
    data = typst.compile(page.encode(), format="png", ppi=144.0, sys_inputs={"scene": scene}, ignore_system_fonts=True)
    image = Image.open(BytesIO(data)).convert("RGB")
    image.thumbnail((PREVIEW_EDGE, PREVIEW_EDGE))
    saved = BytesIO()
    image.save(saved, "JPEG", quality=84, optimize=True)
    return saved.getvalue()
