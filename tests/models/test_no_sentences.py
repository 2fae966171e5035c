"""Tables hold codes and numbers: what is computed makes no sentence for a reader, the surfaces do."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator

from models import columns
from models.fields import Condition
from tests.syntax_trees import trees

# What makes the tables that surfaces show.
ROOMS = (
    *("actions", "analyses", "assortment", "carton_choice", "claims", "completion", "damage", "learned_prices"),
    *("made_from", "packing"),
)
FEWEST_WORDS = 5
# Modules with sentences of their own, and why.
OTHERWISE = {
    "models.analyses.bridge_steps": "names the steps of the bridge",
    "models.analyses.comparisons": "names what a month is compared with",
    "models.assortment.candidates": "states what a choice looked at; it is kept with the choice, from run to run",
    "models.carton_choice.placements": "says why a placement proves nothing, as the solver's own reasons do",
    "models.claims.evidence": "names what carriers ask to see",
    "models.claims.refunds": "names the ways to make a buyer good",
    "models.claims.sheet": "lists what a buyer keeps, and what to take care of",
    "models.claims.states": "says why a mark is refused",
    "models.packing.bounds": "says why goods do not fit; kept with the answer as its proof",
    "models.packing.fit": "says how it is known whether goods fit; kept with the answer as its proof",
    "models.packing.geometry": "says why a carton cannot be used",
    "models.packing.needed": "says why an item type cannot be used",
    "models.packing.placement": "says what is wrong with a placement",
    "models.learned_prices.rule_text": "writes the comments of a tariff's file",
}


def codes() -> set[str]:
    """Every word of a closed list, by the columns' definitions."""
    checks = [check for column in columns.COLUMNS.values() for check in (*column.checks, *(column.built or ()))]
    return {str(word) for check in checks if check.test is Condition.AMONG for word in check.bound}


def texts(tree: ast.AST) -> Iterator[str]:
    """The texts of a module without its docstrings, and without those of errors."""
    for node in ast.iter_child_nodes(tree):
        if isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant):
            continue
        if isinstance(node, ast.Call) and ast.unparse(node.func).endswith("Error"):
            continue
        if isinstance(node, ast.JoinedStr):
            yield "".join(str(part.value) if isinstance(part, ast.Constant) else "{}" for part in node.values)
        elif isinstance(node, ast.Constant) and isinstance(node.value, str):
            yield node.value
        else:
            yield from texts(node)


def made_in(tree: ast.AST) -> list[str]:
    """The sentences that a module makes: plain words enough, and no code. Names of tables and columns are no words."""
    return [
        text
        for text in texts(tree)
        if len(re.findall(r"(?<![\w.])[A-Za-z]{2,}\b(?!\.\w)", text)) >= FEWEST_WORDS
        and text not in codes()
        and not re.search(r"\b(select|is not null)\b", text)
    ]


def modules() -> Iterator[tuple[str, ast.Module]]:
    for name, tree in trees("models").items():
        if name.split(".")[1:2] and name.split(".")[1] in ROOMS:
            yield name, tree


def test_what_is_computed_makes_no_sentence() -> None:
    found = {name: made_in(tree) for name, tree in modules()}
    assert {name: made for name, made in found.items() if made and name not in OTHERWISE} == {}
    assert all(found[name] for name in OTHERWISE), "a module that no longer makes any stands in the list"


def test_a_sentence_is_reported_from_a_code_and_from_evidence() -> None:
    made = 'words = f"{item}: pack more parcels with {best} instead of {current}"'
    evidence = 'evidence = f"marts.claim_deadlines, claim_task {task}"'
    refused = 'raise SettingsError("change log", "cannot be read by this program", "all", "state another")'
    assert made_in(ast.parse(made)) == ["{}: pack more parcels with {} instead of {}"]
    assert made_in(ast.parse(f'{evidence}\n{refused}\nagainst = "right carton from stock"')) == []
