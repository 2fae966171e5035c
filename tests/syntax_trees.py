"""The packages read off their syntax trees: which module imports which, and which names a definition uses."""

from __future__ import annotations

import ast
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path

ROOT = Path(__file__).parent.parent
# (module, name at its top level)
Named = tuple[str, str]
Trees = Mapping[str, ast.Module]
Definition = ast.FunctionDef | ast.AsyncFunctionDef | ast.ClassDef


@cache
def trees(*folders: str) -> dict[str, ast.Module]:
    """Every module below the folders by its dotted name."""
    paths = sorted(path for folder in folders for path in (ROOT / folder).rglob("*.py"))
    return {dotted(path): ast.parse(path.read_text(encoding="utf-8")) for path in paths}


def dotted(path: Path) -> str:
    """models/packing/fit.py is models.packing.fit; a folder's __init__.py has the folder's name."""
    parts = path.relative_to(ROOT).with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


def imports(tree: ast.AST, *, lazily: bool = True) -> Iterator[str]:
    """Dotted names of what is imported: `from a import b` as a and as a.b. Not lazily: without those in functions."""
    for node in ast.iter_child_nodes(tree):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom) and node.module:
            yield node.module
            yield from (f"{node.module}.{alias.name}" for alias in node.names)
        elif isinstance(node, ast.stmt) and (lazily or not isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef)):
            yield from imports(node, lazily=lazily)


@cache
def run_by(module: str, *folders: str) -> frozenset[str]:
    """The modules below the folders that run when a module is imported, by itself; the folder it lies in is one.

    In `models` and `dashboards` an import within a function does not count: importing the module does not run it. Tests
    are run, and `pipelines` imports what a command needs when it is called.
    """
    known = trees(*folders)
    found = imports(known[module], lazily=module.startswith(("tests.", "pipelines.")))
    return frozenset(name for name in (*found, module.rpartition(".")[0]) if name in known)


def reached(starts: Iterable[str], *folders: str) -> set[str]:
    """The modules below the folders that run when the given ones are imported, with these themselves."""
    found: set[str] = set()
    waiting = [name for name in starts if name in trees(*folders)]
    while waiting:
        name = waiting.pop()
        if name not in found:
            found.add(name)
            waiting += run_by(name, *folders)
    return found


@dataclass(frozen=True)
class Names:
    """What the top level of one module defines, and what its imported names stand for."""

    module: str
    defined: dict[str, ast.AST]
    imported: dict[str, set[Named]]

    @classmethod
    def of(cls, module: str, tree: ast.Module) -> Names:
        """Those of one syntax tree."""
        defined: dict[str, ast.AST] = {}
        for node in tree.body:
            if isinstance(node, Definition):
                defined[node.name] = node
            elif isinstance(node, ast.Assign | ast.AnnAssign):
                defined |= {name: node for each in ast.walk(node) for name in _stored(each)}
        imported: dict[str, set[Named]] = defaultdict(set)
        for each in ast.walk(tree):
            if isinstance(each, ast.ImportFrom) and each.module:
                for alias in each.names:
                    imported[alias.asname or alias.name].add((each.module, alias.name))
        return cls(module, defined, imported)

    def used_in(self, tree: ast.AST) -> Iterator[Named]:
        """The names of modules that the piece of code mentions: by name, or as module.name."""
        for node in ast.walk(tree):
            if isinstance(node, ast.Name):
                yield from self.imported.get(node.id, ())
                yield self.module, node.id
            elif isinstance(node, ast.Attribute) and isinstance(node.value, ast.Name):
                yield from ((f"{folder}.{name}", node.attr) for folder, name in self.imported.get(node.value.id, ()))


def _stored(node: ast.AST) -> list[str]:
    return [node.id] if isinstance(node, ast.Name) and isinstance(node.ctx, ast.Store) else []


def used(known: Trees, roots: Iterable[Named]) -> set[Named]:
    """Every name at a module's top level that the roots use, directly or by others, or that an import runs."""
    names = {module: Names.of(module, tree) for module, tree in known.items()}
    found: set[Named] = set()
    waiting = [*roots, *(each for module, tree in known.items() for each in _run_on_import(names[module], tree))]
    while waiting:
        module, name = waiting.pop()
        if (module, name) in found or module not in names:
            continue
        found.add((module, name))
        if name in names[module].defined:
            waiting += names[module].used_in(names[module].defined[name])
        else:  # handed on by a folder's __init__.py
            waiting += names[module].imported.get(name, ())
    return found


def _run_on_import(names: Names, tree: ast.Module) -> Iterator[Named]:
    for node in tree.body:
        if isinstance(node, Definition):
            yield from (each for mark in node.decorator_list for each in names.used_in(mark))
        elif not isinstance(node, ast.Import | ast.ImportFrom):
            yield from names.used_in(node)
