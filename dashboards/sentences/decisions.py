"""What each packing method costs, and which to use."""

from collections.abc import Callable
from typing import Any

from dashboards.review_tables import Records
from dashboards.sentences.damage import RATES, is_packing_known, known
from dashboards.sentences.entry import Rows, RowsOf, definition, kept, of_records, where
from dashboards.sentences.grounds import flagged, only_if

DECISIONS = "analysis.packing_decision"
# A chance that is drawn is never one: from here on no figure is given.
ALMOST_SURE = 0.995
YEAR_DAYS = 365


@of_records
def _costs(records: Records, is_wanted: Callable[[Rows], Any], *, is_carriage_known: bool) -> Rows:
    """Costs of methods, by whether carton and postage are in them; no cost is given of one method alone."""
    found = known(DECISIONS, records)
    is_one_of_these = (found["method_carriage_cents"].notna() == is_carriage_known) & is_wanted(found)
    return only_if(len(found) > 1, found[is_one_of_these])


def _paying(*, pays: bool) -> Callable[[Rows], Any]:
    return lambda rows: rows["is_current"].eq(False) & ((rows["break_even_rate"] > 0) == pays)


@of_records
def _verdict(records: Records, verdict: str, *, is_known: bool = True) -> Rows:
    best = flagged(known(DECISIONS, records), "is_best")
    found = best[best["packing_verdict"] == verdict]
    return found if is_known else found[found["wait_parcels"].isna()]


@of_records
def _wait(records: Records, *, is_too_long: bool) -> Rows:
    """Verdicts to wait, by whether the parcels that would settle it are more than a year's."""
    found = _verdict("wait")(records)
    found = found[found["wait_parcels"].notna()]
    return found[(2 * found["wait_parcels"] > found["yearly_parcel_count"]) == is_too_long]


def _sure(verdict: str, *, is_sure: bool) -> RowsOf:
    """Verdicts whose chance is, or is not, nearer to one than draws can tell."""
    return kept(_verdict(verdict), lambda found: (found["best_chance"] >= ALMOST_SURE) == is_sure)


def _is_undecided(records: Records) -> bool:
    return records.is_empty(DECISIONS) and len(records.table(RATES)) > 0


def _no_method(records: Records) -> bool:
    return _is_undecided(records) and not is_packing_known(records)


def _no_choice(records: Records) -> bool:
    rows = records.table(DECISIONS)
    return len(records.table(RATES)) > 0 and records.has(DECISIONS) and not rows["item_type"].duplicated().any()


TOTAL = "{packing_method}: {total_cents} a parcel ({total_low_cents} to {total_high_cents}) = packing {packing_cents}"
# By the end of the id: with carton and postage, and without.
PARTS = {
    "": f"{TOTAL} + carton and postage {{method_carriage_cents}} + expected damage {{expected_damage_cents}}",
    "_without_carriage": f"{TOTAL} + expected damage {{expected_damage_cents}}, carton and postage left out",
}
ENDS: dict[str, tuple[Callable[[Rows], Any], str]] = {
    "": (_paying(pays=True), "pays up to a damage rate of {break_even_rate}"),
    "_too_high": (_paying(pays=False), "does not pay at any damage rate"),
    "_now": (lambda rows: rows["is_current"].eq(True), "used now"),
}

