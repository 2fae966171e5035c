"""Texts that lie as files beside the code: word lists, letters, the tariff format by example."""

from importlib import resources


def packaged(path: str) -> str:
    """The text of a file, by its path below models/."""
    return resources.files("models").joinpath(path).read_text(encoding="utf-8")
