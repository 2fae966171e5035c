"""Modules and SQL texts with one small mistake each: a sign, a constant, a comparison, a connective turned."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

OPERATORS: dict[type[ast.AST], type[ast.AST]] = {
    ast.Add: ast.Sub,
    ast.Sub: ast.Add,
    ast.Mult: ast.Add,
    ast.Div: ast.Mult,
    ast.FloorDiv: ast.Mult,
    ast.Mod: ast.FloorDiv,
    ast.Lt: ast.LtE,
    ast.LtE: ast.Lt,
    ast.Gt: ast.GtE,
    ast.GtE: ast.Gt,
    ast.Eq: ast.NotEq,
    ast.NotEq: ast.Eq,
    ast.And: ast.Or,
    ast.Or: ast.And,
    ast.BitAnd: ast.BitOr,
    ast.BitOr: ast.BitAnd,
}
CALLS = {"min": "max", "max": "min", "any": "all", "all": "any", "maximum": "minimum", "minimum": "maximum"}
IN_SQL = {
    "<=": "<",
    ">=": ">",
    "<": "<=",
    ">": ">=",
    "=": "<>",
    "+": "-",
    "-": "+",
    "and": "or",
    "or": "and",
    "min": "max",
    "max": "min",
}
# Comments and words in quotes are passed over; what is no number of its own, too.
SQL_WORDS = re.compile(
    r"(?P<passed>--[^\n]*|/\*.*?\*/|'(?:[^']|'')*'|\"[^\"]*\"|::|\|\||<>|!=|\{[^}]*\})"
    r"|(?P<sign><=|>=|(?<=\s)[<>=+-](?=\s)|\b(?:and|or)\b|\b(?:min|max)(?=\())"
    r"|(?P<number>(?<![\w.])\d+(?![\w.]))",
    re.IGNORECASE | re.DOTALL,
)
# Where a mistake changes no answer: what is shown, what is declared, what is annotated.
LEFT_OUT = (ast.JoinedStr, ast.Raise, ast.AnnAssign, ast.arguments, ast.Import, ast.ImportFrom)


@dataclass(frozen=True)
class Mutant:
    """One module with one mistake: its text, and what was changed where."""

    module: str
    change: str
    text: str


def mutants(module: str, path: Path) -> Iterator[Mutant]:
    """Every mutant of the module, in the order of its text."""
    text = path.read_text(encoding="utf-8")
    for number in range(len(_places(ast.parse(text)))):
        tree = ast.parse(text)
        node = _places(tree)[number]
        line = text.splitlines()[node.lineno - 1].strip()
        yield Mutant(module, f"{_turn(node)} in `{line}`", ast.unparse(ast.fix_missing_locations(tree)))


def sql_mutants(name: str, path: Path) -> Iterator[Mutant]:
    """Every mutant of an SQL text, in its order; `name` is its path."""
    text = path.read_text(encoding="utf-8")
    for found in SQL_WORDS.finditer(text):
        if found["passed"]:
            continue
        word = found[0]
        turned = IN_SQL[word.lower()] if found["sign"] else str(int(word) + 1)
        line = text[text.rfind("\n", 0, found.start()) + 1 :].partition("\n")[0].strip()
        wrong = text[: found.start()] + turned + text[found.end() :]
        yield Mutant(name, f"{word} -> {turned} in `{line}`", wrong)


def _places(tree: ast.AST) -> list[ast.expr]:
    """Every expression that can be turned; the same text gives the same places."""
    return [node for node in _walked(tree) if isinstance(node, ast.expr) and _is_turnable(node)]


def _walked(tree: ast.AST) -> Iterator[ast.AST]:
    for node in ast.iter_child_nodes(tree):
        if isinstance(node, LEFT_OUT):
            continue
        yield node
        yield from _walked(node)


def _is_turnable(node: ast.expr) -> bool:
    if isinstance(node, ast.Constant):
        return isinstance(node.value, bool | int)
    if isinstance(node, ast.BinOp):
        return type(node.op) in OPERATORS and not isinstance(node.left, ast.Constant | ast.List)
    if isinstance(node, ast.Compare):
        return type(node.ops[0]) in OPERATORS
    if isinstance(node, ast.UnaryOp):
        return isinstance(node.op, ast.Not | ast.USub)
    return isinstance(node, ast.BoolOp) or _called(node) in CALLS


def _called(node: ast.expr) -> str:
    function = node.func if isinstance(node, ast.Call) else None
    return getattr(function, "id", getattr(function, "attr", ""))


def _turn(node: ast.expr) -> str:
    """Makes the mistake in place; says which."""
    before = ast.unparse(node)
    if isinstance(node, ast.Constant):
        node.value = not node.value if isinstance(node.value, bool) else int(str(node.value)) + 1
    elif isinstance(node, ast.BinOp | ast.BoolOp):
        node.op = OPERATORS[type(node.op)]()  # type: ignore[assignment]
    elif isinstance(node, ast.Compare):
        node.ops[0] = OPERATORS[type(node.ops[0])]()  # type: ignore[call-overload]
    elif isinstance(node, ast.UnaryOp):
        node.op = ast.UAdd() if isinstance(node.op, ast.USub) else ast.Not()
        node.operand = ast.UnaryOp(ast.Not(), node.operand) if isinstance(node.op, ast.Not) else node.operand
    elif isinstance(node, ast.Call):
        name = CALLS[_called(node)]
        node.func = ast.Name(name) if isinstance(node.func, ast.Name) else ast.Attribute(node.func.value, name)  # type: ignore[attr-defined]
    return f"{before} -> {ast.unparse(node)}"
