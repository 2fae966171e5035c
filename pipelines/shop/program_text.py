"""A digest of the program's own text: what an update does otherwise is done again."""

from __future__ import annotations

import hashlib
from functools import cache
from pathlib import Path


@cache
def digest(*folders: str) -> str:
    """The digest of every file of the program's folders: code, SQL, templates, styles; not of what Python makes."""
    root = Path(__file__).parents[2]
    found = [file for folder in folders for file in (root / folder).rglob("*") if file.is_file()]
    texts = sorted(file for file in found if file.suffix != ".pyc")
    return hashlib.sha256(b"\0".join(file.read_bytes() for file in texts)).hexdigest()
