"""Sheets for the packing bench: one per item type and packing method, two to a page of paper, and a card for the wall.

Drawn from analysis.bench_sheets and, for what each carrier reads on the label, analysis.bench_carriers.

Where heavy parcels or a knife can hurt somebody, the usual caution stands on the sheet and defers to the shop's own
rules.
"""

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass, replace

import pandas as pd

from dashboards import formats, pages, values
from dashboards.carton_drawing import carton_drawing
from dashboards.cautions import CUTTING, LIFTING, ON_END, TELESCOPING, TWO_PEOPLE, VERTICAL
from dashboards.pictures import Picture
from models.columns.goods import TURNED_SIDES
from models.plain_rows import as_dicts
from models.shop_units import LENGTH, Units, measure_of
from models.tariffs.rules import LENGTHS_PER_INCH

TABLE, CARRIERS = "analysis.bench_sheets", "analysis.bench_carriers"
# 23 kg, the load constant of the lifting equation: the most that the best posture allows.
# T. R. Waters, V. Putz-Anderson, A. Garg, "Applications Manual for the Revised NIOSH Lifting Equation", DHHS (NIOSH)
# Publication 94-110, 1994.
HEAVY_LB = 51.0
# From here two people, or an aid, are usual: half of it, as postures at a bench are not the best (common practice,
# no source).
AWKWARD_LB = HEAVY_LB / 2
# A card for all goods says what holds for all of them, and names those that want two people.
ON_THE_WALL = (CUTTING, LIFTING)
LINES = (
    ("Carton", ("best_carton_code",)),
    ("Slide two into one another, over at least", ("telescope_overlap_in",)),
    ("How it may lie", ("turns",)),
    ("Inside, length x width x height", ("inside_length_in", "inside_width_in", "inside_height_in")),
    ("It lies, length x width x height", ("along_length_in", "along_width_in", "along_height_in")),
    ("Closed, outside, at most about", ("length_in", "width_in", "height_in")),
    ("Room on every side, at least", ("clearance_in",)),
    ("Usual minutes", ("pack_minutes",)),
    ("Weight on the scale, about", ("expected_weight_lb",)),
)
CUT_LINES = (
    ("Mark all four walls, up from the table", ("score_at_in",)),
    ("Slit the corners down to the mark; cut off all above", ("trim_at_in",)),
    ("Score and fold at the mark: flaps of", ("flap_in",)),
    ("Half the width, the least flap", ("needed_flap_in",)),
)


@dataclass(frozen=True)
class Shown:
    """A value with the cell it came from."""

    column: str
    text: str
    row: int
    table: str = TABLE


Lines = Sequence[tuple[str, Sequence[Shown]]]


@dataclass(frozen=True)
class Sheet:
    """One sheet: headings, lines of a label and its values, lines on the cut and for carriers, steps, cautions.

    limits: carrier and longest closed length. girths: carrier, length plus girth of the label, and the most of it.
    """

    row: int
    item_type: str
    packing_method: str
    lines: Lines
    carrier_lines: Lines
    cut_lines: Lines
    limits: Sequence[tuple[Shown, Shown]]
    girths: Sequence[tuple[Shown, Shown, Shown]]
    steps: Sequence[str]
    cautions: Sequence[str]
    drawing: Picture | None = None

    @property
    def carton(self) -> Shown:
        """The carton to take."""
        return self.lines[0][1][0]

    @property
    def score(self) -> Shown | None:
        """Where to score it; None of one that is not cut."""
        return self.cut_lines[0][1][0] if self.cut_lines else None


def render(
    shop_name: str,
    made_at: dt.datetime,
    rows: pd.DataFrame,
    carriers: pd.DataFrame,
    units: Units,
    others: Sequence[str] = (),
) -> str:
    """The sheets as one HTML page, two to a page of paper, after the card for the wall.

    rows: analysis.bench_sheets, in the order to be printed. carriers: analysis.bench_carriers. others: item types that
    have none.
    """
    known = list(enumerate(as_dicts(carriers)))
    sheets = [_sheet(number, row, known, units) for number, row in enumerate(as_dicts(rows))]
    cautions = list(dict.fromkeys(caution for sheet in sheets for caution in sheet.cautions if caution in ON_THE_WALL))
    heavy = list(dict.fromkeys(sheet.item_type for sheet in sheets if TWO_PEOPLE in sheet.cautions))
    told = {"sheets": sheets, "cautions": cautions, "heavy": heavy, "others": others, "made_on": values.day(made_at)}
    return pages.page("bench_sheets.html", {}, shop_name=shop_name, made_at=made_at, table=TABLE, **told)


Row = dict[str, object]
NAMED = ("item_type", "packing_method")


