"""Where a carton is cut, scored and folded: one wall as it stands on the table, drawn from a row of a bench sheet."""

from __future__ import annotations

from dashboards.pictures import Block, Kind, Picture, Scale, Tone
from models.shop_units import LENGTH, Units

VIEW = "One long wall, standing on the table"


def carton_drawing(row: dict[str, object], number: int, table: str, units: Units) -> Picture:
    """The wall up to the score line, and the flap above it that is left after the cut; both true to scale.

    row: of analysis.bench_sheets, of a carton that is cut. number: the row's place in the table.
    """
    wide, score, trim = (
        units.value(name, _of(row, name)) for name in ("inside_length_in", "score_at_in", "trim_at_in")
    )
    marked, flaps = (units.at_bench(LENGTH, _of(row, name)) for name in ("score_at_in", "flap_in"))
    blocks = (
        Block(
            VIEW,
            0.0,
            0.0,
            wide,
            score,
            "wall, below the score line",
            units.name("score_at_in"),
            number,
            "wall",
            Tone.QUIET,
        ),
        Block(
            VIEW,
            left=0.0,
            bottom=score,
            width=wide,
            height=trim - score,
            label="flap, cut off at its upper edge",
            column=units.name("trim_at_in"),
            row=number,
            number="flap",
            is_dashed=True,
        ),
    )
    scales = (
        Scale(VIEW, 0.0, score, f"score at {marked}", units.name("score_at_in"), number),
        Scale(VIEW, score, trim, f"flaps of {flaps}", units.name("flap_in"), number),
    )
    return Picture(
        Kind.CARTON, table, blocks=blocks, scales=scales, name=f"cut-{number}", title="Where to score and cut"
    )


def _of(row: dict[str, object], name: str) -> float:
    return float(str(row[name]))
