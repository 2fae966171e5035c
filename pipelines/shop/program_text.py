"""A digest of the program's own text: what an update does otherwise is done again."""

import hashlib
import os
from functools import cache
from pathlib import Path


@cache
def digest(*folders: str) -> str:
    """The digest of every file of the program's folders: code, SQL, templates, styles; not of what Python makes."""
    root, seen = Path(__file__).parents[2], hashlib.sha256()
    for folder in folders:
        for place, inner, names in os.walk(root / folder):
            inner[:] = sorted(set(inner) - {"__pycache__"})  # walked in this order
            for name in sorted(names):
                seen.update(Path(place, name).read_bytes() + b"\0")
    return seen.hexdigest()