def _sheet(number: int, row: Row, carriers: Sequence[tuple[int, Row]], units: Units) -> Sheet:
    is_cut = bool(row["is_cut"])
    own = [(at, each) for at, each in carriers if all(each[name] == row[name] for name in NAMED)]
    return Sheet(
        row=number,
        item_type=str(row["item_type"]),
        packing_method=str(row["packing_method"]),
        lines=_lines(LINES, number, row, units),
        carrier_lines=[_label(at, each, units) for at, each in own if each["length_unit"] == units.unit(LENGTH).sign],
        cut_lines=_lines(CUT_LINES, number, row, units) if is_cut else (),
        limits=[_limit(at, each, units) for at, each in own if not formats.is_unknown(each[LIMIT])],
        girths=[_girth(at, each, units) for at, each in own if not formats.is_unknown(each[GIRTH_LIMIT])],
        steps=_steps(row["packing_steps"]),
        cautions=_cautions(row, is_cut),
        drawing=carton_drawing(row, number, TABLE, units),
    )


def _steps(stated: object) -> list[str]:
    """The steps as the shop states them; none where it does not."""
    return [] if formats.is_unknown(stated) else [step.strip() for step in str(stated).split(";") if step.strip()]


LABEL, LIMIT = ("label_length_in", "label_width_in", "label_height_in"), "length_at_most_in"
GIRTH, GIRTH_LIMIT = "label_girth_in", "girth_at_most_in"
# A sixteenth, or a millimetre: what a rule at the bench shows.
RULED_IN = {False: 1 / 16, True: 0.1 / 2.54}
# So that a limit that is a whole number of them stays one, whatever binary numbers made of it.
HAIR_IN = 1e-4


def _label(number: int, row: Row, units: Units) -> tuple[str, list[Shown]]:
    """What to type for a carrier whose unit is the shop's: turned into another unit, it would be rounded once more."""
    sides = [_rounded(name, number, row, units) for name in LABEL]
    sides[-1] = replace(sides[-1], text=f"{sides[-1].text} {row['length_unit']}")
    return f"Sides on the label, {formats.plain(row['carrier'], 40)}", sides


def _rounded(name: str, number: int, row: Row, units: Units) -> Shown:
    """What the carrier rounds, in its own unit: turned into another, it would say what is not on the label."""
    length = float(str(row[name])) * float(LENGTHS_PER_INCH[str(row["length_unit"])])
    return Shown(units.name(name), f"{round(length, 3):g}", number, CARRIERS)


def _girth(number: int, row: Row, units: Units) -> tuple[Shown, Shown, Shown]:
    """The carrier, the length plus girth of the rounded sides, and the most of it."""
    carrier = Shown("carrier", formats.plain(row["carrier"], 40), number, CARRIERS)
    own, most = (_rounded(name, number, row, units) for name in (GIRTH, GIRTH_LIMIT))
    return carrier, own, replace(most, text=f"{most.text} {row['length_unit']}")


def _limit(number: int, row: Row, units: Units) -> tuple[Shown, Shown]:
    """The carrier, and the length not to pass: never longer than it is, as the rule shows it."""
    most = float(str(row[LIMIT])) - RULED_IN[units.is_metric] / 2 + HAIR_IN
    carrier = Shown("carrier", formats.plain(row["carrier"], 40), number, CARRIERS)
    return carrier, Shown(units.name(LIMIT), units.at_bench(LENGTH, most), number, CARRIERS)


def _lines(stated: Sequence[tuple[str, Sequence[str]]], number: int, row: Row, units: Units) -> Lines:
    return [
        (label, [Shown(units.name(name), _written(name, row[name], units), number) for name in names])
        for label, names in stated
        if not all(formats.is_unknown(row[name]) for name in names)
    ]


def _written(column: str, value: object, units: Units) -> str:
    measure = measure_of(column)
    if measure is None or formats.is_unknown(value):
        return formats.shown(value, column, units)
    return units.at_bench(measure, float(str(value)))


def _cautions(row: Row, is_cut: bool) -> list[str]:
    weight = row["expected_weight_lb"]
    is_heavy = not formats.is_unknown(weight) and float(str(weight)) >= AWKWARD_LB
    is_telescoped = not formats.is_unknown(row["telescope_overlap_in"])
    return [
        *_turned(row),
        *([TELESCOPING] if is_telescoped else []),
        *([CUTTING] if is_cut else []),
        *([TWO_PEOPLE] if is_heavy else []),
        LIFTING,
    ]


def _turned(row: Row) -> list[str]:
    """What the packer must know of goods that may not lie any way."""
    turns = str(row["turns"])
    if turns in TURNED_SIDES:
        return [VERTICAL.format(turns)]
    return [ON_END] if turns == "not on end" else []
