"""The SQL files of models/sql, as they are written."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from importlib import resources


@cache
def sql_texts(folder: str) -> Mapping[str, str]:
    """The SQL files of models/sql/FOLDER by name, in the order of their names; none where there is no such folder."""
    place = resources.files("models").joinpath("sql", *folder.split("/"))
    files = [file for file in place.iterdir() if file.name.endswith(".sql")] if place.is_dir() else []
    texts = {file.name.removesuffix(".sql"): file.read_text(encoding="utf-8") for file in files}
    return dict(sorted(texts.items()))
