"""What may hold a parcel: stocked cartons, cut or whole, made-to-measure ones, new sizes; outside and cost of each.

An offer is one row: option_key, option_kind, carton_code, effective_from and effective_before (None where it is always
on offer), cut_height_in (None where whole), inside_*_in, length_in >= width_in >= height_in outside, volume_in3,
is_rectangular, unit_cost_cents, cut_cents, tare_lb (unknown where nothing states it),
telescope_overlap_in (of two cartons slid into one another, else unknown).
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
import pandas as pd
from numpy.typing import NDArray
from scipy.optimize import nnls

from models.packing.boxes import Options, options
from models.packing.geometry import Carton, outside_at, stocked_carton
from models.packing.needed import Sides
from models.plain_rows import as_dicts

KINDS = ("stocked", "cut", "measured", "new")
# Below so many measured parcels a carton's own bulge is not trusted; the middle of the other cartons' counts then.
LEAST_MEASURED = 5
# The style of two cartons slid into one another (models/sql/core/telescoped_cartons.sql).
TELESCOPED = "telescoped"
USUAL_BOARD_IN = 0.15625  # 5/32 in, the usual single-wall board: common practice, no source


@dataclass(frozen=True)
class Making:
    """How a carton that is not stocked would come out: board and bulge in inches; price and tare by its blank."""

    board_in: float
    bulge_in: Sides
    cents: float
    cents_per_in2: float
    lb_per_in2: float = float("nan")

    def carton(self, code: str, inside_in: Sides) -> Carton:
        """A regular slotted carton of that inside; its outside includes the bulge, on its longest side first."""
        outside = [side + boards * self.board_in for side, boards in zip(inside_in, (2, 2, 4), strict=True)]
        return Carton(code, inside_in, self.board_in, _bulged(outside, self.bulge_in))

    def unit_cost_cents(self, inside_in: Sides) -> int:
        """What one should cost, read off the prices of the stocked ones."""
        return max(1, round(self.cents + self.cents_per_in2 * blank_in2(inside_in)))

    def tare_lb(self, insides_in: NDArray[np.float64]) -> NDArray[np.float64]:
        """What they should weigh, n x 3; unknown where no tare is stated."""
        return np.array([self.lb_per_in2 * blank_in2((row[0], row[1], row[2])) for row in insides_in.tolist()])


def blank_in2(inside_in: Sides) -> float:
    """Area of a regular slotted carton's flat blank, without joint and scoring: 2 (L + W) x (H + W)."""
    length, width, height = inside_in
    return 2 * (length + width) * (height + width)


def cartons_of(catalogue: pd.DataFrame) -> list[Carton]:
    """The catalogue's entries as cartons whose outside includes the bulge learned from measured parcels.

    catalogue: columns of the query `catalogue`. A bulge lies along the side of the same rank.
    """
    usual = usual_bulge_in(catalogue)
    cartons = []
    for row in as_dicts(catalogue):
        carton = stocked_carton(row)
        outside = [float(row[f"outside_{side}_in"]) for side in ("length", "width", "height")]
        bulge = _bulges(row) if row["measured_count"] >= LEAST_MEASURED else usual
        cartons.append(replace(carton, outside_in=_bulged(outside, bulge)))
    return cartons


def _bulges(row: Mapping[str, Any]) -> Sides:
    longest, second, shortest = (max(0.0, float(row[f"bulge_{side}_in"])) for side in ("longest", "second", "shortest"))
    return (longest, second, shortest)


def usual_bulge_in(catalogue: pd.DataFrame) -> Sides:
    """The middle of the bulges of cartons with enough measured parcels, longest side first; nothing where none has."""
    measured = catalogue[catalogue["measured_count"] >= LEAST_MEASURED].drop_duplicates("carton_code")
    if measured.empty:
        return (0.0, 0.0, 0.0)
    longest, second, shortest = np.median([_bulges(row) for row in as_dicts(measured)], axis=0)
    return (float(longest), float(second), float(shortest))


