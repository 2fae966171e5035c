"""Proposes which source column feeds which contract column, with reasons: from headers, and from what the values prove.

Nothing is guessed in silence: whatever the sample does not prove is a doubt that the user is shown. Columns that look
personal are never proposed.
"""

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property

from models.column_map.headers import Header, Vocabulary, header
from models.column_map.one_to_one import best_pairs
from models.column_map.sample_values import allowed_words, fitness, is_count, is_one, known
from models.column_map.word_maps import map_words
from models.contracts import Contract
from models.fields import Column, Quantity

# Below this no pairing is proposed; below SURE, or with a runner-up nearer than APART, it is marked for a check.
THRESHOLD, SURE, APART, SAME = 0.40, 0.60, 0.12, 0.99
# A text proves little: a date, an amount or a word of a closed list that fits proves more.
_FIT_OF_TEXT = 0.9
# A header alone says less than a header whose values fit; values that do not fit halve what the header says.
_HEADER_SHARE = 0.55
LEAST_FIT = 0.5
# Below it: what is counted is no word of a carrier's service.
_OF_COUNTS = 0.4
# By so much a pair is worth more where every row needs the column: less than any two scores differ by.
_NEEDED = 1.001
# What values look like, in a reader's words.
LOOKS = {
    Quantity.TEXT: "text",
    Quantity.COUNT: "whole numbers",
    Quantity.MONEY: "amounts",
    Quantity.LENGTH: "lengths",
    Quantity.WEIGHT: "weights",
    Quantity.MINUTES: "minutes",
    Quantity.FRACTION: "shares",
    Quantity.NUMBER: "numbers",
    Quantity.FLAG: "yes or no",
    Quantity.DATE: "days",
    Quantity.INSTANT: "days, with or without a time",
}
# A header that only comes near is something else: the total of a row is none of an invoice.
_ONLY_BY_NAME = ("invoice_total_cents",)


@dataclass(frozen=True)
class Sample:
    """The first rows of a source file as text: its headers in order and, for each, one text per row.

    is_typed: numbers may have come as numbers, so that a decimal point in their text proves nothing. sides: header of a
    column that was made of one with three sides -> what it says (models/column_map/three_sides.py). joined: headers of
    files that are read together with this one; their amounts stand once. on_record: column and header -> how many of
    the header's values are known to earlier records as such numbers, of how many, where at least half are.
    """

    headers: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    is_typed: bool = False
    sides: Mapping[str, str] = field(default_factory=dict)
    joined: frozenset[str] = frozenset()
    on_record: Mapping[tuple[str, str], tuple[int, int]] = field(default_factory=dict)

    @cached_property
    def _columns(self) -> Mapping[str, list[str]]:
        # The first of several equal headers is the one that is read.
        places = {name: at for at, name in reversed(list(enumerate(self.headers)))}
        return {name: known(row[at] for row in self.rows if at < len(row)) for name, at in places.items()}

    def column(self, name: str) -> list[str]:
        """The known texts of one column."""
        return self._columns[name]


@dataclass(frozen=True)
class Pairing:
    """One contract column and where it comes from. `source` None with `constant`, `is_row` or `within` states a value
    instead: the same in every row, the row's number, or its number among the rows with its cell of the column `within`;
    with `name` what `*` stands for there in the file's name.

    is_unit_right: the user has said that the unit is not to be doubted. before: only what stands before the last of
    these marks in a cell.
    is_sure: the header is the column's, without a question. guessed, unknown: cell texts of a closed list whose meaning
    is to be checked, or is not known.
    """

    column: str
    source: str | None
    score: float
    reasons: tuple[str, ...] = ()
    doubts: tuple[str, ...] = ()
    unit: str | None = None
    decimal: str | None = None
    date_order: str | None = None
    values: Mapping[str, str] = field(default_factory=dict)
    constant: str | None = None
    is_row: bool = False
    within: str | None = None
    name: str | None = None
    before: str | None = None
    runner_up: str | None = None
    is_sure: bool = True
    guessed: tuple[str, ...] = ()
    unknown: tuple[str, ...] = ()
    is_unit_right: bool = False


@dataclass(frozen=True)
class Score:
    """How well one source column suits one contract column, 0 to 1, and why."""

    value: float
    reasons: tuple[str, ...]


Scores = Mapping[tuple[str, str], Score]


def score_pairs(schema: Contract, sample: Sample, headers: Iterable[str]) -> Scores:
    """A score for every contract column and source header."""
    vocabulary = Vocabulary(schema)
    read = [replace(header(sample.sides.get(written, written)), written=written) for written in headers]
    texts = {seen.written: sample.column(seen.written) for seen in read}
    return {
        (name, seen.written): _on_record(sample, name, seen.written)
        or _score(vocabulary, name, seen, texts[seen.written])
        for name in schema.columns
        for seen in read
    }


