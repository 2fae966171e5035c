"""The layout of the SQL models: columns that are passed on from one source stand side by side, so that each line of
its own is one where something is computed; a bracket, a join with its condition, a clause, and a list of nothing but
passed-on columns stand on one line where they fit on it. `python -m tests.models.sql.layout` writes it."""

from __future__ import annotations

import re
from itertools import groupby
from pathlib import Path

FOLDER = Path(__file__).parents[3] / "models" / "sql"
WIDTH = 120
# The indentation, the source and the comma of a line of nothing but columns of one source.
PASSED_ON = re.compile(r"( +)([a-z]+)\.\w+(?:, \2\.\w+)*(,?)")
# Heads of what may stand on one line: of a bracket, of a join, of a clause, of a list of columns.
BRACKET = re.compile(r"(?!.*\b(?:as|from|join) \($).*\($")
JOIN = re.compile(r" *(?:left |inner |full |cross )?join .*\bas \w+$")
CLAUSE = re.compile(r" *(?:where|group by|order by|having)$")
LIST = re.compile(r" *select(?: distinct)?$")
# What is not put on one line: queries, remarks, cases.
LARGE = re.compile(r"\b(?:select|case|union)\b|--")


def laid_out(text: str) -> str:
    """The text, with the columns that one source passes on side by side, as many as a line holds; then folded."""
    return _folded("\n".join(line for _, run in groupby(text.split("\n"), _Runs()) for line in _filled(list(run))))


def _folded(text: str) -> str:
    """The text, with each head and what belongs to it on one line where both fit; inner ones first."""
    lines = text.split("\n")
    for at in range(len(lines) - 1, -1, -1):
        end = _end(lines, at)
        inner = [line.strip() for line in lines[at + 1 : end]]
        whole = "".join((lines[at], "" if BRACKET.match(lines[at]) else " ", " ".join(inner))).replace("( ", "(")
        if inner and len(whole.replace(" )", ")")) <= WIDTH and not LARGE.search(" ".join(inner)):
            lines[at:end] = [whole.replace(" )", ")")]
    return "\n".join(lines)


def _end(lines: list[str], at: int) -> int:
    """Where what belongs to the head on a line ends; on its next line where it is no head."""
    head, depth = lines[at], _indent(lines[at])
    if "--" in head:
        return at + 1
    if LIST.match(head):
        is_one = at + 2 < len(lines) and PASSED_ON.fullmatch(lines[at + 1]) and not lines[at + 1].endswith(",")
        return at + 2 if is_one and not PASSED_ON.fullmatch(lines[at + 2]) else at + 1
    if not any(kind.match(head) for kind in (BRACKET, JOIN, CLAUSE)):
        return at + 1
    end = next((n for n in range(at + 1, len(lines)) if not lines[n].strip() or _indent(lines[n]) <= depth), len(lines))
    return end + 1 if BRACKET.match(head) else end


def _indent(line: str) -> int:
    return len(line) - len(line.lstrip())


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
