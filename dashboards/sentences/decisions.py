"""What each packing method costs, and which to use."""

from dashboards.review_tables import Records
from dashboards.sentences.damage import RATES, known
from dashboards.sentences.entry import Rows, RowsOf, definition, kept, of_rows, where
from dashboards.sentences.grounds import flagged, only_if, unflagged

DECISIONS = "analysis.packing_decision"
# A chance that is drawn is never one: from here on no figure is told.
ALMOST_SURE = 0.995


def _costs(*, pays: bool) -> RowsOf:
    """Costs of a method that pays at some damage rate, or at none; no cost is told of one method alone."""

    def rows(records: Records) -> Rows:
        found = known(DECISIONS, records)
        return only_if(len(found) > 1, found[(found["break_even_rate"] > 0) == pays])

    return rows


def _verdict(verdict: str, *, is_known: bool = True) -> RowsOf:
    def rows(records: Records) -> Rows:
        best = flagged(known(DECISIONS, records), "is_best")
        found = best[best["packing_verdict"] == verdict]
        return found if is_known else found[found["wait_parcels"].isna()]

    return rows


def _wait(*, is_too_long: bool) -> RowsOf:
    """Verdicts to wait, by whether the parcels that would settle it are more than a year's."""

    def rows(records: Records) -> Rows:
        found = _verdict("wait")(records)
        found = found[found["wait_parcels"].notna()]
        return found[(2 * found["wait_parcels"] > found["yearly_parcel_count"]) == is_too_long]

    return rows


def _sure(verdict: str, *, is_sure: bool) -> RowsOf:
    """Verdicts whose chance is, or is not, nearer to one than draws can tell."""
    return kept(_verdict(verdict), lambda found: (found["best_chance"] >= ALMOST_SURE) == is_sure)


def _no_costs(records: Records) -> bool:
    return records.has(DECISIONS) and records.table(DECISIONS).empty and len(records.table(RATES)) > 0


def _no_choice(records: Records) -> bool:
    rows = records.table(DECISIONS)
    return len(records.table(RATES)) > 0 and records.has(DECISIONS) and not rows["item_type"].duplicated().any()


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
        lambda records: len(unflagged(known(DECISIONS, records), "is_carriage_rated")) > 0,
    ),
    of_rows(
        DECISIONS,
        "decision.cost",
        "{packing_method}: {total_cents} a parcel ({total_low_cents} to {total_high_cents}) = packing {packing_cents} "
        "+ carton and postage {method_carriage_cents} + expected damage {expected_damage_cents}; pays up to a damage "
        "rate of {break_even_rate}.",
        _costs(pays=True),
    ),
    of_rows(
        DECISIONS,
        "decision.cost_too_high",
        "{packing_method}: {total_cents} a parcel ({total_low_cents} to {total_high_cents}) = packing {packing_cents} "
        "+ carton and postage {method_carriage_cents} + expected damage {expected_damage_cents}; does not pay at any "
        "damage rate.",
        _costs(pays=False),
    ),
    of_rows(
        DECISIONS,
        "decision.use",
        "{item_type}: use {best_method} instead of {current_method}. The chance that it is the cheapest is "
        "{best_chance}; count on it to save {best_gain_cents} a year ({best_gain_low_cents} to "
        "{best_gain_high_cents}).",
        _sure("use", is_sure=False),
    ),
    of_rows(
        DECISIONS,
        "decision.use_sure",
        "{item_type}: use {best_method} instead of {current_method}. It is almost surely the cheapest; count on "
        "it to save {best_gain_cents} a year ({best_gain_low_cents} to {best_gain_high_cents}).",
        _sure("use", is_sure=True),
    ),
    of_rows(
        DECISIONS,
        "decision.choice",
        "{item_type}: {best_method} would cost {best_gain_cents} a year less than {current_method}, and break about "
        "{more_damaged_count:parcel/parcels} more. That is your choice.",
        _verdict("choice"),
    ),
    of_rows(
        DECISIONS,
        "decision.keep",
        "{item_type}: keep {current_method}; it is the cheapest of those compared with a chance of {best_chance}.",
        _sure("keep", is_sure=False),
    ),
    of_rows(
        DECISIONS,
        "decision.keep_sure",
        "{item_type}: keep {current_method}; it is almost surely the cheapest of those compared.",
        _sure("keep", is_sure=True),
    ),
    of_rows(
        DECISIONS,
        "decision.wait",
        "{item_type}: {best_method} looks {best_gain_cents} a year cheaper than {current_method}, but the chance that "
        "it is the cheapest is only {best_chance}. Pack {wait_parcels:more parcel/more parcels} by each before you "
        "choose.",
        _wait(is_too_long=False),
    ),
    of_rows(
        DECISIONS,
        "decision.wait_too_long",
        "{item_type}: {best_method} looks {best_gain_cents} a year cheaper than {current_method}, but the chance that "
        "it is the cheapest is only {best_chance}. To settle it would take {wait_parcels:more parcel/more parcels} by "
        "each, and {yearly_parcel_count} were sent in the last year; keep what you use unless other reasons speak "
        "against it.",
        _wait(is_too_long=True),
    ),
    of_rows(
        DECISIONS,
        "decision.wait_not_known",
        "{item_type}: {best_method} looks {best_gain_cents} a year cheaper than {current_method}, but the chance that "
        "it is the cheapest is only {best_chance}. How many more parcels would settle it is not known.",
        _verdict("wait", is_known=False),
    ),
    of_rows(
        DECISIONS,
        "decision.too_close",
        "{item_type}: {best_method} and {current_method} cost about the same ({best_gain_cents} a year apart, "
        "{best_gain_low_cents} to {best_gain_high_cents}). More parcels would hardly settle it; other reasons may.",
        _verdict("too close"),
    ),
    of_rows(
        DECISIONS,
        "decision.one_method",
        "{item_type}: only {current_method} was used often enough to be judged; there is nothing to compare it with.",
        _verdict("one method"),
    ),
    where(
        "decision.no_choice",
        "No item type has two packing methods with enough parcels and a cost on record, so there is no choice to "
        "weigh.",
        _no_choice,
    ),
    where("decision.no_costs", "No packing method of these goods has a cost on record.", _no_costs),
    definition(
        "decision.means",
        "Methods with few parcels of an item type are left out: their rate would be the item type's own. Carton and "
        "postage are of the same parcels under every method, in the best carton from stock. The saving to count on is "
        "less than the difference of the totals, the more so the less certain it is: the best of several looks better "
        "than it is.",
    ),
)
