"""Texts and names as SQL writes them: the one place that doubles a quote."""


def literal(text: str) -> str:
    """A text as SQL."""
    return "'" + text.replace("'", "''") + "'"


def quoted(name: str) -> str:
    """The name of a column or table as SQL."""
    return '"' + name.replace('"', '""') + '"'
