"""Cartons: what other cartons would have cost, and which sizes to stock."""

from dashboards.review_tables import Records
from dashboards.sentences.entry import Rows, definition, kept, of_month, of_records, where
from dashboards.sentences.grounds import is_tariff_known

COVERAGE, LADDER, BEST = "analysis.carton_coverage", "analysis.carton_ladder_months", "analysis.best_cartons"
RUNS, PLANS = "analysis.assortment_runs", "analysis.parcel_plans"
DEMANDS, GROWTH = "analysis.assortment_demands", "analysis.assortment_growth"


@of_records
def cut_down(records: Records, is_saving: bool) -> Rows:
    """The month's step of cartons from stock, cut down where that helps, where it saves or does not."""
    ladder = records.month_rows(LADDER)
    found = ladder[ladder["ladder_step"] == "cut down"]
    return found[(found["saving_cents"] > 0) == is_saving]


_judged = kept(of_month(COVERAGE), lambda rows: rows["considered_parcel_count"] > 0)


def _with_tare(records: Records, has_tare: bool) -> Rows:
    rows = _judged(records)
    return rows[(rows["tare_parcel_count"] > 0) == has_tare]


def none_judged(records: Records) -> bool:
    """Whether a tariff is known, and no parcel of the month could be judged by it."""
    return is_tariff_known(records) and records.has(COVERAGE) and _judged(records).empty


def _none_cheaper(records: Records) -> bool:
    rows = records.month_rows(BEST)
    return records.has(BEST) and rows[rows["saving_cents"] > 0].empty and len(_judged(records)) > 0


def _is_chosen_on_few_months(records: Records) -> bool:
    """Whether sizes were chosen, on fewer than fourteen months, and growth was not looked for."""
    if not records.is_empty(GROWTH):
        return False
    runs = records.table(RUNS)
    import pandas as pd  # commands that only read do without

    first, last = (pd.to_datetime(runs[name]) for name in ("chosen_from_on", "chosen_to_on"))
    return bool((first + pd.DateOffset(months=13) > last).any())


def _is_of_one_demand(records: Records) -> bool:
    """Whether sizes were chosen, growth was looked for and not proved, and nothing but the months on record counted."""
    growth = records.table(GROWTH)
    proved = growth["is_growth_proved"].astype(bool)
    return records.is_empty(DEMANDS) and len(records.table(RUNS)) > 0 and len(growth) > 0 and not proved.any()


ENTRIES = (
    where(
        "cartons.saving",
        "The cheapest cartons from stock, cut down where that helps, would have saved {saving_cents} on "
        "{parcel_count:parcel/parcels}.",
        cut_down(True),
    ),
    where(
        "cartons.no_saving",
        "No other carton from stock, whole or cut down, would have cost less for the {parcel_count:parcel/parcels} "
        "judged.",
        cut_down(False),
    ),
    where("cartons.judged", "Judged: {considered_parcel_count} of {parcel_count:parcel/parcels}.", _judged),
    where(
        "cartons.bounded",
        "For {bounded_parcel_count} of them the goods' sides are not known; the carton used bounds them.",
        kept(_judged, lambda rows: rows["bounded_parcel_count"] > 0),
    ),
    where(
        "cartons.fit_open",
        "For {open_fit_parcel_count:parcel/parcels} it was neither proved nor disproved that the goods fit a cheaper "
        "carton from stock; if all did, that would have saved at most {open_saving_cents} more.",
        kept(_judged, lambda rows: (rows["open_fit_parcel_count"] > 0) & (rows["open_saving_cents"] > 0)),
    ),
    where(
        "cartons.weight_as_sent",
        "Other cartons are priced with the scale weight as it was: no tare of a carton that these {parcel_count} "
        "parcels lay in is stated.",
        lambda records: _with_tare(records, False),
    ),
    where(
        "cartons.tare_counted",
        "The tare of the carton used is stated for {tare_parcel_count} of {considered_parcel_count:parcel/parcels}; "
        "these are priced with the tare of the other carton wherever that is known, too.",
        lambda records: _with_tare(records, True),
    ),
    where(
        "cartons.void_counted",
        "Void fill of the cartons used comes to {void_fill_cents} by the stated price of the room left; other cartons "
        "are charged what they take more.",
        _judged,
    ),
    where(
        "cartons.void_unstated",
        "Void fill is not counted for these {parcel_count:parcel/parcels}: its price is not stated.",
        kept(_judged, lambda rows: rows["void_fill_cents"].isna()),
    ),
    where("cartons.none_judged", "No parcel of {:month} has both a price by a tariff and a known need.", none_judged),
    where("cartons.none_cheaper", "No other carton from stock would have been cheaper this month.", _none_cheaper),
    where(
        "cartons.chosen",
        "Sizes were last chosen on {made_at}: {size_count:size/sizes} of {candidate_count:candidate/candidates}.",
        lambda records: records.table(RUNS).head(1),
    ),
    where(
        "cartons.not_chosen",
        "No sizes have been chosen yet: run “dunnage cartons”.",
        lambda records: records.is_empty(RUNS) and len(_judged(records)) > 0,
    ),
    where(
        "cartons.no_plans",
        "No sale in several parcels, and no parcel of several pieces, could be judged.",
        lambda records: records.is_empty(PLANS) and len(records.table(RUNS)) > 0,
    ),
    definition(
        "cartons.ladder_means",
        "By the tariff. Other cartons are taken to be as large as nine in ten of them when closed. “Made to measure” "
        "is a floor, not a plan.",
    ),
    definition(
        "cartons.best_means",
        "Only cartons into which the goods were placed, with the packing method's clearance. A code with a number "
        "before it is two cartons slid into one another, where the shop marks them as fit for it and no single one "
        "holds the goods. “dunnage bench-sheets” prints them for the packing bench.",
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
    where(
        "cartons.growth_unknown",
        "The sizes were chosen on fewer than fourteen months, which cannot show growth: that takes two whole months "
        "and the same two a year before.",
        _is_chosen_on_few_months,
    ),
    where(
        "cartons.one_demand",
        "The sizes were chosen on the months on record alone: no item type is proved to have grown or shrunk against "
        "the same months a year before, and no price list for these parcels begins in the year after them.",
        _is_of_one_demand,
    ),
    definition(
        "cartons.demands_mean",
        "The sizes are chosen on the mean of these demands. Where all twelve months of the calendar are on record, "
        "each counts alike. An item type that is proved to have grown or shrunk goes on from its last twelve months by "
        "the same ratio. Announced prices hold from their day on, with fuel and tax as in the past.",
    ),
    definition(
        "cartons.growth_means",
        "Parcels are compared given their sum, with an interval that allows for weeks that vary more than by chance. "
        "Parcels of which no record names the goods may be of any item type. Growth or decline is proved where the "
        "interval leaves out one.",
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
)