def _on_record(sample: Sample, name: str, written: str) -> Score | None:
    """Numbers that earlier records have too prove more than any header."""
    known = sample.on_record.get((name, written))
    return Score(1.0, (f"{known[0]} of {known[1]} values are on record as such",)) if known else None


def _score(vocabulary: Vocabulary, name: str, seen: Header, texts: Sequence[str]) -> Score:
    column = vocabulary.schema.columns[name]
    nearness, phrase = vocabulary.nearness(name, seen)
    if nearness == 0 or (name in _ONLY_BY_NAME and nearness < SAME):
        return Score(0.0, ())
    fit = fitness(column, texts) * _key_fit(vocabulary.schema, name, texts) * _word_fit(phrase, texts)
    proven = fit * _FIT_OF_TEXT if column.quantity is Quantity.TEXT and not allowed_words(column) else fit
    value = nearness * (_HEADER_SHARE + (1 - _HEADER_SHARE) * proven)
    if texts and fit < LEAST_FIT:
        value *= 0.5
    if seen.unit is not None and seen.unit[0] != column.quantity:
        value *= 0.2
    return Score(value, tuple(_reasons(seen, nearness, phrase, fit, texts, column.quantity)))


def _key_fit(schema: Contract, name: str, texts: Sequence[str]) -> float:
    """A column that alone identifies a row must hardly repeat, and numbers of lines begin with 1."""
    if name == "line_number" and texts:
        return 1.0 if any(map(is_one, texts)) else 0.4
    if schema.key != (name,) or not texts:
        return 1.0
    return 1.0 if len(set(texts)) / len(texts) > 0.9 else 0.5


def _word_fit(phrase: str, texts: Sequence[str]) -> float:
    """What an invoice calls `Items` are pieces where it counts them, and no product of the carrier's."""
    return _OF_COUNTS if phrase == "item" and texts and all(map(is_count, texts)) else 1.0


def _reasons(
    seen: Header, nearness: float, phrase: str, fit: float, texts: Sequence[str], wanted: Quantity
) -> Iterable[str]:
    verb = "means" if nearness > SAME else "comes near"
    yield f'header {verb} "{phrase}"'
    if seen.unit is not None and seen.unit[0] == wanted:
        yield f"header names {seen.unit[1] or 'a currency'}"
    if texts and wanted is not Quantity.TEXT:
        share = "all" if fit == 1 else f"{fit:.0%} of"
        yield f"{share} {len(texts)} values look like {LOOKS[wanted]}"


def assign(
    names: Sequence[str], headers: Sequence[str], scores: Scores, needed: Collection[str] = ()
) -> dict[str, str]:
    """The one-to-one pairing with the greatest sum of squared scores, of pairs that reach THRESHOLD.

    needed: columns that every row needs. A header that suits two columns alike is theirs: what an invoice calls
    `Leistung` is its word of the charge before it is the service.
    """
    # Squared, so that one sure pair outweighs two doubtful ones.
    worth = [
        [_worth(scores[name, written].value) * (_NEEDED if name in needed else 1) for written in headers]
        for name in names
    ]
    return {names[row]: headers[at] for row, at in best_pairs(worth)}


def _worth(score: float) -> float:
    return score**2 if score >= THRESHOLD else 0.0


def assign_by_values(
    columns: Mapping[str, Column], sample: Sample, paired: Collection[str], free: Collection[str]
) -> dict[str, str]:
    """Pairs for columns whose header said nothing: where exactly one free source column can be the one.

    Where not every row needs the column, one of its words may say anything; two of them and few others say what it is.
    """
    found: dict[str, str] = {}
    for name, column in columns.items():
        if name in paired or not _is_telling(column):
            continue
        fits = [written for written in free if _fits(column, sample.column(written))]
        if len(fits) == 1 and fits[0] not in found.values():
            found[name] = fits[0]
    return found


def _fits(column: Column, texts: Sequence[str]) -> bool:
    listed = allowed_words(column)
    if listed and column.nullable:
        return fitness(column, texts) >= LEAST_FIT and len(set(map_words(set(texts), listed).words.values())) > 1
    return bool(texts) and fitness(column, texts) == 1


def _is_telling(column: Column) -> bool:
    """Dates and closed lists show what they are; numbers and plain text do not."""
    return column.quantity in (Quantity.DATE, Quantity.INSTANT) or bool(allowed_words(column))


def runner_up(name: str, chosen: str, scores: Scores) -> tuple[str, float] | None:
    """The next best header for a column, if it reaches THRESHOLD."""
    others = [(score.value, written) for (column, written), score in scores.items() if column == name]
    rest = sorted((pair for pair in others if pair[1] != chosen and pair[0] >= THRESHOLD), reverse=True)
    return (rest[0][1], rest[0][0]) if rest else None
