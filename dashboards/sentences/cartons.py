"""Cartons: what other cartons would have cost, which sizes to stock, and how goods lie in one."""

from __future__ import annotations

from dashboards.parts import Records
from dashboards.sentences.entry import Condition, Rows, RowsOf, definition, of_rows, where
from dashboards.sentences.grounds import flagged, is_tariff_known, only_if

COVERAGE, LADDER, BEST = "analysis.carton_coverage", "analysis.carton_ladder_months", "analysis.best_cartons"
RUNS, PLANS = "analysis.assortment_runs", "analysis.parcel_plans"
CARTONS, PIECES = "placement.cartons", "placement.pieces"


def cut_down(is_saving: bool) -> RowsOf:
    """The month's step of cartons from stock, cut down where that helps, where it saves or does not."""

    def rows(records: Records) -> Rows:
        ladder = records.month_rows(LADDER)
        found = ladder[ladder["ladder_step"] == "cut down"]
        return found[(found["saving_cents"] > 0) == is_saving]

    return rows


def _judged(records: Records) -> Rows:
    rows = records.month_rows(COVERAGE)
    return rows[rows["considered_parcel_count"] > 0]


def _bounded(records: Records) -> Rows:
    rows = _judged(records)
    return rows[rows["bounded_parcel_count"] > 0]


def _fit_open(records: Records) -> Rows:
    rows = _judged(records)
    return rows[(rows["open_fit_parcel_count"] > 0) & (rows["open_saving_cents"] > 0)]


def _none_judged(records: Records) -> bool:
    return is_tariff_known(records) and records.has(COVERAGE) and _judged(records).empty


def _none_cheaper(records: Records) -> bool:
    rows = records.month_rows(BEST)
    return records.has(BEST) and rows[rows["saving_cents"] > 0].empty and len(_judged(records)) > 0


def _fitted(answer: str) -> RowsOf:
    def rows(records: Records) -> Rows:
        found = records.table(CARTONS)
        return found[found["fitted"] == answer]

    return rows


def _pieces(is_one: bool) -> RowsOf:
    def rows(records: Records) -> Rows:
        found = _fitted("fits")(records).head(1)
        return found[(found["piece_count"] == 1) == is_one]

    return rows


def _unplaced(records: Records) -> Rows:
    return only_if(_fitted("fits")(records).empty, records.table(CARTONS).head(1))


def _not_placed(looked_at: str, is_looked_at: bool) -> Condition:
    """Whether a carton was looked at or not, and no piece has a place in it."""

    def condition(records: Records) -> bool:
        cartons, pieces = records.table(CARTONS), records.table(PIECES)
        has_carton = bool((cartons["looked_at"] == looked_at).any())
        return len(cartons) > 0 and has_carton == is_looked_at and not (pieces["looked_at"] == looked_at).any()

    return condition


