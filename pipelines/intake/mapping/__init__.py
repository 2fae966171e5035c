"""`dunnage map`: look at a file, propose its column map with reasons, and write it into dunnage.toml."""

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

from models.column_map import (
    Answers,
    Pairing,
    Proposal,
    Question,
    RowTax,
    ThreeSides,
    WideAmounts,
    foreign_amounts,
    nearest_kind,
    open_questions,
    parted,
    propose,
)
from models.column_map.answers import refuse_unknown_unit
from models.errors import ColumnMapError
from models.fields import Quantity
from models.privacy import personal_columns
from models.reference import RECORDS
from models.shop_units import both_units, kept_name
from pipelines.intake.mapping.amounts import proposed_amounts, refuse_unknown_amounts, row_tax_of
from pipelines.intake.mapping.keys import JoinedFile, put_together, together
from pipelines.intake.mapping.on_record import on_record
from pipelines.intake.mapping.sample import FileSample, take_sample
from pipelines.intake.reading.finding import shown_name
from pipelines.shop.settings import Settings

__all__ = ["FileProposal", "answers_of", "is_of_cells", "propose_for", "stated_pairings"]


@dataclass(frozen=True)
class FileProposal:
    """A proposal for one file: how to read it, what feeds what, what stays open, and the source's name and glob."""

    path: Path
    name: str
    files: str
    found: FileSample
    proposal: Proposal
    questions: tuple[Question, ...] = ()
    joined: tuple[JoinedFile, ...] = ()
    amounts: WideAmounts | None = None
    sides: ThreeSides = field(default_factory=ThreeSides)
    tax: RowTax | None = None


def propose_for(
    path: Path,
    kind: str | None,
    *,
    name: str | None = None,
    files: str | None = None,
    sheet: str | None = None,
    stated: Mapping[str, Pairing] | None = None,
    answers: Answers | None = None,
    currency: str | None = None,
    is_metric: bool = False,
    join: Sequence[Path] = (),
    by: str | None = None,
    amounts: WideAmounts | None = None,
    tax: str | None = None,
    records: Settings | None = None,
) -> FileProposal:
    """A column map for the file as records of `kind`, or of the kind that suits it best.

    amounts: of an invoice with a column for each charge, as stated; else they are looked for. tax: of one whose rows
    state their tax, HEADER=within, HEADER=on top or HEADER=no. records: the shop whose earlier records say which
    columns hold numbers that they know.

    join: files that are read together with it, by the key `by` or the one that is found; any may come first. currency:
    the shop's; amounts whose header names another one are asked about. is_metric: whether its units are offered first.

    Raises SourceFileError for a file that cannot be read, ColumnMapError for an unknown kind or column.
    """
    found = take_sample(path, sheet)
    joined: tuple[JoinedFile, ...] = ()
    if join:
        path, found, joined = _put_together(path, found, join, by)
    personal = personal_columns(found.sample)
    amounts = amounts or proposed_amounts(found.sample, kind, stated or {}, personal)
    if amounts is not None:
        refuse_unknown_amounts(amounts, found)
        found, stated = replace(found, sample=amounts.unfolded(found.sample)), {**(stated or {}), **amounts.pairings}
    stated = {name: _with_unit(pairing, found) for name, pairing in (stated or {}).items()}
    parted_sample, sides = parted(found.sample, {*personal, *_whole_columns(stated)})
    known = on_record(records, parted_sample) if records else {}
    found = replace(found, sample=replace(parted_sample, on_record=known))
    kind = kind or _fitting_kind(path, found, personal)
    if kind not in RECORDS:
        raise ColumnMapError(
            str(path), f"{kind!r} is no kind of record", "this file", f"use one of {', '.join(RECORDS)}"
        )
    stated = {name: _of_side(pairing, sides) for name, pairing in stated.items()}
    _refuse_unknown(stated, kind, found)
    _refuse_personal(stated, personal)
    answers = answers or Answers()
    answers.refuse_unknown(kind, "the proposal")
    proposal = propose(RECORDS[kind], found.sample, personal, stated, answers)
    row_tax = row_tax_of(found.sample, proposal, tax, amounts)
    if row_tax and row_tax.is_within is not None:
        found = replace(found, sample=row_tax.unfolded(found.sample, proposal.decimal or "."))
        kept = {each.column: each for each in proposal.pairings if each.source in (row_tax.word, row_tax.amount)}
        proposal = propose(RECORDS[kind], found.sample, personal, {**stated, **kept, **row_tax.pairings}, answers)
    files = files or glob_for(path.name)
    asked = (
        *([row_tax.question] if row_tax and row_tax.is_within is None else []),
        *open_questions(proposal, RECORDS[kind], found.sample, is_metric, files),
        *foreign_amounts(proposal, RECORDS[kind], currency, stated),
    )
    left = tuple(each for each in asked if each.is_needed or not answers.takes_proposed)
    proposal = replace(proposal, unused=tuple(dict.fromkeys(map(sides.source, proposal.unused))))
    name = name or _source_name(path, kind)
    return FileProposal(path, name, files, found, proposal, left, joined, amounts, sides, row_tax)


def _whole_columns(stated: Mapping[str, Pairing]) -> Iterator[str]:
    """Headers that are stated for something else than a length, whose cells are not parted."""
    columns = [column for record in RECORDS.values() for column in record.columns.items()]
    lengths = {name for name, column in columns if column.quantity is Quantity.LENGTH}
    return (pairing.source for name, pairing in stated.items() if pairing.source and name not in lengths)


def _of_side(pairing: Pairing, sides: ThreeSides) -> Pairing:
    """A header whose cells hold three sides means that of the column."""
    if pairing.source not in sides.parted:
        return pairing
    return replace(pairing, source=sides.of(str(pairing.source), pairing.column))