def _bulged(outside: Sequence[float], bulge_in: Sides) -> Sides:
    grown = list(outside)
    for rank, axis in enumerate(np.argsort([-side for side in outside], kind="stable")):
        grown[int(axis)] += bulge_in[rank]
    return (grown[0], grown[1], grown[2])


def making(catalogue: pd.DataFrame) -> Making:
    """How a new size would come out, from the latest entries: middle board and bulge, price by a line over the area."""
    latest = catalogue[catalogue["is_current"]]
    board = latest["board_in"].median()
    fixed, by_area = _price_line(latest[rectangular(latest)])
    usual = USUAL_BOARD_IN if pd.isna(board) else float(board)
    return Making(usual, usual_bulge_in(catalogue), fixed, by_area, _lb_per_in2(latest))


def _lb_per_in2(latest: pd.DataFrame) -> float:
    """The middle of the stated tares over their blanks' areas; unknown where none is stated."""
    weighed = latest[latest["tare_lb"].notna() & rectangular(latest)]
    each = [float(row["tare_lb"]) / blank_in2(stocked_carton(row).inside_in) for row in as_dicts(weighed)]
    return float(np.median(each)) if each else float("nan")


def _price_line(latest: pd.DataFrame) -> tuple[float, float]:
    if latest.empty:
        return (0.0, 0.0)
    areas = [blank_in2(stocked_carton(row).inside_in) for row in as_dicts(latest)]
    (fixed, by_area), _ = nnls(np.column_stack([np.ones(len(areas)), areas]), latest["unit_cost_cents"].astype(float))
    return (float(fixed), float(by_area))


def rectangular(catalogue: pd.DataFrame) -> pd.Series:
    """Whether goods may be reckoned to lie square in an entry: not where parcels in it, or its style, say tube."""
    return catalogue["is_rectangular"].fillna(True).astype(bool) & (catalogue["carton_style"].fillna("") != "tube")


@dataclass(frozen=True)
class Offers:
    """Rows of offers (see the module) and, in the same order, the geometry that fits are asked of."""

    rows: pd.DataFrame
    insides_in: NDArray[np.float64]

    def __len__(self) -> int:
        return len(self.rows)


def stocked_offers(catalogue: pd.DataFrame, step_in: float, cut_cents: int) -> tuple[Offers, Options]:
    """Every entry at every inside height it may have, whole and cut, lowest first within an entry.

    A tube, or another shape that is not rectangular, is offered whole: only goods that lay in it before fit it.
    """
    is_box = rectangular(catalogue)
    cartons = [
        carton if square else replace(carton, is_cuttable=False)
        for carton, square in zip(cartons_of(catalogue), is_box, strict=True)
    ]
    geometry = options(cartons, step_in)
    entries = catalogue.assign(is_box=is_box).iloc[geometry.carton].reset_index(drop=True)
    rows = _rows(
        np.where(geometry.is_cut, "cut", "stocked"), entries["carton_code"], geometry.inside_in, geometry.outside_in
    )
    rows["effective_from"], rows["effective_before"] = entries["effective_from"], entries["effective_before"]
    rows["cut_height_in"] = np.where(geometry.is_cut, geometry.cut_height_in, np.nan)
    rows["is_rectangular"] = entries["is_box"]
    rows["unit_cost_cents"] = entries["unit_cost_cents"].astype("int64")
    rows["tare_lb"] = entries["tare_lb"].astype("float64")
    rows["telescope_overlap_in"] = np.where(
        entries["carton_style"] == TELESCOPED, entries["telescope_overlap_in"], np.nan
    )
    rows["cut_cents"] = np.where(geometry.is_cut, cut_cents, 0)
    return Offers(rows, geometry.inside_in), geometry


