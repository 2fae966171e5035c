"""Three hundred letters through odd answers of the server; the suite tries forty."""

from __future__ import annotations

import tempfile
from pathlib import Path

from models.delivery_attempts import State
from tests.pipelines.delivery.mail_faults import tried

LETTERS = 300


def run() -> list[tuple[str, float, float]]:
    """What was measured and its limit: wrong outcomes by the server's own book, and letters that met too little."""
    with tempfile.TemporaryDirectory() as folder:
        found = tried(LETTERS, 7, Path(folder))
    for wrong in found.wrong:
        print(f"  {wrong}", flush=True)
    return [
        (f"wrong outcomes of {LETTERS} letters through {found.talks} talks", float(len(found.wrong)), 0.0),
        (f"letters of {LETTERS} that met too little to be unsure or failed", float(found.states[State.SENT]), 225.0),
    ]
