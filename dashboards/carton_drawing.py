"""How a piece lies in its carton, and where that is cut, scored and folded: a bench sheet's row, to scale."""

from collections.abc import Iterator
from dataclasses import replace

from dashboards import formats
from dashboards.pictures import Block, Kind, Picture, Scale, Tone
from models.shop_units import LENGTH, Units

Row = dict[str, object]
FRONT, CUT_FRONT, ABOVE = "From the front", "One long wall, standing on the table", "From above"
LIES = ("along_length_in", "along_width_in", "along_height_in", "left_in", "front_in", "bottom_in")


def carton_drawing(row: Row, number: int, table: str, units: Units) -> Picture | None:
    """The carton from the front, with its score line and flaps where it is cut, and from above; the piece in both.

    row: of analysis.bench_sheets. number: the row's place in the table. None for a carton that is not cut in which no
    placement was found.
    """
    is_cut, lies = bool(row["is_cut"]), not any(formats.is_unknown(row[name]) for name in LIES)
    if not is_cut and not lies:
        return None
    drawn = _Drawn(row, number, units)
    blocks = [*(drawn.cut_wall() if is_cut else drawn.wall()), *(drawn.piece() if lies else ())]
    title = "Where to score and cut, and how the piece lies" if is_cut else "How the piece lies"
    return Picture(
        Kind.CARTON, table, blocks=tuple(blocks), scales=tuple(drawn.scales()), name=f"carton-{number}", title=title
    )


class _Drawn:
    """The parts of one drawing, in the shop's unit of length."""

    def __init__(self, row: Row, number: int, units: Units) -> None:
        self.row, self.number, self.units = row, number, units
        self.is_cut = bool(row["is_cut"])
        self.front = CUT_FRONT if self.is_cut else FRONT

    def value(self, name: str) -> float:
        return self.units.value(name, float(str(self.row[name])))

    def written(self, name: str) -> str:
        return self.units.at_bench(LENGTH, float(str(self.row[name])))

    def block(self, view: str, place: tuple[float, float], size: tuple[float, float], label: str, column: str) -> Block:
        (left, bottom), (width, height) = place, size
        return Block(view, left, bottom, width, height, label, self.units.name(column), self.number)

    def wall(self) -> Iterator[Block]:
        size = self.value("inside_length_in"), self.value("inside_height_in")
        yield _quiet(self.block(FRONT, (0.0, 0.0), size, "inside of the carton", "inside_height_in"))

    def cut_wall(self) -> Iterator[Block]:
        """The wall up to the score line, and the flap above it that is left after the cut."""
        wide, score, trim = (self.value(name) for name in ("inside_length_in", "score_at_in", "trim_at_in"))
        yield _quiet(self.block(self.front, (0.0, 0.0), (wide, score), "wall, below the score line", "score_at_in"))
        flap = (wide, trim - score)
        yield _dashed(
            self.block(self.front, (0.0, score), flap, "flap, cut off at its upper edge", "trim_at_in"), "flap"
        )

    def piece(self) -> Iterator[Block]:
        """The piece behind the front wall, and the carton with the piece from above."""
        along, across, up, left, front, bottom = (self.value(name) for name in LIES)
        # A cut wall stands on the flaps of the bottom: the inside begins above them.
        floor = self.value("score_at_in") - self.value("inside_height_in") if self.is_cut else 0.0
        yield self.named(self.front, (left, floor + bottom), (along, up), "along_height_in")
        inside = self.value("inside_length_in"), self.value("inside_width_in")
        yield _quiet(self.block(ABOVE, (0.0, 0.0), inside, "inside of the carton", "inside_width_in"))
        yield self.named(ABOVE, (left, front), (along, across), "along_width_in")

    def named(self, view: str, place: tuple[float, float], size: tuple[float, float], column: str) -> Block:
        return _dashed(self.block(view, place, size, "the piece", column), "piece")

    def scales(self) -> Iterator[Scale]:
        for view, start, end, words, column in self._measured():
            yield Scale(view, start, end, words, self.units.name(column), self.number)

    def _measured(self) -> Iterator[tuple[str, float, float, str, str]]:
        if self.is_cut:
            score, trim = self.value("score_at_in"), self.value("trim_at_in")
            yield self.front, 0.0, score, f"score at {self.written('score_at_in')}", "score_at_in"
            yield self.front, score, trim, f"flaps of {self.written('flap_in')}", "flap_in"
        else:
            high = self.value("inside_height_in")
            yield FRONT, 0.0, high, f"inside {self.written('inside_height_in')}", "inside_height_in"


def _quiet(block: Block) -> Block:
    return replace(block, tone=Tone.QUIET)


def _dashed(block: Block, number: str) -> Block:
    return replace(block, number=number, is_dashed=True)