def new_offers(insides_in: NDArray[np.float64], codes: Sequence[str], made: Making, kind: str) -> Offers:
    """Cartons that are not stocked, one per row of insides_in (n x 3, length >= width)."""
    cartons = [
        made.carton(code, (row[0], row[1], row[2])) for code, row in zip(codes, insides_in.tolist(), strict=True)
    ]
    outside = np.array([outside_at(carton) for carton in cartons], dtype=float).reshape(-1, 3)
    rows = _rows(np.full(len(cartons), kind), pd.Series(list(codes), dtype="str"), insides_in, outside)
    rows["unit_cost_cents"] = [made.unit_cost_cents(carton.inside_in) for carton in cartons]
    rows["tare_lb"] = made.tare_lb(np.asarray(insides_in, dtype=float).reshape(-1, 3))
    return Offers(rows, np.asarray(insides_in, dtype=float).reshape(-1, 3))


def cuttable_offers(
    sizes: pd.DataFrame, made: Making, lowest_in: float, step_in: float, cut_cents: int
) -> tuple[Offers, Options]:
    """Sizes that are not stocked, whole and cut down to no less than `lowest_in`, lowest first within a size.

    sizes: size_code, inside sides, unit_cost_cents.
    """
    insides = sizes[["inside_length_in", "inside_width_in", "inside_height_in"]].to_numpy(dtype=float).tolist()
    cartons = [
        replace(
            made.carton(str(code), (row[0], row[1], row[2])),
            is_cuttable=row[2] > lowest_in,
            minimum_height_in=lowest_in,
        )
        for code, row in zip(sizes["size_code"], insides, strict=True)
    ]
    geometry = options(cartons, step_in)
    entries = sizes.iloc[geometry.carton].reset_index(drop=True)
    rows = _rows(np.full(len(geometry), "new"), entries["size_code"], geometry.inside_in, geometry.outside_in)
    rows["cut_height_in"] = np.where(geometry.is_cut, geometry.cut_height_in, np.nan)
    rows["unit_cost_cents"] = entries["unit_cost_cents"].to_numpy(dtype=np.int64)
    whole = entries[["inside_length_in", "inside_width_in", "inside_height_in"]].to_numpy(dtype=float)
    rows["tare_lb"] = made.tare_lb(whole)
    rows["cut_cents"] = np.where(geometry.is_cut, cut_cents, 0)
    return Offers(rows, geometry.inside_in), geometry


def _rows(kinds: Any, codes: pd.Series, inside: NDArray[np.float64], outside: NDArray[np.float64]) -> pd.DataFrame:
    inside, outside = np.asarray(inside).reshape(-1, 3), np.asarray(outside).reshape(-1, 3)
    return pd.DataFrame(
        {
            "option_key": np.arange(len(outside), dtype=np.int64),
            "option_kind": kinds,
            "carton_code": codes.to_numpy(),
            "effective_from": pd.Series(pd.NaT, index=range(len(outside)), dtype="datetime64[us]"),
            "effective_before": pd.Series(pd.NaT, index=range(len(outside)), dtype="datetime64[us]"),
            "cut_height_in": np.nan,
            **{f"inside_{side}_in": inside[:, axis] for axis, side in enumerate(("length", "width", "height"))},
            **{f"{side}_in": outside[:, axis] for axis, side in enumerate(("length", "width", "height"))},
            "volume_in3": outside.prod(axis=1),
            "is_rectangular": True,
            "unit_cost_cents": np.int64(0),
            "cut_cents": np.int64(0),
            "tare_lb": np.nan,
            "telescope_overlap_in": np.nan,
        }
    )


def joined(*several: Offers) -> Offers:
    """Offers one after another, keys counted on."""
    filled = [each for each in several if len(each)] or list(several[:1])
    rows = pd.concat([each.rows for each in filled], ignore_index=True)
    rows["option_key"] = np.arange(len(rows), dtype=np.int64)
    return Offers(rows, np.vstack([each.insides_in for each in filled]))
