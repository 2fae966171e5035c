"""Columns whose cells hold three sides, each as three columns of the sample."""

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace

from models.cells.three_sides import SIDES, order, side
from models.column_map.headers import header
from models.column_map.pairing import Sample
from models.column_map.sample_values import looks_like_length

# Trade words of a header that tell one kind of sides from another.
_KINDS = ("inside", "outside")
# Where at least this share of a column's cells hold three sides, the others are faulty.
_LEAST = 0.5


@dataclass(frozen=True)
class ThreeSides:
    """The made headers of a sample: each with the source header, and the number of the side in its cells."""

    made: Mapping[str, tuple[str, int]] = field(default_factory=dict)

    @property
    def parted(self) -> frozenset[str]:
        """The source headers whose cells hold three sides."""
        return frozenset(source for source, _ in self.made.values())

    def source(self, written: str) -> str:
        """The header in the file of one in the sample."""
        return self.made[written][0] if written in self.made else written

    def of(self, source: str, column: str) -> str:
        """The made header of the side of which a column such as `outside_length_in` is."""
        return next(made for made, (each, _) in self.made.items() if each == source and made.endswith(_side_of(column)))


def parted(sample: Sample, kept: Collection[str] = ()) -> tuple[Sample, ThreeSides]:
    """The sample with three columns for each whose cells hold three sides; headers in `kept` stay as they are."""
    made: dict[str, tuple[str, int]] = {}
    spoken: dict[str, str] = {}
    for written in dict.fromkeys(sample.headers):
        if written not in kept and _holds_sides(sample.column(written)):
            kinds = [word for meanings in header(written).words for word in sorted(meanings) if word in _KINDS]
            for number, named in enumerate(order(written), start=1):
                made[f"{written}: {named}"] = (written, number)
                spoken[f"{written}: {named}"] = " ".join((*kinds, named))
    if not made:
        return sample, ThreeSides()
    found = ThreeSides(made)
    own = [at for at, each in enumerate(sample.headers) if each not in found.parted]
    headers = (*(sample.headers[at] for at in own), *made)
    full = [(*row, *("" for _ in sample.headers[len(row) :])) for row in sample.rows]
    rows = tuple((*(row[at] for at in own), *_cells(sample, row, made)) for row in full)
    return replace(sample, headers=headers, rows=rows, sides=spoken), found


def _cells(sample: Sample, row: Sequence[str], made: Mapping[str, tuple[str, int]]) -> Iterator[str]:
    for source, number in made.values():
        yield side(row[sample.headers.index(source)].strip(), number)


def _holds_sides(texts: Sequence[str]) -> bool:
    fitting = sum(all(looks_like_length(side(text, number)) for number in range(1, len(SIDES) + 1)) for text in texts)
    return bool(texts) and fitting >= _LEAST * len(texts)


def _side_of(column: str) -> str:
    """The side that a column's name speaks of; of another measure the first."""
    return next((each for each in SIDES if each in column.split("_")), SIDES[0])
