"""Faults in the structure of text files: read right, or rejected by the row with its text; never shifted or lost."""

from __future__ import annotations

from collections import Counter
from pathlib import Path

from models.errors import SourceFileError
from models.sql_quoting import literal
from pipelines.intake.reading.delimited import open_delimited
from pipelines.intake.reading.finding import Candidate, unpack
from pipelines.intake.reading.tables import Kept, kept_name
from pipelines.shop import warehouse
from pipelines.shop.settings import ColumnSource, Source
from tests.pipelines.intake.faulty_files import HEADERS, Faulty, faulty

Answer = tuple[list[list[str]], list[str]]


def source_of(delimiter: str) -> Source:
    # The last column is not mapped, as in most exports.
    names = ("sale_id", "item_type", "quantity", "item_price_cents")
    columns = {name: ColumnSource(header) for name, header in zip(names, HEADERS[:-1], strict=True)}
    return Source("stock", "sales", "*", columns, delimiter=delimiter)


def read(connection: warehouse.Connection, folder: Path, file: Faulty) -> Answer | None:
    """Rows that were understood, texts of those that were not; None where the file was refused as a whole."""
    path, target = folder / "t.csv", folder / "t.parquet"
    path.write_bytes(file.text.encode())
    try:
        table = open_delimited(path, unpack(Candidate(path, None, path.name, ()), folder), source_of(file.delimiter))
        kept = [Kept(header, table.headers.index(header)) for header in HEADERS]
        table.copy(connection, kept, target)
    except (SourceFileError, ValueError):  # a mapped header that is not there refuses the file
        return None
    names = ", ".join(f"trim(coalesce({kept_name(number)}, ''), ' ')" for number in range(len(HEADERS)))
    found = connection.execute(f'select {names}, "»fault", "»row" from read_parquet({literal(str(target))})').fetchall()
    good = [list(row[:-2]) for row in found if row[-2] is None and any(row[:-2])]
    return good, [row[-1] for row in found if row[-2] is not None]


def judged(file: Faulty, answer: Answer) -> tuple[list[list[str]], list[str], int]:
    """Rows that are wrong, untouched lines of the file that are told nowhere, untouched rows that were rejected."""
    good, texts = answer
    wrong = [row for row in good if row not in file.rows]
    missing = [row for row in file.rows if row not in good]
    lost = [row[0] for row in missing if not any(row[0] in (text or "") for text in texts) and row in file.untouched]
    return wrong, lost, sum(row in file.untouched for row in missing)


def test_no_fault_of_structure_shifts_or_swallows_a_row(tmp_path: Path, files: int = 360) -> None:
    untouched, rejected = 0, 0
    wrong: Counter[str] = Counter()
    with warehouse.scratch() as connection:
        for seed in range(files):
            file = faulty(seed)
            answer = read(connection, tmp_path, file)
            if answer is None:
                assert not file.untouched, (seed, file)
                continue
            bad, lost, turned_down = judged(file, answer)
            if bad or lost:
                wrong[f"{file.name} {seed}"] += 1
            untouched += len(file.untouched)
            rejected += turned_down
    assert not wrong
    assert rejected <= 0.01 * untouched
