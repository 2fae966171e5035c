"""Rejected rows by column and reason, each with its most frequent cell texts."""

from collections.abc import Mapping
from dataclasses import dataclass

from models.sql_quoting import literal
from pipelines.shop.warehouse import Connection

MOST_TEXTS = 3


@dataclass(frozen=True)
class Rejection:
    """Rows rejected for one reason. texts: the most frequent cell texts, each with its rows."""

    column: str
    reason: str
    rows: int
    first_line: int
    texts: tuple[tuple[str, int], ...]

    @property
    def spoken(self) -> str:
        """Column and reason; the column once, where the reason begins with it."""
        return self.reason if self.reason.startswith(f"{self.column} ") else f"{self.column} {self.reason}"


def rejections(connection: Connection, rows: str, headers: Mapping[str, str]) -> list[Rejection]:
    """By falling number of rows. rows: SQL for column_name, reason, source_text, line; headers: column -> header."""
    found = connection.execute(
        f"""
        with faults as (
            select column_name, split_part(reason, '; also ', 1) as reason, line, {_cell(headers)} as cell from ({rows})
        ), texts as (
            select column_name, reason, cell, count(*) as row_count, min(line) as first_line from faults
            group by column_name, reason, cell
        )
        select column_name, reason, cast(sum(row_count) as bigint) as row_count, min(first_line),
            list({{'cell': cell, 'row_count': row_count}} order by row_count desc, first_line)[:{MOST_TEXTS}]
        from texts group by column_name, reason order by row_count desc, min(first_line), column_name, reason
        """
    ).fetchall()
    return [Rejection(str(name), reason, rows, line, _texts(texts)) for name, reason, rows, line, texts in found]


def _texts(found: list[dict[str, object]]) -> tuple[tuple[str, int], ...]:
    return tuple((str(each["cell"] or ""), int(str(each["row_count"]))) for each in found)


def _cell(headers: Mapping[str, str]) -> str:
    """SQL for the text of the column that the row was rejected for; of a header that stands for itself, its own."""
    cases = " ".join(
        f"when {literal(column)} then json_extract_string(source_text, {literal(_pointer(header))})"
        for column, header in headers.items()
    )
    own = "json_extract_string(source_text, '/' || replace(replace(column_name, '~', '~0'), '/', '~1'))"
    return f"case column_name {cases} else {own} end"


def _pointer(header: str) -> str:
    """RFC 6901, section 3."""
    return "/" + header.replace("~", "~0").replace("/", "~1")
