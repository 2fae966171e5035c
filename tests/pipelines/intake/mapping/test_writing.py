"""Whatever headers, units and words a map holds, dunnage.toml holds the same after it was written."""

from __future__ import annotations

import tempfile
from pathlib import Path

from hypothesis import given
from hypothesis import settings as hypothesis_settings
from hypothesis import strategies as st

from models.column_map import Pairing, Proposal, Sample
from models.records import SALES
from pipelines.intake.mapping import FileProposal
from pipelines.intake.mapping.sample import FileSample
from pipelines.intake.mapping.writing import write_source
from pipelines.shop import settings
from pipelines.shop.settings import ColumnSource, Source

TEXT = st.text(min_size=1, max_size=12)
ORIGINS = st.one_of(
    st.builds(lambda source: {"source": source}, TEXT),
    st.builds(lambda constant: {"constant": constant}, TEXT),
    st.just({"is_row": True}),
)


@st.composite
def pairings(draw: st.DrawFn, column: str) -> Pairing:
    return Pairing(
        column,
        **{"source": None, **draw(ORIGINS)},
        score=0.5,
        reasons=tuple(draw(st.lists(TEXT, max_size=2))),
        doubts=tuple(draw(st.lists(TEXT, max_size=2))),
        unit=draw(st.sampled_from([None, "cm", "cents"])),
        decimal=draw(st.sampled_from([None, ",", "."])),
        date_order=draw(st.sampled_from([None, "dmy"])),
        values=draw(st.dictionaries(TEXT, TEXT, max_size=2)),
    )


def _expected(pairing: Pairing) -> ColumnSource:
    return ColumnSource(
        column=pairing.source,
        value=pairing.constant,
        row=pairing.is_row,
        unit=pairing.unit,
        decimal=pairing.decimal,
        date_order=pairing.date_order,
        values=dict(pairing.values),
    )


# A source's name is part of file names: no folders in it, no hidden file.
NAMES = st.text(st.characters(exclude_categories=("C", "Z"), exclude_characters="/\\."), min_size=1, max_size=30)


@hypothesis_settings(derandomize=True, deadline=None, max_examples=30)
@given(st.tuples(*(pairings(name) for name in SALES.columns)), NAMES, st.sampled_from([";", "\t", ","]))
def test_a_map_reads_back_as_it_was_written(stated: tuple[Pairing, ...], name: str, delimiter: str) -> None:
    proposal = Proposal("sales", stated, (), (), (), ",", None)
    found = FileSample(Sample((), ()), Source("", "", "", {}, delimiter=delimiter, encoding="windows-1252"))
    with tempfile.TemporaryDirectory() as folder:
        (Path(folder) / settings.FILE_NAME).write_text('[shop]\nname = "Test"\n')
        write_source(Path(folder), FileProposal(Path("x.csv"), name, "x*.csv", found, proposal))
        (source,) = settings.load(Path(folder)).sources
    assert (source.name, source.delimiter, source.encoding) == (name, delimiter, "windows-1252")
    assert (source.decimal, source.date_order) == (",", None)
    assert dict(source.columns) == {pairing.column: _expected(pairing) for pairing in stated}
