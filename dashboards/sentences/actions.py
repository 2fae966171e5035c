"""What to do next: the words of each action, and what is said of all."""

from collections.abc import Callable

from dashboards.review_tables import Records
from dashboards.sentences.entry import Rows, RowsOf, definition, kept, of_records, where
from dashboards.sentences.grounds import flagged, least, overdue, to_come

ACTIONS, TOTALS, OTHER_WAYS = "analysis.actions", "analysis.action_totals", "analysis.other_ways"
# Heights that differ by less are written alike.
ONE_HEIGHT_IN = 0.005


def _in_sum(records: Records) -> Rows:
    return flagged(records.table(ACTIONS), "is_in_sum")


def _first(records: Records) -> Rows:
    return least(_in_sum(records), "place")


def _first_due(days: Callable[[Rows, str, Records], Rows]) -> RowsOf:
    return lambda records: days(_first(records), "due_on", records)


@of_records
def of_kind(records: Records, kind: str, *known: str, but: str = "") -> Rows:
    """The actions of a kind that have the named cells, and lack that of `but`."""
    found = records.table(ACTIONS)
    found = found[(found["action_kind"] == kind) & found[list(known)].notna().all(axis=1)]
    return found[found[but].isna()] if but else found


def _task(task: str) -> RowsOf:
    return kept(of_kind("claim", "claim_count"), lambda found: found["claim_task"] == task)


@of_records
def _file(records: Records, is_any_undated: bool, is_any_dated: bool) -> Rows:
    """Claims to file: whether the deadline of some is not known, and that of others is."""
    found = _task("file")(records)
    undated = found["undated_claim_count"].fillna(0).astype(int)
    return found[((undated > 0) == is_any_undated) & ((undated < found["claim_count"]) == is_any_dated)]


@of_records
def _cut(records: Records, is_same: bool, is_one_height: bool) -> Rows:
    """Cartons to cut: the one that is used, or another; to one height, or to several."""
    found = of_kind("cut", "cut_low_in", "cut_high_in")(records)
    found = found[(found["carton_code"] == found["best_carton_code"]) == is_same]
    is_one = (found["cut_high_in"] - found["cut_low_in"]).astype(float) < ONE_HEIGHT_IN
    return found[is_one == is_one_height]


_not_looked_at = kept(TOTALS, lambda rows: rows["not_looked_at"] != "nothing")


def _none_found(records: Records) -> bool:
    totals = records.table(TOTALS)
    is_all = len(totals) == 1 and totals["not_looked_at"].iloc[0] == "nothing"
    return records.has(ACTIONS) and _in_sum(records).empty and is_all


