"""The layout of the SQL models: columns that are passed on from one source stand side by side, so that each line of
its own is one where something is computed. `python -m tests.models.sql.layout` writes it."""

from __future__ import annotations

import re
from itertools import groupby
from pathlib import Path

FOLDER = Path(__file__).parents[3] / "models" / "sql"
WIDTH = 120
# The indentation, the source and the comma of a line of nothing but columns of one source.
PASSED_ON = re.compile(r"( +)([a-z]+)\.\w+(?:, \2\.\w+)*(,?)")


def laid_out(text: str) -> str:
    """The text, with the columns that one source passes on side by side, as many as a line holds."""
    return "\n".join(line for _, run in groupby(text.split("\n"), _Runs()) for line in _filled(list(run)))


class _Runs:
    """A number for each line: the same for lines whose columns are of one source and follow one another."""

    def __init__(self) -> None:
        self._number = 0
        self._open: tuple[str, ...] = ("", "")

    def __call__(self, line: str) -> int:
        found = PASSED_ON.fullmatch(line)
        if not found or found.group(1, 2) != self._open:
            self._number += 1
        self._open = found.group(1, 2) if found and found[3] else ("", "")
        return self._number


def _filled(run: list[str]) -> list[str]:
    if not PASSED_ON.fullmatch(run[0]):
        return run
    indent = run[0][: -len(run[0].lstrip())]
    lines = [indent.removesuffix(" ")]
    for column in " ".join(line.strip() for line in run).split(" "):
        if len(lines[-1]) + 1 + len(column) > WIDTH:
            lines.append(indent.removesuffix(" "))
        lines[-1] += f" {column}"
    return lines


def main() -> None:
    for path in FOLDER.rglob("*.sql"):
        text = path.read_text(encoding="utf-8")
        if laid_out(text) != text:
            path.write_text(laid_out(text), encoding="utf-8")
            print(path.relative_to(FOLDER))


if __name__ == "__main__":
    main()
