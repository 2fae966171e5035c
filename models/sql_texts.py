"""The SQL files of models/sql, their fragments written out.

A fragment says once what many models say. `{each LIST: ...}`, `{sum LIST: ...}` and `{union LIST: ...}` repeat the text
behind the colon for each kind of money of a list (models/money.py), `$` being its name: as columns, added up, as rows.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from functools import cache
from importlib import resources

from models.money import LISTS

FRAGMENT = re.compile(r"\{(\w+) ([^{}]*)\}")


@cache
def sql_texts(folder: str) -> Mapping[str, str]:
    """The SQL files of models/sql/FOLDER by name, in the order of their names; none where there is no such folder."""
    place = resources.files("models").joinpath("sql", *folder.split("/"))
    files = [file for file in place.iterdir() if file.name.endswith(".sql")] if place.is_dir() else []
    texts = {file.name.removesuffix(".sql"): written_out(file.read_text(encoding="utf-8")) for file in files}
    return dict(sorted(texts.items()))


def written_out(text: str) -> str:
    """The text with its fragments written out. Raises KeyError for a fragment or list that there is not."""
    return FRAGMENT.sub(lambda found: FRAGMENTS[found[1]](found[2]), text)


def _repeated(separator: str) -> Callable[[str], str]:
    def repeat(stated: str) -> str:
        name, template = stated.split(": ", 1)
        return separator.join(template.replace("$", each) for each in LISTS[name])

    return repeat


FRAGMENTS: Mapping[str, Callable[[str], str]] = {
    "each": _repeated(",\n    "),
    "sum": _repeated(" + "),
    "union": _repeated("\n    union all\n    "),
}
