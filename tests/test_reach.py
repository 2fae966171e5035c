"""The house's rules on what reaches what, read off the syntax trees: every module is tested beside its code, every
test is run, and every public name is used by the product and not by tests alone."""

from __future__ import annotations

import ast
from fnmatch import fnmatch
from pathlib import Path

import pytest

from tests.syntax_trees import ROOT, Definition, Named, Names, dotted, imports, reached, trees, used

PRODUCT = ("models", "pipelines", "dashboards")
# Modules that are loaded by name: the commands by the command line, sections and sentences by the page, the readers as
# processes.
BY_NAME = {
    "pipelines.cli": "pipelines.commands.",
    "dashboards.sections": "dashboards.sections.",
    "dashboards.sentences": "dashboards.sentences.",
    "pipelines.intake.reading.own_process": "pipelines.intake.reading.reader",
    "pipelines.review.claims.pictures": "pipelines.review.claims.picture_reader",
}
COMPUTING = ("actions", "assortment", "carton_choice", "damage", "packing")
# Called by the interpreter at its end.
CALLED_OTHERWISE = {("pipelines.intake.reading.own_process", "end")}
FOLDERS = sorted({path.parent.relative_to(ROOT).as_posix() for name in PRODUCT for path in (ROOT / name).rglob("*.py")})


def modules_of(folder: str) -> list[str]:
    return sorted(dotted(path) for path in (ROOT / folder).glob("*.py"))


def beside(folder: str) -> list[str]:
    """The test modules of the folder of the same name; where there is none, of the nearest one above."""
    place = ROOT / "tests" / folder
    while not place.is_dir():
        place = place.parent
    return [dotted(path) for path in place.rglob("*.py")]


def loaded(names: set[str]) -> set[str]:
    """The given modules, and those that they load by name."""
    more = {each for name in names & set(BY_NAME) for each in trees(*PRODUCT) if each.startswith(BY_NAME[name])}
    return names if more <= names else loaded(names | reached(more, *PRODUCT))


@pytest.mark.parametrize("folder", FOLDERS)
def test_a_broken_module_breaks_a_test_beside_it(folder: str) -> None:
    found = loaded(reached(beside(folder), *PRODUCT, "tests"))
    assert [module for module in modules_of(folder) if module not in found] == []


@pytest.mark.parametrize("folder", [f"models/{name}" for name in COMPUTING])
def test_computation_is_tested_by_name_beside_it(folder: str) -> None:
    known = trees("tests")
    direct = {each for test in reached(beside(folder), "tests") for each in imports(known[test])}
    own = dotted(ROOT / folder / "__init__.py")
    handed_on = {module for name, (module, _) in handed(own).items() if f"{own}.{name}" in direct}
    assert [module for module in modules_of(folder) if module not in direct | handed_on | {own}] == []


def test_every_test_is_collected(pytestconfig: pytest.Config) -> None:
    """A folder that pytest passes over by name, or a file whose name it does not know, would be missed in silence."""
    files = {ROOT.joinpath(*module.split(".")).with_suffix(".py"): tree for module, tree in trees("tests").items()}
    with_tests = {path for path, tree in files.items() if any(is_test(node) for node in tree.body)}
    assert len(with_tests) > 200
    assert [path for path in with_tests if not collected(path, pytestconfig)] == []


def is_test(node: ast.stmt) -> bool:
    return isinstance(node, ast.FunctionDef | ast.ClassDef) and node.name.lower().startswith("test")


def collected(path: Path, config: pytest.Config) -> bool:
    """Whether pytest, as this project sets it, takes the file and every folder on the way to it."""
    named = any(fnmatch(path.name, pattern) for pattern in config.getini("python_files"))
    way = [place for place in (path, *path.parents) if place.is_relative_to(ROOT / "tests")]
    return named and not any(config.hook.pytest_ignore_collect(collection_path=place, config=config) for place in way)


def handed(package: str) -> dict[str, Named]:
    """The names that a package hands on from its modules."""
    return {name: found for name, (found,) in Names.of(package, trees(*PRODUCT)[package]).imported.items()}


def test_public_names_are_used_by_the_product_itself() -> None:
    by_name = [module for module in trees(*PRODUCT) if module.startswith(tuple(BY_NAME.values()))]
    roots = {(module, name) for module in by_name for name in Names.of(module, trees(*PRODUCT)[module]).defined}
    found = used(trees(*PRODUCT), roots | {("pipelines.cli", "main")} | CALLED_OTHERWISE)
    unused = [
        f"{module}.{name}"
        for module, tree in trees(*PRODUCT).items()
        for name, node in Names.of(module, tree).defined.items()
        if isinstance(node, Definition) and not name.startswith("_") and (module, name) not in found
    ]
    assert unused == []