ENTRIES = (
    where(
        "damage.carriage_rated",
        "Carton and postage of each method are rated again, in the best carton from stock for the method's clearance.",
        lambda records: len(flagged(known(DECISIONS, records), "is_carriage_rated")) > 0,
    ),
    where(
        "damage.carriage_alike",
        "Where no parcel of an item type could be rated under all methods, carton and postage are taken to be the same "
        "for each.",
        lambda records: len(flagged(known(DECISIONS, records), "-is_carriage_rated")) > 0,
    ),
    where(
        "decision.short_record",
        "Parcels on record cover {volume_days:day/days}; what is said of a year is reckoned from these.",
        kept(lambda records: known(DECISIONS, records), lambda rows: rows["volume_days"] < YEAR_DAYS, most=1),
    ),
    *(
        where(f"decision.cost{end}{left_out}", f"{parts}; {words}.", _costs(is_wanted, is_carriage_known=not left_out))
        for left_out, parts in PARTS.items()
        for end, (is_wanted, words) in ENDS.items()
    ),
    where(
        "decision.use",
        "{item_type}: use {best_method} instead of {current_method}. The chance that it is the cheapest is "
        "{best_chance}; count on it to save {best_gain_cents} a year ({best_gain_low_cents} to "
        "{best_gain_high_cents}).",
        _sure("use", is_sure=False),
    ),
    where(
        "decision.use_sure",
        "{item_type}: use {best_method} instead of {current_method}. It is almost surely the cheapest; count on "
        "it to save {best_gain_cents} a year ({best_gain_low_cents} to {best_gain_high_cents}).",
        _sure("use", is_sure=True),
    ),
    where(
        "decision.choice",
        "{item_type}: {best_method} instead of {current_method} is expected to break about "
        "{more_damaged_count:more parcel/more parcels} a year, and may save {best_gain_cents} a year all the same "
        "({best_gain_low_cents} to {best_gain_high_cents}); the chance that it is the cheapest is {best_chance}. That "
        "is your choice.",
        _verdict("choice"),
    ),
    where(
        "decision.keep",
        "{item_type}: keep {current_method}; it is the cheapest of those compared with a chance of {best_chance}.",
        _sure("keep", is_sure=False),
    ),
    where(
        "decision.keep_sure",
        "{item_type}: keep {current_method}; it is almost surely the cheapest of those compared.",
        _sure("keep", is_sure=True),
    ),
    where(
        "decision.wait",
        "{item_type}: {best_method} looks {best_gain_cents} a year cheaper than {current_method}, but the chance that "
        "it is the cheapest is only {best_chance}. Pack {wait_parcels:more parcel/more parcels} by each before you "
        "choose.",
        _wait(is_too_long=False),
    ),
    where(
        "decision.wait_too_long",
        "{item_type}: {best_method} looks {best_gain_cents} a year cheaper than {current_method}, but the chance that "
        "it is the cheapest is only {best_chance}. To settle it would take {wait_parcels:more parcel/more parcels} by "
        "each, at {yearly_parcel_count} a year longer than a year; keep what you use unless other reasons speak "
        "against it.",
        _wait(is_too_long=True),
    ),
    where(
        "decision.wait_not_known",
        "{item_type}: {best_method} looks {best_gain_cents} a year cheaper than {current_method}, but the chance that "
        "it is the cheapest is only {best_chance}. How many more parcels would settle it is not known.",
        _verdict("wait", is_known=False),
    ),
    where(
        "decision.too_close",
        "{item_type}: {best_method} and {current_method} cost about the same ({best_gain_cents} a year apart, "
        "{best_gain_low_cents} to {best_gain_high_cents}). More parcels would hardly settle it; other reasons may.",
        _verdict("too close"),
    ),
    where(
        "decision.one_method",
        "{item_type}: no other packing method with a cost on record was used often enough on it to be judged, so "
        "{current_method} has nothing to be compared with.",
        _verdict("one method"),
    ),
    where(
        "decision.no_choice",
        "No item type has two packing methods with enough parcels and a cost on record, so there is no choice to "
        "weigh.",
        _no_choice,
    ),
    where("decision.no_method", "How these goods are packed is not on record.", _no_method),
    where(
        "decision.no_costs",
        "What the packing method most used on these goods costs is not on record, or none were sent in the last year.",
        lambda records: _is_undecided(records) and not _no_method(records),
    ),
    definition(
        "decision.verdicts",
        "Use: the best method is the cheapest with the chance that the shop asks for, and breaks no more on average. "
        "Choice: it looks cheaper and is expected to break more. Wait: more parcels would settle it. Too close: hardly "
        "any number would. Keep: the method used now looks cheapest. Item types with one method to judge are left out.",
    ),
    definition(
        "decision.means",
        "Methods with few parcels of an item type are left out: their rate would be the item type's own. Carton and "
        "postage are of the same parcels under every method, in the best carton from stock. A year has as many "
        "parcels as the last twelve months, or as a shorter record shows. The saving to count on is less than the "
        "difference of the totals, the more so the less certain it is: the best of several looks better "
        "than it is.",
    ),
)
