"""Ready corrections of rejected cells: the setting by which all the most frequent texts would be read.

Each is found by trying it: a date order, a decimal mark, a unit, the meaning of a word. A mark or order that the column
map states already is never turned round, since rows were read by it.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from models.cells.texts import Reading, read_cell
from models.cells.units import OFFERED
from models.column_map.answers import as_typed
from models.column_map.sample_values import allowed_words
from models.column_map.word_maps import map_flags, map_words, once_each
from models.fields import Column, Quantity

ORDERS, MARKS = ("dmy", "mdy", "ymd"), (".", ",")


@dataclass(frozen=True)
class Correction:
    """An option of `dunnage rejects`, with `{}` for its answer, and the answers under which the texts can be read.

    is_ready: there is one answer, and nobody need choose. has_likely: the first answer is likelier than the others.
    """

    option: str
    answers: tuple[str, ...]
    is_ready: bool
    has_likely: bool = True

    @property
    def shown(self) -> str:
        """The option as it is typed, with its first answer; with dots where no answer is likelier than another."""
        return as_typed(self.option, self.answers[0] if self.has_likely else "...")


def corrections(name: str, column: Column, reading: Reading, texts: Sequence[str]) -> tuple[Correction, ...]:
    """What would have the texts of a rejected column read; nothing where only the cells themselves can be corrected."""
    filled = [text for text in texts if text]
    if not filled:
        return ()
    if allowed_words(column) or reading.quantity is Quantity.FLAG:
        return tuple(_of_words(name, column, reading, filled))
    if not any(read_cell(text, reading).reason for text in filled):
        return ()
    found = (_of_marks(reading, filled), _of_orders(reading, filled), _of_units(name, reading, filled))
    return tuple(each for each in found if each is not None)


def _reads(reading: Reading, texts: Sequence[str]) -> bool:
    return all(read_cell(text, reading).reason is None for text in texts)


def _chosen(option: str, answers: Sequence[str]) -> Correction | None:
    return Correction(option, tuple(answers), len(answers) == 1) if answers else None


def _of_marks(reading: Reading, texts: Sequence[str]) -> Correction | None:
    if reading.decimal:
        return None
    return _chosen("--decimal {}", [mark for mark in MARKS if _reads(replace(reading, decimal=mark), texts)])


def _of_orders(reading: Reading, texts: Sequence[str]) -> Correction | None:
    if reading.date_order or reading.quantity not in (Quantity.DATE, Quantity.INSTANT):
        return None
    orders = [order for order in ORDERS if _reads(replace(reading, date_order=order), texts)]
    return _chosen("--date-order {}", orders)


def _of_units(name: str, reading: Reading, texts: Sequence[str]) -> Correction | None:
    if reading.unit or reading.quantity not in OFFERED or not reading.needs_unit:
        return None
    # Any unit would do, so that only the shop can say which.
    units = [unit for unit in OFFERED[reading.quantity] if _reads(_with_unit(reading, unit), texts)]
    return _chosen(f"--unit {name}={{}}", units)


def _with_unit(reading: Reading, unit: str) -> Reading:
    return replace(reading, unit=unit, needs_unit=False)


def _of_words(name: str, column: Column, reading: Reading, texts: Sequence[str]) -> Iterator[Correction]:
    listed = allowed_words(column)
    mapped = map_words(texts, listed) if listed else map_flags(texts, name.removeprefix("is_"))
    spellings = set(once_each(texts))
    for text in (each for each in texts if each in spellings):
        if text in listed or (not listed and read_cell(text, reading).reason is None):
            continue
        likely = mapped.words.get(text)
        others = tuple(word for word in (listed or ("yes", "no")) if word != likely)
        is_ready = likely is not None and text not in mapped.guessed
        answers = (likely,) if likely and is_ready else (*((likely,) if likely else ()), *others)
        yield Correction(f"--word {name}:{text}={{}}", answers, is_ready, has_likely=likely is not None)