ENTRIES = (
    # What to do, in the cell of a table: without a full stop, several parted by semicolons.
    where("action.dispute", "Dispute {line_count:charge/charges} with {carrier}: {named:list}", of_kind("dispute")),
    where("action.file", "File {claim_count:claim/claims}", _file(False, True)),
    where(
        "action.file_undated",
        "File {claim_count:claim/claims}, reported since {undated_opened_on}; no deadline is known",
        _file(True, False),
    ),
    where(
        "action.file_part_undated",
        "File {claim_count:claim/claims}; no deadline is known for {undated_claim_count} of them, reported since "
        "{undated_opened_on}",
        _file(True, True),
    ),
    where("action.ask", "Ask after {claim_count:claim that waits/claims that wait} for an answer", _task("ask")),
    where(
        "action.contest", "Contest what was paid on {claim_count:claim/claims}: less than was claimed", _task("contest")
    ),
    where("action.carton", "{item_type}: carton {best_carton_code} instead of {carton_code}", of_kind("carton")),
    where("action.cut", "{item_type}: carton {carton_code}, cut to {cut_high_in}", _cut(True, True)),
    where(
        "action.cut_span",
        "{item_type}: carton {carton_code}, cut to between {cut_low_in and cut_high_in}",
        _cut(True, False),
    ),
    where(
        "action.cut_other",
        "{item_type}: carton {best_carton_code}, cut to {cut_high_in}, instead of {carton_code}",
        _cut(False, True),
    ),
    where(
        "action.cut_other_span",
        "{item_type}: carton {best_carton_code}, cut to between {cut_low_in and cut_high_in}, instead of {carton_code}",
        _cut(False, False),
    ),
    where(
        "action.lighter",
        "{item_type} in carton {carton_code}: {change_lb} lighter would avoid {charge_name}",
        of_kind("near miss", "change_lb", but="change_in"),
    ),
    where(
        "action.shorter",
        "{item_type} in carton {carton_code}: {change} {change_in} shorter would avoid {charge_name}",
        of_kind("near miss", "change_in"),
    ),
    where("action.sizes", "Stock {size_count:size/sizes} of carton", of_kind("sizes")),
    where("action.sizes_buy", "buy {named:list}", of_kind("sizes", "named")),
    where("action.sizes_use_up", "use up {used_up:list}", of_kind("sizes", "used_up")),
    where("action.packing", "{item_type}: pack with {best_method} instead of {current_method}", of_kind("packing")),
    where(
        "action.choice",
        "{item_type}: {best_method} instead of {current_method} may cost less, with about "
        "{more_damaged_count:more broken parcel/more broken parcels} a year to be expected",
        of_kind("choice"),
    ),
    where(
        "action.trial",
        "{item_type}: pack {wait_parcels:more parcel/more parcels} each with {best_method} and {current_method}, then "
        "decide",
        of_kind("trial", "wait_parcels"),
    ),
    where(
        "action.trial_of_any_size",
        "{item_type}: pack more parcels each with {best_method} and {current_method}, then decide",
        of_kind("trial", but="wait_parcels"),
    ),
    where("action.charge", "Charge more for shipping, or keep more in the item price: {named:list}", of_kind("charge")),
    # Where to go on, in the cell of a table.
    where("go_on.disputes", "dunnage disputes", of_kind("dispute")),
    where("go_on.claims", "the page, under Changes, alarms and claims", of_kind("claim")),
    where("go_on.cartons", "the page, under Cartons", of_kind("carton")),
    where("go_on.bench_sheets", "dunnage bench-sheets", of_kind("cut")),
    where("go_on.near_misses", "the page, under Near misses", of_kind("near miss")),
    where("go_on.sizes", "dunnage cartons", of_kind("sizes")),
    where(
        "go_on.packing",
        "dunnage damage --item-type '{item_type}'",
        kept(ACTIONS, lambda rows: rows["action_kind"].isin(("packing", "trial", "choice"))),
    ),
    where("go_on.charges", "the page, under What to charge for shipping", of_kind("charge")),
    where(
        "action.more_ways",
        "and {more_way_count:more change/more changes}",
        kept(OTHER_WAYS, lambda rows: rows["more_way_count"] > 0),
    ),
    where("actions.first", "The first is “{action_words}”.", _first),
    where("actions.first_due", "Its first deadline is {due_on}.", _first_due(to_come)),
    where("actions.first_overdue", "Its first deadline, {due_on}, has passed.", _first_due(overdue)),
    where(
        "actions.together",
        "All {action_count} actions together are expected to bring {expected_month_cents} a month and "
        "{expected_once_cents} once.",
        kept(TOTALS, lambda rows: (rows["action_count"] > 1) & (rows["expected_month_cents"] != 0)),
    ),
    where(
        "actions.together_once",
        "All {action_count} actions together are expected to bring {expected_once_cents} once.",
        kept(TOTALS, lambda rows: (rows["action_count"] > 1) & (rows["expected_month_cents"] == 0)),
    ),
    where(
        "actions.costs_once",
        "To carry them out costs {once_cost_cents} once.",
        kept(TOTALS, lambda rows: rows["once_cost_cents"] > 0),
    ),
    where(
        "actions.apart",
        "Not in that sum: {apart_count:trial, choice or higher charge/trials, choices or higher charges}.",
        kept(TOTALS, lambda rows: rows["apart_count"] > 0),
    ),
    definition(
        "actions.apart_means",
        "What a trial finds, what buyers do at a higher charge, and whether fewer broken parcels are worth their price "
        "is not in the records, so no sum holds it. The amount is what it would bring a month if all of it came.",
    ),
    where("actions.not_looked_at", "Not looked at yet: {not_looked_at}.", _not_looked_at),
    where(
        "actions.no_sizes",
        "`dunnage cartons` looks at sizes to stock.",
        lambda records: bool(_not_looked_at(records)["not_looked_at"].str.contains("sizes to stock").any()),
    ),
    where("actions.none", "Nothing was found that is worth doing.", _none_found),
    where(
        "actions.none_so_far",
        "Nothing worth doing was found in what was looked at.",
        lambda records: records.has(ACTIONS) and _in_sum(records).empty and len(_not_looked_at(records)) > 0,
    ),
    definition(
        "actions.means",
        "As of the last day of the records. Expected is the amount times its chance; the "
        "amount of a packing method has its chance in it already. The list is one plan: no two of "
        "its actions exclude one another, so their amounts add up. Of ways that do, those stand here that are "
        "together expected to bring most in a year, less what they cost once; they name the others. Where a carton and "
        "a service change for the same parcels, the smaller amount is what that change adds to the greater one.",
    ),
)
