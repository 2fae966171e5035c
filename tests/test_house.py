"""The house's own rules, read off the syntax trees: who imports whom, how long things are, which names are out."""

from __future__ import annotations

import ast
import re
import statistics
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
CODE = ("models", "pipelines", "dashboards", "sample_data", "tests")
ONLY = {
    "prefect": "pipelines/flows.py",
    "duckdb": "pipelines/shop/warehouse.py",
    "smtplib": "pipelines/delivery/smtp.py",
    "pyspark": "pipelines/build/spark/session.py",
    "py4j": "pipelines/build/spark/session.py",
}
FORBIDDEN = {
    "models": {"pipelines", "dashboards", "duckdb", "prefect", "plotly", "smtplib", "pathlib", "socket", "time"},
    "dashboards": {"pipelines", "duckdb", "prefect", "smtplib"},
    "pipelines": {"sample_data", "tests"},
}
# Rooms of pipelines/, lowest first: a room may use those below it. What is in none of them may use all.
ROOMS = ("shop", "intake", "build", "review", "delivery")
# They call by these names what renames no file: a tree of SQL, a column of a table, a place of Spark's own storage.
OTHER_RENAMES = {"pipelines/build/spark/dialect.py", "pipelines/build/spark/storage.py", "pipelines/review/tracing.py"}
RENAMES = {"move", "rename", "renames", "replace"}
BANNED_WORDS = {"data", "info", "utils", "process", "handle", "df"}


def files(*folders: str) -> list[Path]:
    return sorted(path for folder in folders for path in (ROOT / folder).rglob("*.py"))


@cache
def parsed(path: Path) -> ast.Module:
    return ast.parse(path.read_text(encoding="utf-8"))


@cache
def nodes(path: Path) -> list[ast.AST]:
    return list(ast.walk(parsed(path)))


def imported(path: Path) -> Iterator[str]:
    for node in nodes(path):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom) and node.module:
            yield node.module
            yield from (f"{node.module}.{alias.name}" for alias in node.names)


def functions(path: Path) -> Iterator[ast.FunctionDef | ast.AsyncFunctionDef]:
    for node in nodes(path):
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
            yield node


def body_lines(function: ast.FunctionDef | ast.AsyncFunctionDef) -> int:
    first = function.body[1:] if ast.get_docstring(function) and len(function.body) > 1 else function.body
    return (function.end_lineno or 0) - first[0].lineno + 1


@pytest.mark.parametrize("folder", sorted(FORBIDDEN))
def test_imports_run_one_way(folder: str) -> None:
    wrong = [
        f"{path.relative_to(ROOT)} imports {name}"
        for path in files(folder)
        for name in imported(path)
        if name.split(".")[0] in FORBIDDEN[folder] and ONLY.get(name.split(".")[0]) != path.relative_to(ROOT).as_posix()
    ]
    assert wrong == []


@pytest.mark.parametrize("library", sorted(ONLY))
def test_one_file_only_imports(library: str) -> None:
    users = {
        path.relative_to(ROOT).as_posix()
        for path in files("models", "pipelines", "dashboards")
        if any(name.split(".")[0] == library for name in imported(path))
    }
    assert users <= {ONLY[library]}


def room_of(module: str) -> str:
    """`build` of `pipelines.build.rating`."""
    return module.split(".")[1] if module.startswith("pipelines.") else ""


def test_rooms_use_only_the_rooms_below_them() -> None:
    wrong = [
        f"{path.relative_to(ROOT)} imports {name}"
        for at, room in enumerate(ROOMS)
        for path in files(f"pipelines/{room}")
        for name in imported(path)
        if name.startswith("pipelines.") and room_of(name) not in ROOMS[: at + 1]
    ]
    assert wrong == []


def test_every_step_has_a_room() -> None:
    above = {
        *("printed_json", "printing", "progress", "shown_maps", "__init__"),
        *("cli", "commands", "flows", "options", "orchestration"),
    }
    found = {
        path.stem for path in (ROOT / "pipelines").iterdir() if path.suffix == ".py" or (path / "__init__.py").exists()
    }
    assert found == above | set(ROOMS)