ENTRIES = (
    of_rows(
        LADDER,
        "cartons.saving",
        "The cheapest cartons from stock, cut down where that helps, would have saved {saving_cents} on "
        "{parcel_count:parcel/parcels}.",
        cut_down(True),
    ),
    of_rows(
        LADDER,
        "cartons.no_saving",
        "No other carton from stock, whole or cut down, would have cost less for the {parcel_count:parcel/parcels} "
        "judged.",
        cut_down(False),
    ),
    of_rows(
        COVERAGE,
        "cartons.judged",
        "Judged: {considered_parcel_count} of {parcel_count:parcel/parcels}.",
        _judged,
    ),
    of_rows(
        COVERAGE,
        "cartons.bounded",
        "For {bounded_parcel_count} of them the goods' sides are not known; the carton used bounds them.",
        _bounded,
    ),
    of_rows(
        COVERAGE,
        "cartons.fit_open",
        "For {open_fit_parcel_count:parcel/parcels} it was neither proved nor disproved that the goods fit a cheaper "
        "carton from stock; if all did, that would have saved at most {open_saving_cents} more.",
        _fit_open,
    ),
    where("cartons.none_judged", "No parcel of {:month} has both a price by a tariff and a known need.", _none_judged),
    where("cartons.none_cheaper", "No other carton from stock would have been cheaper this month.", _none_cheaper),
    of_rows(
        RUNS,
        "cartons.chosen",
        "Sizes were last chosen on {made_at}: {size_count:size/sizes} of {candidate_count:candidate/candidates}.",
        lambda records: records.table(RUNS).head(1),
    ),
    where(
        "cartons.not_chosen",
        "No sizes have been chosen yet: run “dunnage cartons”.",
        lambda records: records.has(RUNS) and records.table(RUNS).empty and len(_judged(records)) > 0,
    ),
    where(
        "cartons.no_plans",
        "No sale in several parcels, and no parcel of several pieces, could be judged.",
        lambda records: records.has(PLANS) and records.table(PLANS).empty and len(records.table(RUNS)) > 0,
    ),
    definition(
        "cartons.ladder_means",
        "By the tariff, with the scale weight as it was: the lighter board of a smaller carton is not counted. Other "
        "cartons are taken to be as large as nine in ten of them when closed. “Made to measure” is a floor, not a "
        "plan.",
    ),
    definition(
        "cartons.best_means",
        "Only cartons into which the goods were placed, with the packing method's clearance. “dunnage bench-sheets” "
        "prints them for the packing bench.",
    ),
    definition(
        "cartons.curve_means",
        "With the cost of stocking each size and a twelfth of what it costs once. No choice of so many of the "
        "sizes considered is cheaper by more than the proven gap. The knee lies furthest below the straight line from "
        "the fewest to the most sizes.",
    ),
    definition(
        "cartons.size_price",
        "The price of a new size is estimated from the prices of the stocked ones by the area of board.",
    ),
    definition(
        "cartons.saving_means",
        "For this test the sizes were chosen without the held-out months; those to stock were then chosen on all. The "
        "interval is computed over whole weeks. Without the cost of stocking the sizes.",
    ),
    definition(
        "cartons.plans_means",
        "Carriage, carton, packing material and minutes, over all months, in the cheapest of the sizes to stock, "
        "against the same parcels unchanged in these. Joined only where one of them holds the goods with the greater "
        "clearance, and the carrier takes it.",
    ),
    of_rows(
        CARTONS,
        "packing.one_piece",
        "{piece_count} piece, {clearance_in} clear of every wall.",
        _pieces(True),
    ),
    of_rows(
        CARTONS,
        "packing.pieces",
        "{piece_count} pieces, each {clearance_in} clear of every wall and every other piece.",
        _pieces(False),
    ),
    of_rows(
        CARTONS,
        "packing.none_placed",
        "{piece_count:piece/pieces} to be packed {clearance_in} clear on every side; no carton looked at has a proven "
        "placement.",
        _unplaced,
    ),
    of_rows(CARTONS, "packing.fits", "The goods fit, {clearance_in} clear on every side.", _fitted("fits")),
    of_rows(
        CARTONS,
        "packing.does_not_fit",
        "The goods do not fit with {clearance_in} clear on every side: {fit_reason}.",
        _fitted("does not fit"),
    ),
    of_rows(
        CARTONS,
        "packing.undecided",
        "No way was found that leaves {clearance_in} clear on every side: {fit_reason}.",
        _fitted("undecided"),
    ),
    of_rows(
        CARTONS,
        "packing.carton",
        "Packing in {carton_code}, inside {inside_length_in x inside_width_in x inside_height_in}, {looked_at}.",
        lambda records: records.table(CARTONS),
    ),
    of_rows(
        CARTONS,
        "packing.opens_at_end",
        "The carton opens at its end.",
        lambda records: flagged(records.table(CARTONS), "is_end_opening"),
    ),
    of_rows(
        CARTONS,
        "packing.cut_down",
        "The carton is cut down.",
        lambda records: flagged(records.table(CARTONS), "is_cut"),
    ),
    of_rows(CARTONS, "packing.not_looked_at", "Not looked at: {fit_reason}.", _fitted("not looked at")),
    where(
        "packing.no_carton",
        "No carton is known.",
        lambda records: records.has(CARTONS) and records.table(CARTONS).empty,
    ),
    where(
        "packing.none_as_sent",
        "No placement in the carton used: the table above says why.",
        _not_placed("as sent", True),
    ),
    where(
        "packing.none_cheaper",
        "No placement in the cheaper carton: the table above says why.",
        _not_placed("cheaper from stock", True),
    ),
    where(
        "packing.no_cheaper",
        "No cheaper carton from stock is known for such parcels.",
        _not_placed("cheaper from stock", False),
    ),
    definition(
        "packing.drawing",
        "The numbers are those of the table, in the order of packing. There may be other ways.",
    ),
)
