"""Render the demo's photos: `python -m tests.demo_photos.render [--small] [--to FOLDER] [NAME ...]`.

Run from the project's folder. Beside the project's own libraries it needs mitsuba (3.5 or newer),
scikit-image, scipy, mapbox-earcut and pyoidn; mitsuba's faster variant needs a libLLVM (19 and 22 were used), named by
the environment variable DRJIT_LIBLLVM_PATH where it is not found. Without one, it renders slowly.
A NAME is the folder of a product or a set, or folder/file. `--small` makes quick previews, `--specimens` tries the
settings on forms that no record has. A product that `shot_list.py` does not name is taken in its first variant, as its
record says that it is held: at a window, on a sill or in a pot. Give a new photo its line in the record, with
"Rendered picture: " before its alt text.
"""

from __future__ import annotations

import argparse
import sys
import tempfile
import time
from datetime import date
from pathlib import Path

import mitsuba as mi
import numpy as np

# The variant must be chosen before anything of the renderer is used.
mi.set_variant("llvm_ad_rgb", "scalar_rgb")

from catalog_builder.records.content import Content, read_content  # noqa: E402
from tests.demo_photos.darkroom import Light, develop, save  # noqa: E402
from tests.demo_photos.shot import Shot  # noqa: E402
from tests.demo_photos.shot_list import TRIALS, shots_of  # noqa: E402
from tests.demo_photos.specimen import SPECIMENS  # noqa: E402
from tests.demo_photos.stage import Stage  # noqa: E402
from tests.demo_photos.subject import Subject, read_subject, variants_of  # noqa: E402

PROJECT = Path(__file__).parents[2]
PASS_SAMPLES = 8
QUALITY = 84
MOST_BYTES = 180_000


def main() -> None:
    """Render what is asked for."""
    reader = argparse.ArgumentParser(description="Render the demo's photos.")
    reader.add_argument("names", nargs="*", help="products, or product/file; all where none is named")
    reader.add_argument("--small", action="store_true", help="quarter size, few samples")
    reader.add_argument("--specimens", action="store_true", help="forms of the tests' own in place of the demo's")
    reader.add_argument("--to", type=Path, default=PROJECT / "content", help="where to write, in place of content/")
    asked = reader.parse_args()
    content = read_content(PROJECT, date.today())
    for shot in TRIALS if asked.specimens else shots_of(content):
        if asked.names and not {shot.slug, f"{shot.slug}/{shot.file}"} & set(asked.names):
            continue
        start = time.monotonic()
        light = expose(shot, content, asked.small)
        tones = develop(light, shot.exposure, shot.warmth, len(shot.slug))
        folder = asked.to / ("sets" if (PROJECT / "content" / "sets" / shot.slug).is_dir() else "products") / shot.slug
        folder.mkdir(parents=True, exist_ok=True)
        save(tones, folder / shot.file, shot.marks, QUALITY, MOST_BYTES)
        sys.stdout.write(f"{shot.slug}/{shot.file}: {time.monotonic() - start:.0f} s\n")


def expose(shot: Shot, content: Content, small: bool) -> Light:
    """Set a shot up and render it, in passes that fit into memory."""
    with tempfile.TemporaryDirectory() as folder:
        stage = Stage(Path(folder), content.studio.making, shot.solid)
        camera = shot.setting(stage, subjects_of(shot, content), shot.look)
        stage.scene["sensor"] = camera.sensor(4 if small else 1)
        stage.scene["integrator"] = {"type": "path" if shot.solid else "volpath", "max_depth": 16, "rr_depth": 8}
        scene = mi.load_dict(stage.scene)
        passes = max(1, (16 if small else shot.samples) // PASS_SAMPLES)
        total = np.zeros(1)
        for seed in range(passes):
            # One stray bright path must not leave a white speck.
            total = total + np.minimum(np.array(mi.render(scene, spp=PASS_SAMPLES, seed=seed), dtype=np.float64), 12.0)
        return np.asarray(total / passes)


def subjects_of(shot: Shot, content: Content) -> list[Subject]:
    """Give what a shot shows, from the records or from the specimens."""
    if shot.slug in SPECIMENS:
        return [SPECIMENS[shot.slug]()]
    return [read_subject(content, variant) for variant in shot.shown or variants_of(content, shot.slug)]


if __name__ == "__main__":
    main()