def _put_together(
    path: Path, found: FileSample, join: Sequence[Path], by: str | None
) -> tuple[Path, FileSample, tuple[JoinedFile, ...]]:
    if apart := [each for each in join if each.parent.resolve() != path.parent.resolve()]:
        what = f"lies in another folder than {path.name}"
        raise ColumnMapError(str(apart[0]), what, "no column map is proposed", "put both into one folder")
    first, sample, joined = put_together([(path, found), *((each, take_sample(each)) for each in join)], by)
    return first, replace(sample, sample=together(sample, joined)), tuple(joined)


def answers_of(units: Sequence[str], words: Sequence[str], **more: Any) -> Answers:
    """What was stated as `COLUMN=UNIT` and `COLUMN:TEXT=WORD`. Raises ColumnMapError for one without `=`."""
    meanings: dict[str, dict[str, str]] = {}
    for column, text, meaning in map(_word, words):
        meanings.setdefault(column, {})[text] = meaning
    stated = {kept_name(name): unit for name, unit in map(_split, units)}
    return Answers(units=stated, words=meanings, **more)


def is_of_cells(said: str) -> bool:
    """Whether a word is COLUMN:TEXT=WORD, of a column's cells; else it is an invoice's, stated as WORD=KIND."""
    return re.match(r"[a-z_]+:", said) is not None


def _word(said: str) -> tuple[str, str, str]:
    """The text may hold `=` and `:` itself; the column and the meaning do not."""
    column, colon, rest = said.partition(":")
    text, sign, meaning = rest.rpartition("=")
    if not (colon and sign and text and meaning.strip()):
        raise ColumnMapError(
            repr(said), "is not COLUMN:TEXT=WORD", "the proposal", "write for example charge_kind:Fracht=base"
        )
    return column.strip(), text, meaning.strip()


def _fitting_kind(path: Path, found: FileSample, personal: Mapping[str, str]) -> str:
    nearest = nearest_kind(found.sample, personal)
    if nearest.is_one:
        return nearest.kind
    has = f"of {nearest.kind} it has {', '.join(nearest.found)}" if nearest.found else "it has no column of any"
    raise ColumnMapError(
        shown_name(path),
        f"fits no kind of record; {has}",
        "no column map is proposed",
        "state the kind with --as if it is one; `dunnage records` lists what each needs",
    )


def stated_pairings(columns: Sequence[str], constants: Sequence[str], names: Sequence[str] = ()) -> dict[str, Pairing]:
    """Pairings given as `COLUMN=HEADER`, `COLUMN=HEADER [UNIT]`, `COLUMN=VALUE`, `COLUMN=NAME*`; a measure by any name.

    Raises ColumnMapError for one without `=`.
    """
    reason = ("stated by you",)
    return {
        **{kept_name(name): Pairing(kept_name(name), header, 1.0, reason) for name, header in map(_split, columns)},
        **{
            kept_name(name): Pairing(kept_name(name), None, 1.0, reason, constant=value, unit=_unit_named(name))
            for name, value in map(_split, constants)
        },
        **{name: Pairing(name, None, 1.0, reason, name=pattern) for name, pattern in map(_split, names)},
    }


def _unit_named(name: str) -> str | None:
    """The unit that a measure's name states: `clearance_cm`."""
    return next((each.sign for each in both_units(name) if name.endswith(each.ending)), None)


def _split(said: str) -> tuple[str, str]:
    name, sign, rest = said.partition("=")
    if not sign or not name.strip() or not rest.strip():
        raise ColumnMapError(repr(said), "is not NAME=WORDS", "the proposal", "write for example carrier=Northline")
    return name.strip(), rest.strip()


def _with_unit(pairing: Pairing, found: FileSample) -> Pairing:
    """`weight [kg]` is the header `weight` in kg, unless the file has a header `weight [kg]`."""
    said = re.fullmatch(r"(.+?)\s*\[(\S+)\]", pairing.source or "")
    if said is None or pairing.source in found.sample.headers:
        return pairing
    return replace(pairing, source=said[1], unit=said[2])


def _refuse_unknown(stated: Mapping[str, Pairing], kind: str, found: FileSample) -> None:
    for name, pairing in stated.items():
        if name not in RECORDS[kind].columns:
            raise ColumnMapError(name, f"is no column of {kind}", "the proposal", f"see `dunnage records {kind}`")
        if pairing.source is not None and pairing.source not in found.sample.headers:
            listed = ", ".join(found.sample.headers)
            raise ColumnMapError(pairing.source, "is no header of this file", name, f"use one of {listed}")
        refuse_unknown_unit(pairing.column, pairing.unit, RECORDS[kind].columns[name].quantity, "the proposal")


def _refuse_personal(stated: Mapping[str, Pairing], personal: Mapping[str, str]) -> None:
    for name, pairing in stated.items():
        if pairing.source is not None and pairing.source in personal:
            what = f"looks personal ({personal[pairing.source]}) and is never stored"
            raise ColumnMapError(pairing.source, what, name, "use another column, or leave it out")


def glob_for(file_name: str) -> str:
    """A glob for later files of the same export: everything from the first to the last figure may change."""
    stem, dot, ending = file_name.partition(".")
    varied = re.sub(r"\d.*\d|\d", "*", stem)
    letters = re.sub(r"[^A-Za-z]", "", varied)
    return f"{varied}{dot}{ending}" if "*" in varied and len(letters) >= 3 else file_name


def _source_name(path: Path, kind: str) -> str:
    """The words of the file's name before its first figure."""
    words = re.findall(r"[a-z]+", re.split(r"\d", path.name.partition(".")[0].lower())[0])
    return "-".join(words) or kind
