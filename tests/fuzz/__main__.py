"""The search: ``python -m tests.fuzz drawing 20`` changes seeds of a reader for 20 minutes, led by what they reach.

Needs ``pip install atheris``. What raises anything but a mistake is put into
``.fuzz/<reader>/found/``, and the search goes on; keep a finding by copying it to ``tests/fuzz/kept/<reader>/``.
"""

from __future__ import annotations

import hashlib
import sys
import traceback
from pathlib import Path

import atheris

with atheris.instrument_imports(include=["catalog_builder", "tomllib"]):
    from catalog_builder.mistake import MistakeError
    from tests.fuzz.readers import READERS, ROOT, Reader
    from tests.fuzz.seeds import MOST_BYTES, seeds
    from tests.fuzz.words import as_dictionary, words


def main() -> None:
    """Search as the command line says, until the time is over."""
    name, minutes = sys.argv[1], float(sys.argv[2])
    corpus, found = ROOT / ".fuzz" / name / "corpus", ROOT / ".fuzz" / name / "found"
    for folder in (corpus, found):
        folder.mkdir(parents=True, exist_ok=True)
    for seed in seeds(name):
        (corpus / hashlib.sha256(seed).hexdigest()[:16]).write_bytes(seed)
    dictionary = found.parent / "words"
    dictionary.write_text(as_dictionary(words()), encoding="ascii")
    options = {
        "max_total_time": int(minutes * 60),
        "max_len": MOST_BYTES,
        "timeout": 60,
        "rss_limit_mb": 3_000,
        "print_final_stats": 1,
        "artifact_prefix": f"{found}/",
        "dict": dictionary,
    }
    atheris.Setup([sys.argv[0], *(f"-{key}={value}" for key, value in options.items()), str(corpus)], _led(name, found))
    atheris.Fuzz()


def _led(name: str, found: Path) -> Reader:
    reader: Reader = READERS[name]
    known: set[str] = set()

    def look(data: bytes) -> None:
        try:
            reader(data)
        except MistakeError as fault:
            for mistake in fault.mistakes:
                mistake.worded()
        except Exception as error:
            steps = traceback.extract_tb(error.__traceback__)
            ours = [f"{step.filename}:{step.lineno}" for step in steps if "catalog_builder" in step.filename]
            sign = f"{type(error).__name__} {ours[-1] if ours else ''}"
            if sign not in known:
                known.add(sign)
                path = found / hashlib.sha256(sign.encode()).hexdigest()[:12]
                path.write_bytes(data)
                print(f"\nFOUND {sign}: {str(error)[:120]} -> {path}", flush=True)

    return look


if __name__ == "__main__":
    main()
