"""The floor of a build that finds nothing changed: import the command line's library, and hash all files of folders."""

from __future__ import annotations

import hashlib
import os
import sys

import click  # noqa: F401 - what any command must import

for root in sys.argv[1:]:
    for folder, names, files in os.walk(root):
        names[:] = [name for name in names if name != "__pycache__"]
        for name in files:
            with open(os.path.join(folder, name), "rb") as file:  # noqa: PTH118, PTH123 - pathlib would raise the floor
                hashlib.blake2b(file.read()).digest()