def renames(path: Path) -> Iterator[int]:
    """Lines of calls such as fresh.replace(target), os.rename(fresh, target) or shutil.move(fresh, target).

    str.replace has two arguments, those of instants and tables are named; any of os or shutil counts.
    """
    for node in nodes(path):
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute) and node.func.attr in RENAMES:
            owner = node.func.value
            is_module = isinstance(owner, ast.Name) and owner.id in {"os", "shutil"}
            is_durable = isinstance(owner, ast.Name) and owner.id == "durable"
            if is_module or (len(node.args) == 1 and not is_durable):
                yield node.lineno


def test_nobody_renames_a_file_by_hand() -> None:
    wrong = {
        f"{name}, line {line}"
        for path in files("models", "pipelines", "dashboards")
        if (name := path.relative_to(ROOT).as_posix()) not in OTHER_RENAMES | {"pipelines/shop/durable.py"}
        for line in renames(path)
    }
    assert wrong == set()
    assert len(list(renames(ROOT / "pipelines" / "shop" / "durable.py"))) == 1


def test_files_are_short() -> None:
    long = {
        path.relative_to(ROOT).as_posix(): lines
        for path in files(*CODE)
        if (lines := len(path.read_text(encoding="utf-8").splitlines())) > 250
    }
    assert long == {}


def test_functions_are_short() -> None:
    lengths = sorted(body_lines(function) for path in files(*CODE[:4]) for function in functions(path))
    assert statistics.median(lengths) <= 10
    assert lengths[int(len(lengths) * 0.9)] <= 30


def names_in(path: Path) -> Iterator[str]:
    for node in nodes(path):
        if isinstance(node, ast.FunctionDef | ast.ClassDef):
            yield node.name
        elif isinstance(node, ast.arg):
            yield node.arg
        elif isinstance(node, ast.Name) and isinstance(node.ctx, ast.Store):
            yield node.id


def test_vague_names_are_out() -> None:
    wrong = {
        f"{path.relative_to(ROOT)}: {name}"
        for path in files(*CODE)
        for name in (path.stem, *names_in(path))
        if name in BANNED_WORDS
    }
    assert wrong == set()


def test_public_functions_of_the_three_packages_say_what_they_do() -> None:
    silent = [
        f"{path.relative_to(ROOT)}: {node.name}"
        for path in files("models", "pipelines", "dashboards")
        for node in parsed(path).body
        if isinstance(node, ast.FunctionDef | ast.ClassDef)
        and not node.name.startswith("_")
        and not ast.get_docstring(node)
        and not (path.parent.name == "commands" and node.name in {"arguments", "run"})
    ]
    assert silent == []


@pytest.mark.parametrize("document", ["README.md", "DEVELOPERS.md"])
def test_documents_name_files_that_exist(document: str) -> None:
    text = (ROOT / document).read_text(encoding="utf-8")
    named = set(re.findall(r"`((?:models|pipelines|dashboards|tests|sample_data)/[\w/.-]+)`", text))
    assert {name for name in named if not (ROOT / name).exists()} == set()
    there = [f"/{path.relative_to(ROOT).as_posix()}" for path in (*files(*CODE), *(ROOT / "models").rglob("*.sql"))]
    short = set(re.findall(r"`([\w/-]+\.(?:py|sql))`", text))
    assert {name for name in short if not any(path.endswith(f"/{name}") for path in there)} == set()


def test_modules_name_files_that_exist() -> None:
    folders = "|".join(CODE)
    named = {
        (path.relative_to(ROOT).as_posix(), name)
        for path in files(*CODE)
        for name in re.findall(rf"\b((?:{folders})/[\w/]+\.(?:py|sql))\b", path.read_text(encoding="utf-8"))
    }
    assert {(path, name) for path, name in named if not (ROOT / name).exists()} == set()
